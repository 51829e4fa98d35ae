"""Several bars: the cheapest set that holds the blanks, then the longest offcut.

A first set is filled bar by bar (greedy.py). Then sets near the present one but cheaper are tried (sets.py, cheaper.py),
in turn with emptying one bar blank by blank into the others until a cheaper bar will do, or none is needed (emptying.py).
When nothing can be cheaper, the blanks on the bar with the longest offcut are packed more tightly (strip.py).
"""

from collections.abc import Iterator

import numpy as np

from workbook.nesting.engine import repeats
from workbook.nesting.engine.cheaper import moved_to, proposals
from workbook.nesting.engine.compaction import Strip
from workbook.nesting.engine.emptying import emptied, inserted
from workbook.nesting.engine.greedy import first_standing
from workbook.nesting.engine.ground import EngineLayout, Ground
from workbook.nesting.engine.sets import Proposals, counts
from workbook.nesting.engine.strip import StripSearch

_FIRST_SETS, _NOISE = 6, 0.15  # further first sets, with some randomness in the order of blanks
_SMALL = 400  # blanks times kinds; up to this, every kind is tried as the favourite
_EMPTYING = 0.5  # share of the work on cheaper sets
_SHORTER_WORK = 150_000.0  # spent on shortening a bar at a time
_SHORTER = 0.2  # of the work, while sets may still get cheaper
_SWEEPS = 100  # of the first attempt at a set; more at each further one
_LEAN_AFTER = 1.5e6  # work; each lean makes every move three times as dear
_SAME_COST = 1e-12


class Several:
    """The search for one group of parts and bars. `now` is the best layout by bars; of those, usually the shortest."""

    def __init__(self, ground: Ground, bound: float) -> None:
        self.ground = ground
        self.bound = bound  # no set is cheaper, in the units of `Kinds.cost`
        self.now = ground.nothing()
        self._shorter: tuple[tuple[int, ...], StripSearch, Iterator[None]] | None = None

    @property
    def settled(self) -> bool:
        """Whether no set of bars can be cheaper."""
        return self.ground.left(self.now) == 0.0 and self.ground.cost(self.now) <= self.bound + _SAME_COST

    @property
    def _may_empty(self) -> bool:
        """Whether there is a bar that can be dropped, and another for its blanks."""
        return len(self.now.bars) > max(1, len(self.ground.kinds.kept))

    def steps(self) -> Iterator[None]:
        """Search endlessly, yielding between short pieces of work. The first layout exists after the first."""
        self.accept(first_standing(self.ground, 0.0))
        yield
        kinds, blanks = len(self.ground.kinds.stock), len(self.ground.part)
        for favourite in range(kinds if kinds > 1 and kinds * blanks <= _SMALL else 0):
            self.accept(first_standing(self.ground, 0.0, favourite))
            yield
        for _ in range(_FIRST_SETS if kinds > 1 else 0):
            self.accept(first_standing(self.ground, _NOISE))
            yield
        offered: Proposals | None = None
        start_work, emptying = self.ground.work, 0.0
        while True:
            if self.ground.work > _LEAN_AFTER and not self.ground.field.leans:
                self.ground.lean()
                self._shorter = None
            if self.ground.left(self.now) > 0.0:
                self.accept((yield from inserted(self.ground, self.now)))
                yield
            if self.settled or (offered is not None and offered.hopeless):
                yield from self._shorten(_SHORTER_WORK)
                continue
            if offered is None:
                offered = yield from proposals(self.ground, self.now)
            if self._may_empty and emptying < (self.ground.work - start_work) * _EMPTYING:
                before = self.ground.work
                self.accept((yield from emptied(self.ground, self.now)), sideways=True)
                emptying += self.ground.work - before
                continue
            before = self.ground.work
            yield from self._cheaper(offered)
            yield from self._shorten(_SHORTER * (self.ground.work - before))

    def accept(self, layout: EngineLayout | None, *, sideways: bool = False) -> bool:
        """Take a layout that is better: less area left over, then cheaper, then with a longer offcut (unless `sideways`)."""
        if layout is None:
            return False
        (unplaced, cost, short), (new_unplaced, new_cost, new_short) = self.ground.rank(self.now), self.ground.rank(layout)
        if new_unplaced != unplaced:
            better = new_unplaced < unplaced
        elif abs(new_cost - cost) > _SAME_COST:
            better = new_cost < cost
        else:
            better = sideways or new_short < short - 1e-9
        self.now = layout if better else self.now
        return better

    def _cheaper(self, offered: Proposals) -> Iterator[None]:
        """Try one cheaper set."""
        kinds = self.ground.kinds
        sets = offered.near(counts(self.now.bars, len(kinds.stock)))
        choice = offered.choose(sets, self.ground.cost(self.now), self.ground.choice)
        if choice is None:
            offered.hope()
            yield
            return
        chosen, likely, need = choice
        attempts = offered.tried.get(chosen, 0)
        more = np.array(chosen) - counts(kinds.kept, len(kinds.stock))
        bars = [*kinds.kept, *sorted((k for k, c in enumerate(more.tolist()) for _ in range(c)), key=lambda k: -kinds.area[k])]
        layout = yield from moved_to(self.ground, self.now, bars, _SWEEPS * (attempts + 1), warm=attempts % 2 == 0)
        offered.learn(chosen, likely, need, success=self.accept(layout))

    def _shorten(self, work: float) -> Iterator[None]:
        """Shorten the bar with the longest offcut, for so much work; the search for its blanks continues where it stopped."""
        if not self.now.bars:
            yield
            return
        bar = int(np.argmax(self.ground.offcuts(self.now)))
        blanks = self.now.on(bar)
        key = (self.now.bars[bar], *blanks.tolist())
        if self._shorter is None or self._shorter[0] != key:
            self._shorter = (key, *self._strip_search(bar))
        _, search, going = self._shorter
        start_work = search.work
        while search.work <= start_work + work:
            next(going)
            if search.sure.length < self.ground.used(self.now, bar) - 1e-9:
                self.accept(self.now.with_blanks(blanks, bar, *search.sure.places))
            yield
        self.ground.work += search.work - start_work

    def _strip_search(self, bar: int) -> tuple[StripSearch, Iterator[None]]:
        ground, blanks = self.ground, self.now.on(bar)
        start = Strip(self.now.pose[blanks], self.now.x[blanks], self.now.y[blanks], ground.used(self.now, bar))
        width = float(ground.kinds.width[self.now.bars[bar]])
        search = StripSearch(ground.field, ground.part[blanks], width, ground.seed, start)
        return search, repeats.steps(ground.field, search, ground.seed)
