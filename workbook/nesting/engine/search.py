"""Streams layouts of a whole job: each group of parts and bars that have to do with each other is searched in turn."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import count

import numpy as np

from workbook.nesting.aims import Score, aims, together
from workbook.nesting.bounds import Offer, groups, grown_area, least_price
from workbook.nesting.engine.field import field
from workbook.nesting.engine.ground import Ground, Standing
from workbook.nesting.engine.several import Several
from workbook.nesting.engine.stock import kinds
from workbook.nesting.fits import fits_alone, inward
from workbook.nesting.model import BarUse, Layout, NestingJob, Progress
from workbook.nesting.verify import faults

_SETTLED = 4.0  # times less work


@dataclass(slots=True)
class _Group:
    """One group: its search, and the best verified layout with its score."""

    job: NestingJob  # with this group's blanks only
    search: Several
    going: Iterator[None]
    seen: Standing | None = None
    best: Layout | None = None
    score: Score | None = None

    def step(self) -> bool:
        """One more piece of work. True when the layout got better."""
        next(self.going)
        if self.search.now is self.seen:
            return False
        self.seen = self.search.now
        layout = _layout(self.job, self.search.ground, self.seen)
        score = aims(self.job, layout)
        if (self.score is not None and score >= self.score) or faults(self.job, layout):
            return False
        self.best, self.score = layout, score
        return True

    @property
    def done(self) -> bool:
        """One blank on the cheapest bar: nothing left to gain."""
        return self.best is not None and len(self.search.ground.part) == 1 and self.search.settled


def layouts(job: NestingJob, seed: int) -> Iterator[Progress]:
    """Verified layouts, each step's best. Stop by not asking for more."""
    wanted = [p for p, part in enumerate(job.parts) if part.quantity]
    fitting = {p for p in wanted if any(q == p and fits_alone(job, p, s) for q, s in job.suits)}
    unfit = Layout((), tuple((p, job.parts[p].quantity) for p in wanted if p not in fitting))
    found = [_group(job, sorted(own), stock, seed) for parts, stock in groups(job) if (own := fitting.intersection(parts))]
    for group in found:
        group.step()
    for step in count(1):
        still = [group for group in found if not group.done]
        improved = min(still, key=_turn).step() if step > 1 and still else True
        yield Progress(step, together([*(group.best for group in found), unfit]), not still, improved)
        if not still:
            return


def _turn(group: _Group) -> float:
    """Whose turn it is: groups share the work, and one whose bars cannot get cheaper takes less of it."""
    return group.search.ground.work * (_SETTLED if group.search.settled else 1.0)


def _group(job: NestingJob, parts: list[int], stock: list[int], seed: int) -> _Group:
    own = replace(job, parts=tuple(p if i in parts else replace(p, quantity=0) for i, p in enumerate(job.parts)))
    area = np.array([grown_area(job, p) for p in parts])
    part = np.repeat(np.arange(len(parts)), [job.parts[p].quantity for p in parts])
    offered = kinds(job, parts, stock, len(part))
    offers = [Offer(float(c), float(a), int(n)) for c, a, n in zip(offered.cost, offered.area, offered.count, strict=True)]
    bound = least_price(offers, float(area[part].sum()))
    ground = Ground(field(job, parts), offered, part.astype(np.int64), area[part], seed)
    search = Several(ground, bound)
    return _Group(own, search, search.steps())


def _layout(job: NestingJob, ground: Ground, standing: Standing) -> Layout:
    """A standing as a layout: blanks from end A on, those without a bar counted."""
    half, poses = job.separation / 2, ground.field.poses
    corner = inward(job.bar_end) - half, inward(job.bar_edge) - half
    uses = []
    for b, kind in enumerate(standing.bars):
        own = sorted(standing.on(b), key=lambda i: (standing.x[i] + poses.left[standing.pose[i]], standing.y[i]))
        pieces = (poses.piece(int(standing.pose[i]), standing.x[i], standing.y[i], corner) for i in own)
        uses.append(BarUse(int(ground.kinds.stock[kind]), tuple(pieces)))
    left = {p: part_.quantity for p, part_ in enumerate(job.parts) if part_.quantity}
    for use in uses:
        for piece in use.pieces:
            left[piece.part] -= 1
    return Layout(tuple(uses), tuple((p, n) for p, n in sorted(left.items()) if n))
