"""Outlines as lines, circular arcs and cubic Beziers, kept as curves until something needs points.

An arc is held by its bulge as in the DXF reference: the tangent of a quarter of its sweep, positive when it runs
counter-clockwise. A point is a plain pair (x, y) in mm.
"""

from collections.abc import Callable, Iterable, Iterator
from functools import lru_cache
from itertools import chain, pairwise
from math import acos, atan, atan2, ceil, copysign, cos, dist, floor, hypot, pi, sin, sqrt, tan
from typing import TYPE_CHECKING, TypeAlias

from msgspec import Struct

from workbook.later import np

if TYPE_CHECKING:
    from numpy.typing import NDArray

Point = tuple[float, float]
Points: TypeAlias = "NDArray[np.float64]"

QUARTER_TURN = pi / 2
_MOST_STEPS = 100_000  # of one segment: within a hundredth of a mm for any curve of less than a kilometre
FINE = 0.01  # mm; how far a flattened outline may lie from its curve wherever it is cut, printed or measured


class Line(Struct, frozen=True):
    """A straight line from start to end."""

    start: Point
    end: Point


class Arc(Struct, frozen=True):
    """Circular arc; bulge = tan(sweep / 4), positive counter-clockwise, 1 for a half circle."""

    start: Point
    end: Point
    bulge: float


class Bezier(Struct, frozen=True):
    """Cubic Bezier with its two control points."""

    start: Point
    c1: Point
    c2: Point
    end: Point


Segment = Line | Arc | Bezier


class Path(Struct, frozen=True):
    """Segments joined end to start; a closed path comes back to its beginning."""

    segments: tuple[Segment, ...]
    closed: bool = True


def polyline(points: Iterable[Point], *, closed: bool = False) -> Path:
    """Straight lines through the points."""
    all_points = list(points)
    ends = all_points[1:] + all_points[:1] if closed else all_points[1:]
    return Path(tuple([Line(a, b) for a, b in zip(all_points, ends, strict=False)]), closed)


def circle(centre: Point, radius: float) -> Path:
    """A full circle, counter-clockwise, as two half arcs."""
    x, y = centre
    left, right = (x - radius, y), (x + radius, y)
    return Path((Arc(right, left, 1.0), Arc(left, right, 1.0)))


def arc_circle(arc: Arc) -> tuple[Point, float]:
    """Centre and radius of an arc. r = chord (1 + b^2) / (4 |b|) (DXF reference, bulge)."""
    (x0, y0), (x1, y1), b = arc.start, arc.end, arc.bulge
    off = (1 - b * b) / (4 * b)
    centre = ((x0 + x1) / 2 - (y1 - y0) * off, (y0 + y1) / 2 + (x1 - x0) * off)
    return centre, hypot(x1 - x0, y1 - y0) * (1 + b * b) / (4 * abs(b))


def tangents(segment: Segment) -> tuple[float, float]:
    """Directions in radians at the start and at the end of a segment."""
    match segment:
        case Line(a, b):
            direction = atan2(b[1] - a[1], b[0] - a[0])
            return direction, direction
        case Arc(a, b, bulge):
            chord, half = atan2(b[1] - a[1], b[0] - a[0]), 2 * atan(bulge)
            return chord - half, chord + half
        case Bezier(a, c1, c2, b):
            first = next(p for p in (c1, c2, b) if p != a)
            last = next(p for p in (c2, c1, a) if p != b)
            return atan2(first[1] - a[1], first[0] - a[0]), atan2(b[1] - last[1], b[0] - last[0])


def bezier_points(curve: Bezier, t: Points) -> Points:
    """Points of the curve at parameters t, shape (n, 2)."""
    a, c1, c2, b = (np.asarray(p) for p in (curve.start, curve.c1, curve.c2, curve.end))
    t = t[:, None]
    u = 1 - t
    points: Points = u**3 * a + 3 * u * u * t * c1 + 3 * u * t * t * c2 + t**3 * b
    return points


