"""The room that a knife needs in its sheath: seen from the side, and how much farther round it is than across.

The knife slides in and out along x, so that at each place there must be room for all that lies ahead of it.
"""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import ceil, hypot, pi, sqrt
from typing import TYPE_CHECKING

from msgspec import Struct

from workbook.geometry.path import Path, Point, Points, bounds, circle, flatten, polyline, upright_span
from workbook.later import modules, np
from workbook.sheath.rules import SheathForm, SheathRules
from workbook.template.contour import is_bare, section
from workbook.template.fittings import guard_of, guard_outline, lean, scale_outline
from workbook.template.handle import handle_outline, middle
from workbook.template.model import Handle, Template
from workbook.template.shape import Shape

if TYPE_CHECKING:
    from workbook.geometry import margins, polygon
    from workbook.geometry.polygon import Polygon
    from workbook.grind import stations
else:
    margins, polygon, stations = modules("geometry.margins", "geometry.polygon", "grind.stations")

BEHIND = 150.0  # mm that shapes reach behind the throat, so that their ends there do not show
_STEP = 0.5  # mm between stations
_INNER = 100.0  # mm, radius of the room's inner corners: what leather and thread follow without a kink
_FALL = 40.0  # mm, radius at the head of the parabola along which the handle's girth goes over into the blade's
_LATER = 4.0  # mm by which it begins later
_SHARE = 0.8  # of the handle, at most, that the throat reaches over
_CLOSELY = 0.05  # mm
_HAIR = 1e-3


class SheathRoom(Struct, frozen=True, kw_only=True, eq=False):
    """The room for one knife. Arrays are along `x`, from the throat to the end of the room."""

    side: "Polygon"  # seen from the side; it reaches behind the throat
    throat: float
    top: float  # y of the fold's inside; of two pieces the highest of the knife
    point: Point  # of the knife
    spine: float  # thickness of the blade
    gap: float  # between both layers where they are joined
    x: Points
    low: Points
    high: Points
    extra: Points  # by how much half the way round is longer than the room is high

    def extra_at(self, x: Points) -> Points:
        """The same at any x, same shape; beyond the ends as there."""
        return np.asarray(np.interp(x, self.x, self.extra), np.float64)


def room_for(blank: Shape, bar: float, rules: SheathRules) -> SheathRoom:
    """The room for a knife of a parametric template. `bar`: the thickness of the blade's bar, mm."""
    template, curves = blank.template, blank.curves
    assert template is not None and curves is not None
    throat = -min(rules.reach, farthest(template.handle))
    outlines = [*_outlines(blank, template), *_drain(curves.point, rules)]
    end = max(bounds(outline)[2] for outline in outlines)
    x = np.linspace(throat, end, ceil((end - throat) / _STEP) + 1)
    low, high = _spans(outlines, x)
    low, high = np.minimum.accumulate(low[::-1])[::-1], np.maximum.accumulate(high[::-1])[::-1]
    folded = rules.form is SheathForm.FOLDED
    top = float(high[0])
    side = _side(x, low, np.full_like(high, top) if folded else high, rules.clearance)
    if folded:
        side = margins.below(side, top)
    end = float(side.bounds[2])
    x = np.append(x, np.linspace(x[-1], end, ceil((end - x[-1]) / _STEP) + 1)[1:])
    spine = _thickness(template, bar)
    gap = rules.welts(spine) * rules.leather
    low, high = _ends_of(side, x)
    extra = _half_girths(_sections(blank, template, bar, x, rules), low, high, gap, folded=folded) - (high - low)
    if folded:
        extra += bent(rules)
        extra[-1] = gap / 2 + bent(rules)  # from there on the leather goes round the welt's own end
    return SheathRoom(
        side=side, throat=throat, top=top, point=curves.point, spine=spine, gap=gap, x=x, low=low, high=high,
        extra=_blended(extra),
    )  # fmt: skip


def farthest(handle: Handle) -> float:
    """How far behind the handle's front a throat may lie, mm."""
    return _SHARE * handle.length


def bent(rules: SheathRules) -> float:
    """By how much the middle of a sheet is longer than its inside where it turns a quarter, as each side does at a fold, mm."""
    return pi / 4 * rules.thickness


def _thickness(template: Template, bar: float) -> float:
    return float(stations.finished_spine(template, np.zeros(1), bar)[0])


def _outlines(blank: Shape, template: Template) -> Iterable[Path]:
    """What of the knife is seen from the side."""
    yield blank.outline
    if is_bare(template.handle):
        return
    yield handle_outline(template.handle)
    yield scale_outline(template)
    guard = guard_outline(template)
    if guard is not None:
        yield guard


def _drain(point: Point, rules: SheathRules) -> list[Path]:
    """The drain hole, which lies just ahead of the point."""
    return [circle(drain_at(point, rules), rules.drain / 2)] if rules.drain > 0 else []


def drain_at(point: Point, rules: SheathRules) -> Point:
    """The center of the drain hole, seen from the side."""
    return point[0] + rules.drain / 2, point[1]


