"""Cards of steels: names, composition, heat treatment, hardness after tempering, density, what each is like to work."""

import re
from collections.abc import Callable, Iterator, Sequence

from workbook.handbook.card import CardKind, Evidence, Fact, FactCard, HeatStep, Section, TemperPoint, TemperSeries, evidence_of
from workbook.handbook.degrees import celsius, in_both, span
from workbook.shop.steels import Steel, Steels, steels_of
from workbook.texts import _, of_file
from workbook.units import HABITS, INCH, Unit

Row = dict[str, str]
Rows = Callable[[str], Sequence[Row]]  # the rows of a table by its name, such as "look_up/steels"
_ELEMENTS = ("C", "Mn", "Si", "Cr", "Mo", "V")
_POUND = 453.59237  # g
_NONE = "no published data here"
_OF_STEELS = ("composition", "heat_treatment", "tempering")  # tables
_HEAT_CAUTION = _(
    "Published ranges, not a recipe. The datasheet of your steel comes first. Protect eyes and face. No "
    "water near hot oil, a lid for the tank, an extinguisher at hand. Follow your local rules."
)


def steel_cards(rows: Rows, unit: Unit) -> Iterator[FactCard]:
    """The card of each steel."""
    table = rows("look_up/steels")
    steels = steels_of(table)
    tables = {name: [(steels.in_cell(each["steel"]), each) for each in rows(f"look_up/{name}")] for name in _OF_STEELS}
    working = rows("look_up/working")
    for row, steel in zip(table, steels.all, strict=True):
        own = {name: [each for named, each in tables[name] if steel in named] for name in _OF_STEELS}
        sections = (
            _names(row),
            _composition(own["composition"]),
            _heat(own["heat_treatment"], unit),
            _tempering(own["tempering"], steel, steels),
            _density(row, steel, unit),
            _working(steel, own["heat_treatment"], working),
        )
        also = ", ".join(dict.fromkeys(name for name in steel.others if name != steel.name))
        names = (steel.name, *steel.others)
        there = tuple(section for section in sections if section is not None)
        yield FactCard(kind=CardKind.STEEL, title=steel.name, also=also, names=names, sections=there)


def _names(row: Row) -> Section:
    labels = (
        ("AISI/SAE", _("AISI, SAE")), ("UNS", "UNS"), ("EN_name", "EN"), ("W.-Nr.", _("Material number")),
        ("other_names", _("Other names")), ("near", _("Close, but not the same")), ("group", _("Group")),
    )  # fmt: skip
    entries = tuple(Fact(name, row[key].replace(";", ",")) for key, name in labels if row[key])
    return Section(head=_("Names"), entries=entries, evidence=(evidence_of(row, note=row["note"]),))


def _composition(rows: Sequence[Row]) -> Section | None:
    row = next((row for row in rows if row["C"] and row["C"] != _NONE), None)
    if row is None:
        return None
    entries = [Fact(_("{element}, %", element=element), _spelt(row[element])) for element in _ELEMENTS if row[element]]
    words = [_("Others: {elements}.", elements=_spelt(row["other"]))] if row["other"] else []
    words += [_("Residuals: {elements}.", elements=_spelt(row["residual"]))] if row["residual"] else []
    evidence = (evidence_of(row, "standard"),)
    return Section(head=_("Composition"), across=True, entries=tuple(entries), words=tuple(words), evidence=evidence)


def _spelt(cell: str) -> str:
    """A cell of percentages with the 0 before the point, a space behind an element, and a dash between two ends."""
    return dashed(re.sub(r"(?<=[A-Za-z])(?=0\.)", " ", re.sub(r"(?<![\d.])\.(?=\d)", "0.", cell)))


def dashed(cell: str) -> str:
    """A cell with a dash between the ends of each range."""
    return re.sub(r"(?<=\d)-(?=\d)", "–", cell)


