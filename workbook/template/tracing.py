"""Fit a template to points on the outline of a knife in a picture.

On the picture's plane (picture_plane.py) a family's parameters and the place of the knife are varied until the outline passes
through the points (least squares, robust against a slip).
"""

from collections.abc import Callable, Sequence
from functools import lru_cache
from math import atan2, cos, hypot, sin

import numpy as np
import shapely
from msgspec import Struct

from workbook.geometry.least_squares import fitted as fitted_to
from workbook.geometry.path import Placement, Point, Points, flatten
from workbook.structs import replace
from workbook.template.blade import blade_curves
from workbook.template.model import HeelForm, Template
from workbook.template.parameters import PARAMETERS, Kind, Parameter, changed
from workbook.template.picture_plane import TraceError
from workbook.template.resizing import ScaledPart, length_of, scaled
from workbook.template.shape import outline_of
from workbook.texts import _

_FITTED = (
    "blade.length", "blade.height", "blade.spine_straight", "blade.edge_straight", "blade.edge_rise", "point.drop",
    "point.spine_slope", "point.spine_fullness", "point.edge_slope", "point.edge_fullness", "heel.ahead", "heel.radius",
    "handle.length", "handle.front", "handle.waist", "handle.palm", "handle.neck", "handle.butt", "handle.waist_at",
    "handle.palm_at", "handle.neck_at", "handle.drop", "handle.crown", "handle.squareness", "handle.slant",
)  # fmt: skip
_FLAT = 0.05  # mm; how finely the outline is flattened while it is fitted
_SLIP = 1.0  # mm beyond which a point counts as a slip rather than as the outline
_FAR = 3 * _SLIP
_BEHIND = 3.0  # mm a heel may be clicked behind the handle's front
_HOLD = 0.05  # mm; a parameter that strays by a tenth of its range counts as this error
_LEAST_POINTS = 8


class Clicked(Struct, frozen=True):
    """The places of a knife on the plane, mm: four by name, and others on its outline, shape (n, 2)."""

    point: Point
    butt: Point
    heel: Point
    others: Points
    front: Point | None = None  # where the handle begins, along the knife; None where it was not clicked

    @property
    def along(self) -> tuple[float, float, float]:
        """Distances of handle front, heel and point from the butt along the knife, mm; an unknown front counts as the heel."""
        axis = np.subtract(self.point, self.butt)
        axis = axis / max(float(np.hypot(*axis)), 1e-9)
        front, heel, point = (
            float(np.dot(np.subtract(p, self.butt), axis)) for p in (self.front or self.heel, self.heel, self.point)
        )
        return front, heel, point


class Traced(Struct, frozen=True):
    """The fitted template, its place on the plane, and the distance of each point from its outline, mm."""

    template: Template
    placement: Placement
    errors: Points

    @property
    def slips(self) -> int:
        """How many points lie so far off that they count as slips."""
        return int((self.errors >= _FAR).sum())

    @property
    def root_mean_square(self) -> float:
        """Root mean square of the points' distances, mm, without slips; the largest where all are slips."""
        errors = self.errors[self.errors < _FAR]
        return float(np.sqrt(np.mean(errors**2))) if len(errors) else float(self.errors.max())

    @property
    def doubtful(self) -> bool:
        """Whether the fit is doubtful: point, butt or heel, or more than a quarter of all points, lie far off."""
        return bool((self.errors[:3] >= _FAR).any()) or self.slips > len(self.errors) / 4


def best_of(families: Sequence[Template], knife: Clicked, go_on: Callable[[int], bool]) -> list[Traced]:
    """Fit several families to a knife, the best overall first; a slip counts no more than a place `_FAR` off.

    `go_on` is called after each with how many were tried; False ends the search. Raises TraceError.
    """
    results: list[Traced] = []
    for family in families:
        results.append(trace(family, knife))
        if not go_on(len(results)):
            break
    return sorted(results, key=lambda traced: float(np.mean(np.minimum(traced.errors, _FAR) ** 2)))


def trace(family: Template, knife: Clicked) -> Traced:
    """Fit a family to the places of a knife. Raises TraceError when there are too few or they cannot be those of a knife."""
    point, butt, heel, others = knife.point, knife.butt, knife.heel, knife.others
    _make_sure(knife)
    start, where = _start(family, point, butt, heel)
    fitted = [p for path in _FITTED if (p := _parameter(path)).applies(start) and _free(start, path)]
    low, high = _bounds(start, fitted)
    places = np.vstack([np.array([point, butt, heel]), others])
    scale = np.concatenate([high - low, [10.0, 10.0, 0.1]])
    begin = np.concatenate([[p.value(start) for p in fitted], where])
    room = np.array([80.0, 80.0, 0.5])  # mm, mm, radians about where the knife is taken to lie
    lowest, highest = np.concatenate([low, where - room]), np.concatenate([high, where + room])
    mirrored = _mirrored(point, butt, heel)

    @lru_cache(maxsize=64)  # the search tries several places for one template
    def drawn(*values: float) -> tuple[Points, Points]:
        return _drawn(_with(start, fitted, values))

    def residuals(unknown: Points) -> Points:
        placement = _placement(unknown[-3:], mirrored)
        outline, ends = (placement.points(each) for each in drawn(*unknown[:-3].tolist()))
        penalty = _HOLD * (unknown[:-3] - begin[:-3]) / (0.1 * scale[:-3])
        distance = _distances(outline, places)
        return np.concatenate([distance, (ends - places[:3]).ravel(), penalty, _front(knife, unknown[-3:])])

    found = fitted_to(residuals, begin, lowest, highest, scale, outlier=_SLIP)
    template = _within_range(_with(start, fitted, np.round(found[:-3], 3).tolist()))
    placement = _placement(found[-3:], mirrored)
    return Traced(template, placement, np.abs(_distances(placement.points(_drawn(template)[0]), places)))


