"""A stream of layouts of a whole job: each group of parts and bars that suit each other is searched in turn."""

from collections.abc import Generator, Iterator
from itertools import count

import numpy as np
from msgspec import Struct

from workbook.nesting.aims import Score, aims, together
from workbook.nesting.bounds import Offer, groups, grown_area, least_price
from workbook.nesting.engine.field import field
from workbook.nesting.engine.ground import EngineLayout, Ground
from workbook.nesting.engine.sets import counts
from workbook.nesting.engine.several import Several
from workbook.nesting.engine.standings import layout_of, standing_of
from workbook.nesting.engine.stock import Kinds, kinds
from workbook.nesting.fits import fits_alone
from workbook.nesting.model import Layout, NestingJob, Progress
from workbook.nesting.verify import faults
from workbook.structs import replace

_SETTLED = 4.0  # a settled group gets this many times less work


class _Group(Struct):
    """One group: its search, and the best verified layout with its score."""

    job: NestingJob  # with this group's blanks only
    search: Several
    going: Iterator[None]
    seen: EngineLayout | None = None
    best: Layout | None = None
    score: Score | None = None

    def step(self) -> bool:
        """Do one more piece of work; True when the layout improved."""
        next(self.going)
        return self._look()

    def take(self, layout: Layout) -> bool:
        """Continue from a layout found elsewhere, if it is better; True when it was."""
        standing = standing_of(self.job, self.search.ground, layout)
        return standing is not None and self.search.accept(standing) and self._look()

    def _look(self) -> bool:
        """Verify the search's best layout, if it is new, and keep it when it is better and sound."""
        if self.search.now is self.seen:
            return False
        self.seen = self.search.now
        layout = layout_of(self.job, self.search.ground, self.seen)
        score = aims(self.job, layout)
        if (self.score is not None and score >= self.score) or faults(self.job, layout):
            return False
        self.best, self.score = layout, score
        return True

    @property
    def done(self) -> bool:
        """Whether nothing is left to gain: no movable blank, or one alone on the cheapest bar."""
        free = int(self.search.ground.free.sum())
        return self.best is not None and (free == 0 or (free == len(self.search.ground.part) == 1 and self.search.settled))


def layouts(job: NestingJob, seed: int) -> Generator[Progress, Layout | None, None]:
    """Yield verified layouts, each step's best. Stop by not asking for more. A better layout sent in is continued from."""
    needed = [p for p, part in enumerate(job.parts) if part.quantity]
    staying = {piece.part for use in job.kept for piece in use.pieces}
    fitting = staying.union(p for p in needed if any(q == p and fits_alone(job, p, s) for q, s in job.suits))
    unfit = Layout((), tuple((p, job.parts[p].quantity) for p in needed if p not in fitting))
    searches = [
        _group(job, sorted(group_parts), stock, seed)
        for parts, stock in groups(job)
        if (group_parts := fitting.intersection(parts))
    ]
    for group in searches:
        group.step()
    for step in count(1):
        active = [group for group in searches if not group.done]
        improved = min(active, key=_turn).step() if step > 1 and active else True
        layout = yield Progress(step, together(job, [*(group.best for group in searches), unfit]), not active, improved)
        if layout is not None:
            for group in searches:
                group.take(layout)
        if not active:
            return


def _turn(group: _Group) -> float:
    """The priority of a group, least first: groups share the work, and one whose bars cannot get cheaper takes less of it."""
    return group.search.ground.work * (_SETTLED if group.search.settled else 1.0)


def _group(job: NestingJob, parts: list[int], stock: list[int], seed: int) -> _Group:
    group_job = replace(job, parts=tuple(p if i in parts else replace(p, quantity=0) for i, p in enumerate(job.parts)))
    area = np.array([grown_area(job, p) for p in parts])
    group_job = replace(group_job, kept=tuple(use for use in job.kept if use.stock in stock))
    staying = [piece.part for use in group_job.kept for piece in use.pieces]
    free = np.repeat(np.arange(len(parts)), [job.parts[p].quantity - staying.count(p) for p in parts])
    part = np.r_[free, len(parts) + np.arange(len(staying))].astype(np.int64)
    sizes = np.r_[area[free], area[[parts.index(p) for p in staying]]]
    bar_kinds = kinds(group_job, parts, stock, len(part))
    ground = Ground(field(group_job, parts), bar_kinds, part, sizes, seed)
    search = Several(ground, _bound(bar_kinds, float(sizes.sum())))
    return _Group(group_job, search, search.steps())


def _bound(bar_kinds: Kinds, area: float) -> float:
    """A lower bound of any set's cost: the kept bars, completely filled, and the cheapest bars for the rest by area."""
    kept_counts = counts(bar_kinds.kept, len(bar_kinds.stock))
    rows = zip(bar_kinds.cost, bar_kinds.area, bar_kinds.count - kept_counts, strict=True)
    offers = [Offer(float(cost), float(room), int(count)) for cost, room, count in rows]
    return float(kept_counts @ bar_kinds.cost) + least_price(offers, max(0.0, area - float(kept_counts @ bar_kinds.area)))
