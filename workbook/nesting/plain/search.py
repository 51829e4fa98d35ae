"""The search: orders of blanks and lists of bars are tried, changed a little, and kept when they come out no worse.

`layouts` yields after every step; the caller stops it by not asking for more. It has no clock and no chance of its own:
the same job, seed and number of steps give the same layout.
"""

from collections import Counter
from collections.abc import Iterator, Sequence
from decimal import Decimal
from itertools import count

import numpy as np
from msgspec import Struct

from workbook.geometry.polygon import of_points
from workbook.nesting.aims import Score, aims, together
from workbook.nesting.bounds import area_bound, groups
from workbook.nesting.fits import fits_alone
from workbook.nesting.model import Layout, NestingJob, Progress
from workbook.nesting.plain.columns import Tables
from workbook.nesting.plain.placing import OpenBar, as_use, kept_bar, place
from workbook.nesting.verify import faults
from workbook.structs import replace

_FREE = 1e-3  # what a bar that costs nothing counts
_FEWER, _OTHER = 0.3, 0.85  # of changes of the bars: one less, and with those one of another kind


class Plan(Struct, frozen=True):
    """What is varied: the order of blanks, which edge each prefers, and the bars to be opened, in their order."""

    blanks: tuple[int, ...]  # part indices, one for each blank
    upside: tuple[float, ...]
    bars: tuple[int, ...]  # stock indices; where they do not do, more are opened


