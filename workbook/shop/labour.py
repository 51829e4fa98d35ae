"""Hours at the bench: stages with a set-up for the batch and minutes for each piece, learning, allowance, losses on the way."""

from collections.abc import Sequence
from enum import StrEnum
from math import floor, log2, prod

from msgspec import Struct

from workbook.structs import replace


class By(StrEnum):
    """What of a knife a stage's minutes go with."""

    KNIFE = "knife"  # the same for each
    OUTLINE = "outline"  # the length round it
    BLADE = "blade"  # the area of its blade's side
    HANDLE = "handle"  # the handle's length


class Sizes(Struct, frozen=True, kw_only=True):
    """A knife's sizes, mm and mm2. By default those of the knife that a shop's minutes are for (common practice, no source)."""

    outline: float = 560.0
    blade: float = 3000.0
    handle: float = 115.0

    def factor(self, by: By) -> float:
        """How many times as long it takes as the knife that the minutes are for: in proportion."""
        return 1.0 if by is By.KNIFE else float(getattr(self, by.value) / getattr(_USUAL, by.value))


_USUAL = Sizes()


class Stage(Struct, frozen=True, kw_only=True):
    """A stage of making: what it takes, and how many of those that enter it come out good."""

    name: str
    set_up: float  # minutes for a batch
    minutes: float  # for a piece
    by: By = By.KNIFE  # what its minutes grow with
    good: float = 1.0  # share


def of_knife(stages: Sequence[Stage], sizes: Sizes, own: float = 0.0) -> tuple[Stage, ...]:
    """The stages as a knife of these sizes goes through them; `own`: what one takes in all, where that is known, else 0."""
    scaled = [stage.minutes * sizes.factor(stage.by) for stage in stages]
    if own and not sum(scaled):
        scaled = [1.0] * len(stages)  # nobody knows where they go
    share = own / sum(scaled) if own and stages else 1.0
    return tuple(replace(stage, minutes=minutes * share) for stage, minutes in zip(stages, scaled, strict=True))


class StageTime(Struct, frozen=True, kw_only=True):
    """What a stage takes for one batch."""

    name: str
    pieces: float  # that are worked on: as expected
    minutes: float


def nth(first: float, rate: float, n: float) -> float:
    """What the nth piece takes when the first takes so much and every doubling brings it to `rate` of it.

    first n^b with b = log2(rate): the unit reading of the learning curve (Crawford).
    """
    return float(first * n ** log2(rate))


def run(minutes: float, rate: float, pieces: float) -> float:
    """Minutes for so many pieces one after another; a part of a piece counts for that part."""
    if rate >= 1:
        return minutes * pieces
    whole = floor(pieces + 1e-9)
    return sum(nth(minutes, rate, n) for n in range(1, whole + 1)) + (pieces - whole) * nth(minutes, rate, whole + 1)


def batch(stage: Stage, pieces: float, rate: float = 1.0, allowance: float = 0.0) -> float:
    """Minutes of a stage for a batch: set-up and run, with an allowance for rest and interruptions.

    Standard time = normal time (1 + allowance): industrial engineering.
    """
    return (stage.set_up + run(stage.minutes, rate, pieces)) * (1 + allowance) if pieces > 0 else 0.0


def share_good(stages: Sequence[Stage]) -> float:
    """Of the blanks started, the share that comes through all stages."""
    return prod(stage.good for stage in stages)


def times(stages: Sequence[Stage], starts: int, good: int, rate: float = 1.0, allowance: float = 0.0) -> list[StageTime]:
    """Minutes of every stage when so many are started for so many good ones.

    While some may still be lost, all that are left are worked on; after the last stage that loses any, only those wanted.
    """
    found, left = [], float(starts)
    last = max((n for n, stage in enumerate(stages) if stage.good < 1), default=-1)  # that loses any
    for n, stage in enumerate(stages):
        pieces = left if n <= last else float(min(good, starts))
        found.append(StageTime(name=stage.name, pieces=pieces, minutes=batch(stage, pieces, rate, allowance)))
        left *= stage.good
    return found
