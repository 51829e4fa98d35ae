"""What may be entered: why an entry about blades cannot stand, in words for the maker."""

from collections.abc import Mapping, Sequence

from workbook.making.entry import EntryKind, Logged
from workbook.making.standing import CellState, Standing
from workbook.shop.labour import Stage
from workbook.texts import _

_GOES_ON = (EntryKind.DONE, EntryKind.SENT, EntryKind.BACK)
_TO_SEND = (CellState.NEXT, CellState.OPEN, CellState.AGAIN)
_WAS_DONE = (CellState.DONE, CellState.HELD, CellState.AGAIN, CellState.BEFORE, CellState.NEXT, CellState.SENT)


def refused(entry: Logged, stages: Sequence[Stage], standings: Mapping[str, Standing], serials: Mapping[str, str]) -> str:
    """Why an entry cannot be made; "" where it can. `standings` and `serials`: by the ids of the batch's blades."""
    names = [stage.name for stage in stages]
    if entry.stage and entry.stage not in names:
        return _("This batch has no stage {stage}. It has {names}.", stage=entry.stage, names=", ".join(names))
    for blade in entry.pieces:
        reason = _of_blade(serials.get(blade, "?"), entry, names, standings.get(blade))
        if reason:
            return reason
    return ""


def _of_blade(blade: str, entry: Logged, names: Sequence[str], standing: Standing | None) -> str:
    if standing is None:
        return _("{blade} is not in this batch.", blade=blade)
    if standing.scrapped:
        return _("{blade} is scrapped. If not, take that entry back.", blade=blade)
    at = names.index(entry.stage) if entry.stage else 0
    cell = standing.cells[at]
    if cell.state is CellState.NOT:
        return _("{blade} does not go through {stage}.", blade=blade, stage=entry.stage)
    held = next((name for name, own in zip(names, standing.cells, strict=True) if own.state is CellState.HELD), "")
    if entry.kind in _GOES_ON and held and names.index(held) < at:
        return _("{blade} is held at {stage}. Measure it there, or pass the hold point with a reason.", blade=blade, stage=held)
    if entry.kind is EntryKind.SENT and cell.state not in _TO_SEND:
        return _("{blade} has been through {stage}.", blade=blade, stage=entry.stage)
    if entry.kind is EntryKind.PASSED and cell.state is not CellState.HELD:
        return _("{blade} is not held at {stage}.", blade=blade, stage=entry.stage)
    if entry.kind is EntryKind.REWORK and cell.state not in _WAS_DONE:
        return _("{blade} has not come to {stage} yet.", blade=blade, stage=entry.stage)
    return ""