def curvature(curve: Bezier, t: Points) -> Points:
    """Signed curvature at parameters t, 1/mm, positive turning left: (x'y'' - y'x'') / |v|^3."""
    a, b, c, d = curve.start, curve.c1, curve.c2, curve.end
    u = 1 - t
    first, second = [], []
    for k in (0, 1):
        p, q, r = b[k] - a[k], c[k] - b[k], d[k] - c[k]
        first.append(3 * (u * u * p + 2 * u * t * q + t * t * r))
        second.append(6 * (u * (q - p) + t * (r - q)))
    speed = np.maximum(np.hypot(*first), 1e-9)
    bend: Points = (first[0] * second[1] - first[1] * second[0]) / speed**3
    return bend


def _steps_for_bezier(curve: Bezier, tolerance: float) -> int:
    """Number of chords needed: error <= max|B''| / (8 n^2) (linear interpolation error bound)."""
    (ax, ay), (px, py), (qx, qy), (bx, by) = curve.start, curve.c1, curve.c2, curve.end
    bend = max(hypot(ax - 2 * px + qx, ay - 2 * py + qy), hypot(px - 2 * qx + bx, py - 2 * qy + by))
    return min(max(1, ceil(sqrt(6 * bend / (8 * tolerance)))), _MOST_STEPS)


def segment_points(segment: Segment, tolerance: float) -> list[Point]:
    """Points along a segment from its start up to, not including, its end; no chord strays further than the tolerance, mm."""
    match segment:
        case Line(a, _):
            return [a]
        case Bezier():
            n = _steps_for_bezier(segment, tolerance)
            return bezier_at(segment, [i / n for i in range(n)])
        case Arc(a, _, bulge):
            (cx, cy), r = arc_circle(segment)
            sweep = 4 * atan(bulge)
            n = min(max(1, ceil(abs(sweep) / (2 * acos(max(0.0, 1 - tolerance / r))))), _MOST_STEPS)
            start, step = atan2(a[1] - cy, a[0] - cx), sweep / n
            return [a, *((cx + r * cos(start + i * step), cy + r * sin(start + i * step)) for i in range(1, n))]


def bezier_at(curve: Bezier, places: Iterable[float]) -> list[Point]:
    """Points of the curve at the given parameters."""
    x0, y0 = curve.start
    (x1, x2, x3), (y1, y2, y3) = _powers(curve)
    return [(x0 + t * (x1 + t * (x2 + t * x3)), y0 + t * (y1 + t * (y2 + t * y3))) for t in places]


def _powers(curve: Bezier) -> Iterator[tuple[float, float, float]]:
    """Coefficients of t, t^2 and t^3 of a Bezier, along x and then along y."""
    for a, p, q, b in zip(curve.start, curve.c1, curve.c2, curve.end, strict=True):
        yield 3 * (p - a), 3 * (a - 2 * p + q), b - a + 3 * (p - q)


@lru_cache(maxsize=512)
def corners(path: Path, tolerance: float = FINE) -> tuple[Point, ...]:
    """Points of the path; the first is not repeated at the end of a closed path."""
    last = () if path.closed else (path.segments[-1].end,)
    return (*chain.from_iterable(segment_points(segment, tolerance) for segment in path.segments), *last)


@lru_cache(maxsize=512)
def flatten(path: Path, tolerance: float = FINE) -> Points:
    """The `corners` of a path as a read-only array, shape (n, 2)."""
    points = np.array(corners(path, tolerance))
    points.flags.writeable = False
    return points


def segment_length(segment: Segment) -> float:
    """Length of a line or an arc, mm; of a Bezier, that of its chords, within a thousandth of a mm."""
    match segment:
        case Line((x0, y0), (x1, y1)):
            return hypot(x1 - x0, y1 - y0)
        case Arc():
            return abs(4 * atan(segment.bulge)) * arc_circle(segment)[1]
        case Bezier():
            points = [*segment_points(segment, 0.001), segment.end]
            return sum(map(dist, points, points[1:]))


def path_length(path: Path) -> float:
    """Total length of a path's segments, mm."""
    return sum(map(segment_length, path.segments))


@lru_cache(maxsize=512)
def bounds(path: Path) -> tuple[float, float, float, float]:
    """Smallest x and y, largest x and y, mm."""
    x, y = zip(*chain.from_iterable(_farthest(segment) for segment in path.segments), strict=True)
    return min(x), min(y), max(x), max(y)


