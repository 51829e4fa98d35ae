"""Hours at the bench: stages with a set-up for the batch and minutes for each piece, learning, allowance and losses."""

from collections.abc import Sequence
from enum import StrEnum
from math import floor, log2, prod

from msgspec import Struct

from workbook.structs import replace
from workbook.texts import _


class By(StrEnum):
    """The size of a knife that a stage's minutes are proportional to."""

    KNIFE = "knife"  # the same for each
    OUTLINE = "outline"  # the length of its outline
    BLADE = "blade"  # the area of one side of its blade
    HANDLE = "handle"  # the handle's length


class StageKind(StrEnum):
    """What a stage asks of the maker."""

    HANDS_ON = "hands-on"
    ATTENDED = "attended wait"  # a fire, hot oil, an oven that is on: other work is possible, leaving is not
    ALONE = "wait alone"  # glue, an oil finish, a closed kiln that cools
    OUTSIDE = "outside"  # by a service: sent, and back


class StageFor(StrEnum):
    """The knives that go through a stage."""

    EVERY = "every knife"
    HANDLED = "with a handle"
    SHEATHED = "with a sheath"


class StageAsks(StrEnum):
    """What is measured of a blade after a stage."""

    NOTHING = "nothing"
    EDGE = "edge"  # its thickness at heel, middle and point
    BOW = "bow"
    HARDNESS = "hardness"


ASKS_WORDS = {
    StageAsks.NOTHING: _("nothing"),
    StageAsks.EDGE: _("edge"),
    StageAsks.BOW: _("bow"),
    StageAsks.HARDNESS: _("hardness"),
}


class Sizes(Struct, frozen=True, kw_only=True):
    """A knife's sizes, mm and mm2. The defaults are the knife that a shop's minutes are for (common practice, no source)."""

    outline: float = 560.0
    blade: float = 3000.0
    handle: float = 115.0

    def factor(self, by: By) -> float:
        """The time it takes relative to the knife that the minutes are for, in proportion to its size."""
        return 1.0 if by is By.KNIFE else float(getattr(self, by.value) / getattr(_USUAL, by.value))


_USUAL = Sizes()


class Stage(Struct, frozen=True, kw_only=True):
    """A stage of making: the time it takes, and the share of pieces that come out good."""

    name: str
    set_up: float  # minutes for a batch
    minutes: float  # for a piece
    by: By = By.KNIFE  # what its minutes grow with
    good: float = 1.0  # share that comes out good
    kind: StageKind = StageKind.HANDS_ON
    wait: float = 0.0  # minutes that pass after its work, until the next stage can begin
    of: StageFor = StageFor.EVERY
    asks: StageAsks = StageAsks.NOTHING
    hold: bool = False  # a hold point: nothing goes on until it was measured and found right, or passed in so many words
    equipment: str = ""  # what only one batch can have at a time, until its wait is over: a furnace, clamps
    at_once: int = 0  # the most blades it takes at a time; 0: any number
    cures: bool = False  # its wait is that of a glue at 25 degrees C, and depends on how warm the shop is


def stages_of(stages: Sequence[Stage], *, handled: bool, sheathed: bool) -> tuple[Stage, ...]:
    """The stages that a knife goes through, by whether it has a handle besides its tang, and a sheath."""
    others = {StageFor.EVERY: True, StageFor.HANDLED: handled, StageFor.SHEATHED: sheathed}
    return tuple(stage for stage in stages if others[stage.of])


def of_knife(stages: Sequence[Stage], sizes: Sizes, own: float = 0.0) -> tuple[Stage, ...]:
    """The stages with their minutes scaled to a knife of these sizes. `own`: its minutes in all where known, else 0."""
    scaled = [stage.minutes * sizes.factor(stage.by) for stage in stages]
    if own and not sum(scaled):
        scaled = [1.0] * len(stages)  # nothing to scale by: split evenly
    share = own / sum(scaled) if own and stages else 1.0
    return tuple(replace(stage, minutes=minutes * share) for stage, minutes in zip(stages, scaled, strict=True))


class StageTime(Struct, frozen=True, kw_only=True):
    """The time a stage takes for one batch."""

    name: str
    pieces: float  # expected number worked on
    minutes: float


def nth(first: float, rate: float, n: float) -> float:
    """The time of the nth piece when the first takes `first` and every doubling of n multiplies it by `rate`.

    first n^b with b = log2(rate): the unit reading of the learning curve (Crawford).
    """
    return float(first * n ** log2(rate))


def run(minutes: float, rate: float, pieces: float) -> float:
    """Minutes for some pieces one after another; a fraction of a piece counts in proportion."""
    if rate >= 1:
        return minutes * pieces
    full = floor(pieces + 1e-9)
    return sum(nth(minutes, rate, n) for n in range(1, full + 1)) + (pieces - full) * nth(minutes, rate, full + 1)


def batch(stage: Stage, pieces: float, rate: float = 1.0, allowance: float = 0.0) -> float:
    """Minutes of a stage for a batch: set-up and run, with an allowance for rest and interruptions.

    Standard time = normal time (1 + allowance): industrial engineering.
    """
    return (stage.set_up + run(stage.minutes, rate, pieces)) * (1 + allowance) if pieces > 0 else 0.0


def share_good(stages: Sequence[Stage]) -> float:
    """The share of the blanks started that comes through all stages."""
    return prod(stage.good for stage in stages)


def times(stages: Sequence[Stage], starts: int, good: int, rate: float = 1.0, allowance: float = 0.0) -> list[StageTime]:
    """Minutes of every stage when `starts` blanks are started for `good` knives.

    While some may still be lost, all that remain are worked on; after the last stage that loses any, only those needed.
    """
    stage_times, remaining = [], float(starts)
    last = max((n for n, stage in enumerate(stages) if stage.good < 1), default=-1)  # the last that loses any
    for n, stage in enumerate(stages):
        pieces = remaining if n <= last else float(min(good, starts))
        stage_times.append(StageTime(name=stage.name, pieces=pieces, minutes=batch(stage, pieces, rate, allowance)))
        remaining *= stage.good
    return stage_times
