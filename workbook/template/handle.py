"""The handle's outline from its heights at front, waist, palm, neck and butt."""

from functools import lru_cache

from workbook.geometry.path import Bezier, Line, Path, Point, Segment, quarter
from workbook.geometry.spline import spline
from workbook.template.blade import height_at
from workbook.template.free import pulled
from workbook.template.model import Handle, OutlineRun

_CAP = 0.5  # length of the butt's rounding, share of its height, for a round butt


@lru_cache(maxsize=64)
def handle_back(handle: Handle) -> tuple[Segment, ...]:
    """The back from the front to where the butt's rounding begins, pulled by its free points."""
    return pulled(bare_back(handle), handle.free, OutlineRun.BACK)


@lru_cache(maxsize=64)
def handle_belly(handle: Handle) -> tuple[Segment, ...]:
    """The edge side, from where the butt's rounding begins to the front, pulled by its free points."""
    return pulled(bare_belly(handle), handle.free, OutlineRun.UNDERSIDE)


@lru_cache(maxsize=64)
def butt(handle: Handle) -> tuple[Segment, ...]:
    """The rounded end, from the back round to the belly, pulled by its free points."""
    return pulled(bare_butt(handle), handle.free, OutlineRun.BUTT)


def bare_back(handle: Handle) -> tuple[Segment, ...]:
    """The back as the parameters give it.

    From (0, front/2) it starts level with the spine, then falls to where the butt's rounding begins.
    """
    top, end = handle.front / 2, _cap_start(handle)
    slope = 1.6 * handle.drop / handle.length
    low = (-end, top - handle.drop)
    rise = 2.2 * handle.crown  # lifts the second control point: the back leaves the spine level, without a kink
    return (Bezier((0.0, top), (-0.36 * end, top), (-0.68 * end, low[1] + 0.32 * end * slope + rise), low),)


def bare_belly(handle: Handle) -> tuple[Segment, ...]:
    """The edge side as the parameters give it: a smooth curve through the heights, from where the butt's rounding begins.

    It arrives at the butt parallel to the back, so that the rounding takes over without a hook.
    """
    back, end = handle_back(handle), _cap_start(handle)
    stations = [(-end, handle.butt), (-handle.neck_at * handle.length, handle.neck)]
    stations += [(-handle.palm_at * handle.length, handle.palm), (-handle.waist_at * handle.length, handle.waist)]
    points: list[Point] = [
        (x, height_at(back, x) - h) for x, h in stations[:1] + [station for station in stations[1:] if station[0] > -end]
    ]
    points.append((0.0, -handle.front / 2))
    return spline(points, _slope(back[-1]), 0.0)


def _cap_start(handle: Handle) -> float:
    """Distance behind the front at which the butt's rounding begins."""
    return handle.length - handle.butt * _CAP * (1.55 - handle.squareness)


def bare_butt(handle: Handle) -> tuple[Segment, ...]:
    """The rounded end as the parameters give it, from the back round to the belly; it reaches exactly the handle's length."""
    back, belly = handle_back(handle), handle_belly(handle)
    top, bottom = back[-1].end, belly[0].start
    upper, lower = _towards(back[-1], -handle.length), _towards(belly[0], -handle.length, backwards=True)
    reach = (lower[1] + upper[1]) / 2 + handle.slant * (upper[1] - lower[1]) / 2 * 0.8
    extreme = (-handle.length, reach)
    k = min(max(handle.squareness, 0.45), 0.95)
    return (quarter(top, upper, extreme, k), quarter(extreme, lower, bottom, k))


def _slope(curve: Segment) -> float:
    """dy/dx at the end of a curve."""
    assert isinstance(curve, Bezier)
    return (curve.end[1] - curve.c2[1]) / (curve.end[0] - curve.c2[0])


def _towards(curve: Segment, x: float, *, backwards: bool = False) -> Point:
    """Where the curve's tangent at its butt end reaches x."""
    assert isinstance(curve, Bezier)
    near, far = (curve.c1, curve.start) if backwards else (curve.c2, curve.end)
    slope = (far[1] - near[1]) / (far[0] - near[0])
    return (x, far[1] + slope * (x - far[0]))


def handle_outline(handle: Handle) -> Path:
    """The handle alone, closed at its front: what scales are cut to, or the grip on a hidden tang."""
    front = Line((0.0, -handle.front / 2), (0.0, handle.front / 2))
    return Path((front, *handle_back(handle), *butt(handle), *handle_belly(handle)))


def middle(handle: Handle, x: float) -> float:
    """y of the handle's curved middle line at x, mm."""
    return (height_at(handle_back(handle), x) + height_at(handle_belly(handle), x)) / 2


def room(handle: Handle, x: float) -> float:
    """Height of the handle at x, mm."""
    return height_at(handle_back(handle), x) - height_at(handle_belly(handle), x)
