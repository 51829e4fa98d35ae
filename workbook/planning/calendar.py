"""The maker's time and the equipment as they fill: each operation goes where it can begin soonest, in whole blades.

One that does not fit into a stint goes on in the next that has room for it.
"""

from bisect import bisect_right, insort
from collections.abc import Iterator, Mapping, Sequence
from math import ceil, floor, inf
from typing import NamedTuple

from workbook.planning.model import Lot, Operation, Stint
from workbook.shop.labour import StageKind

_CLOSE = 1e-6  # minutes
_LEAST = 5.0  # minutes on a blade that is laid down


Held = Mapping[str, float]  # by the name of equipment, until when it is held
NOTHING_HELD: Held = {}


class Fitting(NamedTuple):
    """How an operation may be split among the stints of a calendar."""

    least: int  # blades, but for the last: fewer are not worth their set-up
    parted: bool  # one blade takes longer than a usual stint and may be laid down


class Stretch(NamedTuple):
    """A part of an operation, at its time."""

    start: float
    end: float
    pieces: float
    set_up: bool


class Calendar:
    """Free time in order, in lists side by side; copied for every plan that is tried."""

    __slots__ = ("_after", "_ends", "_fitting", "_held", "_least", "_leaving", "_starts")

    def __init__(self, stints: Sequence[Stint], lots: Sequence[Lot], held: Held = NOTHING_HELD) -> None:
        """`held`: until when equipment is held by what goes on, by its name."""
        self._starts, self._ends = [each.start for each in stints], [each.end for each in stints]
        self._leaving = list(self._ends)  # when the maker leaves, for each
        self._after = [""] * len(stints)  # the stage of the work that ends where it starts; "": none does
        self._held = {name: [(-inf, until)] for name, until in held.items()}  # by what is held
        lengths = sorted(each.end - each.start for each in stints)
        longest, usual = (lengths[-1], lengths[len(lengths) // 2]) if lengths else (0.0, 0.0)
        operations = {each for lot in lots for each in lot.operations}
        self._fitting: Mapping[Operation, Fitting] = {each: fitting(each, longest, usual) for each in operations}
        needed = [_LEAST if self._fitting[each].parted else each.each for each in operations if each.each]
        self._least = min(needed, default=0.0)  # shorter gaps are of no use

    def copy(self) -> "Calendar":
        """Another that fills by itself."""
        other = Calendar.__new__(Calendar)
        other._starts, other._ends, other._leaving, other._after = (
            self._starts.copy(), self._ends.copy(), self._leaving.copy(), self._after.copy(),
        )  # fmt: skip
        other._held = {name: times.copy() for name, times in self._held.items()}
        other._fitting, other._least = self._fitting, self._least
        return other

    def soonest(self, operation: Operation, ready: float) -> float:
        """When an operation can begin; inf where it never can."""
        _gap, stretch = self._next(operation, ready, float(operation.pieces), self._first(ready))
        return inf if stretch is None else stretch.start

    def put(self, operation: Operation, ready: float, stretches: list[Stretch] | None = None) -> float:
        """Place an operation, and append its `stretches`. Returns when its wait is over; inf where not all of it fits."""
        left, gap = float(operation.pieces), self._first(ready)
        while True:
            gap, stretch = self._next(operation, ready, left, gap)
            if stretch is None:
                return inf
            self._take(operation, gap, stretch)
            if stretches is not None:
                stretches.append(stretch)
            left, ready = left - stretch.pieces, stretch.end
            if left <= _CLOSE:
                return stretch.end + operation.wait

    def _first(self, ready: float) -> int:
        return bisect_right(self._ends, ready + _CLOSE)

    def _next(self, operation: Operation, ready: float, left: float, gap: int) -> tuple[int, Stretch | None]:
        """Where at least as many blades as are worth it fit soonest, from a gap on."""
        starts, ends, fits = self._starts, self._ends, self._fitting[operation]
        attended, wait = operation.kind is StageKind.ATTENDED, operation.wait
        for n in range(gap, len(starts)):
            start, end = starts[n], ends[n]
            if attended:
                end = min(end, self._leaving[n] - wait)
            for begin, until in self._free(operation, max(start, ready), end):
                set_up = begin - start > _CLOSE or self._after[n] != operation.stage
                pieces = _pieces(operation, fits, until - begin, left, set_up)
                if pieces:
                    work = operation.each * pieces + (operation.set_up if set_up else 0.0)
                    return n, Stretch(begin, begin + work, pieces, set_up)
        return gap, None

    def _free(self, operation: Operation, start: float, end: float) -> Iterator[tuple[float, float]]:
        """From when until when work may go on between two times, while what the operation holds is free."""
        for taken, free in self._held.get(operation.holds, ()) if operation.holds else ():
            if taken - start > _CLOSE:
                yield start, min(end, taken - operation.wait)
            start = max(start, free)
            if start > end:
                return
        yield start, end

    def _take(self, operation: Operation, n: int, stretch: Stretch) -> None:
        """Fill a part of a gap; what is too short to be of use is given up."""
        starts, ends = self._starts, self._ends
        front, behind = stretch.start - starts[n] >= self._least, ends[n] - stretch.end >= self._least
        if front and behind:
            starts.insert(n + 1, stretch.end)
            ends.insert(n, stretch.start)
            self._leaving.insert(n, self._leaving[n])
            self._after.insert(n + 1, operation.stage)
        elif behind:
            starts[n], self._after[n] = stretch.end, operation.stage
        elif front:
            ends[n] = stretch.start
        else:
            del starts[n], ends[n], self._leaving[n], self._after[n]
        if operation.holds:
            insort(self._held.setdefault(operation.holds, []), (stretch.start, stretch.end + operation.wait))


def fitting(operation: Operation, longest: float, usual: float) -> Fitting:
    """How an operation may be split when the longest stint and the usual one are as long as this."""
    if not operation.each:
        return Fitting(1, parted=False)
    waits = operation.wait if operation.kind is StageKind.ATTENDED else 0.0
    most = floor((longest - operation.set_up - waits) / operation.each + _CLOSE)
    parted = operation.set_up + operation.each > usual + _CLOSE and operation.kind is StageKind.HANDS_ON
    worth = ceil(operation.set_up / operation.each - _CLOSE)  # its set-up is no more than its work
    return Fitting(max(min(worth, most), 1), parted)


def _pieces(operation: Operation, fits: Fitting, room: float, left: float, set_up: bool) -> float:
    """How many blades fit into some minutes: all, or as many whole ones as are worth it; else 0."""
    if set_up:
        room -= operation.set_up
    if room < -_CLOSE:
        return 0.0
    most = min(left, operation.at_once) if operation.at_once else left
    if operation.each * most <= room + _CLOSE:
        return most
    if fits.parted:
        return room / operation.each if room >= _LEAST else 0.0
    whole = floor(room / operation.each + _CLOSE)
    return float(whole) if whole >= fits.least else 0.0
