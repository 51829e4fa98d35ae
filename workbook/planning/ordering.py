"""In which order the operations of all lots are placed: by due date first, then bettered by small changes."""

from collections.abc import Iterator, Sequence
from math import exp, inf

from workbook.planning.calendar import NOTHING_HELD, Calendar, Held, Stretch
from workbook.planning.model import Block, Lot, Plan, Stint, cost_of_dates

STEPS = 3000  # plans tried
_MANY = 80  # operations from which fewer plans are tried, since each takes longer
_SEED = 7
_NEAR = 12  # places that an operation is moved by, at most
_HOT = 0.3  # share of a plan's cost, per operation, that a change may cost at first
_SMALL = 1e-9


def dates(lots: Sequence[Lot], order: Sequence[int], calendar: Calendar) -> list[float]:
    """When each lot is done. In the order, the number of a lot stands for the next of its operations."""
    calendar = calendar.copy()
    at, ready = [0] * len(lots), [lot.ready for lot in lots]
    for n in (*_first(lots), *order):
        if ready[n] < inf:
            ready[n] = calendar.put(lots[n].operations[at[n]], ready[n])
            at[n] += 1
    return ready


def _first(lots: Sequence[Lot]) -> list[int]:
    """The lots whose first operation comes before all else; an order is of what is left."""
    return [n for n, lot in enumerate(lots) if lot.urgent and lot.operations]


def planned(lots: Sequence[Lot], order: Sequence[int], calendar: Calendar) -> Plan:
    """The plan of an order."""
    calendar, blocks = calendar.copy(), list[Block]()
    at, ready = [0] * len(lots), [lot.ready for lot in lots]
    for n in (*_first(lots), *order):
        if ready[n] == inf:
            continue
        stretches = list[Stretch]()
        ready[n] = calendar.put(lots[n].operations[at[n]], ready[n], stretches)
        blocks += [
            Block(lot=n, operation=at[n], start=stretch.start, end=stretch.end, pieces=stretch.pieces, set_up=stretch.set_up)
            for stretch in stretches
        ]
        at[n] += 1
    return Plan(blocks=tuple(sorted(blocks, key=lambda block: (block.start, block.end))), done=tuple(ready))


def due_rule(lots: Sequence[Lot], calendar: Calendar) -> list[int]:
    """The order of the due-date rule: whenever the maker is free, what is due first of all that can begin."""
    calendar, order = calendar.copy(), list[int]()
    at, ready = [0] * len(lots), [lot.ready for lot in lots]
    for n in _first(lots):
        ready[n], at[n] = calendar.put(lots[n].operations[0], ready[n]), 1
    going = [n for n, lot in enumerate(lots) if at[n] < len(lot.operations) and ready[n] < inf]
    while going:
        starts = {n: calendar.soonest(lots[n].operations[at[n]], ready[n]) for n in going}
        n = min(going, key=lambda n: (starts[n], lots[n].due, n))
        ready[n] = calendar.put(lots[n].operations[at[n]], ready[n])
        order.append(n)
        at[n] += 1
        if at[n] == len(lots[n].operations) or ready[n] == inf:
            going.remove(n)
    return [*order, *(n for n, lot in enumerate(lots) for _rest in lot.operations[at[n] :])]


def first_orders(lots: Sequence[Lot], calendar: Calendar) -> Iterator[list[int]]:
    """Orders to begin with: by the due-date rule, and lot by lot as they are due."""
    yield due_rule(lots, calendar)
    by_due = sorted(range(len(lots)), key=lambda n: (lots[n].due, n))
    first = _first(lots)
    yield [n for n in by_due for _operation in lots[n].operations[n in first :]]


class PlanSearch:
    """Betters an order step by step, by simulated annealing. The same steps find the same plan on every machine."""

    def __init__(self, lots: Sequence[Lot], stints: Sequence[Stint], steps: int = STEPS, held: Held = NOTHING_HELD) -> None:
        """`held`: until when equipment is held by what goes on, minutes from now, by its name."""
        operations = sum(len(lot.operations) for lot in lots)
        self.lots, self._calendar = lots, Calendar(stints, lots, held)
        self._steps = steps if operations <= _MANY else steps * _MANY // operations
        self.taken, self._state = 0, _SEED
        tried = [(self._cost(order), order) for order in first_orders(lots, self._calendar)]
        self.cost, self.order = min(tried, key=lambda pair: pair[0])
        self._now, self._now_cost, self._hot = self.order, self.cost, _HOT * self.cost / max(len(self.order), 1)

    @property
    def ended(self) -> bool:
        """Whether all steps are taken."""
        return self.taken >= self._steps or len(self.order) < 2

    def plan(self) -> Plan:
        """The best plan so far."""
        return planned(self.lots, self.order, self._calendar)

    def step(self) -> bool:
        """Try one change. Returns whether the best plan is a better one now."""
        heat = self._hot * (1 - self.taken / self._steps) ** 2
        self.taken += 1
        order = self._changed()
        if order == self._now:
            return False
        cost = self._cost(order)
        if cost > self._now_cost and (heat <= 0 or self._share() >= exp((self._now_cost - cost) / heat)):
            return False
        self._now, self._now_cost = order, cost
        if cost >= self.cost - _SMALL:
            return False
        self.order, self.cost = order, cost
        return True

    def _cost(self, order: Sequence[int]) -> float:
        return cost_of_dates(self.lots, dates(self.lots, order, self._calendar))

    def _below(self, count: int) -> int:
        """A number from 0, below another: a linear congruential generator (Knuth's MMIX constants)."""
        self._state = (6364136223846793005 * self._state + 1442695040888963407) % 2**64
        return (self._state >> 32) * count >> 32

    def _share(self) -> float:
        return self._below(2**24) / 2**24

    def _changed(self) -> list[int]:
        """The order with a small change: an operation moved or two exchanged, a lot moved or two exchanged."""
        order, count = self._now, len(self._now)
        kind, one, other = self._below(10), self._below(count), self._below(count)
        by = self._below(2 * _NEAR + 1) - _NEAR
        if kind < 5:
            return _moved(order, one, min(max(one + by, 0), count - 1))
        if kind < 7:
            return _exchanged(order, one, other)
        if kind < 9:
            return _lot_moved(order, order[one], by)
        return _lots_exchanged(order, order[one], order[other])


def _moved(order: list[int], source: int, target: int) -> list[int]:
    order = order.copy()
    order.insert(target, order.pop(source))
    return order


def _exchanged(order: list[int], one: int, other: int) -> list[int]:
    order = order.copy()
    order[one], order[other] = order[other], order[one]
    return order


def _lot_moved(order: list[int], lot: int, by: int) -> list[int]:
    """The order with all operations of a lot earlier or later by as many places."""
    ahead = by + (0.5 if by > 0 else -0.5)
    places = [n + ahead if each == lot else n for n, each in enumerate(order)]
    return [order[n] for n in sorted(range(len(order)), key=places.__getitem__)]


def _lots_exchanged(order: list[int], one: int, other: int) -> list[int]:
    """The order with two lots in each other's places, as far as they have as many operations."""
    left, other_of = {one: order.count(one), other: order.count(other)}, {one: other, other: one}
    found = list[int]()
    for each in order:
        lot = other_of.get(each, each)
        if lot in left and not left[lot]:
            lot = other_of[lot]
        if lot in left:
            left[lot] -= 1
        found.append(lot)
    return found
