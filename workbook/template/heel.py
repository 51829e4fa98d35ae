"""From the front of the handle to the heel: a dropped heel, or a ricasso with its notch or choil."""

from workbook.geometry.path import QUARTER_TURN, Arc, Bezier, Line, Point, Segment, fillet_bulge
from workbook.template.model import HeelForm, Template

_GUARD_RADIUS = 2.5  # mm, on the lower corner of an integral guard
_SMALL = 1e-6


def front_to_heel(template: Template, heel: Point) -> tuple[Segment, ...]:
    """The outline from the handle's front on the edge side to the heel, in the heel's form."""
    if template.heel.form is HeelForm.DROPPED:
        return _dropped(template, heel)
    return _ricasso(template, heel)


def _dropped(template: Template, heel: Point) -> tuple[Segment, ...]:
    """Forward under the handle, round an inside radius, straight down to the heel or to the ricasso before it."""
    low, foot = -template.handle.front / 2, (heel[0] - template.heel.ricasso, heel[1])
    r = min(template.heel.radius, foot[0], low - foot[1])
    if r <= 0:
        return (Line((0.0, low), heel),)
    parts: list[Segment] = [Line((0.0, low), (foot[0] - r, low))] if foot[0] > r else []
    parts.append(Arc((foot[0] - r, low), (foot[0], low - r), fillet_bulge(-QUARTER_TURN)))
    cut = _cut_before_heel(template, heel, template.heel.ricasso)
    end = cut[0].start if cut else heel
    guard = min(_GUARD_RADIUS, low - r - foot[1], end[0] - foot[0])
    guard = guard if guard > _SMALL else 0.0
    if low - r > foot[1] + guard + _SMALL:
        parts.append(Line((foot[0], low - r), (foot[0], foot[1] + guard)))
    if guard:
        parts.append(Arc((foot[0], foot[1] + guard), (foot[0] + guard, foot[1]), fillet_bulge(QUARTER_TURN)))
    if end[0] > foot[0] + guard + _SMALL:
        parts.append(Line((foot[0] + guard, foot[1]), end))
    return (*parts, *cut)


def _ricasso(template: Template, heel: Point) -> tuple[Segment, ...]:
    """A level ricasso, with the template's finger choil or sharpening notch before the heel."""
    low, y = -template.handle.front / 2, heel[1]
    cut = _cut_before_heel(template, heel, heel[0])
    end = cut[0].start if cut else heel
    flow: Segment = Line((0.0, low), end)
    if abs(y - low) > 1e-9:
        flow = Bezier((0.0, low), (0.5 * end[0], low), (0.5 * end[0], y), end)
    return (flow, *cut)


def _cut_before_heel(template: Template, heel: Point, room: float) -> tuple[Arc, ...]:
    """A finger choil or a sharpening notch that ends at the heel, never wider than the level steel before it."""
    x, y = heel
    radius, notch = template.heel.choil, min(template.heel.notch, 0.9 * room)
    if radius > 0:
        half = min(0.8 * radius, 0.45 * room)
        depth = radius - (radius**2 - half**2) ** 0.5
        return (Arc((x - 2 * half, y), heel, -depth / half),) if half > 0.1 else ()
    return (Arc((x - notch, y), heel, -1.0),) if notch > 0.1 else ()


def choil_and_notch(template: Template, heel: Point) -> float:
    """How far back from the heel its finger choil or sharpening notch reaches, mm; 0 where there is none."""
    room = template.heel.ricasso if template.heel.form is HeelForm.DROPPED else heel[0]
    cut = _cut_before_heel(template, heel, room)
    return heel[0] - cut[0].start[0] if cut else 0.0
