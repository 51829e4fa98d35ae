"""Tabs: places of a closed outline left uncut, so that a part stays in its plate. Lengths mm."""

from collections.abc import Iterable, Sequence
from itertools import pairwise
from math import atan, atan2, cos, hypot, pi, sin, tan

from workbook.geometry.path import Arc, Line, Path, Point, Points, Segment, arc_circle, flatten, segment_length, tangents
from workbook.later import np, shapely
from workbook.texts import _

_CLEAR = 5.0  # mm a tab keeps from corners and unwanted segments
_TRIES = 90
_FINE = 0.05
_CORNER = 0.1  # radians
_LEAST = 1e-6
_ROUNDED = 0.01  # mm


def tabbed(path: Path, count: int, width: float, unwanted: Iterable[Segment] = ()) -> tuple[Path, ...]:
    """The open pieces of a closed path of lines and arcs between `count` evenly spaced tabs.

    The tabs are shifted together to lie clear of corners and unwanted segments. Raises ValueError where they would take more
    than a quarter of the path.
    """
    lengths = [segment_length(s) for s in path.segments]
    perimeter = sum(lengths)
    if count * width > perimeter / 4:
        raise ValueError(_("so many tabs of that width leave too little to cut"))
    keep_off = _keep_off(path, tuple(unwanted))
    starts = np.concatenate(([0.0], np.cumsum(lengths)))
    best, clear = 0.0, -1.0
    for n in range(_TRIES):
        phase = perimeter / count * n / _TRIES
        places = [_at(path, starts, (phase + perimeter * k / count) % perimeter) for k in range(count)]
        distance = float(shapely.distance(shapely.points(places), keep_off).min()) if keep_off is not None else _CLEAR
        if distance > clear + _LEAST:
            best, clear = phase, distance
        if clear >= 3 * _CLEAR:
            break
    ends = [best + perimeter * k / count + side * width / 2 for k in range(count) for side in (-1, 1)]
    cuts = [*ends[1:], ends[0] + perimeter]
    return tuple(Path(_piece(path, starts, a, b), closed=False) for a, b in list(pairwise(cuts))[::2])


def _keep_off(path: Path, unwanted: tuple[Segment, ...]) -> "shapely.Geometry | None":
    following = path.segments[1:] + path.segments[:1]
    turns = (abs((tangents(n)[0] - tangents(s)[1] + pi) % (2 * pi) - pi) for s, n in zip(path.segments, following, strict=True))
    corners = [s.end for s, turn in zip(path.segments, turns, strict=True) if turn > _CORNER]
    parts: list[shapely.Geometry] = [shapely.MultiPoint(corners)] if corners else []
    if unwanted:
        parts.append(shapely.LineString(flatten(Path(unwanted, closed=False), _FINE)))
    return shapely.union_all(parts) if parts else None


def _at(path: Path, starts: Points, along: float) -> Point:
    i = min(int(np.searchsorted(starts, along, side="right")) - 1, len(path.segments) - 1)
    return _parted(path.segments[i], (along - starts[i]) / max(starts[i + 1] - starts[i], _LEAST))


def _parted(segment: Segment, share: float) -> Point:
    """The place at a share of a segment's length."""
    if isinstance(segment, Arc):
        (cx, cy), radius = arc_circle(segment)
        angle = atan2(segment.start[1] - cy, segment.start[0] - cx) + 4 * atan(segment.bulge) * share
        return cx + radius * cos(angle), cy + radius * sin(angle)
    (x0, y0), (x1, y1) = segment.start, segment.end
    return x0 + share * (x1 - x0), y0 + share * (y1 - y0)


def _piece(path: Path, starts: Points, begin: float, end: float) -> tuple[Segment, ...]:
    """The part of a closed path between two lengths along it; the second may lie on the next lap."""
    perimeter, count = float(starts[-1]), len(path.segments)
    segments: list[Segment] = []
    for turn in range(int(begin // perimeter), int(end // perimeter) + 1):
        for i in range(count):
            low, high = (turn * perimeter + float(v) for v in (starts[i], starts[i + 1]))
            a, b = max(begin, low), min(end, high)
            if b - a > _LEAST:
                segments.append(_between(path.segments[i], (a - low) / (high - low), (b - low) / (high - low)))
    return tuple(segments)


def _between(segment: Segment, a: float, b: float) -> Segment:
    start = segment.start if a <= 0 else _parted(segment, a)
    end = segment.end if b >= 1 else _parted(segment, b)
    return Arc(start, end, tan(atan(segment.bulge) * (b - a))) if isinstance(segment, Arc) else Line(start, end)


def bridged(pieces: Sequence[Path], width: float) -> Path | None:
    """The closed outline that open pieces form across tabs of this width; None where they form none."""
    if not pieces or any(piece.closed for piece in pieces):
        return None
    chain, remaining = list(pieces[0].segments), list(pieces[1:])
    while remaining:
        at = chain[-1].end
        ends = [(hypot(p.segments[0].start[0] - at[0], p.segments[0].start[1] - at[1]), p) for p in remaining]
        gap, piece = min(ends, key=lambda pair: pair[0])
        if not _as_wide(gap, width):
            return None
        chain += [Line(at, piece.segments[0].start), *piece.segments]
        remaining.remove(piece)
    first, last = chain[0].start, chain[-1].end
    if not _as_wide(hypot(first[0] - last[0], first[1] - last[1]), width):
        return None
    return Path((*chain, Line(last, first)), closed=True)


def _as_wide(gap: float, width: float) -> bool:
    """Whether a gap is as wide as a tab; its chord is a little shorter round a curve."""
    return 0.75 * width - _ROUNDED <= gap <= width + _ROUNDED
