"""The straight cuts of a bar, in the order in which they are sawn.

First comes the offcut behind the last blank, then offcuts along the bar that begin at one of its ends, then the cuts across,
which end at those, then offcuts of a part between two cuts across.
"""

from collections.abc import Iterator, Sequence
from functools import lru_cache
from itertools import pairwise

from msgspec import Struct

from workbook.geometry.path import Point
from workbook.nesting.offcuts import TRUED, SideOffcut


class SawnBar(Struct, frozen=True):
    """A bar that is sawn: its sizes and the kerf, mm; how far blanks use it, and whether the rest is kept; what parts it."""

    length: float
    width: float
    kerf: float
    used: float
    keeps_offcut: bool
    across: tuple[float, ...]  # x of the cuts across it, from the offcut on
    beside: tuple[SideOffcut, ...]


class StraightCut(Struct, frozen=True):
    """A straight cut, or two or three that meet in corners, in the bar's frame, mm. `frees`: the offcut beside blanks."""

    points: tuple[Point, ...]
    frees: SideOffcut | None = None

    @property
    def at(self) -> Point:
        """The place on the cut for its number."""
        if self.frees is None:
            return max(self.points, key=lambda point: point[1])
        (x0, y0), (x1, y1) = max(pairwise(self.points), key=lambda ends: abs(ends[1][0] - ends[0][0]))
        return (x0 + x1) / 2, (y0 + y1) / 2


@lru_cache(maxsize=256)
def straight_cuts(bar: SawnBar) -> tuple[StraightCut, ...]:
    """The straight cuts of a bar in order."""
    first = int(bar.keeps_offcut and bool(bar.across))
    before, across = bar.across[:first], bar.across[first:]
    whole = [each for each in bar.beside if _at_end(bar, each) and not (_ends_at(bar, each, across) and not _over(each, across))]
    parts = [each for each in bar.beside if each not in whole]
    cuts = [StraightCut(((x, 0.0), (x, bar.width))) for x in before]
    cuts += _round(bar, whole, before)
    cuts += [cut for x in across for cut in _across(bar, x, whole)]
    return (*cuts, *_round(bar, parts, bar.across))


def _last(bar: SawnBar) -> float:
    """Where the bar ends for offcuts beside blanks."""
    return bar.used - bar.kerf if bar.keeps_offcut else bar.length


def _at_end(bar: SawnBar, offcut: SideOffcut) -> bool:
    """Whether an offcut begins at an end of the bar."""
    return offcut.x <= TRUED or offcut.x + offcut.length >= _last(bar) - TRUED - 1.0


def _ends_at(bar: SawnBar, offcut: SideOffcut, across: Sequence[float]) -> bool:
    """Whether an offcut ends at a cut across the bar."""
    ends = ((offcut.x - bar.kerf / 2, -1), (offcut.x + offcut.length + bar.kerf / 2, 1))
    return any(_cut_at(bar, x, way, across, edges=False) is not None for x, way in ends)


def _over(offcut: SideOffcut, across: Sequence[float]) -> bool:
    """Whether a cut across the bar would cut an offcut in two."""
    return any(offcut.x < x < offcut.x + offcut.length for x in across)


def _across(bar: SawnBar, x: float, freed: Sequence[SideOffcut]) -> Iterator[StraightCut]:
    """The cut across at x, as far as offcuts freed before leave steel."""
    low, high = 0.0, bar.width
    for each in freed:
        if each.x < x < each.x + each.length:
            low = max(low, each.y + each.width + bar.kerf / 2) if each.y <= 0.0 else low
            high = min(high, each.y - bar.kerf / 2) if each.y > 0.0 else high
    if low < high:
        yield StraightCut(((x, low), (x, high)))


def _round(bar: SawnBar, offcuts: Sequence[SideOffcut], before: Sequence[float]) -> Iterator[StraightCut]:
    """The cuts round offcuts beside blanks: along each, and across it at an end where none was made `before` (x)."""
    for each in offcuts:
        points = tuple(_path(bar, each, before))
        if len(points) > 1:
            yield StraightCut(points, each)


def _path(bar: SawnBar, offcut: SideOffcut, before: Sequence[float]) -> Iterator[Point]:
    half, width = bar.kerf / 2, bar.width
    upper = offcut.y > 0.0
    edge, along = (width, offcut.y - half) if upper else (0.0, offcut.y + offcut.width + half)
    ends = [(offcut.x - half, -1), (offcut.x + offcut.length + half, 1)]
    made = [_cut_at(bar, x, way, before) for x, way in ends]
    if not 0.0 < along < width:  # all across the bar
        yield from (point for (x, _), there in zip(ends, made, strict=True) if there is None for point in ((x, 0.0), (x, width)))
        return
    for n, ((x, _), there) in enumerate(zip(ends, made, strict=True)):
        corner = ((x, edge), (x, along)) if there is None else ((there, along),)
        yield from corner if n == 0 else corner[::-1]


def _cut_at(bar: SawnBar, x: float, way: int, cuts: Sequence[float], *, edges: bool = True) -> float | None:
    """Where a cut (or an end of the bar) is that already parts an offcut's end from the rest; None where there is none."""
    near = TRUED + 1.0 + bar.kerf
    places = [*([0.0 if way < 0 else bar.length] if edges else []), *cuts]
    found = [place for place in places if -bar.kerf / 2 - 0.01 <= (place - x) * way <= near]
    return min(found, key=lambda place: abs(place - x), default=None)
