"""Sections of an outline across the bar: where vertical lines meet it, slab by slab between its corners."""

from collections.abc import Sequence
from itertools import pairwise

import numpy as np

from workbook.geometry.path import Points

SAME = 1e-7  # mm; corners nearer than this along the bar are one

Interval = tuple[float, float, float, float]  # lower and upper y at a slab's left end, then at its right end


def sections(*rings: Points) -> tuple[list[float], list[list[Interval]]]:
    """Slab borders along x, and in each slab the intervals inside an outline (n, 2) and outside its openings, lowest first."""
    outline, ends = np.vstack(rings), np.vstack([np.roll(ring, -1, axis=0) for ring in rings])
    backward = outline[:, 0] > ends[:, 0]
    a, b = np.where(backward[:, None], ends, outline), np.where(backward[:, None], outline, ends)
    borders = np.unique(np.round(outline[:, 0], 9))
    borders = borders[np.r_[True, np.diff(borders) > SAME]]
    first, last = np.searchsorted(borders, a[:, 0] - SAME), np.searchsorted(borders, b[:, 0] - SAME)
    first, last = np.minimum(first, len(borders) - 1), np.minimum(last, len(borders) - 1)  # corners in a run of near ones
    crossing: list[list[tuple[float, float]]] = [[] for _ in range(len(borders) - 1)]
    at: list[float] = borders.tolist()
    for (x0, y0), (x1, y1), begin, end in zip(a.tolist(), b.tolist(), first.tolist(), last.tolist(), strict=True):
        if x1 - x0 > SAME:
            slope = (y1 - y0) / (x1 - x0)
            for slab in range(begin, end):
                left, right = min(max(at[slab] - x0, 0.0), x1 - x0), min(max(at[slab + 1] - x0, 0.0), x1 - x0)
                crossing[slab].append((y0 + slope * left, y0 + slope * right))
    return at, [_intervals(edges) for edges in crossing]


def _intervals(edges: list[tuple[float, float]]) -> list[Interval]:
    """Pair the edges across one slab from below: the inside is between the first and second, the third and fourth..."""
    ranked = sorted(edges, key=lambda e: e[0] + e[1])
    return [(low[0], low[1], high[0], high[1]) for low, high in zip(ranked[::2], ranked[1::2], strict=True)]


def area(borders: Sequence[float], intervals: Sequence[list[Interval]]) -> float:
    """The area of sections, in mm²."""
    widths = [right - left for left, right in pairwise(borders)]
    return sum((u0 + u1 - l0 - l1) / 2 * w for w, section in zip(widths, intervals, strict=True) for l0, l1, u0, u1 in section)