def _spans(outlines: Sequence[Path], x: Points) -> tuple[Points, Points]:
    """Lowest and highest of all outlines at each x or a station beside it, so that no step between stations is missed."""
    spans = [upright_span(outline, x) for outline in outlines]
    low, high = np.fmin.reduce([low for low, _high in spans]), np.fmax.reduce([high for _low, high in spans])
    before, after = (np.append(values[1:], values[-1]) for values in (low, high)), (np.append(v[0], v[:-1]) for v in (low, high))
    (low_on, high_on), (low_back, high_back) = before, after
    return np.fmin(low, np.fmin(low_on, low_back)), np.fmax(high, np.fmax(high_on, high_back))


def _side(x: Points, low: Points, high: Points, clearance: float) -> "Polygon":
    """The room from the side: what the knife sweeps, with its clearance, inner corners rounded."""
    lower = np.column_stack((np.concatenate(([x[0] - BEHIND], x)), np.concatenate((low[:1], low))))
    upper = np.column_stack((np.concatenate(([x[0] - BEHIND], x)), np.concatenate((high[:1], high))))
    return margins.rounded(margins.area_in(np.concatenate((lower, upper[::-1]))), clearance, _INNER)


def _ends_of(side: "Polygon", x: Points) -> tuple[Points, Points]:
    """The lowest and the highest y of the room at each x."""
    ring = polyline([(float(a), float(b)) for a, b in polygon.corners(side)], closed=True)
    inside = np.minimum(x, side.bounds[2] - _HAIR)
    return upright_span(ring, inside)


Section = list[tuple[float, float]]  # corners of one half: y, and z out of the middle


def _sections(blank: Shape, template: Template, bar: float, x: Points, rules: SheathRules) -> list[Section]:
    """The corners of what lies at each x, of one half."""
    low, high = upright_span(blank.outline, x)
    half = stations.finished_spine(template, x, bar) / 2
    handle, guard, fittings = template.handle, guard_of(template), template.fittings
    bare, ahead = is_bare(handle), 0.0 if guard > 0 else lean(handle)
    drain = drain_at(blank.curves.point, rules) if blank.curves and rules.drain > 0 else None
    sections: list[Section] = []
    for at, bottom, spine, z in zip(x.tolist(), low.tolist(), high.tolist(), half.tolist(), strict=True):
        corners: Section = [(bottom, z), (spine, z)] if bottom <= spine else []
        if not bare and at <= ahead + _STEP:
            corners += _handle_at(handle, min(at, 0.0))
        if guard > 0 and -guard - _STEP <= at <= _STEP:
            up = fittings.guard_height / 2
            corners += [(-fittings.guard_drop + y, fittings.guard_width / 2) for y in (-up, up)]
        if drain is not None and abs(at - drain[0]) <= rules.drain / 2:
            corners.append((drain[1], 0.0))
        sections.append(corners)
    return sections


def _handle_at(handle: Handle, x: float) -> Section:
    y0 = middle(handle, x)
    return [(y0 + y, z) for z, y in flatten(section(handle, x), _CLOSELY).tolist() if z >= 0]


def _half_girths(sections: Sequence[Section], low: Points, high: Points, gap: float, *, folded: bool) -> Points:
    """Half the way round all that passes each station: from the fold, or the upper seam, to the lower one, mm."""
    lengths, hull = np.empty(len(sections)), Section()
    for n in reversed(range(len(sections))):
        hull = _outermost([*hull, *sections[n]])
        top = float(high[n])
        chain = _outermost([*((min(y, top), z) for y, z in hull), (float(low[n]), gap / 2), (top, 0.0 if folded else gap / 2)])
        lengths[n] = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in pairwise(chain))
    return lengths


def _outermost(points: Section) -> Section:
    """The outer side of the convex hull of points with z of 0 or more, by rising y (Andrew's monotone chain)."""
    chain, top = Section(), max(y for y, _z in points) if points else 0.0
    for y, z in sorted(points, key=lambda point: (point[0], -point[1] if point[0] == top else point[1])):
        while len(chain) > 1:
            (ay, az), (by, bz) = chain[-2:]
            if (by - ay) * (z - bz) - (bz - az) * (y - by) < 0:
                break
            chain.pop()
        chain.append((y, z))
    return chain


def _blended(values: Points) -> Points:
    """The same or more everywhere: each step falls off a little later and along a parabola, evened by two running means.

    A gentle slope hardly changes.
    """
    n, even = ceil((_LATER + sqrt(2 * _FALL * float(np.ptp(values)))) / _STEP) + 1, round(_LATER / _STEP)
    fall = np.maximum(np.abs(np.arange(-n, n + 1)) * _STEP - _LATER, 0.0) ** 2 / (2 * _FALL)
    windows = np.lib.stride_tricks.sliding_window_view
    wide = (windows(np.pad(values, n, mode="edge"), 2 * n + 1) - fall).max(axis=1)
    for _ in range(2):
        wide = windows(np.pad(wide, even, mode="edge"), 2 * even + 1).mean(axis=1)
    return np.asarray(np.maximum(wide, values), np.float64)
