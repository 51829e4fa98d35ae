"""What no layout can beat, by the sections of the blanks across the bar.

At every place along a bar the sections of its blanks, grown by half the separation, lie beside each other in the bar's
inner width. So they do after a dual feasible function: one whose values add up to at most 1 wherever its arguments do
(Fekete and Schepers, "New classes of fast lower bounds for bin packing problems", 2001; from memory). Added up along the
bar, what a blank takes of each such measure is known, and what a bar has of it is its inner length. The cheapest whole
bars that have enough of every measure, blanks being shared out among them freely, cost no more than any layout.
"""

from collections.abc import Callable, Sequence
from decimal import Decimal
from functools import lru_cache
from math import floor

import highspy
import numpy as np
from numpy.typing import NDArray

from workbook.geometry.polygon import corners, hull, of_points
from workbook.nesting.bounds import area_bound, groups, grown_area
from workbook.nesting.model import NestingJob
from workbook.nesting.sections import sections

Measure = Callable[[NDArray[np.float64]], NDArray[np.float64]]

_STEP = 0.5  # mm along the bar for which a section counts as its least
_ROUND = 1e-7  # sections of exactly a half, a third... of the width count as less
_MOST_NODES = 2000
_INFINITY = 1e30


def _steps(k: int) -> Measure:
    """u -> floor((k + 1) u) / k, and u itself where (k + 1) u is whole; k = 1 counts what is higher than half the bar."""
    return lambda u: np.floor((k + 1) * u - _ROUND) / k


def _cut(e: float) -> Measure:
    """Less than e counts nothing, more than 1 - e all, the rest as it is."""
    return lambda u: np.where(u > 1 - e + _ROUND, 1.0, np.where(u < e, 0.0, np.minimum(u, 1.0)))


MEASURES: tuple[Measure, ...] = (*(_steps(k) for k in range(1, 6)), *(_cut(e) for e in (0.5, 0.45, 0.4, 1 / 3, 0.3, 0.25, 0.2)))


@lru_cache(maxsize=16)
def price_bound(job: NestingJob, quantities: tuple[int, ...]) -> tuple[Decimal, str]:
    """Least price of the bars for so many blanks of each part, and by what: "area" or "sections"."""
    by_area = area_bound(job, quantities)
    total = sum((_group_bound(job, parts, stock, quantities) for parts, stock in groups(job)), Decimal(0))
    return (total, "sections") if total > by_area else (by_area, "area")


def _group_bound(job: NestingJob, parts: Sequence[int], stock: Sequence[int], quantities: Sequence[int]) -> Decimal:
    wanted = [p for p in parts if quantities[p]]
    pairs = [(p, s) for p in wanted for s in stock if (p, s) in job.suits]
    if not wanted or any(all(q != p for q, _ in pairs) for p in wanted):
        return Decimal(0)
    sizes = [_inner(job, s) for s in stock]
    takes = {(p, s): _takes(job, p, sizes[stock.index(s)][1]) for p, s in pairs}
    price = _least_cost(job, wanted, stock, quantities, pairs, takes, [length for length, _ in sizes])
    return Decimal(floor(price * 100 + 1e-4)) / 100


def _inner(job: NestingJob, stock: int) -> tuple[float, float]:
    """A bar's length and width between its margins, with half the separation all round."""
    bar = job.stock[stock]
    return bar.length - 2 * job.bar_end + job.separation, bar.width - 2 * job.bar_edge + job.separation


def _takes(job: NestingJob, part: int, width: float) -> NDArray[np.float64]:
    """What one blank takes of each measure on a bar of this inner width, in mm of its length; area first."""
    if width <= 0:
        return np.full(1 + len(MEASURES), _INFINITY)
    flat = np.array([grown_area(job, part) / width])
    if job.tilt or job.parts[part].directions != (0.0,):
        return np.concatenate([flat, np.zeros(len(MEASURES))])  # its sections depend on how it lies
    lengths, least = _profile(job, part)
    return np.concatenate([flat, [float((measure(least / width) * lengths).sum()) for measure in MEASURES]])


def _profile(job: NestingJob, part: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    outline = job.parts[part].outline
    return _profile_of(outline.tobytes(), len(outline), job.separation, hulls=job.hulls)


@lru_cache(maxsize=64)
def _profile_of(data: bytes, count: int, separation: float, *, hulls: bool) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Short lengths along the grown outline and the least section in each."""
    shape = of_points(np.frombuffer(data).reshape(count, 2))
    inside = (hull(shape) if hulls else shape).buffer(separation / 2, quad_segs=8)  # chords inside the true round
    borders, found = sections(corners(inside))
    lengths, least = [], []
    for slab, section in enumerate(found):
        width = borders[slab + 1] - borders[slab]
        left = sum(u0 - l0 for l0, _, u0, _ in section)
        right = sum(u1 - l1 for _, l1, _, u1 in section)
        pieces = max(1, int(np.ceil(width / _STEP)))
        at = np.linspace(left, right, pieces + 1)
        lengths += [width / pieces] * pieces
        least += np.minimum(at[:-1], at[1:]).tolist()
    return np.array(lengths), np.array(least)


def _least_cost(
    job: NestingJob,
    parts: Sequence[int],
    stock: Sequence[int],
    quantities: Sequence[int],
    pairs: Sequence[tuple[int, int]],
    takes: dict[tuple[int, int], NDArray[np.float64]],
    lengths: Sequence[float],
) -> float:
    """The integer programme: whole bars of each kind, blanks shared out among kinds; the solver's own lower bound of it."""
    solver = highspy.Highs()
    for option, value in (("output_flag", False), ("threads", 1), ("mip_max_nodes", _MOST_NODES), ("random_seed", 0)):
        solver.setOptionValue(option, value)
    most = sum(quantities[p] for p in parts)
    for s in stock:
        count = job.stock[s].count
        solver.addCol(float(job.stock[s].price), 0.0, float(most if count is None else count), 0, [], [])
    for p, _ in pairs:
        solver.addCol(0.0, 0.0, float(quantities[p]), 0, [], [])
    for k in range(len(stock)):
        solver.changeColIntegrality(k, highspy.HighsVarType.kInteger)
    column = {pair: len(stock) + i for i, pair in enumerate(pairs)}
    for p in parts:
        all_kinds = [column[pair] for pair in pairs if pair[0] == p]
        solver.addRow(float(quantities[p]), float(quantities[p]), len(all_kinds), all_kinds, [1.0] * len(all_kinds))
    for k, s in enumerate(stock):
        own = [pair for pair in pairs if pair[1] == s]
        for m in range(len(takes[own[0]]) if own else 0):
            columns = [k, *(column[pair] for pair in own)]
            values = [max(lengths[k], 0.0), *(-float(takes[pair][m]) for pair in own)]
            solver.addRow(0.0, _INFINITY, len(columns), columns, values)
    solver.run()
    if solver.getModelStatus() == highspy.HighsModelStatus.kInfeasible:
        return 0.0  # not all can be laid out: nothing is known of those that can
    return max(0.0, float(solver.getInfo().mip_dual_bound))
