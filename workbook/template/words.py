"""What the groups and choices of a template are called."""

from workbook.template.model import Bevel, EdgeForm, Face, HeelForm, Held, Rolling, SpineForm, TangForm, Taper
from workbook.texts import _

GROUP_WORDS = {
    "blade": _("Blade"),
    "point": _("Tip"),
    "heel": _("Heel"),
    "handle": _("Handle"),
    "fittings": _("Fittings"),
    "tang": _("Tang"),
    "grind": _("Grind"),
    "holes": _("Holes"),
}
FACE_WORDS: dict[str, str] = {Face.RIGHT: _("right"), Face.LEFT: _("left")}
_CHOICES: dict[str, str] = {
    SpineForm.CURVED: _("curved"),
    SpineForm.CLIP: _("clip"),
    SpineForm.STRAIGHT: _("straight"),
    EdgeForm.BELLY: _("belly"),
    EdgeForm.CORNER: _("corner"),
    HeelForm.DROPPED: _("dropped"),
    HeelForm.PLAIN: _("plain"),
    TangForm.FULL: _("full"),
    TangForm.SKELETON: _("skeletonized"),
    TangForm.TAPERED: _("tapered"),
    TangForm.HIDDEN: _("hidden"),
    TangForm.STUB: _("stub"),
    Bevel.FLAT: _("flat"),
    Bevel.HOLLOW: _("hollow"),
    Bevel.CONVEX: _("convex"),
    Bevel.SINGLE: _("chisel (single)"),
    Bevel.SCANDI: _("Scandi"),
    Held.HEIGHT: _("height"),
    Held.ANGLE: _("angle"),
    Taper.BEFORE: _("before"),
    Taper.AFTER: _("after"),
    Rolling.ALONG: _("along"),
    Rolling.ACROSS: _("across"),
    Rolling.FREE: _("free"),
    **FACE_WORDS,
}


def choice_words(value: str) -> str:
    """What a choice of a template is called: "flat"; the value itself where it is unknown."""
    return _CHOICES.get(value, value)
