"""The search without compiled code: some bars are emptied, and their blanks filled into others or into cheaper ones.

`layouts` yields after every step; the caller stops it by not asking for more. It has no clock and no chance of its own:
the same job, seed and number of steps give the same layout.
"""

from collections import Counter
from collections.abc import Generator, Iterable, Iterator, Sequence
from decimal import Decimal
from itertools import count
from math import inf, prod

import numpy as np
from msgspec import Struct

from workbook.nesting.aims import Score, aims, together
from workbook.nesting.bounds import area_bound, groups, grown_area, inner_room
from workbook.nesting.model import Layout, NestingJob, Progress
from workbook.nesting.plain.exchange import Exchange
from workbook.nesting.plain.placing import FilledBar, Filling, Wish, as_use, kept_bar
from workbook.nesting.verify import faults
from workbook.structs import replace

_FREE = 1e-3  # what a bar that costs nothing counts
_NO_ROOM = 1e-3  # mm of a bar that is all margin
_HALF_FULL = 0.5  # share of its area that a bar is expected to hold when nothing is known
_MOST_EMPTIED, _MOST_BLANKS = 4, 32  # bars emptied together, and blanks on them when it is more than one
_EMPTIED = (0.2, 0.4, 0.3, 0.1)  # how often one, two, three, four
_WEAK = 0.7  # how often those are emptied that hold least for their price
_INTO_OTHERS = 0.5  # how often blanks are tried on the bars that stay
_SAME = 0.3  # how often bars of the same price are taken too
_AS_BEFORE = 0.1  # how often blanks are filled nearly in the order they had
_ORDERS, _FEW_LEFT = 6, 2  # tried on new bars, when no more blanks than this are left over
_SHORTER_OFFCUT = 0.3  # how often one is gone on from at the same price


class PlainLayout(Struct, frozen=True):
    """Bars with their blanks, those that are kept first, and blanks that found no room."""

    bars: tuple[FilledBar, ...]
    left: tuple[Wish, ...]


