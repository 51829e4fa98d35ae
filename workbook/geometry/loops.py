"""Join loose curves into closed loops: close small gaps, drop doubled pieces, and count both."""

from collections import deque
from collections.abc import Iterable
from math import floor, hypot, inf

from msgspec import Struct, field

from workbook.geometry.path import Path, Point, Segment, flatten, reverse
from workbook.later import np
from workbook.structs import replace

GAP = 0.1  # mm; ends closer than this count as one


class LayerCurve(Struct, frozen=True):
    """A curve as it was drawn, with the layer it was on."""

    path: Path
    layer: str = ""


class Loops(Struct):
    """Closed loops and open chains joined from pieces, and how much had to be repaired."""

    closed: list[LayerCurve] = field(default_factory=list)
    open: list[LayerCurve] = field(default_factory=list)
    gaps_closed: int = 0
    widest_gap: float = 0.0
    doubled: int = 0


def join(pieces: Iterable[LayerCurve], gap: float = GAP) -> Loops:
    """Join pieces into closed loops and open chains; ends up to `gap` mm apart are joined. Deterministic."""
    loops = Loops()
    loose = _Loose(gap)
    signatures: set[object] = set()
    for piece in pieces:
        key = _signature(piece.path)
        if key in signatures:
            loops.doubled += 1
        elif piece.path.closed:
            loops.closed.append(piece)
        else:
            loose.add(piece)
        signatures.add(key)
    while (first := loose.take_first()) is not None:
        _grow_chain(first, loose, loops, gap)
    return loops


class _Loose:
    """Pieces not yet joined, indexed by their ends in a grid of cells one gap wide."""

    def __init__(self, gap: float) -> None:
        self._gap = gap
        self._pieces: dict[int, LayerCurve] = {}
        self._cells: dict[tuple[int, int], set[tuple[int, bool]]] = {}
        self._count = 0

    def add(self, piece: LayerCurve) -> None:
        """Add a piece."""
        self._pieces[self._count] = piece
        for last, end in _ends(piece.path):
            self._cells.setdefault(self._cell(end), set()).add((self._count, last))
        self._count += 1

    def take_first(self) -> LayerCurve | None:
        """Take out the piece added first; None when all are gone."""
        return self._take(next(iter(self._pieces))) if self._pieces else None

    def take_nearest(self, at: Point, within: float) -> tuple[LayerCurve, bool] | None:
        """Take out the piece with the end nearest to a place, and say whether that end is its last.

        None where no end is nearer than `within`, mm.
        """
        x, y = self._cell(at)
        around = (item for dx in (-1, 0, 1) for dy in (-1, 0, 1) for item in self._cells.get((x + dx, y + dy), ()))
        near = [(hypot(end[0] - at[0], end[1] - at[1]), n, last) for n, last in around for end in [self._end(n, last)]]
        best = min((candidate for candidate in near if candidate[0] < within), default=None)
        return (self._take(best[1]), best[2]) if best else None

    def _end(self, number: int, last: bool) -> Point:
        return dict(_ends(self._pieces[number].path))[last]

    def _take(self, number: int) -> LayerCurve:
        piece = self._pieces.pop(number)
        for last, end in _ends(piece.path):
            self._cells[self._cell(end)].discard((number, last))
        return piece

    def _cell(self, at: Point) -> tuple[int, int]:
        return floor(at[0] / self._gap), floor(at[1] / self._gap)


def _ends(path: Path) -> tuple[tuple[bool, Point], tuple[bool, Point]]:
    """First and last point of a path, each with whether it is the last."""
    return (False, path.segments[0].start), (True, path.segments[-1].end)


def _signature(path: Path) -> object:
    """A key that is equal for two coincident paths, whichever way they run."""
    points = flatten(path, 0.05)
    middle = points.mean(axis=0)
    ends = sorted([_round(path.segments[0].start), _round(path.segments[-1].end)]) if not path.closed else []
    length = np.hypot(*np.diff(points, axis=0).T).sum()
    return (tuple(ends), round(float(middle[0]), 2), round(float(middle[1]), 2), round(float(length), 2), path.closed)


def _round(p: Point) -> tuple[float, float]:
    return round(p[0], 3), round(p[1], 3)


def _grow_chain(first: LayerCurve, loose: _Loose, loops: Loops, gap: float) -> None:
    """Add neighbours to a piece at both ends until it closes or nothing is near."""
    chain = deque(first.path.segments)
    for at_end in (True, False):
        while True:
            closing_gap = _apart(chain) if len(chain) > 1 else inf  # of short pieces another end may be nearer than its own
            near = loose.take_nearest(chain[-1].end if at_end else chain[0].start, min(closing_gap, gap * (1 + 1e-9)))
            if near is None:
                break
            piece = reverse(near[0].path) if near[1] == at_end else near[0].path
            _note_gap(loops, chain, piece, at_end)
            if at_end:
                chain.extend(piece.segments)
            else:
                chain.extendleft(reversed(piece.segments))
    if len(chain) > 1 and _apart(chain) <= gap:
        _count_gap(loops, _apart(chain))
        loops.closed.append(LayerCurve(Path(_snapped(list(chain)), closed=True), first.layer))
    else:
        loops.open.append(LayerCurve(Path(tuple(chain), closed=False), first.layer))


def _apart(chain: deque[Segment]) -> float:
    return hypot(chain[0].start[0] - chain[-1].end[0], chain[0].start[1] - chain[-1].end[1])


def _note_gap(loops: Loops, chain: deque[Segment], piece: Path, at_end: bool) -> None:
    a, b = (chain[-1].end, piece.segments[0].start) if at_end else (piece.segments[-1].end, chain[0].start)
    _count_gap(loops, hypot(a[0] - b[0], a[1] - b[1]))


def _count_gap(loops: Loops, width: float) -> None:
    if width > 1e-6:
        loops.gaps_closed += 1
        loops.widest_gap = max(loops.widest_gap, width)


def _snapped(chain: list[Segment]) -> tuple[Segment, ...]:
    """Each segment's end moved onto the next one's start, so that the loop closes exactly."""
    return tuple(replace(s, end=n.start) for s, n in zip(chain, chain[1:] + chain[:1], strict=True))
