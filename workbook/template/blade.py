"""Spine and edge of a parametric blade: straight runs and one smooth curve each to the point.

Each curve is a Bezier whose control points lie on its end tangents before they meet, so it cannot wave. Where no such curve
can have the slope that a parameter asks for at the point, the nearest possible slope is used.
"""

from functools import lru_cache
from math import atan2, cos, degrees, radians, sin, sqrt, tan
from operator import itemgetter

from msgspec import Struct

from workbook.geometry.interpolation import interpolated
from workbook.geometry.path import Arc, Bezier, Line, Path, Point, Points, Segment, corners, quarter, tangents
from workbook.later import np
from workbook.template.free import pulled
from workbook.template.model import LAST_BELLY, EdgeForm, OutlineRun, SpineForm, Template

_RISE_OVER = 0.25  # mm to either side over which the edge's slope is measured
_STEEPEST = 88.0  # degrees
_LEAST_BEND = 2.0  # degrees by which a curve's end must turn beyond its chord to stay without inflection


class BladeCurves(Struct, frozen=True):
    """The edge, from heel to point, and the spine, from point to handle front, with the heel and the point."""

    heel: Point
    point: Point
    edge: tuple[Segment, ...]
    spine: tuple[Segment, ...]


def blade_curves(template: Template) -> BladeCurves:
    """Edge and spine. The heel lies exactly `height` below the spine above it."""
    blade, heel = template.blade, template.heel
    bare = bare_spine(template)
    spine = pulled(bare, blade.free, OutlineRun.SPINE)
    heel_point = (heel.ahead, height_at(spine, heel.ahead) - blade.height)
    edge = pulled(bare_edge(template, heel_point), blade.free, OutlineRun.EDGE)
    return BladeCurves(heel_point, bare[0].start, edge, spine)


def bare_spine(template: Template) -> tuple[Segment, ...]:
    """The spine from point to handle front as the parameters give it, without free points."""
    top = template.handle.front / 2
    return _spine(template, top, (template.blade.length, top - template.point.drop * template.blade.height))


def bare_edge(template: Template, heel: Point) -> tuple[Segment, ...]:
    """The edge from heel to point as the parameters give it, without free points."""
    return _edge(template, heel, bare_spine(template)[0].start)


def height_at(segments: tuple[Segment, ...], x: float) -> float:
    """y of a curve at x, mm, for a curve that runs steadily along x."""
    return interpolated(x, *_profile(segments))


def upright_at(curves: BladeCurves, x: float) -> float:
    """Cosine of the edge's slope at x, measured over half a mm: a height square to the edge is this share of the upright one."""
    low, high = (min(max(x + side * _RISE_OVER, curves.heel[0]), curves.point[0]) for side in (-1, 1))
    rise = (height_at(curves.edge, high) - height_at(curves.edge, low)) / max(high - low, 1e-6)
    return 1 / sqrt(1 + rise * rise)


def heights_along(segments: tuple[Segment, ...], x: Points) -> Points:
    """`height_at` for an array of x, same shape."""
    heights: Points = np.interp(x, *_arrays(segments))
    return heights


def upright_along(curves: BladeCurves, x: Points) -> Points:
    """`upright_at` for an array of x, same shape."""
    low, high = (np.clip(x + side * _RISE_OVER, curves.heel[0], curves.point[0]) for side in (-1, 1))
    rise = (heights_along(curves.edge, high) - heights_along(curves.edge, low)) / np.maximum(high - low, 1e-6)
    cosine: Points = 1 / np.sqrt(1 + rise**2)
    return cosine


@lru_cache(maxsize=128)
def _profile(segments: tuple[Segment, ...]) -> tuple[tuple[float, ...], tuple[float, ...]]:
    """x and y of points along a curve, in rising x; cached, since the same curve is queried again and again."""
    points = sorted(corners(Path(segments, closed=False), 0.0005), key=itemgetter(0))
    x, y = zip(*points, strict=True)
    return x, y


@lru_cache(maxsize=16)
def _arrays(segments: tuple[Segment, ...]) -> tuple[Points, Points]:
    """`_profile` as arrays."""
    x, y = map(np.array, _profile(segments))
    return x, y


def spine_slope(template: Template) -> float:
    """Fall of the spine at the point as drawn, degrees: the parameter, limited to what one curve can do."""
    run = template.blade.length * (1 - template.blade.spine_straight)
    chord = degrees(atan2(template.point.drop * template.blade.height, run))
    return _within_curve(template.point.spine_slope, chord)


def edge_slope(template: Template, curves: BladeCurves) -> float:
    """Rise of the edge at the point as drawn, degrees."""
    if template.point.edge is EdgeForm.CORNER:
        return degrees(tangents(curves.edge[-1])[1])
    return _belly_slope(template, curves.heel, _belly_start(template, curves.heel), curves.point)