def _make_sure(knife: Clicked) -> None:
    """Raise TraceError unless there are enough places, in the order of a knife's."""
    if len(knife.others) + 3 < _LEAST_POINTS:
        raise TraceError(
            _(
                "At least {least_points} points of the outline are needed. There are {count}.",
                least_points=_LEAST_POINTS,
                count=len(knife.others) + 3,
            )
        )
    front, heel, point = knife.along
    if not 0.1 * point < front < heel + _BEHIND or heel > 0.95 * point:
        raise TraceError(_("The order from the butt is handle front, heel, tip. Are two of them swapped?"))


def _front(knife: Clicked, where: Points) -> Points:
    """How far the clicked handle front lies ahead of the frame's origin, mm; empty where it was not clicked."""
    if knife.front is None:
        return np.zeros(0)
    x, y, angle = (float(v) for v in where)
    ahead = (knife.front[0] - x) * cos(angle) + (knife.front[1] - y) * sin(angle)
    return np.array([ahead])


def _parameter(path: str) -> Parameter:
    return next(p for p in PARAMETERS if p.path == path)


def _free(template: Template, path: str) -> bool:
    """Whether a parameter shows in the outline: a hidden tang shows no handle."""
    hidden = template.tang.is_enclosed
    return not (hidden and path.startswith("handle.")) and not (path == "heel.radius" and template.heel.form is HeelForm.PLAIN)


def _bounds(template: Template, fitted: Sequence[Parameter]) -> tuple[Points, Points]:
    """Ranges to search in: the parameters' own at the start, and for a length not beyond half or twice its value."""
    pairs = []
    for parameter in fitted:
        low, high = parameter.limits(template)
        value = parameter.value(template)
        if parameter.kind is Kind.LENGTH and value > 5:
            low, high = max(low, 0.5 * value), min(high, 2.0 * value)
        pairs.append((min(low, value - 1e-3), max(high, value + 1e-3)))
    return np.array([p[0] for p in pairs]), np.array([p[1] for p in pairs])


def _start(family: Template, point: Point, butt: Point, heel: Point) -> tuple[Template, Points]:
    """The family as long as the knife, and its place: x, y, angle of its frame."""
    overall = hypot(point[0] - butt[0], point[1] - butt[1])
    try:
        template = scaled(family, ScaledPart.WHOLE, overall)
    except ValueError:
        template = family
    angle = atan2(point[1] - butt[1], point[0] - butt[0])
    share = template.handle.length / length_of(template, ScaledPart.WHOLE)
    x, y = butt[0] + share * (point[0] - butt[0]), butt[1] + share * (point[1] - butt[1])
    return template, np.array([x, y, angle])


def _mirrored(point: Point, butt: Point, heel: Point) -> bool:
    """Whether the picture shows the left face: the heel lies on the other side of the line from butt to point."""
    across = (point[0] - butt[0]) * (heel[1] - butt[1]) - (point[1] - butt[1]) * (heel[0] - butt[0])
    return across > 0


def _placement(where: Points, mirrored: bool) -> Placement:
    return Placement(float(where[0]), float(where[1]), float(where[2]), mirrored)


def _with(template: Template, fitted: Sequence[Parameter], values: Sequence[float]) -> Template:
    for parameter, value in zip(fitted, values, strict=True):
        template = changed(template, parameter.path, value)
    return template


def _distances(outline: Points, places: Points) -> Points:
    """Signed distances of places from the outline, mm: positive outside, negative inside."""
    ring = shapely.linearrings(outline)
    distance = np.asarray(shapely.distance(ring, shapely.points(places)))
    inside = shapely.contains_xy(shapely.polygons(ring), places)
    signed: Points = np.where(inside, -distance, distance)
    return signed


def _drawn(template: Template) -> tuple[Points, Points]:
    """A template's outline, and its point, butt and heel, in its own frame."""
    curves = blade_curves(template)
    outline = flatten(outline_of(template, curves), _FLAT)
    behind = template.tang.length if template.tang.is_enclosed else template.handle.length
    butt = outline[np.argmin(np.abs(outline[:, 0] + behind))]
    return outline, np.array([curves.point, butt, curves.heel])


def _within_range(template: Template) -> Template:
    """Clamp every number to its range, those that others depend on first."""
    for parameter in PARAMETERS:
        value = parameter.value(template)
        if parameter.kind in (Kind.CHOICE, Kind.TEXT) or value is None or not parameter.applies(template):
            continue
        low, high = parameter.limits(template)
        if not low <= value <= high:
            template = changed(template, parameter.path, min(max(value, low), high))
    return replace(template, revision=1)


def outline_on(traced: Traced) -> Points:
    """The fitted outline as points on the plane, mm, shape (n, 2)."""
    return traced.placement.points(_drawn(traced.template)[0])
