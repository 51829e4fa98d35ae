"""A bound that no layout can beat, from the sections of the blanks across the bar.

At every place along a bar the sections of its blanks, grown by half the separation, lie side by side in the bar's inner
width. They still fit after a dual feasible function: one whose values add up to at most 1 wherever its arguments do
(Fekete and Schepers, "New classes of fast lower bounds for bin packing problems", 2001; from memory). Summed along the
bar, what a blank takes of each such measure is known, and what a bar offers of it is its inner length. The cheapest whole
bars that offer enough of every measure, with the blanks shared out among them freely, cost no more than any layout. Where a
bar takes one lane only, the blanks' chains must also fit its length (chain_bound.py).

The maker buys as little as he can before he spares the rack. So a layout is held against those that buy no more than it does.
"""

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from decimal import Decimal
from functools import lru_cache
from math import ceil, floor, gcd

import highspy
import numpy as np
from numpy.typing import NDArray

from workbook.geometry.polygon import as_bytes, from_bytes, hull, rings
from workbook.nesting.bounds import area_bound, groups, grown_area, inner_room
from workbook.nesting.chain_bound import Chain, chain
from workbook.nesting.model import NestingJob, region
from workbook.nesting.sections import sections

Measure = Callable[[NDArray[np.float64]], NDArray[np.float64]]

_STEP = 0.5  # mm along the bar over which the least section counts
_ROUND = 1e-7  # sections of exactly a half, a third... of the width count as less
_MOST_NODES = 2000
_INFINITY = 1e30


def _steps(k: int) -> Measure:
    """u -> floor((k + 1) u) / k, and u itself where (k + 1) u is whole; k = 1 counts sections of over half the bar."""
    return lambda u: np.floor((k + 1) * u - _ROUND) / k


def _cut(e: float) -> Measure:
    """u -> 0 below e, 1 above 1 - e, and u itself between."""
    return lambda u: np.where(u > 1 - e + _ROUND, 1.0, np.where(u < e, 0.0, np.minimum(u, 1.0)))


MEASURES: tuple[Measure, ...] = (*(_steps(k) for k in range(1, 6)), *(_cut(e) for e in (0.5, 0.45, 0.4, 1 / 3, 0.3, 0.25, 0.2)))


Bound = tuple[Decimal, str]  # a price, and the method that gave it: "area", "sections" or "chains"


@lru_cache(maxsize=16)
def price_bound(job: NestingJob, quantities: tuple[int, ...], bought: Decimal | None = None) -> Bound:
    """The least price of the bars for so many blanks of each part, and the method that gave it; `bought` as in `price_bounds`."""
    *_, last = price_bounds(job, quantities, bought=bought)
    return last


def price_bounds(
    job: NestingJob, quantities: Sequence[int], seconds: float = _INFINITY, bought: Decimal | None = None
) -> Iterator[Bound]:
    """Yield bounds that never fall: by area at once, then by sections and chains; the same again after each piece of work.

    `seconds`: the time limit of one programme; its bound is valid all the same. `bought`: the bounds hold for layouts whose
    bought bars cost no more than this; None: for all.
    """
    best: Bound = area_bound(job, quantities), "area"
    yield best
    programmes = []
    for parts, stock in groups(job):
        programme = _programme(job, parts, stock, quantities)
        if programme is not None:
            programmes.append(programme)
            for s in stock:
                programme.add_sections(s)
                yield best
    if bought is not None:
        for _unused in _limited(programmes, float(bought), seconds):
            yield best
    least = [Decimal(0) for _ in programmes]
    for method, whole in (("sections", False), ("sections", True), ("chains", True)):
        if method == "chains" and not sum(programme.add_chains() for programme in programmes):
            return
        for k, programme in enumerate(programmes):
            least[k] = max(least[k], programme.whole_price(programme.least_cost(seconds, whole=whole)))
            yield best
        best = max(best, (sum(least, Decimal(0)), method), key=lambda bound: bound[0])
        yield best


def _programme(job: NestingJob, parts: Sequence[int], stock: Sequence[int], quantities: Sequence[int]) -> "Programme | None":
    """The programme of a group; None where it gives no bound: nothing is wanted, or some part has no bar."""
    required = [p for p in parts if quantities[p]]
    pairs = [(p, s) for p in required for s in stock if (p, s) in job.suits]
    solvable = required and all(any(q == p for q, _ in pairs) for p in required)
    return Programme(job, required, stock, quantities, pairs) if solvable else None


