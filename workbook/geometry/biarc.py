"""Convert Beziers, and lines of points, to true arcs: each becomes a few biarcs within a tolerance of it.

A biarc is two arcs, tangent to each other and to the curve at both ends (Bolton, Computer-Aided Design 7, 1975).
"""

from functools import lru_cache
from math import atan2, cos, hypot, pi, sin, sqrt, tan

from workbook.geometry.path import (
    FINE,
    Arc,
    Bezier,
    Line,
    Path,
    Point,
    Points,
    Segment,
    arc_circle,
    bezier_points,
    flatten,
    tangents,
)
from workbook.geometry.polygon import apart
from workbook.later import np

_SMALLEST = 1e-9
_CLOSELY = 5e-4  # mm
_TRIES = 7  # halvings in the search for how far a biarc reaches
_ALIKE = 1e-7  # difference of two bulges
_THROUGH = 0.02  # mm from arcs to the points they are fitted to


@lru_cache(maxsize=128)
def with_arcs(path: Path, tolerance: float = FINE) -> Path:
    """The same path in lines and arcs only, within the tolerance (mm) of it, and tangent where it is tangent."""
    out: list[Segment] = []
    for segment in path.segments:
        out += _arcs(segment, 0.88 * tolerance) if isinstance(segment, Bezier) else [segment]
    return Path(tuple(out), path.closed)


def arcs_through(points: Points, tolerance: float = _THROUGH) -> Path:
    """An open path of lines and arcs within the tolerance of a line of points (n, 2), tangent where one goes into the next.

    The points lie close together, evenly; a direction is taken from the points on either side.
    """
    ahead = np.diff(points, axis=0)
    towards = np.vstack((ahead[:1], ahead[1:] + ahead[:-1], ahead[-1:]))
    out: list[Segment] = []
    at, last = 0, len(points) - 1
    while at < last:
        near, step = at + 1, 1
        best = _between(points, towards, at, near)
        while near < last:  # as far as the tolerance allows, in steps that double and then halve
            far = min(near + step, last)
            longer = _between(points, towards, at, far)
            if longer and _far_from(points[at : far + 1], longer) <= tolerance:
                near, best, step = far, longer, 2 * step
            elif step == 1:
                break
            else:
                step //= 2
        out += best or [Line(_point(points[at]), _point(points[near]))]
        at = near
    return Path(tuple(out), closed=False)


def _between(points: Points, towards: Points, start: int, end: int) -> list[Segment] | None:
    """The biarc from one point to another in the directions given there."""
    (x0, y0), (x1, y1) = (_point(points[n]) for n in (start, end))
    long = hypot(x1 - x0, y1 - y0) / 3
    (a, b), (c, d) = (towards[n] / max(float(np.hypot(*towards[n])), _SMALLEST) * long for n in (start, end))
    curve = Bezier((x0, y0), (x0 + float(a), y0 + float(b)), (x1 - float(c), y1 - float(d)), (x1, y1))
    pair = _biarc(curve)
    return _as_one(curve, pair) if pair else None


def _far_from(points: Points, arcs: list[Segment]) -> float:
    """The largest distance of points from arcs, each measured to the nearer."""
    return float(np.min([_distances(points, arc) for arc in arcs], axis=0).max())


def _point(place: Points) -> Point:
    return float(place[0]), float(place[1])


def strays(path: Path, fitted: Path) -> float:
    """The largest distance between two paths, mm: measured on both, not taken from the fit."""
    return apart(*((flatten(p, _CLOSELY), p.closed) for p in (path, fitted)))


def _arcs(curve: Bezier, tolerance: float) -> list[Segment]:
    """Fit biarcs to a Bezier from its start on, each as long as the tolerance allows."""
    out: list[Segment] = []
    remaining: Bezier | None = curve
    while remaining is not None:
        fitted = _fitted(remaining, tolerance)
        if fitted:
            return [*out, *fitted]
        share, fits, too_long = 0.0, None, 1.0
        for _ in range(_TRIES):
            middle = (share + too_long) / 2
            longer = _fitted(_parted(remaining, middle)[0], tolerance)
            share, fits, too_long = (middle, longer, too_long) if longer else (share, fits, middle)
        share = _evened(remaining, share, tolerance)
        first, remaining = _parted(remaining, share or too_long)
        out += (_fitted(first, tolerance) if share else None) or fits or [Line(first.start, first.end)]
    return out


