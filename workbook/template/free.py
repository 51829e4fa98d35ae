"""Free points: places by which a curve of the outline is pulled off what the family draws.

The curve is cut at the place (de Casteljau's construction) and the place moved together with the control points beside it. So
the curve stays smooth there, and both its ends stay where they are and keep their direction, whatever the parameters do.
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

_GRID = tuple(i / 64 for i in range(65))  # of a curve's parameter, where its length is taken
_END = 0.02  # share of a run, and of a curve's parameter, that lies at least between a free point and an end
_GAP = 0.002  # of a curve's parameter, between two free points
_STEEPEST = 0.25  # how far a place may be pulled against its neighbour, of the length between them: no cliffs beside a joint
BACKWARDS = frozenset({OutlineRun.SPINE, OutlineRun.UNDERSIDE})  # runs that the outline follows towards the handle front


class Pulled(Struct, frozen=True):
    """Where a free point lies: on the family's curve, and now."""

    bare: Point
    now: Point


def pulled(segments: tuple[Segment, ...], free: Sequence[FreePoint], run: OutlineRun) -> tuple[Segment, ...]:
    """A run of the outline as its free points have it. Along a run that goes steadily along x it still does; the butt reaches
    no further than without them.
    """
    own = _own(free, run)
    if not own:
        return segments
    pieces = _pieces(segments, own, run)
    return tuple(piece.curve for piece in pieces)


def places(segments: tuple[Segment, ...], free: Sequence[FreePoint], run: OutlineRun) -> dict[FreePoint, Pulled]:
    """Where each free point of a run lies."""
    own = _own(free, run)
    if not own:
        return {}
    ends = {piece.point: piece.curve.end for piece in _pieces(segments, own, run) if piece.point is not None}
    spots = dict(zip(own, _spots(segments, own, run), strict=True))
    return {p: Pulled(_at(segments[i], t), ends[p]) for p, (i, t) in spots.items() if p in ends}


def standing(segments: tuple[Segment, ...], free: Sequence[FreePoint], run: OutlineRun, at: float) -> Pulled:
    """A share of a run, on the family's curve and on it as it is pulled."""
    ((index, t),) = _spots(segments, [FreePoint(run=run, at=at)], run)
    pieces = _pieces(segments, _own(free, run), run)
    piece = next(own for own in pieces if own.index == index and own.first <= t <= own.last)
    here = (t - piece.first) / max(piece.last - piece.first, 1e-9)
    return Pulled(_at(segments[index], t), _at(piece.curve, here))


def nearest(segments: tuple[Segment, ...], free: Sequence[FreePoint], run: OutlineRun, to: Point) -> tuple[float, float]:
    """The place of a run that is nearest to a point: its share of the run, and how far off it is, mm."""
    own = _own(free, run)
    found = (float("inf"), 0, 0.0)
    for piece in _pieces(segments, own, run):
        off, t = _nearest_on(as_bezier(piece.curve), to)
        found = min(found, (off, piece.index, piece.first + t * (piece.last - piece.first)))
    off_by, index, t = found
    share = (sum(_lengths(segments)[:index]) + _length_to(segments[index], t)) / sum(_lengths(segments))
    kept = min(max(1 - share if run in BACKWARDS else share, _END), 1 - _END)
    return kept, off_by


def _nearest_on(curve: Bezier, to: Point) -> tuple[float, float]:
    """How far off a curve a place is, mm, and the parameter nearest to it, by its chords."""
    points = bezier_at(curve, _GRID)
    found = []
    for (t, after), (a, b) in zip(pairwise(_GRID), pairwise(points), strict=True):
        dx, dy = b[0] - a[0], b[1] - a[1]
        along = ((to[0] - a[0]) * dx + (to[1] - a[1]) * dy) / max(dx * dx + dy * dy, 1e-12)
        share = min(max(along, 0.0), 1.0)
        found.append((hypot(a[0] + share * dx - to[0], a[1] + share * dy - to[1]), t + share * (after - t)))
    return min(found, key=itemgetter(0))


def _own(free: Sequence[FreePoint], run: OutlineRun) -> list[FreePoint]:
    return list(dict.fromkeys(point for point in free if point.run is run))