def _limited(programmes: Sequence["Programme"], bought: float, seconds: float) -> Iterator[None]:
    """Limit what each group buys to what the others, at the least, leave of the whole; yield after each piece of work."""
    least = []
    for programme in programmes:
        alone = not any(other.buys for other in programmes if other is not programme)  # nobody asks for it
        least.append(0.0 if alone or not programme.buys else float(programme.least_bought(seconds)))
        yield
    for programme, own in zip(programmes, least, strict=True):
        programme.limit_bought(bought - (sum(least) - own))


def _takes(job: NestingJob, part: int, width: float) -> NDArray[np.float64]:
    """What one blank takes of each measure on a bar of this inner width, in mm of bar length (measures,); area first."""
    if width <= 0:
        return np.full(1 + len(MEASURES), _INFINITY)
    flat = np.array([grown_area(job, part) / width])
    if job.tilt or job.parts[part].directions != (0.0,):
        return np.concatenate([flat, np.zeros(len(MEASURES))])  # its sections depend on its angle
    lengths, least = _profile(job, part)
    return np.concatenate([flat, [float((measure(least / width) * lengths).sum()) for measure in MEASURES]])


def _profile(job: NestingJob, part: int) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    return _profile_of(as_bytes(region(job.parts[part])), job.separation, hulls=job.hulls)


