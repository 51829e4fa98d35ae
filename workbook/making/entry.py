"""What a maker enters about the blades of a batch: done, measured, to be done again, scrapped. Entries are only ever added."""

from enum import StrEnum

from msgspec import Struct


class EntryKind(StrEnum):
    """What happened."""

    DONE = "done"
    SET_UP = "set-up"  # time for the batch, before a stage
    MEASURED = "measured"
    PASSED = "passed"  # a hold point, knowingly
    REWORK = "rework"  # a stage, and those after it, are to be done again
    SCRAP = "scrapped"
    SENT = "sent"  # to a service
    BACK = "back"
    NOTE = "note"
    TAKEN_BACK = "taken back"  # another entry, which was wrong


class MeasuredAt(Struct, frozen=True, kw_only=True):
    """One reading of a blade."""

    what: str  # a key of what is measured: "edge", "bow", "hardness"
    where: str = ""  # a place of it: "heel", "middle", "point"
    value: float  # mm, or the hardness


class Logged(Struct, frozen=True, kw_only=True):
    """One entry. Its stage is named as the batch's route names it; "": of no stage."""

    kind: EntryKind
    date: str  # ISO date of the work
    stage: str = ""
    pieces: tuple[str, ...] = ()  # the ids of the blades; none: the whole batch
    minutes: float = 0.0  # for all of them together
    who: str = ""
    reason: str = ""  # of rework, scrap, or a hold point that was passed
    note: str = ""
    readings: tuple[MeasuredAt, ...] = ()
    of: str = ""  # the id of the entry that is taken back
