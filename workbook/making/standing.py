"""Where a blade stands on its way through the stages of its batch, worked out from all that was entered."""

from collections.abc import Iterable, Mapping, Sequence
from enum import StrEnum

from msgspec import Struct

from workbook.making.entry import EntryKind, Logged, MeasuredAt
from workbook.shop.labour import Stage


class CellState(StrEnum):
    """What a stage is to a blade."""

    NOT = "not for it"
    BEFORE = "before"  # done before it came into the workbook
    OPEN = "to do"
    NEXT = "next"
    DONE = "done"
    SENT = "away"
    HELD = "held"  # done, and a hold point that was neither measured nor passed
    AGAIN = "again"  # was done, and is to be done again
    SCRAPPED = "scrapped"


THROUGH = (CellState.DONE, CellState.HELD, CellState.AGAIN)  # of a stage that was done at least once


class Cell(Struct, frozen=True, kw_only=True):
    """One stage of one blade."""

    state: CellState
    date: str = ""
    reason: str = ""
    minutes: float = 0.0  # spent on it, over all times it was done: the blade's share


class Standing(Struct, frozen=True, kw_only=True):
    """A blade's way: a cell for each stage of the batch, the stage that comes next, and what was measured."""

    cells: tuple[Cell, ...]
    next: str  # the stage; "" for a blade that is finished or scrapped
    readings: tuple[tuple[str, MeasuredAt], ...]  # with the stage at which each was taken, oldest first

    @property
    def scrapped(self) -> bool:
        """Whether it is lost."""
        return any(cell.state is CellState.SCRAPPED for cell in self.cells)

    @property
    def finished(self) -> bool:
        """Whether it came through all its stages."""
        return not self.next and not self.scrapped

    @property
    def held(self) -> bool:
        """Whether a hold point keeps it."""
        return any(cell.state is CellState.HELD for cell in self.cells)

    @property
    def minutes(self) -> float:
        """All minutes spent on it."""
        return sum(cell.minutes for cell in self.cells)


class Came(Struct, frozen=True, kw_only=True):
    """How a blade came into its batch: which stages are for it, and the first that was not done before."""

    stages: tuple[str, ...]
    first: str = ""  # "": the first of them


def standings(stages: Sequence[Stage], blades: Mapping[str, Came], entries: Iterable[tuple[str, Logged]]) -> dict[str, Standing]:
    """The standing of each blade of a batch, by its id. `entries`: with their ids, in the order they were made."""
    ways = {blade: _Way(stages, came) for blade, came in blades.items()}
    for entry in standing_entries(entries):
        of = [ways[blade] for blade in (entry.pieces or ways) if blade in ways]
        for way in of:
            way.take(entry, entry.minutes / len(of))
    return {blade: way.standing() for blade, way in ways.items()}


def standing_entries(entries: Iterable[tuple[str, Logged]]) -> list[Logged]:
    """The entries that stand: without those taken back, and without what took them back."""
    all_entries = list(entries)
    gone = {entry.of for _id, entry in all_entries if entry.kind is EntryKind.TAKEN_BACK}
    return [entry for id_, entry in all_entries if id_ not in gone and entry.kind is not EntryKind.TAKEN_BACK]


class _Way:
    """One blade's way, entry by entry."""

    def __init__(self, stages: Sequence[Stage], came: Came) -> None:
        self._stages = stages
        self._at = {stage.name: n for n, stage in enumerate(stages)}
        first = self._at.get(came.first, 0)
        self._states = [
            CellState.NOT if stage.name not in came.stages else CellState.BEFORE if n < first else CellState.OPEN
            for n, stage in enumerate(stages)
        ]
        self._dates, self._reasons, self._minutes = ([""] * len(stages), [""] * len(stages), [0.0] * len(stages))
        self._readings: list[tuple[str, MeasuredAt]] = []

    def take(self, entry: Logged, minutes: float) -> None:
        """Go on by one entry; one of a stage that the batch does not have moves nothing."""
        n = self._at.get(entry.stage)
        if n is None:
            return
        self._minutes[n] += minutes
        match entry.kind:
            case EntryKind.DONE | EntryKind.BACK:
                self._set(n, CellState.HELD if self._stages[n].hold else CellState.DONE, entry)
            case EntryKind.SENT:
                self._set(n, CellState.SENT, entry)
            case EntryKind.MEASURED:
                self._readings += [(entry.stage, reading) for reading in entry.readings]
                self._release(n)
            case EntryKind.PASSED:
                self._release(n)
            case EntryKind.REWORK:
                self._again(n, entry)
            case EntryKind.SCRAP:
                self._set(n, CellState.SCRAPPED, entry)
            case _:
                pass

    def _set(self, n: int, state: CellState, entry: Logged) -> None:
        self._states[n], self._dates[n], self._reasons[n] = state, entry.date, entry.reason

    def _release(self, n: int) -> None:
        if self._states[n] is CellState.HELD:
            self._states[n] = CellState.DONE

    def _again(self, n: int, entry: Logged) -> None:
        """This stage and those after it that were done are to be done again."""
        for later in range(n, len(self._states)):
            if later == n or self._states[later] in (CellState.DONE, CellState.HELD):
                self._set(later, CellState.AGAIN, entry)

    def standing(self) -> Standing:
        """Where it stands now."""
        states = list(self._states)
        lost = CellState.SCRAPPED in states
        waiting = (CellState.OPEN, CellState.AGAIN, CellState.SENT)
        coming = None if lost else next((n for n, state in enumerate(states) if state in waiting), None)
        if coming is not None and states[coming] is CellState.OPEN and CellState.HELD not in states:
            states[coming] = CellState.NEXT
        cells = tuple(
            Cell(state=state, date=date, reason=reason, minutes=minutes)
            for state, date, reason, minutes in zip(states, self._dates, self._reasons, self._minutes, strict=True)
        )
        return Standing(cells=cells, next="" if coming is None else self._stages[coming].name, readings=tuple(self._readings))
