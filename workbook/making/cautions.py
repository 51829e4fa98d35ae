"""Which cautions a stage needs, known by the words of its name: the stages are the maker's own."""

from workbook.shop.labour import Stage
from workbook.texts import _

DEFER = _("Follow your own training, the data sheets and local rules.")
_FIRE = _(
    "Fire, hot oil and fumes: work outdoors or with extraction, a metal tank with its lid at hand, dry "
    "powder or CO2, never water. As quenched, steel can shatter. Temper at once."
)
_CAUTIONS = (
    (("saw", "profil"), _("Eye protection, guard close to the work, fingers out of the blade's path, push block.")),
    (("drill",), _("Clamp the blade and stop it from turning. Eye protection, no gloves. Ease off at break-through.")),
    (("grind", "bevel"), _("Eyes, ears, fitted respirator. No gloves near the nip. Never let the tip face into the belt.")),
    (
        ("hard", "quench", "temper", "heat"),
        _FIRE,
    ),
    (("straight",), _("Never straighten cold as quenched: it shatters. Eye protection, face out of the line.")),
    (
        ("glue", "handle", "scale"),
        _("Dust irritates and sensitizes: fitted respirator. Epoxy: gloves, ventilate. Tape the edge."),
    ),
    (
        ("oil", "wax", "finish", "sand", "polish"),
        _(
            "Eyes, fitted respirator. Clamp the blade with its edge away from the hand. Rags with drying oil "
            "catch fire by themselves: lay them flat outdoors, or in water in a closed can."
        ),
    ),
    (("sharp", "edge"), _("Away from the hand, with the blade clamped or on the bench. Wipe from the spine.")),
    (("sheath", "sew"), _("Awl and knife away from the hand. Adhesive: ventilate. Tape the edge.")),
    (("etch", "mark"), _("Acid and current: gloves, eye protection, ventilate. Acid into water, never water into acid.")),
)


def is_fire(stage: Stage) -> bool:
    """Whether a stage is a heat treatment, by the words of its name."""
    return caution_of(stage) == _FIRE


def caution_of(stage: Stage) -> str:
    """The usual caution for a stage, by the first word that tells of any; "" where none does. `DEFER` belongs after it."""
    name = stage.name.casefold()
    found = [(name.index(stem), text) for stems, text in _CAUTIONS for stem in stems if stem in name]
    return min(found)[1] if found else ""
