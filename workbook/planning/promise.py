"""When lots are likely done: the plan once more with minutes and losses drawn by chance, many times over."""

from collections.abc import Iterator, Mapping, Sequence
from math import ceil, exp, inf, sqrt
from typing import Protocol

from msgspec import Struct

from workbook.planning.calendar import NOTHING_HELD, Calendar, Held
from workbook.planning.model import Lot, Operation, Plan, Stint
from workbook.planning.ordering import dates
from workbook.shop.labour import StageKind
from workbook.structs import replace

DRAWS = 128
EVEN, LIKELY = 0.5, 0.9
_RUN = 0.25  # usual error of a run about its mean, as a logarithm: common practice, no source
_COMMON = 0.5  # of a stage's error, as a correlation's root, that all stages share: common practice, no source
_LOAD = 0.05  # of loads are lost whole: common practice, no source
_WEEKS = 4  # that a draw takes from the past
_KEPT_WEEKS = 1.0  # in which all hours are worked that the past is pulled to: common practice, no source
_APART = 1440.0  # minutes between the stages of a blade that is made again, for its place in the order


class Chance(Protocol):
    """A source of random numbers; `random.Random` is one."""

    def random(self) -> float:
        """A number from 0, under 1."""

    def gauss(self, mu: float, sigma: float) -> float:
        """A normal number."""

    def betavariate(self, alpha: float, beta: float) -> float:
        """A share from a beta distribution."""


class StageChances(Struct, frozen=True, kw_only=True):
    """What is not known of a stage."""

    error: float = 0.0  # of its minutes, as a logarithm
    good: float = 1.0  # parameters of the beta distribution of its share good
    lost: float = 0.0  # 0: none is lost


class Uncertain(Struct, frozen=True, kw_only=True):
    """A lot that may lose blades."""

    lot: Lot
    spare: int = 0  # blades more than its order needs
    again: tuple[Operation, ...] = ()  # all stages, for a blade that is made again; none: it is not


class Promise(Struct, frozen=True, kw_only=True):
    """When some lots are all done, minutes from now: as likely as not, and nine times in ten. inf: not within the stints."""

    even: float
    likely: float


class Forecast:
    """Draws what may come of a plan."""

    def __init__(
        self, lots: Sequence[Uncertain], stints: Sequence[Stint], plan: Plan, stages: Mapping[str, StageChances], chance: Chance,
        kept: Sequence[float] = (), held: Held = NOTHING_HELD,
    ) -> None:  # fmt: skip
        """`kept`: shares of the hours that were worked in past weeks; none: the hours are kept."""
        self._lots, self._stints, self._stages, self._chance, self._kept = lots, stints, stages, chance, kept
        self._held = held
        self._starts, self._ends = dict[tuple[int, int], float](), dict[tuple[int, int], float]()
        for block in plan.blocks:
            key = block.lot, block.operation
            self._starts.setdefault(key, block.start)
            self._ends[key] = block.end
        self.drawn = list[list[float]]()  # of each draw, when each lot is done

    def draw(self) -> None:
        """Draw once more."""
        again = list[tuple[int, Lot]]()
        ratios = self._ratios()
        lots = [self._drawn_lot(n, ratios, again) for n in range(len(self._lots))]
        every = [*lots, *(lot for _n, lot in again)]
        done = dates(every, self._order(every), Calendar(self._drawn_stints(), every, self._held))
        for (n, _lot), when in zip(again, done[len(lots) :], strict=True):
            done[n] = max(done[n], when)
        self.drawn.append(done[: len(lots)])

    def _ratios(self) -> Mapping[str, float]:
        """How much longer than expected each stage takes: what is slow at one stage is often slow at the others."""
        every, chance = self._chance.gauss(0.0, _COMMON), self._chance
        return {
            stage: exp(own.error * (every + chance.gauss(0.0, sqrt(1 - _COMMON**2)))) if own.error else 1.0
            for stage, own in self._stages.items()
        }

    def _drawn_stints(self) -> Sequence[Stint]:
        """The stints that are kept: now, and of the others as many as in some weeks of the past."""
        if not self._kept:
            return self._stints
        weeks = [self._kept[int(self._chance.random() * len(self._kept))] for _week in range(_WEEKS)]
        share = kept_share(weeks, len(self._kept))
        return [each for n, each in enumerate(self._stints) if n == 0 or self._chance.random() < share]

    def promise(self, lots: Sequence[int]) -> Promise:
        """When some lots, by their numbers, are all done."""
        ends = sorted(max((done[n] for n in lots), default=0.0) for done in self.drawn)
        return Promise(even=_quantile(ends, EVEN), likely=_quantile(ends, LIKELY))

    def _drawn_lot(self, n: int, ratios: Mapping[str, float], again: list[tuple[int, Lot]]) -> Lot:
        """A lot as it may go; what has to be made again is appended."""
        own, operations, pieces = self._lots[n], list[Operation](), 0
        lost = 0
        for at, operation in enumerate(own.lot.operations):
            pieces = max(operation.pieces - lost, 0)
            if not pieces:
                break
            operations.append(self._drawn(operation, ratios, pieces))
            gone = self._losses(operation, pieces)
            lost += gone
            short = min(max(lost - own.spare, 0), gone)
            if short and own.again:
                at_end = self._ends.get((n, at), own.lot.ready)
                remade = tuple(self._drawn(each, ratios, short) for each in own.again)
                again.append((n, Lot(key="", operations=remade, ready=at_end, due=own.lot.due)))
        return replace(own.lot, operations=tuple(operations))

    def _drawn(self, operation: Operation, ratios: Mapping[str, float], pieces: int) -> Operation:
        by = ratios.get(operation.stage, 1.0)
        run = exp(self._chance.gauss(0.0, _RUN)) if self._stages.get(operation.stage, _CERTAIN).error else 1.0
        return replace(operation, set_up=operation.set_up * by, each=operation.each * by * run, pieces=pieces)

    def _losses(self, operation: Operation, pieces: int) -> int:
        """How many of some blades are lost at an operation."""
        own, chance = self._stages.get(operation.stage, _CERTAIN), self._chance
        if not own.lost:
            return 0
        if operation.kind is StageKind.ATTENDED and chance.random() < _LOAD:
            return pieces
        share = chance.betavariate(own.good, own.lost)
        return sum(chance.random() >= share for _piece in range(pieces))

    def _order(self, lots: Sequence[Lot]) -> list[int]:
        """The order of the plan; what is made again has its place by the day."""
        times = [
            (self._starts.get((n, at), lot.ready + at * _APART), n, at)
            for n, lot in enumerate(lots)
            for at in range(int(lot.urgent and bool(lot.operations)), len(lot.operations))
        ]
        return [n for _time, n, _at in sorted(_in_turn(times))]


_CERTAIN = StageChances()


def kept_share(weeks: Sequence[float], known: int) -> float:
    """The share of the hours to count with, by those worked in some weeks of so many that are known; 1 for none."""
    return (known * sum(weeks) / len(weeks) + _KEPT_WEEKS) / (known + _KEPT_WEEKS) if weeks else 1.0


def _in_turn(times: Sequence[tuple[float, int, int]]) -> Iterator[tuple[float, int, int]]:
    """Times at which no operation of a lot comes before the one ahead of it."""
    last = dict[int, float]()
    for time, lot, at in times:
        last[lot] = max(time, last.get(lot, -inf))
        yield last[lot], lot, at


def _quantile(ends: Sequence[float], share: float) -> float:
    """The time by which this share of what may come is over; none too early."""
    return ends[min(ceil(share * (len(ends) + 1)), len(ends)) - 1] if ends else 0.0