@lru_cache(maxsize=64)
def _profile_of(data: bytes, separation: float, *, hulls: bool) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Short lengths along the grown outline and the least section in each, in mm."""
    shape = from_bytes(data)
    inside = (hull(shape) if hulls else shape).buffer(separation / 2, quad_segs=8)  # chords inside the true round
    borders, slabs = sections(*rings(inside))
    lengths, least = [], []
    for slab, section in enumerate(slabs):
        width = borders[slab + 1] - borders[slab]
        left = sum(u0 - l0 for l0, _, u0, _ in section)
        right = sum(u1 - l1 for _, l1, _, u1 in section)
        pieces = max(1, int(np.ceil(width / _STEP)))
        at = np.linspace(left, right, pieces + 1)
        lengths += [width / pieces] * pieces
        least += np.minimum(at[:-1], at[1:]).tolist()
    return np.array(lengths), np.array(least)


class Programme:
    """The integer programme: whole bars of each kind, with the blanks shared out among the kinds."""

    def __init__(
        self,
        job: NestingJob,
        parts: Sequence[int],
        stock: Sequence[int],
        quantities: Sequence[int],
        pairs: Sequence[tuple[int, int]],
    ) -> None:
        self._job, self._pairs = job, pairs
        self._solver = solver = highspy.Highs()
        for option, value in (("output_flag", False), ("threads", 1), ("mip_max_nodes", _MOST_NODES), ("random_seed", 0)):
            solver.setOptionValue(option, value)
        most, kept_counts = sum(quantities[p] for p in parts), Counter(use.stock for use in job.kept)
        self._bars = {s: k for k, s in enumerate(stock)}  # columns
        self._blanks = {pair: len(stock) + k for k, pair in enumerate(pairs)}
        self._length = {s: max(inner_room(job, s)[0], 0.0) for s in stock}
        for s in stock:
            count = job.stock[s].count
            solver.addCol(float(job.stock[s].price), float(kept_counts[s]), float(most if count is None else count), 0, [], [])
            solver.changeColIntegrality(self._bars[s], highspy.HighsVarType.kInteger)
        for p, _ in pairs:
            solver.addCol(0.0, 0.0, float(quantities[p]), 0, [], [])
        for p in parts:
            self._row({column: 1.0 for (q, _), column in self._blanks.items() if q == p}, quantities[p], quantities[p])

    def _row(self, terms: dict[int, float], low: float, high: float) -> None:
        self._solver.addRow(float(low), float(high), len(terms), list(terms), list(terms.values()))

    def _columns(self, count: int) -> range:
        """Add so many columns without cost, each at least 0."""
        first = self._solver.getNumCol()
        for _ in range(count):
            self._solver.addCol(0.0, 0.0, _INFINITY, 0, [], [])
        return range(first, first + count)

    def _parts(self, stock: int) -> list[int]:
        return [p for p, s in self._pairs if s == stock]

    def add_sections(self, stock: int) -> None:
        """Require that the bars of a kind offer enough of every measure for their share of the blanks."""
        takes = {p: _takes(self._job, p, inner_room(self._job, stock)[1]) for p in self._parts(stock)}
        for m in range(1 + len(MEASURES) if takes else 0):
            terms = {self._blanks[p, stock]: -float(amounts[m]) for p, amounts in takes.items()}
            self._row({self._bars[stock]: self._length[stock], **terms}, 0.0, _INFINITY)

    def add_chains(self) -> bool:
        """Require, for kinds of bar with one lane, that the blanks' chains fit the bars. False where there is no such kind."""
        lanes = {s: chain(self._job, self._parts(s), s) for s in self._bars}
        for s, lane in lanes.items():
            if lane is not None:
                self._add_chain(s, lane)
        return any(lane is not None for lane in lanes.values())

    def _add_chain(self, stock: int, lane: Chain) -> None:
        """Add the chains on bars of a kind: a flow through poses that begins once on every bar and is no longer than the bars."""
        n = len(lane.part)
        begin, end = self._columns(n), self._columns(n)
        follow = [self._columns(n) for _ in range(n)]  # follow[a][b]: b comes next after a
        for a in range(n):  # as many leave a pose as reach it
            terms = {begin[a]: 1.0, end[a]: -1.0}
            for b in range(n):
                if b != a:
                    terms |= {follow[b][a]: 1.0, follow[a][b]: -1.0}
            self._row(terms, 0.0, 0.0)
        for part in set(lane.part):
            poses = [a for a in range(n) if lane.part[a] == part]
            terms = {follow[a][b]: 1.0 for a in poses for b in range(n)} | {end[a]: 1.0 for a in poses}
            self._row({self._blanks[part, stock]: -1.0, **terms}, 0.0, 0.0)
        self._row({self._bars[stock]: -1.0, **{begin[a]: 1.0 for a in range(n)}}, 0.0, 0.0)
        length_terms = {follow[a][b]: -float(lane.shift[a, b]) for a in range(n) for b in range(n)}
        length_terms |= {end[a]: -lane.length[a] for a in range(n)}
        self._row({self._bars[stock]: self._length[stock], **length_terms}, 0.0, _INFINITY)

    def whole_price(self, price: float) -> Decimal:
        """The least price not below this one that bars of this group may add up to; a hundredth of a cent counts as nothing."""
        return self._rounded_up(price, self._bars)

    def _rounded_up(self, price: float, stock: Iterable[int]) -> Decimal:
        """The same, of some of its bars."""
        prices = [self._job.stock[s].price * 100 for s in stock]
        step = gcd(*(int(each) for each in prices))
        if not step or any(each % 1 for each in prices):
            return Decimal(floor(price * 100 + 1e-4)) / 100
        return Decimal(ceil(price * 100 / step - 1e-4) * step) / 100

    def limit_bought(self, limit: float) -> None:
        """Require that bought bars cost no more than this, where there are others to choose."""
        prices = {
            column: float(self._job.stock[s].price) for s, column in self._bars.items() if self._job.stock[s].source == "buy"
        }
        if 0 < len(prices) < len(self._bars):
            self._row(prices, -_INFINITY, limit + 1e-6)

    @property
    def buys(self) -> list[int]:
        """The bars that are bought."""
        return [s for s in self._bars if self._job.stock[s].source == "buy"]

    def least_bought(self, seconds: float) -> Decimal:
        """A lower bound of the price of bought bars."""
        for s, column in self._bars.items():
            bar = self._job.stock[s]
            self._solver.changeColCost(column, float(bar.price) if bar.source == "buy" else 0.0)
        least = self.least_cost(seconds, whole=False)
        for s, column in self._bars.items():
            self._solver.changeColCost(column, float(self._job.stock[s].price))
        return self._rounded_up(least, self.buys)

    def least_cost(self, seconds: float, *, whole: bool) -> float:
        """A lower bound of the least price, also when time runs out; 0 when not all blanks can be laid out, as none is known.

        `whole`: with whole bars, else with fractions of bars.
        """
        self._solver.setOptionValue("solve_relaxation", not whole)
        self._solver.setOptionValue("time_limit", self._solver.getRunTime() + seconds)
        self._solver.run()
        status, info = self._solver.getModelStatus(), self._solver.getInfo()
        if status == highspy.HighsModelStatus.kInfeasible:
            return 0.0
        if whole:
            return max(0.0, float(info.mip_dual_bound))
        return max(0.0, float(info.objective_function_value)) if status == highspy.HighsModelStatus.kOptimal else 0.0
