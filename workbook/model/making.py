"""What the stages of a batch should take, by the rates and each blade's sizes."""

from collections.abc import Mapping

from workbook.document.document import Document
from workbook.document.making import blades_of, is_sheathed, standings_in
from workbook.document.making_records import BatchRecord
from workbook.making.standing import CellState
from workbook.model.model import Model
from workbook.model.own_numbers import KnifeStages

_OUT = (CellState.NOT, CellState.BEFORE)


def planned(document: Document, model: Model, batch: BatchRecord) -> Mapping[str, float]:
    """Minutes for each stage of a batch: its set-up, and the blades that go through it at their own sizes."""
    minutes, rates = {stage.name: 0.0 for stage in batch.stages}, KnifeStages(document, model, batch.stages)
    for piece in blades_of(document, batch.id):
        own = rates.of(piece.of, sheathed=is_sheathed(document, piece))
        for stage, cell in zip(batch.stages, standings_in(document, batch.id)[piece.id].cells, strict=True):
            minutes[stage.name] += own[stage.name].minutes if stage.name in own and cell.state not in _OUT else 0.0
    return {stage.name: minutes[stage.name] + stage.set_up if minutes[stage.name] else 0.0 for stage in batch.stages}
