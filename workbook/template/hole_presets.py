"""Usual sets of pins and bolts for a handle, placed by its length. Their places are common practice, no source."""

from collections.abc import Iterator
from enum import StrEnum

from workbook.structs import replace
from workbook.template.fittings import bolster_of, scale_front
from workbook.template.hole_edits import wishes_of
from workbook.template.holes import placed
from workbook.template.model import HolePattern, Purpose, Template
from workbook.template.shape import Shape
from workbook.texts import _

_FIRST, _LAST, _BEFORE_TUBE, _TUBE = 0.155, 0.19, 0.37, 0.13  # of the scales' length: from the front, and three from the butt
_NEAREST = 11.0  # mm from either end


class HolePreset(StrEnum):
    """A usual set of holes."""

    TWO_PINS = "two-pins"
    THREE_PINS = "three-pins"
    PINS_AND_TUBE = "pins-and-tube"
    TWO_BOLTS = "two-bolts"
    THREE_BOLTS = "three-bolts"
    ONE_PIN = "one-pin"  # through a hidden tang


PRESET_WORDS = {
    HolePreset.TWO_PINS: _("Two pins"),
    HolePreset.THREE_PINS: _("Three pins"),
    HolePreset.PINS_AND_TUBE: _("Two pins and a lanyard tube"),
    HolePreset.TWO_BOLTS: _("Two bolts"),
    HolePreset.THREE_BOLTS: _("Three bolts"),
    HolePreset.ONE_PIN: _("One pin"),
}
_SETS = {
    HolePreset.TWO_PINS: (Purpose.PIN, 2, False),
    HolePreset.THREE_PINS: (Purpose.PIN, 3, False),
    HolePreset.PINS_AND_TUBE: (Purpose.PIN, 2, True),
    HolePreset.TWO_BOLTS: (Purpose.BOLT, 2, False),
    HolePreset.THREE_BOLTS: (Purpose.BOLT, 3, False),
    HolePreset.ONE_PIN: (Purpose.PIN, 1, False),
}


def with_preset(blank: Shape, preset: HolePreset, sizes: dict[Purpose, float], step: float) -> Template:
    """Replace pins, bolts and tubes by a set; epoxy holes stay. `sizes`: what goes through, mm, where the template has none of
    that purpose; `step`: places are multiples of it, mm.

    Bolsters get a pin of their own.
    """
    template = blank.template
    assert template is not None
    own = {hole.purpose: hole.size for hole in reversed(blank.holes)}
    patterns = tuple(_patterns(template, preset, sizes | own, step))
    if template.holes is None:
        kept = tuple(pattern for pattern in template.patterns if pattern.purpose is Purpose.EPOXY)
        return replace(template, patterns=(*patterns, *kept))
    epoxy = tuple(wish for wish in wishes_of(blank) if wish.purpose is Purpose.EPOXY)
    by_pattern = replace(template, patterns=patterns, holes=None)
    return replace(by_pattern, holes=(*placed(by_pattern), *epoxy)) if epoxy else by_pattern


def _patterns(template: Template, preset: HolePreset, sizes: dict[Purpose, float], step: float) -> Iterator[HolePattern]:
    purpose, count, tube = _SETS[preset]
    front = -scale_front(template)
    length = template.handle.length - front

    def place(share: float) -> float:
        return max(round(share * length / step) * step, _NEAREST)

    if bolster_of(template) > 2 * sizes[Purpose.PIN]:
        yield HolePattern(purpose=Purpose.PIN, size=sizes[Purpose.PIN], first=front - bolster_of(template) / 2)
    last = place(_BEFORE_TUBE if tube else _LAST)
    yield HolePattern(purpose=purpose, size=sizes[purpose], count=count, first=front + place(_FIRST), last=last)
    if tube:
        size = sizes[Purpose.LANYARD]
        yield HolePattern(purpose=Purpose.LANYARD, size=size, last=place(_TUBE), from_butt=True)