def _farthest(segment: Segment) -> Iterator[Point]:
    """The ends of a segment and where it turns back along x or y."""
    yield segment.start
    yield segment.end
    match segment:
        case Arc(a, _, bulge):
            (cx, cy), r = arc_circle(segment)
            start = atan2(a[1] - cy, a[0] - cx)
            low, high = sorted((start, start + 4 * atan(bulge)))
            for quarters in range(ceil(low / QUARTER_TURN), floor(high / QUARTER_TURN) + 1):
                yield cx + r * (1, 0, -1, 0)[quarters % 4], cy + r * (0, 1, 0, -1)[quarters % 4]
        case Bezier():
            turns = [t for first, second, third in _powers(segment) for t in _roots(first, 2 * second, 3 * third)]
            yield from bezier_at(segment, [t for t in turns if 0 < t < 1])


def _roots(c: float, b: float, a: float) -> Iterator[float]:
    """Real roots of c + b t + a t^2 (the quadratic formula in the form that avoids cancellation)."""
    discriminant = b * b - 4 * a * c
    if discriminant < 0:
        return
    half = -(b + copysign(sqrt(discriminant), b)) / 2
    if a:
        yield half / a
    if half:
        yield c / half


def span_at(path: Path, x: float, tolerance: float = FINE) -> Point | None:
    """The lowest and the highest y at which a vertical line at x meets a closed path; None where it does not."""
    points = corners(path, tolerance)
    edges = [(a, b) for a, b in pairwise((*points, points[0])) if (a[0] - x) * (b[0] - x) <= 0]
    heights = [a[1] if a[0] == b[0] else a[1] + (x - a[0]) / (b[0] - a[0]) * (b[1] - a[1]) for a, b in edges]
    return (min(heights), max(heights)) if heights else None


def upright_span(path: Path, x: Points, tolerance: float = FINE) -> tuple[Points, Points]:
    """Lowest and highest y at which vertical lines at x, shape (n,), meet a closed path; NaN where one does not."""
    start = flatten(path, tolerance)
    end = np.roll(start, -1, axis=0)
    at = np.asarray(x)[:, None]
    crosses = (start[:, 0] - at) * (end[:, 0] - at) <= 0
    run = np.where(end[:, 0] == start[:, 0], 1.0, end[:, 0] - start[:, 0])
    y = start[:, 1] + (at - start[:, 0]) / run * (end[:, 1] - start[:, 1])
    low, high = np.where(crosses, y, np.inf).min(axis=1), np.where(crosses, y, -np.inf).max(axis=1)
    return np.where(np.isfinite(low), low, np.nan), np.where(np.isfinite(high), high, np.nan)


def arc_beziers(arc: Arc) -> list[Bezier]:
    """An arc as Beziers of at most an eighth of a turn: control length 4/3 tan(sweep/4) r, error under 5e-6 r."""
    (cx, cy), r = arc_circle(arc)
    sweep = 4 * atan(arc.bulge)
    n = ceil(abs(sweep) / (pi / 4))
    start, step = atan2(arc.start[1] - cy, arc.start[0] - cx), sweep / n
    k = 4 / 3 * tan(step / 4) * r
    out = []
    for i in range(n):
        a, b = start + i * step, start + (i + 1) * step
        p, q = (cx + r * cos(a), cy + r * sin(a)), (cx + r * cos(b), cy + r * sin(b))
        out.append(Bezier(p, (p[0] - k * sin(a), p[1] + k * cos(a)), (q[0] + k * sin(b), q[1] - k * cos(b)), q))
    return out


def as_bezier(segment: Segment) -> Bezier:
    """A segment as one Bezier with the same ends and directions; an arc is approximated, within 3e-4 r up to a quarter turn.

    Control length of an arc: 4/3 tan(sweep/4) r = chord (1 + bulge^2) / 3.
    """
    match segment:
        case Line(a, b):
            third = ((b[0] - a[0]) / 3, (b[1] - a[1]) / 3)
            return Bezier(a, (a[0] + third[0], a[1] + third[1]), (b[0] - third[0], b[1] - third[1]), b)
        case Arc(a, b, bulge):
            k = hypot(b[0] - a[0], b[1] - a[1]) * (1 + bulge * bulge) / 3
            first, last = tangents(segment)
            return Bezier(a, (a[0] + k * cos(first), a[1] + k * sin(first)), (b[0] - k * cos(last), b[1] - k * sin(last)), b)
        case Bezier():
            return segment


