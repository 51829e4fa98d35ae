"""Streams layouts of a whole job: each group of parts and bars that have to do with each other is searched in turn."""

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

_SETTLED = 4.0  # times less work


class _Group(Struct):
    """One group: its search, and the best verified layout with its score."""

    job: NestingJob  # with this group's blanks only
    search: Several
    going: Iterator[None]
    seen: EngineLayout | None = None
    best: Layout | None = None
    score: Score | None = None

    def step(self) -> bool:
        """One more piece of work. True when the layout got better."""
        next(self.going)
        return self._look()

    def take(self, layout: Layout) -> bool:
        """Goes on from a layout found elsewhere, if it is better. True when it was."""
        found = standing_of(self.job, self.search.ground, layout)
        return found is not None and self.search.accept(found) and self._look()

    def _look(self) -> bool:
        """Makes a layout of the search's best, if that is new, and keeps it when it is better and sound."""
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
        """Nothing that may be moved, or one blank on the cheapest bar: nothing left to gain."""
        free = int(self.search.ground.free.sum())
        return self.best is not None and (free == 0 or (free == len(self.search.ground.part) == 1 and self.search.settled))


def layouts(job: NestingJob, seed: int) -> Generator[Progress, Layout | None, None]:
    """Verified layouts, each step's best. Stop by not asking for more. A layout sent in is gone on from where it is better."""
    wanted = [p for p, part in enumerate(job.parts) if part.quantity]
    fitting = {p for p in wanted if any(q == p and fits_alone(job, p, s) for q, s in job.suits)}
    unfit = Layout((), tuple((p, job.parts[p].quantity) for p in wanted if p not in fitting))
    found = [_group(job, sorted(own), stock, seed) for parts, stock in groups(job) if (own := fitting.intersection(parts))]
    for group in found:
        group.step()
    for step in count(1):
        still = [group for group in found if not group.done]
        improved = min(still, key=_turn).step() if step > 1 and still else True
        sent = yield Progress(step, together(job, [*(group.best for group in found), unfit]), not still, improved)
        if sent is not None:
            for group in found:
                group.take(sent)
        if not still:
            return


def _turn(group: _Group) -> float:
    """Whose turn it is: groups share the work, and one whose bars cannot get cheaper takes less of it."""
    return group.search.ground.work * (_SETTLED if group.search.settled else 1.0)


def _group(job: NestingJob, parts: list[int], stock: list[int], seed: int) -> _Group:
    own = replace(job, parts=tuple(p if i in parts else replace(p, quantity=0) for i, p in enumerate(job.parts)))
    area = np.array([grown_area(job, p) for p in parts])
    own = replace(own, kept=tuple(use for use in job.kept if use.stock in stock))
    staying = [piece.part for use in own.kept for piece in use.pieces]
    free = np.repeat(np.arange(len(parts)), [job.parts[p].quantity - staying.count(p) for p in parts])
    part = np.r_[free, len(parts) + np.arange(len(staying))].astype(np.int64)
    sizes = np.r_[area[free], area[[parts.index(p) for p in staying]]]
    offered = kinds(own, parts, stock, len(part))
    ground = Ground(field(own, parts), offered, part, sizes, seed)
    search = Several(ground, _bound(offered, float(sizes.sum())))
    return _Group(own, search, search.steps())


def _bound(offered: Kinds, area: float) -> float:
    """No set costs less: the bars that are kept, filled to the last, and the cheapest for the rest by area."""
    kept = counts(offered.kept, len(offered.stock))
    rows = zip(offered.cost, offered.area, offered.count - kept, strict=True)
    offers = [Offer(float(cost), float(room), int(count)) for cost, room, count in rows]
    return float(kept @ offered.cost) + least_price(offers, max(0.0, area - float(kept @ offered.area)))
