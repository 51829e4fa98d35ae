"""Free points: places where a curve of the outline is pulled off the family's curve.

The curve is split at the place (de Casteljau's construction), which moves together with the control points beside it. So the
curve stays smooth there, and both its ends keep their place and direction, whatever the parameters are.
"""

from collections import defaultdict
from collections.abc import Sequence
from functools import lru_cache
from itertools import accumulate, pairwise
from math import dist, hypot, inf
from operator import itemgetter

from msgspec import Struct

from workbook.geometry.interpolation import interpolated
from workbook.geometry.path import Bezier, Point, Segment, as_bezier, bezier_at, segment_length
from workbook.template.model import FreePoint, OutlineRun

_GRID = tuple(i / 64 for i in range(65))  # of a curve's parameter, where its length is measured
_END = 0.02  # least share of a run, and of a curve's parameter, between a free point and an end
_GAP = 0.002  # least difference of a curve's parameter between two free points
_STEEPEST = 0.25  # greatest pull against a neighbour, share of the length between them: no cliffs beside a joint
BACKWARDS = frozenset({OutlineRun.SPINE, OutlineRun.UNDERSIDE})  # runs that the outline follows towards the handle front


class Pulled(Struct, frozen=True):
    """The place of a free point on the family's curve, and its place now."""

    bare: Point
    now: Point


def pulled(segments: tuple[Segment, ...], free: Sequence[FreePoint], run: OutlineRun) -> tuple[Segment, ...]:
    """A run of the outline, pulled by its free points.

    A run that goes steadily along x still does; the butt reaches no further than without them.
    """
    points = _own(free, run)
    if not points:
        return segments
    pieces = _pieces(segments, points, run)
    return tuple(piece.curve for piece in pieces)


def places(segments: tuple[Segment, ...], free: Sequence[FreePoint], run: OutlineRun) -> dict[FreePoint, Pulled]:
    """Where each free point of a run lies."""
    points = _own(free, run)
    if not points:
        return {}
    ends = {piece.point: piece.curve.end for piece in _pieces(segments, points, run) if piece.point is not None}
    spots = dict(zip(points, _spots(segments, points, run), strict=True))
    return {p: Pulled(_at(segments[i], t), ends[p]) for p, (i, t) in spots.items() if p in ends}


def standing(segments: tuple[Segment, ...], free: Sequence[FreePoint], run: OutlineRun, at: float) -> Pulled:
    """The place at a share of a run: on the family's curve, and on the pulled curve."""
    ((index, t),) = _spots(segments, [FreePoint(run=run, at=at)], run)
    pieces = _pieces(segments, _own(free, run), run)
    piece = next(candidate for candidate in pieces if candidate.index == index and candidate.first <= t <= candidate.last)
    local = (t - piece.first) / max(piece.last - piece.first, 1e-9)
    return Pulled(_at(segments[index], t), _at(piece.curve, local))


def nearest(segments: tuple[Segment, ...], free: Sequence[FreePoint], run: OutlineRun, to: Point) -> tuple[float, float]:
    """The place on a run nearest to a point: its share of the run, and its distance, mm."""
    points = _own(free, run)
    best = (float("inf"), 0, 0.0)
    for piece in _pieces(segments, points, run):
        off, t = _nearest_on(as_bezier(piece.curve), to)
        best = min(best, (off, piece.index, piece.first + t * (piece.last - piece.first)))
    off_by, index, t = best
    share = (sum(_lengths(segments)[:index]) + _length_to(segments[index], t)) / sum(_lengths(segments))
    clamped = min(max(1 - share if run in BACKWARDS else share, _END), 1 - _END)
    return clamped, off_by


def _nearest_on(curve: Bezier, to: Point) -> tuple[float, float]:
    """Distance from a place to a curve, mm, and the nearest parameter, measured on its chords."""
    points = bezier_at(curve, _GRID)
    candidates = []
    for (t, after), (a, b) in zip(pairwise(_GRID), pairwise(points), strict=True):
        dx, dy = b[0] - a[0], b[1] - a[1]
        along = ((to[0] - a[0]) * dx + (to[1] - a[1]) * dy) / max(dx * dx + dy * dy, 1e-12)
        share = min(max(along, 0.0), 1.0)
        candidates.append((hypot(a[0] + share * dx - to[0], a[1] + share * dy - to[1]), t + share * (after - t)))
    return min(candidates, key=itemgetter(0))


def _own(free: Sequence[FreePoint], run: OutlineRun) -> list[FreePoint]:
    return list(dict.fromkeys(point for point in free if point.run is run))


class _Piece(Struct):
    """A part of a run between two free points or ends: its curve, the index of its segment, and the parameters there."""

    curve: Segment
    index: int
    first: float = 0.0
    last: float = 1.0
    point: FreePoint | None = None  # at its end


def _pieces(segments: tuple[Segment, ...], free: Sequence[FreePoint], run: OutlineRun) -> list[_Piece]:
    """Split and pull a run; a segment without a free point stays as it is."""
    spots = sorted(zip(_spots(segments, free, run), free, strict=True), key=lambda pair: pair[0])
    pieces: list[_Piece] = []
    for index, segment in enumerate(segments):
        points = [(t, point) for (i, t), point in spots if i == index]
        pieces += _of_segment(segment, index, points, run) if points else [_Piece(segment, index)]
    return pieces


