"""Closed outlines as a few bodies, each of which a vertical line meets in a single interval.

A blank that lies along the bar is nearly always one body as it is. An outline that turns back on itself (a hook, a finger
ring) is cut at the verticals where its sections split or join; pockets too small to nest in are filled first.
"""

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
from msgspec import Struct

from workbook.geometry.path import Points
from workbook.nesting.engine.kernel import Floats
from workbook.nesting.sections import SAME, Interval, area, sections

MOST_BODIES = 6
SMALL_POCKET = 0.002  # of the outline's area: filling all of them costs less steel than a search can gain from them


class Body(Struct, frozen=True, eq=False):
    """One interval over a stretch, mm: slab borders x (m + 1), and lower left, lower right, upper left, upper right (m, 4)."""

    x: Floats
    y: Floats

    def moved(self, dx: float, dy: float) -> "Body":
        """The body moved by (dx, dy)."""
        return Body(self.x + dx, self.y + dy)


def bodies(*rings: Points) -> list[Body]:
    """Split an outline (n, 2) less its openings into bodies that together cover it and little more."""
    borders, intervals = sections(*rings)
    pocket = SMALL_POCKET
    while True:
        filled = _filled(borders, intervals, pocket * area(borders, intervals))
        chains = _chains(filled)
        if len(chains) <= MOST_BODIES:
            return [_body(borders, filled, chain) for chain in chains]
        pocket *= 2


def _filled(borders: Sequence[float], intervals: Sequence[list[Interval]], small: float) -> list[list[Interval]]:
    """Sections with every pocket smaller than `small` (mm²) closed."""
    gaps = [[(a[2], a[3], b[0], b[1]) for a, b in pairwise(section)] for section in intervals]
    widths = [right - left for left, right in pairwise(borders)]
    closed: set[tuple[int, int]] = set()
    for pocket in _joined(gaps):
        inside = sum(widths[i] * (gaps[i][k][2] + gaps[i][k][3] - gaps[i][k][0] - gaps[i][k][1]) / 2 for i, k in pocket)
        closed.update(pocket if inside < small else ())
    return [_without(section, {k for j, k in closed if j == i}) for i, section in enumerate(intervals)]


def _without(section: list[Interval], closed: set[int]) -> list[Interval]:
    """A section with the gaps of these indices closed."""
    result: list[Interval] = []
    for k, interval in enumerate(section):
        if k - 1 in closed:
            result[-1] = (*result[-1][:2], *interval[2:])
        else:
            result.append(interval)
    return result


def _meet(first: Interval, right: Interval) -> bool:
    """Whether intervals of neighbouring slabs share some of the border between them."""
    return min(first[3], right[2]) - max(first[1], right[0]) > SAME


def _neighbours(intervals: Sequence[list[Interval]], slab: int) -> Iterator[tuple[int, int]]:
    """The pairs of indices of intervals in a slab and in the next that meet."""
    for p, left in enumerate(intervals[slab]):
        for q, right in enumerate(intervals[slab + 1]):
            if _meet(left, right):
                yield p, q


def _joined(intervals: Sequence[list[Interval]]) -> list[list[tuple[int, int]]]:
    """Group the intervals (slab, index) into connected regions."""
    region: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for i, section in enumerate(intervals):
        for k in range(len(section)):
            region[i, k] = [(i, k)]
        for p, q in _neighbours(intervals, i - 1) if i else ():
            first, second = region[i - 1, p], region[i, q]
            if first is not second:
                first.extend(second)
                region.update((place, first) for place in second)
    return list({id(r): r for r in region.values()}.values())


def _chains(intervals: Sequence[list[Interval]]) -> list[list[tuple[int, int]]]:
    """Runs of intervals, slab by slab, that neither split nor join along the way."""
    chains: list[list[tuple[int, int]]] = []
    ends: dict[int, list[tuple[int, int]]] = {}
    for i, section in enumerate(intervals):
        pairs = list(_neighbours(intervals, i - 1)) if i else []
        next_ends: dict[int, list[tuple[int, int]]] = {}
        for k in range(len(section)):
            before = [p for p, q in pairs if q == k]
            alone = len(before) == 1 and sum(p == before[0] for p, _ in pairs) == 1
            chain = ends[before[0]] if alone else []
            if not chain:
                chains.append(chain)
            chain.append((i, k))
            next_ends[k] = chain
        ends = next_ends
    return chains


def _body(borders: Sequence[float], intervals: Sequence[list[Interval]], chain: Sequence[tuple[int, int]]) -> Body:
    start = chain[0][0]
    return Body(np.array(borders[start : start + len(chain) + 1]), np.array([intervals[i][k] for i, k in chain]))