class _Piece(Struct):
    """A part of a run between two free points or ends: of which of its segments, from and to which parameter."""

    curve: Segment
    index: int
    first: float = 0.0
    last: float = 1.0
    point: FreePoint | None = None  # at its end


def _pieces(segments: tuple[Segment, ...], free: Sequence[FreePoint], run: OutlineRun) -> list[_Piece]:
    """The run cut and pulled; a segment without a free point is as it was."""
    spots = sorted(zip(_spots(segments, free, run), free, strict=True), key=lambda pair: pair[0])
    found: list[_Piece] = []
    for index, segment in enumerate(segments):
        own = [(t, point) for (i, t), point in spots if i == index]
        found += _of_segment(segment, index, own, run) if own else [_Piece(segment, index)]
    return found


def _of_segment(segment: Segment, index: int, own: list[tuple[float, FreePoint]], run: OutlineRun) -> list[_Piece]:
    whole, at = as_bezier(segment), 0.0
    pieces = []
    for t, point in own:
        first, whole = split(whole, (t - at) / (1 - at))
        pieces.append(_Piece(first, index, at, t, point))
        at = t
    pieces.append(_Piece(whole, index, at, 1.0))
    by, lengths = (0.0, 0.0), [segment_length(piece.curve) for piece in pieces]
    for n, (before, after) in enumerate(pairwise(pieces)):
        last = lengths[n + 1] if n + 2 == len(pieces) else inf
        by = _pull(before, after, _near(before.point, by, lengths[n], last), run)
    return pieces


def _near(point: FreePoint | None, before: Point, length: float, left: float) -> Point:
    """How far a place is pulled: as asked for, but not steeper against the place before it, and the end of the segment."""
    assert point is not None
    found = []
    for asked, was in ((point.x, before[0]), (point.y, before[1])):
        kept = min(max(asked, was - _STEEPEST * length), was + _STEEPEST * length)
        found.append(min(max(kept, -_STEEPEST * left), _STEEPEST * left))
    return found[0], found[1]


def _pull(before: _Piece, after: _Piece, by: Point, run: OutlineRun) -> Point:
    """Moves the place between two pieces, as far along as leaves them steady; how far that was."""
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
    """A Bezier in two at a parameter (de Casteljau's construction)."""

    def between(p: Point, q: Point) -> Point:
        return p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])

    a, b, c = between(curve.start, curve.c1), between(curve.c1, curve.c2), between(curve.c2, curve.end)
    d, e = between(a, b), between(b, c)
    middle = between(d, e)
    return Bezier(curve.start, a, d, middle), Bezier(middle, e, c, curve.end)


def _moved(p: Point, by: Point) -> Point:
    return p[0] + by[0], p[1] + by[1]


def _spots(segments: tuple[Segment, ...], free: Sequence[FreePoint], run: OutlineRun) -> list[tuple[int, float]]:
    """On which segment, and at which parameter of it, each free point lies; no two on one segment at the same."""
    lengths = _lengths(segments)
    ends = list(accumulate(lengths))
    on: dict[int, list[tuple[float, FreePoint]]] = defaultdict(list)
    for point in sorted(free, key=lambda p: p.at, reverse=run in BACKWARDS):
        share = 1 - point.at if run in BACKWARDS else point.at
        along = min(max(share, _END), 1 - _END) * ends[-1]
        index = next(i for i, end in enumerate(ends) if along <= end or i == len(ends) - 1)
        on[index].append((_parameter_at(segments[index], along - (ends[index] - lengths[index])), point))
    found = {point: (index, t) for index, own in on.items() for t, point in _apart(own)}
    return [found[point] for point in free]


def _apart(own: list[tuple[float, FreePoint]]) -> list[tuple[float, FreePoint]]:
    """Places of one segment in their order, none at its ends and none where another is."""
    placed, low, high = [], _END, 1 - _END
    for t, point in own:
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
    """Length of a segment from its start to each place of the grid."""
    points = bezier_at(as_bezier(segment), _GRID)
    return (0.0, *accumulate(map(dist, points, points[1:])))


def _length_to(segment: Segment, t: float) -> float:
    return interpolated(t, _GRID, _lengths_along(segment))


def _parameter_at(segment: Segment, along: float) -> float:
    return interpolated(along, _lengths_along(segment), _GRID)


def _at(segment: Segment, t: float) -> Point:
    return bezier_at(as_bezier(segment), [t])[0]
