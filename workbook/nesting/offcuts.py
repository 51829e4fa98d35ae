"""Offcuts beside the blanks of a bar: rectangles along its edges that a saw can free with straight cuts."""

from collections.abc import Iterator
from functools import lru_cache
from itertools import pairwise
from math import ceil, floor

import numpy as np
from msgspec import Struct

from workbook.geometry.path import Points
from workbook.nesting.cuts import cut_plan
from workbook.nesting.model import DECIMALS, BarUse, NestingJob, Part, Piece, Stock, outline_of, used_length
from workbook.nesting.plain.columns import columns
from workbook.structs import replace

_MOST = 8  # of one bar
TRUED = 3  # mm that an offcut may begin beyond the cut at its end: columns are whole
_GRAIN = 0.01  # mm, to which sizes are rounded down


class Least(Struct, frozen=True):
    """The least length (along the bar) and width of an offcut that is worth keeping, mm."""

    length: float
    width: float


class SideOffcut(Struct, frozen=True):
    """A rectangle of a bar that is left beside its blanks, along one of its long edges. Its corner nearest the origin, mm."""

    x: float
    y: float
    length: float
    width: float

    @property
    def area(self) -> float:
        """Its area, mm²."""
        return self.length * self.width


def side_offcuts(job: NestingJob, use: BarUse, least: Least, kerf: float) -> tuple[SideOffcut, ...]:
    """The offcuts beside the blanks of a bar, from end A on.

    Each lies along a long edge, and a straight cut along it can be begun: at an end of the bar, at the offcut behind the last
    blank, or at a cut across the bar, in which case it ends before the next one. It keeps the clean-up and the kerf from every
    finished outline, and the kerf from every cut. The largest is taken first, then what is left.
    """
    parts = tuple(job.parts[piece.part] for piece in use.pieces)
    return _found(job.stock[use.stock], parts, use.pieces, job.separation, job.lost_at_end, least, kerf)


@lru_cache(maxsize=4000)
def _found(
    bar: Stock, parts: tuple[Part, ...], pieces: tuple[Piece, ...], separation: float, lost: float, least: Least, kerf: float
) -> tuple[SideOffcut, ...]:
    """The same; cached, since a blank moved by hand leaves all bars but one or two as they were."""
    job = NestingJob(
        parts=parts, stock=(bar,), suits=frozenset(), separation=separation, bar_end=0.0, bar_edge=0.0, lost_at_end=lost
    )
    use = BarUse(0, tuple(replace(piece, part=i) for i, piece in enumerate(pieces)))
    free, found = _Free(job, use, least, kerf), list[SideOffcut]()
    while len(found) < _MOST and (best := max(free.offers(), key=lambda each: each.area, default=None)) is not None:
        found.append(best)
        free.take(best)
    return tuple(sorted(found, key=lambda each: (each.x, each.y)))


class _Free:
    """How much is free along either edge of a bar, in columns of a millimetre, and where a cut along it can begin."""

    def __init__(self, job: NestingJob, use: BarUse, least: Least, kerf: float) -> None:
        bar, used = job.stock[use.stock], used_length(job, use)
        kept = bar.length - used >= max(least.length, _GRAIN)
        end = used - kerf if kept else bar.length
        self._width, self._least, self._kerf = bar.width, least, kerf
        planes = sorted(plane for plane in cut_plan(job, use, None).across if plane < end)
        lefts = [(0.0, end), *((a + kerf / 2, b - kerf / 2) for a, b in pairwise([*planes, end]))]
        rights = [(end, 0.0), *((b - kerf / 2, a + kerf / 2) for a, b in pairwise([0.0, *planes]))]
        self._stretches = (lefts, rights)  # where a cut may begin, and how far the offcut along it may reach
        low, high = _blocked(job, use, ceil(bar.length))
        low, high = low[: floor(end)], high[: floor(end)]
        high = bar.width - high
        if bar.beyond and not kept:  # where steel goes on, an offcut ends before, at a cut of its own
            last = slice(max(0, floor(bar.length - TRUED - 3 - 2 * kerf)), None)
            low[last], high[last] = 0.0, np.minimum(high[last], bar.width - (bar.tongue or bar.width))
        self._free = {False: low, True: high}  # along the lower and the upper edge

    def offers(self) -> Iterator[SideOffcut]:
        """The largest offcut from each place where a cut may begin, along each edge."""
        for upper, free in self._free.items():
            lefts, rights = self._stretches
            for begin, far in ((ceil(x - 1e-9) + off, floor(far)) for x, far in lefts for off in range(TRUED + 1)):
                yield from self._largest(free[begin:far], begin, 1, upper=upper)
            for begin, far in ((floor(x + 1e-9) - off, ceil(far)) for x, far in rights for off in range(TRUED + 1)):
                yield from self._largest(free[far : max(begin, 0)][::-1], begin, -1, upper=upper)

    def _largest(self, free: Points, x: float, way: int, *, upper: bool) -> Iterator[SideOffcut]:
        """The largest rectangle under `free` from its first column on, which is at x and goes right (1) or left (-1)."""
        if not len(free):
            return
        wide = np.minimum.accumulate(free)
        far = np.arange(1, len(free) + 1)
        area = np.where((wide >= self._least.width) & (far >= max(self._least.length, 1.0)), wide * far, 0.0)
        best = int(area.argmax())
        if area[best] <= 0.0:
            return
        length, width = float(far[best]), round(floor(wide[best] / _GRAIN + 1e-6) * _GRAIN, 2)
        y = round(self._width - width, DECIMALS) if upper else 0.0
        yield SideOffcut(x if way > 0 else x - length, y, length, width)

    def take(self, taken: SideOffcut) -> None:
        """Leave what is taken, and a saw cut round it, to nothing else."""
        begin, end = max(0, floor(taken.x - self._kerf)), ceil(taken.x + taken.length + self._kerf)
        upper = taken.y > 0.0
        self._free[upper][begin:end] = 0.0
        other = self._free[not upper]
        other[begin:end] = np.minimum(other[begin:end], max(0.0, self._width - taken.width - self._kerf))


def _blocked(job: NestingJob, use: BarUse, count: int) -> tuple[Points, Points]:
    """In each column, the least height that is blocked, and the greatest, with the clean-up and the kerf round every blank."""
    bar, away = job.stock[use.stock], job.lost_at_end
    low, high, wider = np.full(count, bar.width), np.zeros(count), ceil(away)
    for piece in use.pieces:
        start, below, above = _columns(job.parts[piece.part], piece)
        for shift in range(-wider, wider + 1):
            begin, end = max(0, start + shift), min(count, start + shift + len(below))
            if begin < end:
                part = slice(begin - start - shift, end - start - shift)
                low[begin:end] = np.minimum(low[begin:end], below[part] - away)
                high[begin:end] = np.maximum(high[begin:end], above[part] + away)
    return np.maximum(low, 0.0), np.minimum(high, bar.width)


@lru_cache(maxsize=10_000)
def _columns(part: Part, piece: Piece) -> tuple[int, Points, Points]:
    """The first column of a placed blank, and its lowest and highest y in each."""
    outline = outline_of(part, piece)
    start = floor(float(outline[:, 0].min()))
    return start, *columns(outline, float(start))
