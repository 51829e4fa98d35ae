"""Cards of abrasive grits: size of the grain, what comes near in other systems, finishes that need it."""

from collections.abc import Iterator, Sequence

from workbook.handbook.card import CardKind, Fact, FactCard, Section, evidence_of
from workbook.handbook.steels import Row, Rows
from workbook.texts import _
from workbook.units import Unit

_DUST = _("Grinding dust harms your lungs. Extract it, protect eyes and ears, and wear a respirator that fits.")


def grit_cards(rows: Rows, unit: Unit) -> Iterator[FactCard]:
    """The card of each grade of each system, coarse to fine; grains are in µm whatever the unit."""
    grits, finishes = rows("look_up/grits"), rows("look_up/finishes")
    systems = tuple(dict.fromkeys(row["system"] for row in grits))
    for row in grits:
        sections = [
            Section(head=_("Grain"), entries=_grain(row), evidence=(evidence_of(row),), caution=_DUST),
            _near(row, grits, systems),
        ]
        needed = [each for each in finishes if _within(row, each["usual_grit"])]
        if needed:
            entries = tuple(Fact(each["finish"], _roughness(each)) for each in needed)
            evidence = tuple(evidence_of(each) for each in needed)
            sections.append(Section(head=_("Finish it leaves"), entries=entries, evidence=evidence))
        title = row["grade"] if row["grade"].startswith("P") else f"{row['grade']} ({row['system'].partition(' ')[0]})"
        yield FactCard(kind=CardKind.GRIT, title=title, also=row["system"], names=(row["grade"],), sections=tuple(sections))


def _grain(row: Row) -> tuple[Fact, ...]:
    mean = _("{size} µm", size=row["mean_um"])
    within = row["tol_um"]
    return (Fact(_("Mean size"), mean), *([Fact(_("Tolerance"), _("± {size} µm", size=within))] if within else []))


def _near(row: Row, grits: Sequence[Row], systems: Sequence[str]) -> Section:
    """The grade of each other system whose mean size is nearest as a ratio."""
    entries, size = [], float(row["mean_um"])
    for system in systems:
        if system != row["system"]:
            own = [each for each in grits if each["system"] == system]
            near = min(own, key=lambda each: max(float(each["mean_um"]) / size, size / float(each["mean_um"])))
            entries.append(Fact(system, near["grade"], _("{size} µm", size=near["mean_um"])))
    return Section(head=_("Nearest in other systems"), entries=tuple(entries), evidence=(evidence_of(row),))


def _within(row: Row, grits: str) -> bool:
    """Whether a P grade lies within a range of a table of finishes, such as "120-180"."""
    low, _dash, high = grits.partition("-")
    number = row["grade"].lstrip("P")
    return row["grade"].startswith("P") and low.isdigit() and high.isdigit() and int(low) <= int(number) <= int(high)


def _roughness(row: Row) -> str:
    low, high = row["Ra_um_lo"], row["Ra_um_hi"]
    return _("Ra {low}–{high} µm", low=low, high=high) if low else _("Ra up to {high} µm", high=high)