class _PlainGroup:
    """One independent group of parts and bars: what stands now, and the best verified layout with its score."""

    def __init__(self, filling: Filling, parts: list[int], stock: list[int], chance: np.random.Generator) -> None:
        self.filling, self.chance, job = filling, chance, filling.job
        own = (part if p in parts else replace(part, quantity=0) for p, part in enumerate(job.parts))
        self.job = replace(job, parts=tuple(own), kept=tuple(use for use in job.kept if use.stock in stock))
        self.area = {p: grown_area(job, p) for p in parts}
        self.cost = {s: max(float(job.counts(s)), _FREE) for s in stock}
        self.room = {s: prod(max(side, _NO_ROOM) for side in inner_room(job, s)) for s in stock}
        self.stock = sorted(stock, key=lambda s: (job.stock[s].source == "buy", self.cost[s] / self.room[s]))
        self.kept = tuple(kept_bar(job, use) for use in self.job.kept)
        self.blanks = self._blanks(parts)
        counted = {s: job.stock[s].count for s in stock}
        self.count = {s: len(self.blanks) + len(self.kept) if n is None else n for s, n in counted.items()}
        self.empty = {s: FilledBar(s) for s in stock}
        self.now = PlainLayout(self.kept, self.blanks)
        self.going = self._steps()
        self.best: Layout | None = None
        self.score: Score | None = None

    def _blanks(self, parts: Iterable[int]) -> tuple[Wish, ...]:
        """Those to be placed, the largest first, the two edges in turn."""
        staying = Counter(piece.part for bar in self.kept for piece in bar.kept)
        parts = sorted(parts, key=lambda p: -self.area[p])
        free = [p for p in parts for _ in range(self.job.parts[p].quantity - staying[p])]
        return tuple((part, float(n % 2)) for n, part in enumerate(free))

    def step(self) -> bool:
        """Works on. True when there is a better layout than the best so far."""
        before = self.now
        next(self.going)
        return (self.best is None or self.now is not before) and self._look()

    def _look(self) -> bool:
        """Makes a layout of what stands now, and keeps it when it is better and sound."""
        left = Counter(part for part, _ in self.now.left)
        layout = Layout(tuple(as_use(self.job, bar) for bar in self.now.bars), tuple(sorted(left.items())))
        score = aims(self.job, layout)
        if (self.score is not None and score >= self.score) or faults(self.job, layout):
            return False
        self.best, self.score = layout, score
        return True

    def _steps(self) -> Iterator[None]:
        """Endless. The first standing is there after the first."""
        self.now = self._first_fit()
        yield
        self._accept((yield from self._bar_by_bar()))
        yield
        exchange = yield from self._exchange()
        while True:
            self._accept(self._again(exchange))
            yield

    def _accept(self, layout: PlainLayout | None) -> None:
        """Goes on from what is no worse; sometimes from a shorter offcut."""
        if layout is None:
            return
        worth, now = self._worth(layout), self._worth(self.now)
        same = worth[:2] == now[:2]
        better = worth <= now or (same and self.chance.random() < _SHORTER_OFFCUT)
        self.now = layout if better else self.now

    def _worth(self, standing: PlainLayout) -> tuple[float, float, float]:
        """The less, the better: area of blanks left over, price, less the longest offcut."""
        offcut = max((self.job.stock[bar.stock].length - bar.end for bar in standing.bars), default=0.0)
        return round(self._held(standing.left), 6), round(sum(self.cost[bar.stock] for bar in standing.bars), 6), -offcut

    def _held(self, wishes: Iterable[Wish]) -> float:
        return sum(self.area[part] for part, _ in wishes)

    def _first_fit(self) -> PlainLayout:
        """Each blank on the first bar that takes it, else on one more of the first kind that does."""
        bars, left, taken = [*self.kept], list[Wish](), Counter(bar.stock for bar in self.kept)
        for wish in self.blanks:
            bars, missed = self.filling.filled(bars, [wish])
            if missed:
                spare = (self.empty[s] for s in self.stock if taken[s] < self.count[s])
                new = next((more for bar in spare if (more := self.filling.with_one(bar, wish)) is not None), None)
                if new is None:
                    left.append(wish)
                else:
                    bars.append(new)
                    taken[new.stock] += 1
        return PlainLayout(tuple(bars), tuple(left))

    def _bar_by_bar(self) -> Generator[None, None, PlainLayout]:
        """Bar after bar the kind that takes most area of the blanks left for its price."""
        bars, left = self.filling.filled(self.kept, self.blanks)
        taken = Counter(bar.stock for bar in bars)
        while left:
            all_ = self._held(left)
            hope = {s: min(self.room[s], all_) / self.cost[s] for s in self.stock if taken[s] < self.count[s]}
            best, most = None, 0.0
            for s in sorted(hope, key=lambda s: -hope[s]):
                if hope[s] <= most:
                    break
                (bar,), rest = self.filling.filled([self.empty[s]], left)
                worth = self._held(bar.wishes) / self.cost[s]
                best, most = ((bar, rest), worth) if worth > most else (best, most)
                yield
            if best is None:
                break
            bar, left = best
            bars.append(bar)
            taken[bar.stock] += 1
        return PlainLayout(tuple(bars), tuple(left))

    def _exchange(self) -> Generator[None, None, Exchange]:
        """How full bars of each width get, by filling the longest of each."""
        share = dict[float, float]()
        for s in sorted(self.stock, key=lambda s: -self.room[s]):
            bar = self.job.stock[s]
            if bar.width not in share:
                (filled,), _ = self.filling.filled([self.empty[s]], self.blanks)
                used = self.room[s] * (1.0 if len(filled.wishes) < len(self.blanks) else min(1.0, filled.end / bar.length))
                share[bar.width] = self._held(filled.wishes) / used if filled.wishes else _HALF_FULL
                yield
        return Exchange(self.cost, {s: room * share[self.job.stock[s].width] for s, room in self.room.items()}, self.count)

    def _again(self, exchange: Exchange) -> PlainLayout | None:
        """The same with some bars emptied and their blanks filled into others; None when that was not found."""
        out = self._emptied()
        blanks = [*(wish for n in sorted(out) for wish in self.now.bars[n].wishes), *self.now.left]
        if not blanks:
            return None
        kept, others = len(self.kept), [bar for n, bar in enumerate(self.now.bars) if n >= len(self.kept) and n not in out]
        stay = [self.kept[n] if n in out else self.now.bars[n] for n in range(kept)]
        price = sum(self.cost[self.now.bars[n].stock] for n in out if n >= kept)
        wishes = self._order(blanks)
        if kept or self.now.left or self.chance.random() < _INTO_OTHERS:
            mixed = [others[n] for n in self.chance.permutation(len(others)).tolist()]
            filled, wishes = self.filling.filled([*stay, *mixed], wishes)
        else:
            filled = [*stay, *others]
        found = self._on_new(exchange, wishes, price, filled) if wishes else ([], [])
        return None if found is None else PlainLayout((*filled, *found[0]), tuple(found[1]))

    def _on_new(
        self, exchange: Exchange, wishes: list[Wish], price: float, others: Sequence[FilledBar]
    ) -> tuple[list[FilledBar], list[Wish]] | None:
        """Blanks on other bars than they had, and what is left over if some was before; None when that was not found."""
        short, taken = bool(self.now.left), Counter(bar.stock for bar in others)
        same = bool(self.chance.random() < _SAME)
        chosen = exchange.chosen(self._held(wishes), inf if short else price, taken, self.chance, same=same)
        if chosen is None:
            return ([], wishes) if short else None
        bars = [self.empty[s] for s in chosen.stock]
        new, left = self.filling.filled(bars, wishes) if short else self._all_on(bars, wishes)
        exchange.learn(chosen, success=not left)
        return None if left and not short else ([bar for bar in new if bar.wishes], left)

    def _all_on(self, bars: Sequence[FilledBar], wishes: list[Wish]) -> tuple[list[FilledBar], list[Wish]]:
        """Blanks on bars that may take them all: what finds no room, if little, goes earlier, as long as no more is left over."""
        new, left = self.filling.filled(bars, wishes)
        for _ in range(_ORDERS):
            if not 0 < len(left) <= _FEW_LEFT:
                break
            order = self._earlier(wishes, left)
            found = self.filling.filled(bars, order)
            if self._held(found[1]) <= self._held(left):
                wishes, (new, left) = order, found
        return new, left

    def _earlier(self, wishes: Sequence[Wish], remaining: Sequence[Wish]) -> list[Wish]:
        """The order with one of the blanks left over earlier, half the time with something else changed."""
        wish, order = remaining[int(self.chance.integers(len(remaining)))], [*wishes]
        at = len(order) - 1 - order[::-1].index(wish)
        order.insert(int(self.chance.integers(at + 1)), order.pop(at))
        return self._changed(order) if self.chance.random() < 1 / 2 else order

    def _emptied(self) -> set[int]:
        """Which bars to empty."""
        full = [n for n, bar in enumerate(self.now.bars) if bar.wishes]
        count = min(len(full), 1 + int(self.chance.choice(_MOST_EMPTIED, p=_EMPTIED)))
        if self.chance.random() < _WEAK:
            held = {n: self._held(self.now.bars[n].wishes) / self.cost[self.now.bars[n].stock] for n in full}
            order = sorted(full, key=lambda n: held[n] * self.chance.uniform(0.6, 1.4))
        else:
            order = [full[n] for n in self.chance.permutation(len(full)).tolist()]
        while count > 1 and sum(len(self.now.bars[n].wishes) for n in order[:count]) > _MOST_BLANKS:
            count -= 1
        return set(order[:count])

    def _order(self, wishes: Sequence[Wish]) -> list[Wish]:
        """Blanks in the order in which to fill them in: with something small changed, or large ones mostly first."""
        chance, order = self.chance, [*wishes]
        if chance.random() < _AS_BEFORE:
            return self._changed(order)
        order.sort(key=lambda wish: -self.area[wish[0]] * chance.uniform(0.6, 1.4))
        return [(part, float(chance.integers(2))) for part, _ in order]

    def _changed(self, order: list[Wish]) -> list[Wish]:
        """The order with two blanks exchanged, one moved, or one at the other edge."""
        a, b = self.chance.integers(len(order), size=2).tolist()
        match int(self.chance.integers(3)):
            case 0:
                order[a], order[b] = order[b], order[a]
            case 1:
                order.insert(b, order.pop(a))
            case _:
                order[a] = order[a][0], 1.0 - order[a][1]
        return order

    @property
    def done(self) -> bool:
        """One blank at the least price there is, or none to be moved: nothing left to gain. With more, the offcut may grow."""
        if self.score is None or len(self.blanks) > 1:
            return False
        return not self.blanks or (self.score[0] == 0 and self.score[1] + self.score[2] <= self._bound)

    @property
    def _bound(self) -> Decimal:
        return area_bound(self.job, [part.quantity for part in self.job.parts])


def layouts(job: NestingJob, seed: int) -> Iterator[Progress]:
    """Verified layouts, each step's best; the first comes at once. Stop by not asking for more."""
    filling, chance = Filling(job), np.random.default_rng(seed)
    found = [_PlainGroup(filling, parts, stock, chance) for parts, stock in groups(job)]
    found = [group for group in found if group.blanks or group.kept]
    for group in found:
        group.step()
    for step in count(1):
        still = [group for group in found if not group.done]
        improved = still[step % len(still)].step() if step > 1 and still else step == 1
        yield Progress(step, together(job, [group.best for group in found]), not still, improved, "plain")
        if not still:
            return