def _evened(curve: Bezier, share: float, tolerance: float) -> float:
    """A smaller first share where two parts are still enough, so that no sliver is left at the end."""
    for t in (0.5, 0.25 + share / 2):
        if t < share and all(_fitted(part, tolerance) for part in _parted(curve, t)):
            return t
    return share


def _fitted(curve: Bezier, tolerance: float) -> list[Segment] | None:
    """One biarc, or one arc, within the tolerance; None where there is none."""
    pair = _biarc(curve)
    return _as_one(curve, pair) if pair and _stray(curve, pair) <= tolerance else None


def _as_one(curve: Bezier, pair: list[Segment]) -> list[Segment]:
    """Merge two arcs that lie on the same circle, as those of a rounded corner do."""
    first, second = pair
    if isinstance(first, Arc) and isinstance(second, Arc) and first.bulge * second.bulge > 0:
        arc = _tangent_arc(curve.start, curve.end, tangents(curve)[0])
        arriving = _arc_into(curve.start, curve.end, tangents(curve)[1])
        if isinstance(arc, Arc) and isinstance(arriving, Arc) and abs(arc.bulge - arriving.bulge) < _ALIKE:
            return [arc]
    return pair


def _parted(curve: Bezier, t: float) -> tuple[Bezier, Bezier]:
    """Split a Bezier at a parameter (de Casteljau)."""

    def between(p: Point, q: Point) -> Point:
        return p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])

    a, b, c, d = curve.start, curve.c1, curve.c2, curve.end
    ab, bc, cd = between(a, b), between(b, c), between(c, d)
    abc, bcd = between(ab, bc), between(bc, cd)
    at = between(abc, bcd)
    return Bezier(a, ab, abc, at), Bezier(at, bcd, cd, d)


def _turn(direction: float, towards: float) -> float:
    """Angle from one direction to another, in (-pi, pi]."""
    return (towards - direction + pi) % (2 * pi) - pi


def _biarc(curve: Bezier) -> list[Segment] | None:
    """Two arcs with equal tangent lengths d: |v|^2 - 2 d v.(t0 + t1) + 2 d^2 (t0.t1 - 1) = 0."""
    (x0, y0), (x1, y1) = curve.start, curve.end
    begin, finish = tangents(curve)
    t0, t1 = (cos(begin), sin(begin)), (cos(finish), sin(finish))
    vx, vy = x1 - x0, y1 - y0
    along = vx * (t0[0] + t1[0]) + vy * (t0[1] + t1[1])
    square, bend = vx * vx + vy * vy, 2 * (1 - (t0[0] * t1[0] + t0[1] * t1[1]))
    if square < _SMALLEST or along <= 0:
        return None
    d = square / (2 * along) if bend < _SMALLEST else (sqrt(along * along + bend * square) - along) / bend
    joint = ((x0 + x1 + d * (t0[0] - t1[0])) / 2, (y0 + y1 + d * (t0[1] - t1[1])) / 2)
    return [_tangent_arc(curve.start, joint, begin), _arc_into(joint, curve.end, finish)]


def _tangent_arc(start: Point, end: Point, direction: float) -> Segment:
    """The arc from start to end that leaves in the given direction."""
    bulge = tan(_turn(direction, atan2(end[1] - start[1], end[0] - start[0])) / 2)
    return Arc(start, end, bulge) if abs(bulge) > _SMALLEST else Line(start, end)


def _arc_into(start: Point, end: Point, direction: float) -> Segment:
    """The arc from start to end that arrives in the given direction."""
    bulge = tan(_turn(atan2(end[1] - start[1], end[0] - start[0]), direction) / 2)
    return Arc(start, end, bulge) if abs(bulge) > _SMALLEST else Line(start, end)


def _stray(curve: Bezier, arcs: list[Segment]) -> float:
    """Largest distance of the curve's points from the arcs fitted to it, each point measured to its nearer arc."""
    return _far_from(bezier_points(curve, np.linspace(0.03, 0.97, 21)), arcs)


def _distances(points: Points, arc: Segment) -> Points:
    """Distance from each point to the full circle or endless line an arc lies on."""
    if isinstance(arc, Arc):
        (cx, cy), radius = arc_circle(arc)
        return np.abs(np.hypot(points[:, 0] - cx, points[:, 1] - cy) - radius)
    (x0, y0), (x1, y1) = arc.start, arc.end
    return np.abs((x1 - x0) * (points[:, 1] - y0) - (y1 - y0) * (points[:, 0] - x0)) / max(hypot(x1 - x0, y1 - y0), _SMALLEST)
