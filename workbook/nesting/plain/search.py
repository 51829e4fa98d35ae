"""The search without compiled code: it empties some bars and fills their blanks into others or into cheaper ones.

`layouts` yields after every step; the caller stops it by not asking for more. It uses no clock and only seeded random numbers:
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

_FREE = 1e-3  # the cost counted for a bar that costs nothing
_NO_ROOM = 1e-3  # mm, the room of a bar that is all margin
_HALF_FULL = 0.5  # share of its area that a bar is expected to hold when nothing is known
_MOST_EMPTIED, _MOST_BLANKS = 4, 32  # bars emptied together, and the blanks on them if more than one
_EMPTIED = (0.2, 0.4, 0.3, 0.1)  # probability of emptying one, two, three, four
_WEAK = 0.7  # probability of emptying those that hold least for their price
_INTO_OTHERS = 0.5  # probability of trying the blanks on the bars that stay
_SAME = 0.3  # probability of also allowing bars of the same price
_AS_BEFORE = 0.1  # probability of filling blanks in nearly the order they had
_ORDERS, _FEW_LEFT = 6, 2  # orders tried on new bars, and the most blanks left over for that
_SHORTER_OFFCUT = 0.3  # probability of continuing from one at the same price


class PlainLayout(Struct, frozen=True):
    """Bars with their blanks, kept bars first, and the blanks that found no room."""

    bars: tuple[FilledBar, ...]
    left: tuple[Wish, ...]


class _PlainGroup:
    """One independent group of parts and bars: its current layout, and the best verified one with its score."""

    def __init__(self, filling: Filling, parts: list[int], stock: list[int], chance: np.random.Generator) -> None:
        self.filling, self.chance, job = filling, chance, filling.job
        group_parts = (part if p in parts else replace(part, quantity=0) for p, part in enumerate(job.parts))
        self.job = replace(job, parts=tuple(group_parts), kept=tuple(use for use in job.kept if use.stock in stock))
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
        """The blanks to be placed, largest first, with the two edges in turn."""
        staying = Counter(piece.part for bar in self.kept for piece in bar.kept)
        parts = sorted(parts, key=lambda p: -self.area[p])
        free = [p for p in parts for _ in range(self.job.parts[p].quantity - staying[p])]
        return tuple((part, float(n % 2)) for n, part in enumerate(free))

    def step(self) -> bool:
        """Do one more step; True when it gives a better layout than the best so far."""
        before = self.now
        next(self.going)
        return (self.best is None or self.now is not before) and self._look()

    def _look(self) -> bool:
        """Verify the current layout and keep it when it is better and sound."""
        left_over = Counter(part for part, _ in self.now.left)
        layout = Layout(tuple(as_use(self.job, bar) for bar in self.now.bars), tuple(sorted(left_over.items())))
        score = aims(self.job, layout)
        if (self.score is not None and score >= self.score) or faults(self.job, layout):
            return False
        self.best, self.score = layout, score
        return True

    def _steps(self) -> Iterator[None]:
        """Run endlessly. The first layout exists after the first step."""
        self.now = self._first_fit()
        yield
        self._accept((yield from self._bar_by_bar()))
        yield
        exchange = yield from self._exchange()
        while True:
            self._accept(self._again(exchange))
            yield

    def _accept(self, layout: PlainLayout | None) -> None:
        """Continue from a layout that is no worse; sometimes from one with a shorter offcut."""
        if layout is None:
            return
        worth, now = self._worth(layout), self._worth(self.now)
        same = worth[:2] == now[:2]
        better = worth <= now or (same and self.chance.random() < _SHORTER_OFFCUT)
        self.now = layout if better else self.now

    def _worth(self, standing: PlainLayout) -> tuple[float, float, float]:
        """The score to be minimised: area of blanks left over (mm²), price, minus the longest offcut (mm)."""
        offcut = max((self.job.stock[bar.stock].length - bar.end for bar in standing.bars), default=0.0)
        return round(self._held(standing.left), 6), round(sum(self.cost[bar.stock] for bar in standing.bars), 6), -offcut

    def _held(self, wishes: Iterable[Wish]) -> float:
        return sum(self.area[part] for part, _ in wishes)

    def _first_fit(self) -> PlainLayout:
        """Place each blank on the first bar that takes it, else on a new bar of the first kind that does."""
        bars, unplaced, in_use = [*self.kept], list[Wish](), Counter(bar.stock for bar in self.kept)
        for wish in self.blanks:
            bars, missed = self.filling.filled(bars, [wish])
            if missed:
                spare = (self.empty[s] for s in self.stock if in_use[s] < self.count[s])
                new = next((more for bar in spare if (more := self.filling.with_one(bar, wish)) is not None), None)
                if new is None:
                    unplaced.append(wish)
                else:
                    bars.append(new)
                    in_use[new.stock] += 1
        return PlainLayout(tuple(bars), tuple(unplaced))

    def _bar_by_bar(self) -> Generator[None, None, PlainLayout]:
        """Add bar after bar, each of the kind that takes the most area of the remaining blanks for its price."""
        bars, unplaced = self.filling.filled(self.kept, self.blanks)
        in_use = Counter(bar.stock for bar in bars)
        while unplaced:
            total = self._held(unplaced)
            hope = {s: min(self.room[s], total) / self.cost[s] for s in self.stock if in_use[s] < self.count[s]}
            best, most = None, 0.0
            for s in sorted(hope, key=lambda s: -hope[s]):
                if hope[s] <= most:
                    break
                (bar,), remaining = self.filling.filled([self.empty[s]], unplaced)
                worth = self._held(bar.wishes) / self.cost[s]
                best, most = ((bar, remaining), worth) if worth > most else (best, most)
                yield
            if best is None:
                break
            bar, unplaced = best
            bars.append(bar)
            in_use[bar.stock] += 1
        return PlainLayout(tuple(bars), tuple(unplaced))

    def _exchange(self) -> Generator[None, None, Exchange]:
        """Estimate how full bars of each width get, by filling the longest of each."""
        share = dict[float, float]()
        for s in sorted(self.stock, key=lambda s: -self.room[s]):
            bar = self.job.stock[s]
            if bar.width not in share:
                (filled,), _ = self.filling.filled([self.empty[s]], self.blanks)
                usable = self.room[s] * (1.0 if len(filled.wishes) < len(self.blanks) else min(1.0, filled.end / bar.length))
                share[bar.width] = self._held(filled.wishes) / usable if filled.wishes else _HALF_FULL
                yield
        return Exchange(self.cost, {s: room * share[self.job.stock[s].width] for s, room in self.room.items()}, self.count)

    def _again(self, exchange: Exchange) -> PlainLayout | None:
        """Empty some bars and fill their blanks into others; None when that fails."""
        out = self._emptied()
        blanks = [*(wish for n in sorted(out) for wish in self.now.bars[n].wishes), *self.now.left]
        if not blanks:
            return None
        kept_count, others = len(self.kept), [bar for n, bar in enumerate(self.now.bars) if n >= len(self.kept) and n not in out]
        stay = [self.kept[n] if n in out else self.now.bars[n] for n in range(kept_count)]
        price = sum(self.cost[self.now.bars[n].stock] for n in out if n >= kept_count)
        wishes = self._order(blanks)
        if kept_count or self.now.left or self.chance.random() < _INTO_OTHERS:
            mixed = [others[n] for n in self.chance.permutation(len(others)).tolist()]
            filled, wishes = self.filling.filled([*stay, *mixed], wishes)
        else:
            filled = [*stay, *others]
        result = self._on_new(exchange, wishes, price, filled) if wishes else ([], [])
        return None if result is None else PlainLayout((*filled, *result[0]), tuple(result[1]))

    def _on_new(
        self, exchange: Exchange, wishes: list[Wish], price: float, others: Sequence[FilledBar]
    ) -> tuple[list[FilledBar], list[Wish]] | None:
        """Place blanks on new bars; returns those and what is left over, if some was before. None when that fails."""
        short, in_use = bool(self.now.left), Counter(bar.stock for bar in others)
        same = bool(self.chance.random() < _SAME)
        chosen = exchange.chosen(self._held(wishes), inf if short else price, in_use, self.chance, same=same)
        if chosen is None:
            return ([], wishes) if short else None
        bars = [self.empty[s] for s in chosen.stock]
        new, unplaced = self.filling.filled(bars, wishes) if short else self._all_on(bars, wishes)
        exchange.learn(chosen, success=not unplaced)
        return None if unplaced and not short else ([bar for bar in new if bar.wishes], unplaced)

    def _all_on(self, bars: Sequence[FilledBar], wishes: list[Wish]) -> tuple[list[FilledBar], list[Wish]]:
        """Try to place all blanks on some bars: if few find no room, try them earlier, as long as no more is left over."""
        new, unplaced = self.filling.filled(bars, wishes)
        for _ in range(_ORDERS):
            if not 0 < len(unplaced) <= _FEW_LEFT:
                break
            order = self._earlier(wishes, unplaced)
            attempt = self.filling.filled(bars, order)
            if self._held(attempt[1]) <= self._held(unplaced):
                wishes, (new, unplaced) = order, attempt
        return new, unplaced

    def _earlier(self, wishes: Sequence[Wish], remaining: Sequence[Wish]) -> list[Wish]:
        """The order with one of the remaining blanks earlier, half the time with another change."""
        wish, order = remaining[int(self.chance.integers(len(remaining)))], [*wishes]
        at = len(order) - 1 - order[::-1].index(wish)
        order.insert(int(self.chance.integers(at + 1)), order.pop(at))
        return self._changed(order) if self.chance.random() < 1 / 2 else order

    def _emptied(self) -> set[int]:
        """Choose the bars to empty."""
        full = [n for n, bar in enumerate(self.now.bars) if bar.wishes]
        count = min(len(full), 1 + int(self.chance.choice(_MOST_EMPTIED, p=_EMPTIED)))
        if self.chance.random() < _WEAK:
            worth = {n: self._held(self.now.bars[n].wishes) / self.cost[self.now.bars[n].stock] for n in full}
            order = sorted(full, key=lambda n: worth[n] * self.chance.uniform(0.6, 1.4))
        else:
            order = [full[n] for n in self.chance.permutation(len(full)).tolist()]
        while count > 1 and sum(len(self.now.bars[n].wishes) for n in order[:count]) > _MOST_BLANKS:
            count -= 1
        return set(order[:count])

    def _order(self, wishes: Sequence[Wish]) -> list[Wish]:
        """The order in which to fill blanks in: with a small change, or mostly large ones first."""
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
        """Whether nothing is left to gain: one blank at the least price, or none to move. With more, the offcut may grow."""
        if self.score is None or len(self.blanks) > 1:
            return False
        return not self.blanks or (self.score[0] == 0 and self.score[1] + self.score[2] <= self._bound)

    @property
    def _bound(self) -> Decimal:
        return area_bound(self.job, [part.quantity for part in self.job.parts])


def layouts(job: NestingJob, seed: int) -> Generator[Progress, Layout | None, None]:
    """Yield verified layouts, each step's best; the first comes at once. Stop by not asking for more."""
    filling, chance = Filling(job), np.random.default_rng(seed)
    plain_groups = [_PlainGroup(filling, parts, stock, chance) for parts, stock in groups(job)]
    plain_groups = [group for group in plain_groups if group.blanks or group.kept]
    for group in plain_groups:
        group.step()
    for step in count(1):
        active = [group for group in plain_groups if not group.done]
        improved = active[step % len(active)].step() if step > 1 and active else step == 1
        yield Progress(step, together(job, [group.best for group in plain_groups]), not active, improved, "plain")
        if not active:
            return
