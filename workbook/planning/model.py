"""What is to be planned, and what a plan is. All times are minutes from now, as the clock on the wall goes on."""

from collections.abc import Sequence
from math import inf

from msgspec import Struct

from workbook.shop.labour import StageKind

DAY = 1440.0
_SOON = 0.01  # of a day late, for every day until it is done
_NEVER = 365 * DAY


class Operation(Struct, frozen=True, kw_only=True):
    """One stage of some blades that go through it together."""

    stage: str  # a set-up is shared with the operation before it when that is of the same stage
    set_up: float
    each: float  # a blade
    pieces: int
    kind: StageKind = StageKind.HANDS_ON
    wait: float = 0.0  # after the work, until the next stage can begin
    holds: str = ""  # what only one operation can have at a time, until its wait is over: a furnace, clamps
    at_once: int = 0  # most blades at a time; 0: any number


class Lot(Struct, frozen=True, kw_only=True):
    """Blades at the same point, with the operations that lie before them in order."""

    key: str
    operations: tuple[Operation, ...]
    due: float = inf
    knives: float = 1.0  # how much it counts
    ready: float = 0.0  # a wait that goes on ends then
    urgent: bool = False  # its first operation comes before all else: steel that was quenched and not tempered


class Stint(Struct, frozen=True, kw_only=True):
    """Time at the bench without leaving."""

    start: float
    end: float


class Block(Struct, frozen=True, kw_only=True):
    """Work on one lot without a break."""

    lot: int  # its number among the lots
    operation: int  # its number among the lot's
    start: float
    end: float  # of the work; its wait goes on
    pieces: float  # a part of a blade where one takes longer than any stint
    set_up: bool  # whether it begins with one


class Plan(Struct, frozen=True, kw_only=True):
    """When everything is done, as far as it fits in the stints."""

    blocks: tuple[Block, ...]  # by their start
    done: tuple[float, ...]  # of each lot, when its last wait is over; inf: it does not fit


def cost_of_dates(lots: Sequence[Lot], done: Sequence[float]) -> float:
    """What a plan makes small: knife-days late, and a little for every day until a knife is done."""
    total = 0.0
    for lot, when in zip(lots, done, strict=True):
        end = when if when < inf else _NEVER
        late = end - lot.due if end > lot.due else 0.0
        total += lot.knives * (late + _SOON * end)
    return total / DAY
