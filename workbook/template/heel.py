"""From the front of the handle to the heel: a dropped heel, or a ricasso with its notch or choil."""

from workbook.geometry.path import QUARTER_TURN, Arc, Bezier, Line, Point, Segment, fillet_bulge
from workbook.template.model import HeelForm, Template

_GUARD_RADIUS = 2.5  # mm, on the lower corner of an integral guard


def front_to_heel(template: Template, heel: Point) -> tuple[Segment, ...]:
    """From the handle's front on the edge side to the heel, with what the maker wants between them."""
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
    guard = min(_GUARD_RADIUS, low - r - foot[1]) if template.heel.ricasso > 0 else 0.0
    if low - r > foot[1] + guard + 1e-9:
        parts.append(Line((foot[0], low - r), (foot[0], foot[1] + guard)))
    return (*parts, *(_level(template, foot, heel, guard) if template.heel.ricasso > 0 else ()))


def _level(template: Template, foot: Point, heel: Point, guard: float) -> tuple[Segment, ...]:
    """The guard's rounded foot and the level ricasso with its choil or notch."""
    cut = _cut_before_heel(template, heel)
    begin, end = (foot[0] + guard, foot[1]), cut[0].start if cut else heel
    round_foot = Arc((foot[0], foot[1] + guard), begin, fillet_bulge(QUARTER_TURN)) if guard > 0 else None
    level = Line(begin, end) if end[0] > begin[0] + 1e-9 else None
    return tuple(part for part in (round_foot, level, *cut) if part)


def _ricasso(template: Template, heel: Point) -> tuple[Segment, ...]:
    """A level ricasso, with a finger choil or a sharpening notch before the heel where asked."""
    low, y = -template.handle.front / 2, heel[1]
    cut = _cut_before_heel(template, heel)
    end = cut[0].start if cut else heel
    flow: Segment = Line((0.0, low), end)
    if abs(y - low) > 1e-9:
        flow = Bezier((0.0, low), (0.5 * end[0], low), (0.5 * end[0], y), end)
    return (flow, *cut)


def _cut_before_heel(template: Template, heel: Point) -> tuple[Arc, ...]:
    x, y = heel
    if template.heel.choil > 0:
        half = min(0.8 * template.heel.choil, 0.45 * x)
        depth = template.heel.choil - (template.heel.choil**2 - half**2) ** 0.5
        return (Arc((x - 2 * half, y), heel, -depth / half),)
    if template.heel.notch > 0:
        return (Arc((x - template.heel.notch, y), heel, -1.0),)
    return ()