def _of_segment(segment: Segment, index: int, points: list[tuple[float, FreePoint]], run: OutlineRun) -> list[_Piece]:
    remaining, at = as_bezier(segment), 0.0
    pieces = []
    for t, point in points:
        first, remaining = split(remaining, (t - at) / (1 - at))
        pieces.append(_Piece(first, index, at, t, point))
        at = t
    pieces.append(_Piece(remaining, index, at, 1.0))
    by, lengths = (0.0, 0.0), [segment_length(piece.curve) for piece in pieces]
    for n, (before, after) in enumerate(pairwise(pieces)):
        last = lengths[n + 1] if n + 2 == len(pieces) else inf
        by = _pull(before, after, _near(before.point, by, lengths[n], last), run)
    return pieces


def _near(point: FreePoint | None, before: Point, length: float, remaining: float) -> Point:
    """How far a place is pulled: as requested, but not too steeply against the place before it and the segment's end."""
    assert point is not None
    offset = []
    for wish, previous in ((point.x, before[0]), (point.y, before[1])):
        clamped = min(max(wish, previous - _STEEPEST * length), previous + _STEEPEST * length)
        offset.append(min(max(clamped, -_STEEPEST * remaining), _STEEPEST * remaining))
    return offset[0], offset[1]


def _pull(before: _Piece, after: _Piece, by: Point, run: OutlineRun) -> Point:
    """Move the place between two pieces, only so far along that they stay steady; return the distance moved."""
    a, b = before.curve, after.curve
    assert isinstance(a, Bezier) and isinstance(b, Bezier)
    if run is OutlineRun.BUTT:
        reach = min(a.start[0], b.end[0]) - min(a.c2[0], a.end[0], b.c1[0])
        by = (max(by[0], min(reach, 0.0)), by[1])
    else:
        low, high = sorted((a.c1[0] - a.c2[0], b.c2[0] - b.c1[0]))
        by = (min(max(by[0], min(low, 0.0)), max(high, 0.0)), by[1])
    before.curve = Bezier(a.start, a.c1, _moved(a.c2, by), _moved(a.end, by))
    after.curve = Bezier(_moved(b.start, by), _moved(b.c1, by), b.c2, b.end)
    return by


def split(curve: Bezier, t: float) -> tuple[Bezier, Bezier]:
    """Split a Bezier at a parameter (de Casteljau's construction)."""

    def between(p: Point, q: Point) -> Point:
        return p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])

    a, b, c = between(curve.start, curve.c1), between(curve.c1, curve.c2), between(curve.c2, curve.end)
    d, e = between(a, b), between(b, c)
    middle = between(d, e)
    return Bezier(curve.start, a, d, middle), Bezier(middle, e, c, curve.end)


def _moved(p: Point, by: Point) -> Point:
    return p[0] + by[0], p[1] + by[1]


def _spots(segments: tuple[Segment, ...], free: Sequence[FreePoint], run: OutlineRun) -> list[tuple[int, float]]:
    """The segment of each free point and the parameter there; no two on one segment have the same."""
    lengths = _lengths(segments)
    ends = list(accumulate(lengths))
    by_segment: dict[int, list[tuple[float, FreePoint]]] = defaultdict(list)
    for point in sorted(free, key=lambda p: p.at, reverse=run in BACKWARDS):
        share = 1 - point.at if run in BACKWARDS else point.at
        along = min(max(share, _END), 1 - _END) * ends[-1]
        index = next(i for i, end in enumerate(ends) if along <= end or i == len(ends) - 1)
        by_segment[index].append((_parameter_at(segments[index], along - (ends[index] - lengths[index])), point))
    spots = {point: (index, t) for index, points in by_segment.items() for t, point in _apart(points)}
    return [spots[point] for point in free]


def _apart(points: list[tuple[float, FreePoint]]) -> list[tuple[float, FreePoint]]:
    """Places on one segment in order, kept apart from its ends and from each other."""
    placed, low, high = [], _END, 1 - _END
    for t, point in points:
        placed.append((max(t, low), point))
        low = placed[-1][0] + _GAP
    for k in reversed(range(len(placed))):
        t, point = placed[k]
        placed[k] = (min(t, high), point)
        high = placed[k][0] - _GAP
    return placed


def _lengths(segments: tuple[Segment, ...]) -> list[float]:
    return [_lengths_along(segment)[-1] for segment in segments]


@lru_cache(maxsize=64)
def _lengths_along(segment: Segment) -> tuple[float, ...]:
    """Length of a segment from its start to each place of the grid, mm."""
    points = bezier_at(as_bezier(segment), _GRID)
    return (0.0, *accumulate(map(dist, points, points[1:])))


def _length_to(segment: Segment, t: float) -> float:
    return interpolated(t, _GRID, _lengths_along(segment))


def _parameter_at(segment: Segment, along: float) -> float:
    return interpolated(along, _lengths_along(segment), _GRID)


def _at(segment: Segment, t: float) -> Point:
    return bezier_at(as_bezier(segment), [t])[0]