def _within_curve(slope: float, chord: float) -> float:
    """The nearest slope that turns on beyond the chord, in the chord's sense, degrees."""
    if chord >= 0:
        return min(max(slope, chord + _LEAST_BEND), 89.0)
    return max(min(slope, chord - _LEAST_BEND), -60.0)


def _spine(template: Template, top: float, point: Point) -> tuple[Segment, ...]:
    """The spine from the point back to the handle front (0, top)."""
    start = (template.blade.length * template.blade.spine_straight, top)
    straight = Line(start, (0.0, top))
    if start == point:
        return (straight,)
    match template.point.spine:
        case SpineForm.STRAIGHT:
            return (Line(point, start), straight)
        case SpineForm.CLIP:
            bulge = _clip_bulge(template, start, point)
            return (Arc(point, start, bulge) if bulge < -1e-6 else Line(point, start), straight)
        case SpineForm.CURVED:
            slope = radians(spine_slope(template))
            drop = top - point[1]
            if abs(drop) < 1e-6:
                return (Line(point, start), straight)
            corner = (point[0] - drop / tan(slope), top)
            fullness = template.point.spine_fullness
            return (quarter(point, corner, start, fullness + template.point.spine_lean, fullness), straight)


def _clip_bulge(template: Template, start: Point, point: Point) -> float:
    """Bulge of a hollow arc that arrives at the point with the parameter's slope, which is less than its chord's."""
    chord = atan2(start[1] - point[1], point[0] - start[0])
    turn = max(chord - radians(template.point.spine_slope), 0.0)
    turn = min(turn, radians(_STEEPEST) - chord)  # it leaves the spine forward and down, never back over itself
    return -tan(turn / 2)


def _belly_start(template: Template, heel: Point) -> Point:
    """Where the straight run ends; the heel itself when there is none."""
    blade = template.blade
    bellied = template.point.edge is EdgeForm.BELLY  # it needs room to rise, whatever the parameter says
    x = blade.length * (min(blade.edge_straight, LAST_BELLY) if bellied else blade.edge_straight)
    return (x, heel[1] + blade.edge_rise * blade.height) if x > heel[0] + 1e-6 else heel


def _belly_slope(template: Template, heel: Point, start: Point, point: Point) -> float:
    """Slope of the belly at the point, degrees: it turns on beyond its chord, seen from the straight run's direction."""
    run = degrees(atan2(start[1] - heel[1], start[0] - heel[0]))
    chord = degrees(atan2(point[1] - start[1], point[0] - start[0]))
    if chord >= run:
        return min(max(template.point.edge_slope, chord + _LEAST_BEND), 89.5)
    return chord - _LEAST_BEND


def _edge(template: Template, heel: Point, point: Point) -> tuple[Segment, ...]:
    """The edge from the heel to the point."""
    start = _belly_start(template, heel)
    straight: tuple[Segment, ...] = (Line(heel, start),) if start != heel else ()
    if template.point.edge is EdgeForm.CORNER:
        return (*straight, Line(start, point)) if start[0] < point[0] - 1e-6 else (Line(heel, point),)
    slope = radians(_belly_slope(template, heel, start, point))
    direction = atan2(start[1] - heel[1], start[0] - heel[0])
    corner = _meeting(start, direction, point, slope)
    fullness = template.point.edge_fullness
    return (*straight, quarter(start, corner, point, fullness, fullness + template.point.edge_lean))


def fullness_through(curve: Bezier, to: Point) -> tuple[float, float] | None:
    """Fullness at a quarter's start and end that puts its middle at a place; None where its end tangents leave no choice.

    The middle of the Bezier is (start + 3 c1 + 3 c2 + end) / 8, linear in both.
    """
    a = atan2(curve.c1[1] - curve.start[1], curve.c1[0] - curve.start[0])
    b = atan2(curve.c2[1] - curve.end[1], curve.c2[0] - curve.end[0])
    if abs(sin(b - a)) < 1e-6:
        return None
    corner = _meeting(curve.start, a, curve.end, b)
    towards = np.array([[corner[i] - curve.start[i], corner[i] - curve.end[i]] for i in (0, 1)])
    if abs(np.linalg.det(towards)) < 1e-6:
        return None
    target = [8 * to[i] - 4 * curve.start[i] - 4 * curve.end[i] for i in (0, 1)]
    first, last = np.linalg.solve(3 * towards, target)
    return float(first), float(last)


def middle_of(curve: Bezier) -> Point:
    """The point half-way along a Bezier's parameter."""
    x, y = ((curve.start[i] + 3 * curve.c1[i] + 3 * curve.c2[i] + curve.end[i]) / 8 for i in (0, 1))
    return x, y


def _meeting(p: Point, a: float, q: Point, b: float) -> Point:
    """Where the line through p in direction a meets the line through q in direction b."""
    dx, dy = q[0] - p[0], q[1] - p[1]
    along = (dx * sin(b) - dy * cos(b)) / sin(b - a)
    return (p[0] + along * cos(a), p[1] + along * sin(a))
