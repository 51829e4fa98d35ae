"""Any closed outline as a few bodies, each met by a vertical line in one interval only.

A blank that lies along the bar is nearly always one body as it is. An outline that turns back on itself (a hook, a ring
for a finger) is cut at the verticals where its sections part or join; pockets too small to nest in are filled first.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from workbook.geometry.path import Points
from workbook.nesting.engine.kernel import Floats

MOST_BODIES = 6
SMALL_POCKET = 0.002  # of the outline's area: filling all of them costs less steel than a search can gain from them
_SAME = 1e-7

Interval = tuple[float, float, float, float]  # lower and upper place at a slab's left end, then at its right end


@dataclass(frozen=True, slots=True, eq=False)
class Body:
    """One interval over a stretch: slab borders x (m + 1), and lower left, lower right, upper left, upper right (m, 4)."""

    x: Floats
    y: Floats

    def moved(self, dx: float, dy: float) -> "Body":
        """The same elsewhere."""
        return Body(self.x + dx, self.y + dy)


def bodies(outline: Points) -> list[Body]:
    """The outline (n, 2), filled, as bodies that together cover it and little more."""
    borders, sections = _sections(outline)
    pocket = SMALL_POCKET
    while True:
        filled = _filled(borders, sections, pocket * _area(borders, sections))
        chains = _chains(filled)
        if len(chains) <= MOST_BODIES:
            return [_body(borders, filled, chain) for chain in chains]
        pocket *= 2


def _sections(outline: Points) -> tuple[Floats, list[list[Interval]]]:
    """Slab borders, and the intervals of every slab from the lowest up."""
    ends = np.roll(outline, -1, axis=0)
    turned = outline[:, 0] > ends[:, 0]
    a, b = np.where(turned[:, None], ends, outline), np.where(turned[:, None], outline, ends)
    borders = np.unique(np.round(outline[:, 0], 9))
    borders = borders[np.r_[True, np.diff(borders) > _SAME]]
    first, last = np.searchsorted(borders, a[:, 0] - _SAME), np.searchsorted(borders, b[:, 0] - _SAME)
    crossing: list[list[tuple[float, float]]] = [[] for _ in range(len(borders) - 1)]
    at: list[float] = borders.tolist()
    for (x0, y0), (x1, y1), begin, end in zip(a.tolist(), b.tolist(), first.tolist(), last.tolist(), strict=True):
        if x1 - x0 > _SAME:
            slope = (y1 - y0) / (x1 - x0)
            for slab in range(begin, end):
                left, right = min(max(at[slab] - x0, 0.0), x1 - x0), min(max(at[slab + 1] - x0, 0.0), x1 - x0)
                crossing[slab].append((y0 + slope * left, y0 + slope * right))
    return borders, [_intervals(edges) for edges in crossing]


def _intervals(edges: list[tuple[float, float]]) -> list[Interval]:
    """Edges across one slab, paired from below: inside lies between the first and the second, the third and the fourth..."""
    ranked = sorted(edges, key=lambda e: e[0] + e[1])
    return [(low[0], low[1], high[0], high[1]) for low, high in zip(ranked[::2], ranked[1::2], strict=True)]


def _area(borders: Floats, sections: Sequence[list[Interval]]) -> float:
    widths: list[float] = np.diff(borders).tolist()
    sizes = [(u0 + u1 - l0 - l1) / 2 * w for w, section in zip(widths, sections, strict=True) for l0, l1, u0, u1 in section]
    return sum(sizes)


def _filled(borders: Floats, sections: Sequence[list[Interval]], small: float) -> list[list[Interval]]:
    """Sections with every pocket of less than the area closed."""
    gaps = [[(a[2], a[3], b[0], b[1]) for a, b in pairwise(s)] for s in sections]
    widths = np.diff(borders)
    closed: set[tuple[int, int]] = set()
    for pocket in _joined(gaps):
        area = sum(widths[i] * (gaps[i][k][2] + gaps[i][k][3] - gaps[i][k][0] - gaps[i][k][1]) / 2 for i, k in pocket)
        closed.update(pocket if area < small else ())
    return [_without(section, {k for j, k in closed if j == i}) for i, section in enumerate(sections)]


def _without(section: list[Interval], closed: set[int]) -> list[Interval]:
    """A section with the gaps of these numbers closed."""
    made: list[Interval] = []
    for k, interval in enumerate(section):
        if k - 1 in closed:
            made[-1] = (*made[-1][:2], *interval[2:])
        else:
            made.append(interval)
    return made


def _meet(left: Interval, right: Interval) -> bool:
    """Whether intervals of neighbouring slabs share some of the border between them."""
    return min(left[3], right[2]) - max(left[1], right[0]) > _SAME


def _neighbours(sections: Sequence[list[Interval]], slab: int) -> Iterator[tuple[int, int]]:
    """Numbers of intervals in a slab and in the next that meet."""
    for p, left in enumerate(sections[slab]):
        for q, right in enumerate(sections[slab + 1]):
            if _meet(left, right):
                yield p, q


def _joined(sections: Sequence[list[Interval]]) -> list[list[tuple[int, int]]]:
    """Intervals (slab, number) gathered into connected regions."""
    region: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for i, section in enumerate(sections):
        for k in range(len(section)):
            region[i, k] = [(i, k)]
        for p, q in _neighbours(sections, i - 1) if i else ():
            one, other = region[i - 1, p], region[i, q]
            if one is not other:
                one.extend(other)
                region.update((place, one) for place in other)
    return list({id(r): r for r in region.values()}.values())


def _chains(sections: Sequence[list[Interval]]) -> list[list[tuple[int, int]]]:
    """Runs of intervals, slab by slab, that neither part nor join on their way."""
    chains: list[list[tuple[int, int]]] = []
    ends: dict[int, list[tuple[int, int]]] = {}
    for i, section in enumerate(sections):
        pairs = list(_neighbours(sections, i - 1)) if i else []
        begun: dict[int, list[tuple[int, int]]] = {}
        for k in range(len(section)):
            before = [p for p, q in pairs if q == k]
            alone = len(before) == 1 and sum(p == before[0] for p, _ in pairs) == 1
            chain = ends[before[0]] if alone else []
            if not chain:
                chains.append(chain)
            chain.append((i, k))
            begun[k] = chain
        ends = begun
    return chains


def _body(borders: Floats, sections: Sequence[list[Interval]], chain: Sequence[tuple[int, int]]) -> Body:
    start = chain[0][0]
    return Body(borders[start : start + len(chain) + 1], np.array([sections[i][k] for i, k in chain]))