def reverse(path: Path) -> Path:
    """The same path run the other way."""
    return Path(tuple(_reversed(s) for s in reversed(path.segments)), path.closed)


def _reversed(segment: Segment) -> Segment:
    match segment:
        case Line(a, b):
            return Line(b, a)
        case Arc(a, b, bulge):
            return Arc(b, a, -bulge)
        case Bezier(a, c1, c2, b):
            return Bezier(b, c2, c1, a)


class Placement(Struct, frozen=True):
    """Where a frame lands: p -> (x, y) + scale R(angle, counter-clockwise) M p, M = diag(1, -1) when mirrored."""

    x: float = 0.0
    y: float = 0.0
    angle: float = 0.0
    mirrored: bool = False
    scale: float = 1.0

    def numbers(self) -> tuple[float, float, float, float]:
        """The 2 x 2 part by rows, exact at half and quarter turns."""
        c, s = (float(round(v)) if abs(v - round(v)) < 1e-15 else v for v in (cos(self.angle), sin(self.angle)))
        flip, k = (-1.0 if self.mirrored else 1.0), self.scale
        return k * c, k * (-s * flip), k * s, k * (c * flip)

    def point(self, p: Point) -> Point:
        """One point placed."""
        a, b, c, d = self.numbers()
        return self.x + a * p[0] + b * p[1], self.y + c * p[0] + d * p[1]

    def points(self, points: Points) -> Points:
        """Many points placed, shape (n, 2)."""
        a, b, c, d = self.numbers()
        placed: Points = points @ ((a, c), (b, d)) + (self.x, self.y)
        return placed

    def then(self, after: "Placement") -> "Placement":
        """This placement followed by another, as one."""
        x, y = after.point((self.x, self.y))
        angle = after.angle + (-self.angle if after.mirrored else self.angle)
        return Placement(x, y, angle, self.mirrored != after.mirrored, self.scale * after.scale)

    def path(self, path: Path) -> Path:
        """A path placed, curves kept."""
        a, b, c, d = self.numbers()
        x0, y0 = self.x, self.y
        if (a, b, c, d) == (1.0, 0.0, 0.0, 1.0):
            return Path(
                tuple(_placed(segment, lambda p: (x0 + p[0], y0 + p[1]), False) for segment in path.segments), path.closed
            )

        def at(p: Point) -> Point:
            return x0 + a * p[0] + b * p[1], y0 + c * p[0] + d * p[1]

        return Path(tuple(_placed(segment, at, self.mirrored) for segment in path.segments), path.closed)


def _placed(segment: Segment, at: Callable[[Point], Point], mirrored: bool) -> Segment:
    match segment:
        case Line(a, b):
            return Line(at(a), at(b))
        case Arc(a, b, bulge):
            return Arc(at(a), at(b), -bulge if mirrored else bulge)
        case Bezier(a, c1, c2, b):
            return Bezier(at(a), at(c1), at(c2), at(b))


def quarter(start: Point, corner: Point, end: Point, fullness: float, at_end: float | None = None) -> Bezier:
    """A curve from start to end, tangent to the lines from both to their corner.

    Fullness is how far the control points lie towards the corner: 0.5523 gives a quarter of an ellipse, near 1 a corner
    hardly rounded. No inflection for any fullness in (0, 1). `at_end`: a different fullness at the end.
    """
    k, m = fullness, fullness if at_end is None else at_end
    c1 = (start[0] + k * (corner[0] - start[0]), start[1] + k * (corner[1] - start[1]))
    c2 = (end[0] + m * (corner[0] - end[0]), end[1] + m * (corner[1] - end[1]))
    return Bezier(start, c1, c2, end)


def fillet_bulge(turn: float) -> float:
    """Bulge of an arc that turns by this angle (radians, positive to the left)."""
    return tan(turn / 4)
