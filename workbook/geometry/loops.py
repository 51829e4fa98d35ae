"""Loose curves joined into closed loops: small gaps closed, doubled pieces dropped, all of it counted."""

import itertools
from collections.abc import Iterable
from dataclasses import dataclass, field, replace
from math import hypot

from workbook.geometry.path import Path, Point, Segment, flatten, reverse

GAP = 0.1  # mm; ends that lie closer are taken as one


@dataclass(frozen=True, slots=True)
class Piece:
    """A curve as it was drawn, with the layer it was on."""

    path: Path
    layer: str = ""


@dataclass(slots=True)
class Loops:
    """What the pieces make: closed loops, open chains, and what had to be mended."""

    closed: list[Piece] = field(default_factory=list)
    open: list[Piece] = field(default_factory=list)
    gaps_closed: int = 0
    widest_gap: float = 0.0
    doubled: int = 0


def join(pieces: Iterable[Piece], gap: float = GAP) -> Loops:
    """Closed loops and open chains of the pieces; ends up to `gap` apart are joined. Deterministic."""
    loops = Loops()
    loose: list[Piece] = []
    seen: set[object] = set()
    for piece in pieces:
        key = _signature(piece.path)
        if key in seen:
            loops.doubled += 1
            continue
        seen.add(key)
        (loops.closed if piece.path.closed else loose).append(piece)
    while loose:
        _grow_chain(loose, loops, gap)
    return loops


def _signature(path: Path) -> object:
    """Equal for two paths that lie on each other, whichever way they run."""
    points = flatten(path, 0.05)
    middle = points.mean(axis=0)
    ends = sorted([_round(path.segments[0].start), _round(path.segments[-1].end)]) if not path.closed else []
    length = sum(hypot(b[0] - a[0], b[1] - a[1]) for a, b in itertools.pairwise(points))
    return (tuple(ends), round(float(middle[0]), 2), round(float(middle[1]), 2), round(float(length), 2), path.closed)


def _round(p: Point) -> tuple[float, float]:
    return round(p[0], 3), round(p[1], 3)


def _grow_chain(loose: list[Piece], loops: Loops, gap: float) -> None:
    """Takes one loose piece and adds neighbours at both ends until it closes or nothing is near."""
    first = loose.pop(0)
    chain = list(first.path.segments)
    for at_end in (True, False):
        while _apart(chain) > gap or len(chain) == 1:
            near = _nearest(loose, chain[-1].end if at_end else chain[0].start, gap)
            if near is None:
                break
            index, turned = near
            piece = loose.pop(index).path
            piece = reverse(piece) if turned == at_end else piece
            _note_gap(loops, chain, piece, at_end)
            chain = [*chain, *piece.segments] if at_end else [*piece.segments, *chain]
    if len(chain) > 1 and _apart(chain) <= gap:
        _count_gap(loops, _apart(chain))
        loops.closed.append(Piece(Path(_snapped(chain), closed=True), first.layer))
    else:
        loops.open.append(Piece(Path(tuple(chain), closed=False), first.layer))


def _apart(chain: list[Segment]) -> float:
    return hypot(chain[0].start[0] - chain[-1].end[0], chain[0].start[1] - chain[-1].end[1])


def _nearest(loose: list[Piece], at: Point, gap: float) -> tuple[int, bool] | None:
    """The loose piece with an end nearest to a place, and whether that end is its last."""
    best: tuple[float, int, bool] | None = None
    for i, piece in enumerate(loose):
        for last, end in ((False, piece.path.segments[0].start), (True, piece.path.segments[-1].end)):
            d = hypot(end[0] - at[0], end[1] - at[1])
            if d <= gap and (best is None or d < best[0]):
                best = (d, i, last)
    return (best[1], best[2]) if best else None


def _note_gap(loops: Loops, chain: list[Segment], piece: Path, at_end: bool) -> None:
    a, b = (chain[-1].end, piece.segments[0].start) if at_end else (piece.segments[-1].end, chain[0].start)
    _count_gap(loops, hypot(a[0] - b[0], a[1] - b[1]))


def _count_gap(loops: Loops, width: float) -> None:
    if width > 1e-6:
        loops.gaps_closed += 1
        loops.widest_gap = max(loops.widest_gap, width)


def _snapped(chain: list[Segment]) -> tuple[Segment, ...]:
    """Each segment's end moved onto the next one's start, so that the loop is closed exactly."""
    return tuple(replace(s, end=n.start) for s, n in zip(chain, chain[1:] + chain[:1], strict=True))
