"""Cards of drills, and of pins, tubes and bolts with their holes."""

from collections.abc import Iterator, Sequence

from workbook.handbook.card import CardKind, Evidence, Fact, FactCard, Section, number_of
from workbook.handbook.steels import Row, Rows
from workbook.texts import _
from workbook.units import HABITS, INCH, Unit

_SERIES = {"number": _("number"), "letter": _("letter"), "fraction": _("fraction of an inch"), "metric": _("metric")}
_BESIDE = 3  # sizes told on either side
_CAUTION = _("Clamp the work and protect your eyes. No gloves or loose sleeves at a drill press.")


def drill_cards(rows: Rows, unit: Unit) -> Iterator[FactCard]:
    """The card of each drill, by size."""
    drills = sorted(rows("drills"), key=lambda row: float(row["diameter_mm"]))
    pins = rows("look_up/pins_and_bolts")
    for n, row in enumerate(drills):
        beside = [each for each in drills[max(n - _BESIDE, 0) : n + _BESIDE + 1] if each is not row]
        evidence = (Evidence(source=row["source"], basis="secondary_seen", sure=float(row["sure_pct"])),)
        sections = [
            Section(head=_("Size"), entries=(_sized(_("Diameter"), row, unit), Fact(_("Series"), _SERIES[row["series"]])),
                    evidence=evidence, caution=_CAUTION),
            Section(head=_("Next sizes"), entries=tuple(_sized(each["label"], each, unit) for each in beside), evidence=evidence),
        ]  # fmt: skip
        for_pins = [pin for pin in pins if pin["hole_for_light_slip_fit"].split(" ")[0].rstrip(",") == row["label"]]
        if for_pins:
            entries = tuple(Fact(f"{pin['nominal_in']} {pin['item']}", _clearance(pin, unit)) for pin in for_pins)
            sections.append(Section(head=_("Clearance for"), entries=entries, evidence=tuple(map(_evidence, for_pins))))
        names = (row["label"], row["label"].lstrip("#"), f"{float(row['diameter_in']):.4f}")
        yield FactCard(kind=CardKind.DRILL, title=_title(row), names=names, sections=tuple(sections))


def _title(row: Row) -> str:
    return f"{row['label']} in" if row["series"] == "fraction" else row["label"]


def _sized(name: str, row: Row, unit: Unit) -> Fact:
    inches, mm = f"{float(row['diameter_in']):.4f} in", f"{float(row['diameter_mm']):.3f} mm"
    return Fact(name, *((mm, inches) if HABITS[unit].metric else (inches, mm)))


def pin_cards(rows: Rows, unit: Unit) -> Iterator[FactCard]:
    """The card of each pin, tube and bolt."""
    for row in rows("look_up/pins_and_bolts"):
        title = f"{row['nominal_in']} {row['item']}"
        hole = number_of(row["hole_in"]) or 0.0
        entries = (
            Fact(_("Diameter"), *_length(float(row["mm"]) / INCH, unit)),
            Fact(_("Drill for a light slip fit"), row["hole_for_light_slip_fit"]),
            Fact(_("Hole diameter"), *_length(hole, unit)),
            Fact(_("Clearance"), _clearance(row, unit)),
        )
        section = Section(head=_("Size and hole"), entries=entries, evidence=(_evidence(row),), caution=_CAUTION)
        yield FactCard(kind=CardKind.PIN, title=title, names=(row["item"], row["nominal_in"]), sections=(section,))


def _evidence(row: Row) -> Evidence:
    return Evidence(source="", basis=row["basis"].replace("_", " "), sure=number_of(row["sure_pct"]), note=row["note"])


def _clearance(row: Row, unit: Unit) -> str:
    clearance = float(row["clearance_in"])
    return f"{clearance * INCH:.3f} mm" if HABITS[unit].metric else f"{clearance:.4f} in"


def _length(inches: float, unit: Unit) -> Sequence[str]:
    both = (f"{inches:.4f} in", f"{inches * INCH:.3f} mm")
    return both[::-1] if HABITS[unit].metric else both
