"""The search: orders of blanks and bars are tried, changed a little, and kept when they come out no worse.

`layouts` yields after every step; the caller stops it by not asking for more. It has no clock and no chance of its own:
the same job, seed and number of steps give the same layout.
"""

from collections import Counter
from collections.abc import Iterator
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


class Plan(Struct, frozen=True):
    """What is varied: the order of blanks, which edge each prefers, the order of bars, and how many of each may be used."""

    blanks: tuple[int, ...]  # part indices, one for each blank
    upside: tuple[float, ...]
    bars: tuple[int, ...]
    most: tuple[int, ...]  # by stock index


class _Group:
    """One independent group of parts and bars: its plan so far and the layout it gives."""

    def __init__(self, job: NestingJob, tables: Tables, parts: list[int], stock: list[int], chance: np.random.Generator) -> None:
        self.job, self.tables, self.parts, self.chance = job, tables, parts, chance
        self.fits = {(p, s) for p in parts for s in stock if (p, s) in job.suits and fits_alone(job, p, s)}
        self.areas = {p: float(of_points(job.parts[p].outline).area) for p in parts}
        self.bound = self._bound()
        self.kept = [kept_bar(job, use) for use in job.kept if use.stock in stock]
        self.plan = self._first_plan(stock)
        self.first = self._first_plans()
        self.best: Layout | None = None
        self.score: Score | None = None

    def _bound(self) -> Decimal:
        quantities = [part.quantity if i in self.parts else 0 for i, part in enumerate(self.job.parts)]
        return area_bound(self.job, quantities)

    def _first_plan(self, stock: list[int]) -> Plan:
        """Large blanks first; rack before shop, then by price for the area."""
        parts = sorted(self.parts, key=lambda p: -self.areas[p])
        staying = Counter(piece.part for bar in self.kept for piece in bar.kept)
        blanks = tuple(p for p in parts for _ in range(self.job.parts[p].quantity - staying[p]))
        bars = sorted(stock, key=self._rank)
        most = tuple(self.job.stock[s].count or len(blanks) for s in range(len(self.job.stock)))
        return Plan(blanks, tuple(float(i % 2) for i in range(len(blanks))), tuple(bars), most)

    def _rank(self, stock: int) -> tuple[bool, float]:
        bar = self.job.stock[stock]
        return bar.source == "buy", float(self.job.counts(stock)) / (bar.width * bar.length)

    def step(self) -> bool:
        """Tries one plan. True when it is better than the best so far."""
        return self._try(next(self.first, None) or self._changed())

    def _first_plans(self) -> Iterator[Plan]:
        """The first plan with blanks at either edge in turn, all at the lower edge, all at the upper."""
        plan, count = self.plan, len(self.plan.blanks)
        yield plan
        yield from (replace(plan, upside=(edge,) * count) for edge in (0.0, 1.0))

    def _try(self, plan: Plan) -> bool:
        """Fills bars by a plan and keeps it when it is no worse. True when it is better."""
        layout = self._filled(plan)
        score = aims(self.job, layout)
        if self.score is not None and score > self.score:
            return False
        better = self.score is None or score < self.score
        if better and faults(self._own(), layout):
            return False
        self.plan = plan
        if better:
            self.best, self.score = layout, score
        return better

    def _own(self) -> NestingJob:
        """The job with only this group's blanks asked for, to be verified against."""
        parts = (p if i in self.parts else replace(p, quantity=0) for i, p in enumerate(self.job.parts))
        own = {bar.stock for bar in self.kept}
        return replace(self.job, parts=tuple(parts), kept=tuple(use for use in self.job.kept if use.stock in own))

    def _filled(self, plan: Plan) -> Layout:
        """Each blank in turn on the rack where it can, else on a bar already bought, else on one more."""
        bars = [replace(bar, placed=[*bar.placed], full_for=set()) for bar in self.kept]
        left: dict[int, int] = {}
        for part, upside in zip(plan.blanks, plan.upside, strict=True):
            if not any(self._placed(bars, stock, part, upside, new) for stock, new in self._tries(plan, bars)):
                left[part] = left.get(part, 0) + 1
        return Layout(tuple(as_use(self.job, bar) for bar in bars), tuple(sorted(left.items())))

    def _tries(self, plan: Plan, bars: list[OpenBar]) -> Iterator[tuple[int, bool]]:
        """Kinds of bar to try and whether a new one of it may be opened: the rack whole before what costs money."""
        rack = [s for s in plan.bars if self.job.stock[s].source != "buy"]
        shop = [s for s in plan.bars if self.job.stock[s].source == "buy"]
        taken = Counter(bar.stock for bar in bars)
        for stock in rack:
            yield stock, False
            if taken[stock] < plan.most[stock]:
                yield stock, True
        yield from ((stock, False) for stock in shop)
        yield from ((stock, True) for stock in shop if taken[stock] < plan.most[stock])

    def _placed(self, bars: list[OpenBar], stock: int, part: int, upside: float, new: bool) -> bool:
        """Puts a blank on an open bar of a kind, or on a new one of it."""
        if (part, stock) not in self.fits:
            return False
        if new:
            bar = OpenBar(stock)
            fits = place(self.job, self.tables, bar, part, upside)
            bars += [bar] if fits else []
            return fits
        return any(place(self.job, self.tables, bar, part, upside) for bar in bars if bar.stock == stock)

    def _changed(self) -> Plan:
        """The plan with something small changed by chance."""
        plan, chance = self.plan, self.chance
        match int(chance.integers(5)):
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
        """Bars in another order, or fewer of one kind."""
        plan, chance = self.plan, self.chance
        if not plan.bars:
            return plan
        stock = plan.bars[int(chance.integers(len(plan.bars)))]
        if chance.random() < 0.5:
            return replace(plan, bars=_swapped(plan.bars, chance))
        whole = self.job.stock[stock].count or len(plan.blanks)
        most = list(plan.most)
        most[stock] = int(chance.integers(whole + 1)) if chance.random() < 0.5 else whole
        return replace(plan, most=tuple(most))

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