def _heat(rows: Sequence[Row], unit: Unit) -> Section | None:
    row = next((row for row in rows if span(row["austenitise_F"]) is not None), None)
    if row is None:
        return None
    labels = (
        ("normalise_F", _("Normalize")), ("anneal_F", _("Anneal")), ("austenitise_F", _("Harden from")),
        ("temper_range_F", _("Temper")),
    )  # fmt: skip
    entries = [Fact(name, *in_both(row[key], unit)) for key, name in labels if row[key]]
    for key, name in (("soak", _("Soak")), ("quench_class", _("Quench medium")), ("as_quenched_HRC", _("As quenched, HRC"))):
        entries += [Fact(name, dashed(row[key]))] if row[key] else []
    return Section(
        head=_("Heat treatment"),
        entries=tuple(entries),
        heat=tuple(_steps(row)),
        evidence=(evidence_of(row, note=row["note"]),),
        caution=_HEAT_CAUTION,
    )


def _steps(row: Row) -> Iterator[HeatStep]:
    """The holds in their order; tempering is done twice (common practice)."""
    normal, harden, temper = (span(row[key]) for key in ("normalise_F", "austenitise_F", "temper_range_F"))
    if normal is not None:
        yield HeatStep(name=_("normalize"), low=normal.low, high=normal.high, then=_("air"))
    if harden is not None:
        quench = row["quench_class"]
        yield HeatStep(
            name=_("harden"),
            low=harden.low,
            high=harden.high,
            words=dashed(row["soak"].partition(" (")[0]),
            fast=not _in_air(quench),
            then=quench.partition(" (")[0].partition(";")[0],
        )
    if temper is not None:
        for name in (_("temper"), _("temper again")):
            yield HeatStep(name=name, low=temper.low, high=temper.high)


def _in_air(quench: str) -> bool:
    """Whether it cools in air or between plates, which takes longer than any liquid."""
    return quench.casefold().startswith(("air", "still", "plate"))


def _tempering(rows: Sequence[Row], steel: Steel, steels: Steels) -> Section | None:
    """A series for each way the table names the steel: "AISI 1080 (measured)" is one beside "AISI 1075/1080"."""
    series = []
    for cell in dict.fromkeys(row["steel"] for row in rows):
        own = [row for row in rows if row["steel"] == cell]
        points = tuple(TemperPoint(celsius(float(row["temper_F"])), *_ends(row)) for row in own)
        series.append(TemperSeries(name=cell, points=points, evidence=evidence_of(own[0])))
    evidence = tuple(dict.fromkeys(each.evidence for each in series))
    words = (_("About ±1.5 HRC: test a piece of your own bar. Full hardness before tempering is assumed."),)
    return Section(head=_("Hardness after tempering"), words=words, temper=tuple(series), evidence=evidence) if series else None


def _ends(row: Row) -> tuple[float, float]:
    low = float(row["HRC_lo"])
    return low, float(row["HRC_hi"] or low)


def _density(row: Row, steel: Steel, unit: Unit) -> Section | None:
    if steel.density is None:
        return None
    heavy = steel.density * INCH**3 / 1000 / _POUND
    grams, pounds = _("{density:g} g/cm³", density=steel.density), _("{density:.4f} lb/in³", density=heavy)
    both = (grams, pounds) if HABITS[unit].metric else (pounds, grams)
    return Section(head=_("Density"), entries=(Fact(_("Density"), *both),), evidence=(evidence_of(row, note=row["note"]),))


def _working(steel: Steel, heat: Sequence[Row], rows: Sequence[Row]) -> Section | None:
    """What makers say of its group and of the way it is quenched."""
    quench = heat[0]["quench_class"].partition(";")[0] if heat else ""
    row = next((row for row in rows if row["group"] == steel.group and row["quench"] in quench), None)
    if row is None:
        return None
    evidence = Evidence(source="", basis=row["basis"], sure=float(row["sure_pct"]))
    return Section(head=_("Working it"), words=(of_file(row["words"]),), evidence=(evidence,))
