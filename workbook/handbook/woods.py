"""Cards of woods: density, hardness, shrinkage, and how far a scale moves with moisture."""

from collections.abc import Iterator, Sequence

from workbook.handbook.card import CardKind, Fact, FactCard, Section, evidence_of, number_of
from workbook.handbook.steels import Row, Rows
from workbook.texts import _
from workbook.units import HABITS, INCH, Unit, show

_POUND_FOOT = 62.428  # lb/ft³ in 1 g/cm³
_DRY, _DAMP = 8, 12  # % moisture, between which the table's coefficients hold (6 to 14 %)
_SCALE = {"mm": 32.0, "in": 1.25 * INCH}  # width of the scale told of, mm
_DUST = _("Dust of many woods harms lungs and skin. Extract it, and wear a respirator that fits.")
_MOIST = " MC"  # moisture content, behind its per cent


def wood_cards(rows: Rows, unit: Unit) -> Iterator[FactCard]:
    """The card of each wood."""
    hardness = rows("look_up/wood_hardness")
    for row in rows("look_up/woods"):
        own = [each for each in hardness if each["botanical"] == row["botanical"] and each["common"] == row["common"]]
        sections = (_weight(row, unit), _hardness(own, unit), _movement(row, unit))
        names = (row["common"], row["botanical"], *(name.strip() for name in row["also"].split(";") if name.strip()))
        there = tuple(section for section in sections if section is not None)
        also = ", ".join(names[1:])
        yield FactCard(kind=CardKind.WOOD, title=row["common"], also=also, names=names, sections=there)


def _weight(row: Row, unit: Unit) -> Section | None:
    density = number_of(row["density_12pct_g_cm3"])
    if density is None:
        return None
    grams, pounds = _("{density:g} g/cm³", density=density), _("{density:.1f} lb/ft³", density=density * _POUND_FOOT)
    both = (grams, pounds) if HABITS[unit].metric else (pounds, grams)
    entries = [Fact(_("Density at 12% moisture"), *both)]
    if row["specific_gravity_12pct"]:
        entries.append(Fact(_("Specific gravity"), row["specific_gravity_12pct"]))
    return Section(head=_("Weight"), entries=tuple(entries), evidence=(evidence_of(row),), caution=_DUST)


def _hardness(rows: Sequence[Row], unit: Unit) -> Section | None:
    entries = []
    for row in rows:
        pounds, newtons = _("{force} lbf", force=row["side_hardness_lbf"]), _("{force} N", force=row["side_hardness_N"])
        both = (newtons, pounds) if HABITS[unit].metric else (pounds, newtons)
        condition = row["condition"]
        label = _("Side hardness, {condition}", condition=condition)
        if condition.endswith(_MOIST):
            label = _("Side hardness, {percent} moisture", percent=condition.removesuffix(_MOIST))
        entries.append(Fact(label, *both))
    return Section(head=_("Hardness"), entries=tuple(entries), evidence=tuple(evidence_of(row) for row in rows)) if rows else None


def _movement(row: Row, unit: Unit) -> Section | None:
    labels = (
        ("shrink_radial_pct", _("Radial shrinkage, green to dry, %")),
        ("shrink_tangential_pct", _("Tangential shrinkage, green to dry, %")),
        ("shrink_vol_pct", _("Volume shrinkage, green to dry, %")),
    )
    entries = [Fact(name, row[key]) for key, name in labels if row[key]]
    for key, name in (("C_T_per_pctMC", _("flat-sawn")), ("C_R_per_pctMC", _("quarter-sawn"))):
        coefficient = number_of(row[key])
        if coefficient is not None:
            wide = _SCALE[unit]
            by = wide * coefficient * (_DAMP - _DRY)
            label = _("A {cut} scale {width} wide, from {dry} to {damp}% moisture",
                      cut=name, width=_sized(wide, unit), dry=_DRY, damp=_DAMP)  # fmt: skip
            entries.append(Fact(label, _("wider by {by}", by=_sized(by, unit, fine=True))))
    words = (_("width × coefficient × change of moisture in % (Wood Handbook, dimensional change, 6–14%)"),)
    return Section(head=_("Movement"), entries=tuple(entries), words=words, evidence=(evidence_of(row),)) if entries else None


def _sized(mm: float, unit: Unit, *, fine: bool = False) -> str:
    return f"{show(mm, unit, fine=fine)} {unit}"