class _Group:
    """One independent group of parts and bars: its plan so far and the layout it gives."""

    def __init__(self, job: NestingJob, tables: Tables, parts: list[int], stock: list[int], chance: np.random.Generator) -> None:
        self.job, self.tables, self.parts, self.chance = job, tables, parts, chance
        self.fits = {(p, s) for p in parts for s in stock if (p, s) in job.suits and fits_alone(job, p, s)}
        self.areas = {p: float(of_points(job.parts[p].outline).area) for p in parts}
        self.bound = self._bound()
        self.kept = [kept_bar(job, use) for use in job.kept if use.stock in stock]
        self.stock = sorted(stock, key=self._rank)
        self.plan = self._first_plan()
        self.first = self._first_tries()
        self.best: Layout | None = None
        self.score: Score | None = None

    def _bound(self) -> Decimal:
        quantities = [part.quantity if i in self.parts else 0 for i, part in enumerate(self.job.parts)]
        return area_bound(self.job, quantities)

    def _first_plan(self) -> Plan:
        """Large blanks first, on what bars come first."""
        parts = sorted(self.parts, key=lambda p: -self.areas[p])
        staying = Counter(piece.part for bar in self.kept for piece in bar.kept)
        blanks = tuple(p for p in parts for _ in range(self.job.parts[p].quantity - staying[p]))
        return Plan(blanks, tuple(float(i % 2) for i in range(len(blanks))), ())

    def _rank(self, stock: int) -> tuple[bool, float]:
        bar = self.job.stock[stock]
        return bar.source == "buy", float(self.job.counts(stock)) / (bar.width * bar.length)

    def step(self) -> bool:
        """Tries one plan, or works on one. True when there is a better layout than the best so far."""
        found = next(self.first, None)
        return self._try(self._changed()) if found is None else found

    def _first_tries(self) -> Iterator[bool]:
        """The first plan; bar after bar that which takes most for its money; and these at the lower edge and at the upper."""
        yield self._try(self.plan)
        yield from self._bar_by_bar()
        for edge in (0.0, 1.0):
            yield self._try(replace(self.plan, upside=(edge,) * len(self.plan.blanks)))

    def _bar_by_bar(self) -> Iterator[bool]:
        """Works out a plan whose every bar is the kind that takes most area of the blanks left for its price; then tries it."""
        left, taken = [*self.plan.blanks], Counter(bar.stock for bar in self.kept)
        blanks, bars = list[int](), list[int]()
        while left:
            best: tuple[float, int, list[int]] | None = None
            for stock in self.stock:
                worth = 1 / max(float(self.job.counts(stock)), _FREE)
                area = self.job.stock[stock].width * self.job.stock[stock].length
                most = worth * min(area, sum(self.areas[p] for p in left))
                if (best is None or most > best[0]) and taken[stock] < self._most(stock):
                    placed = self._on_one(stock, left)
                    found = worth * sum(self.areas[p] for p in placed), stock, placed
                    best = found if placed and (best is None or found[0] > best[0]) else best
            if best is None:
                break
            _, stock, placed = best
            blanks, bars = [*blanks, *placed], [*bars, stock]
            taken[stock] += 1
            for part in placed:
                left.remove(part)
            yield False
        yield self._try(replace(self.plan, blanks=(*blanks, *left), bars=tuple(bars)))

    def _on_one(self, stock: int, left: Sequence[int]) -> list[int]:
        """The blanks that find room on one new bar."""
        bar = OpenBar(stock)
        fitting = (part for part in left if (part, stock) in self.fits)
        return [part for n, part in enumerate(fitting) if place(self.job, self.tables, bar, part, float(n % 2))]

    def _most(self, stock: int) -> int:
        count = self.job.stock[stock].count
        return len(self.plan.blanks) if count is None else count

    def _try(self, plan: Plan) -> bool:
        """Fills bars by a plan and keeps it when it is no worse. True when it is better."""
        layout = self._filled(plan)
        score = aims(self.job, layout)
        if self.score is not None and score > self.score:
            return False
        better = self.score is None or score < self.score
        if better and faults(self._own(), layout):
            return False
        self.plan = replace(plan, bars=tuple(use.stock for use in layout.bars[len(self.kept) :]))
        if better:
            self.best, self.score = layout, score
        return better

    def _own(self) -> NestingJob:
        """The job with only this group's blanks asked for, to be verified against."""
        parts = (p if i in self.parts else replace(p, quantity=0) for i, p in enumerate(self.job.parts))
        own = {bar.stock for bar in self.kept}
        return replace(self.job, parts=tuple(parts), kept=tuple(use for use in self.job.kept if use.stock in own))

    def _filled(self, plan: Plan) -> Layout:
        """Each blank in turn on the first bar that takes it: those open, those planned, else one more."""
        bars = [replace(bar, placed=[*bar.placed], full_for=set()) for bar in self.kept]
        planned, taken, left = [*plan.bars], Counter(bar.stock for bar in bars), Counter[int]()
        for part, upside in zip(plan.blanks, plan.upside, strict=True):
            open_ = any(self._placed(bar, part, upside) for bar in bars)
            if not open_ and not self._opened(bars, planned, taken, part, upside):
                left[part] += 1
        used = [bar for n, bar in enumerate(bars) if bar.placed or n < len(self.kept)]
        return Layout(tuple(as_use(self.job, bar) for bar in used), tuple(sorted(left.items())))

    def _placed(self, bar: OpenBar, part: int, upside: float) -> bool:
        return (part, bar.stock) in self.fits and place(self.job, self.tables, bar, part, upside)

    def _opened(self, bars: list[OpenBar], planned: list[int], taken: Counter[int], part: int, upside: float) -> bool:
        """Puts a blank on one more bar: the next planned one that takes it, else the first kind that does. False without one."""
        while planned:
            stock = planned.pop(0)
            if taken[stock] < self._most(stock):
                bars.append(OpenBar(stock))
                taken[stock] += 1
                if self._placed(bars[-1], part, upside):
                    return True
        for stock in self.stock:
            bar = OpenBar(stock)
            if taken[stock] < self._most(stock) and self._placed(bar, part, upside):
                bars.append(bar)
                taken[stock] += 1
                return True
        return False

    def _changed(self) -> Plan:
        """The plan with something small changed by chance."""
        plan, chance = self.plan, self.chance
        match int(chance.integers(8)):
            case 0:
                return replace(plan, blanks=_swapped(plan.blanks, chance))
            case 1:
                return replace(plan, blanks=_moved(plan.blanks, chance))
            case 2:
                at = int(chance.integers(len(plan.upside)))
                upside = list(plan.upside)
                upside[at] = round(float(chance.random()), 3)
                return replace(plan, upside=tuple(upside))
            case 3:
                return replace(plan, blanks=self._one_part_first())
            case _:
                return self._other_bars()

    def _one_part_first(self) -> tuple[int, ...]:
        """All blanks of one part before the others."""
        first = self.parts[int(self.chance.integers(len(self.parts)))]
        return tuple(sorted(self.plan.blanks, key=lambda part: part != first))

    def _other_bars(self) -> Plan:
        """One bar less, one of another kind, or in another order."""
        plan, chance, bars = self.plan, self.chance, [*self.plan.bars]
        if not bars:
            return plan
        at, way = int(chance.integers(len(bars))), chance.random()
        if way < _FEWER:
            del bars[at]
        elif way < _OTHER:
            bars[at] = self.stock[int(chance.integers(len(self.stock)))]
        else:
            return replace(plan, bars=_swapped(plan.bars, chance))
        return replace(plan, bars=tuple(bars))

    @property
    def done(self) -> bool:
        """One blank at the least price there is, or none to be moved: nothing left to gain. With more, the offcut may grow."""
        if self.score is None or len(self.plan.blanks) > 1:
            return False
        if not self.plan.blanks:
            return True
        return self.score[0] == 0 and self.score[1] + self.score[2] <= self.bound


def _swapped(order: tuple[int, ...], chance: np.random.Generator) -> tuple[int, ...]:
    a, b = (int(i) for i in chance.integers(len(order), size=2))
    changed = list(order)
    changed[a], changed[b] = changed[b], changed[a]
    return tuple(changed)


def _moved(order: tuple[int, ...], chance: np.random.Generator) -> tuple[int, ...]:
    a, b = (int(i) for i in chance.integers(len(order), size=2))
    changed = list(order)
    changed.insert(b, changed.pop(a))
    return tuple(changed)


def layouts(job: NestingJob, seed: int) -> Iterator[Progress]:
    """Verified layouts, each step's best; the first comes at once. Stop by not asking for more."""
    tables = Tables(job)
    chance = np.random.default_rng(seed)
    found = [_Group(job, tables, parts, stock, chance) for parts, stock in groups(job)]
    found = [g for g in found if g.plan.blanks or g.kept]
    for group in found:
        group.step()
    for step in count(1):
        still = [g for g in found if not g.done]
        improved = still[step % len(still)].step() if step > 1 else True
        yield Progress(step, together(job, [g.best for g in found]), not still, improved, "plain")
        if not still:
            return
