"""The fields of the sheath's rules: their limits, labels and meanings. Each meaning names the practice it comes from."""

from collections.abc import Iterator

from workbook.fields import Field, Kind, Rule, Table, choice, count, length
from workbook.sheath.rules import SheathForm, SheathHand, SheathOf, SheathRules
from workbook.texts import _
from workbook.units import INCH

SINCE = 12
_FORMS = ((SheathForm.FOLDED, _("folded over the spine")), (SheathForm.FLAT, _("two pieces")))
_MADE_OF = ((SheathOf.LEATHER, _("leather, sewn")), (SheathOf.THERMOPLASTIC, _("thermoplastic")))
_HANDS = ((SheathHand.RIGHT, _("the right")), (SheathHand.LEFT, _("the left")))
_LEAST_DRAIN = 0.5  # mm
_LEAST_RIM = 1.0  # mm of leather or sheet left beside a hole


def _size(key: str, low: float, high: float, label: str, meaning: str, zero: str = "", kind: Kind = Kind.LENGTH) -> Field:
    return length(key, low, high, kind, label=label, meaning=meaning, zero=zero, since=SINCE)


FIELDS: dict[type, Table] = {
    SheathRules: (
        choice("form", options=_FORMS, label=_("Form"), since=SINCE,
            meaning=_("folded: one piece around the spine. Two pieces are joined along edge and spine")),
        choice("of", options=_MADE_OF, label=_("Material"), since=SINCE, meaning=_("what it is made of and how it is joined")),
        choice("hand", options=_HANDS, label=_("Worn on"), since=SINCE,
            meaning=_("its back with the belt loop is against the body, the edge of the blade to the rear")),
        _size("reach", 0, 150, _("Throat behind the handle front"),
            _("common practice 1/2–1 1/4 in: what covers the handle holds the knife. With a guard outside the " "sheath, 0")),
        _size("clearance", 0.5, 10, _("Room around the knife"), _("from the knife to the welt, common practice 1/16 in")),
        _size("leather", 0.8, 8, _("Leather thickness"),
            _("common practice 8–9 oz for belt sheaths, 1/8–9/64 in (1 oz is 1/64 in)"), kind=Kind.FINE),
        _size("welt", 5, 40, _("Welt width"), _("common practice 3/8 in")),
        count("layers", 0, 6, label=_("Welt layers"), zero=_("by blade"), since=SINCE,
            meaning=_("0: as many as make about the blade's thickness, common practice")),
        _size("inset", 2, 20, _("Stitches to outer edge"), _("common practice 1/8–3/16 in")),
        _size("stitch", 2, 12, _("Stitch spacing"), _("common practice 5–6 stitches per inch")),
        _size("stitch_hole", 0.5, 4, _("Stitch hole"), _("diameter of an awl's or drill's hole, common practice 1/16 in")),
        _size("plastic", 0.5, 6, _("Thermoplastic thickness"), _("common practice 0.060–0.093 in"), kind=Kind.FINE),
        _size("flange", 12, 60, _("Thermoplastic around the knife"), _("for the rivets, common practice 3/4 in")),
        _size("rivet", 12, 120, _("Rivet spacing"), _("common practice 1 1/2 in, to match the holes of belt clips")),
        _size("rivet_hole", 2, 10, _("Rivet hole"), _("common practice 1/4 in, at least 1/4 in from the edge of the blade")),
        _size("drain", 0, 12, _("Drain hole"), _("just beyond the tip, so that the tip cannot catch in it"), _("none")),
        _size("belt", 0, 120, _("Belt width"), _("a loop is 1/4 in wider inside, common practice"), _("no loop")),
        _size("loop", 12, 80, _("Loop strip width"), _("narrower where the back is narrower")),
    ),
}  # fmt: skip


def _of_rules(rules: SheathRules) -> Iterator[tuple[str, str]]:
    """Holes that would break out of what they are in; of what a sheath of the chosen material has."""
    yield from _sewn(rules) if rules.stitched else _riveted(rules)
    if 0 < rules.drain < _LEAST_DRAIN:
        yield "drain", _("lets no water out. Allowed: at least {least}, or 0 for none.", least=_both(_LEAST_DRAIN))


def _sewn(rules: SheathRules) -> Iterator[tuple[str, str]]:
    rim = rules.stitch_hole / 2 + _LEAST_RIM
    if rules.welt < 2 * rim:
        yield "welt", _("is too narrow for its holes. Allowed: at least {least}.", least=_both(2 * rim))
    elif not rim <= rules.inset <= rules.welt - rim:
        yield (
            "inset",
            _("leaves no leather beside the holes. Allowed: {least} to {most}.", least=_both(rim), most=_both(rules.welt - rim)),
        )
    least = rules.stitch_hole + _LEAST_RIM
    if rules.stitch < least:
        yield "stitch", _("leaves no leather between two holes. Allowed: at least {least}.", least=_both(least))


def _riveted(rules: SheathRules) -> Iterator[tuple[str, str]]:
    least = 2 * (rules.rivet_hole + _LEAST_RIM)
    if rules.flange < least:
        yield "flange", _("is too narrow for the rivet holes. Allowed: at least {least}.", least=_both(least))


def _both(mm: float) -> str:
    """A length in both units, for messages that do not know the maker's."""
    return f"{mm:.1f} mm ({mm / INCH:.3f} in)"


RULES: dict[type, Rule] = {SheathRules: _of_rules}
