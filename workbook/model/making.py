"""What the stages of a batch should take, by the rates and each blade's sizes."""

from collections.abc import Mapping

from workbook.document.document import Document
from workbook.document.making import blades_of, standings_in
from workbook.document.making_records import BatchRecord
from workbook.document.records import TemplateRecord
from workbook.making.standing import CellState
from workbook.model.model import Model
from workbook.model.quoting import sizes_in
from workbook.shop.labour import Sizes, Stage, of_knife

_OUT = (CellState.NOT, CellState.BEFORE)


def planned(document: Document, model: Model, batch: BatchRecord) -> Mapping[str, float]:
    """Minutes for each stage of a batch: its set-up, and the blades that go through it at their own sizes."""
    minutes, scaled = {stage.name: 0.0 for stage in batch.stages}, dict[str, tuple[Stage, ...]]()
    for piece in blades_of(document, batch.id):
        if piece.of not in scaled:
            scaled[piece.of] = _scaled(document, model, batch, piece.of)
        cells = standings_in(document, batch.id)[piece.id].cells
        for stage, cell in zip(scaled[piece.of], cells, strict=True):
            minutes[stage.name] += 0.0 if cell.state in _OUT else stage.minutes
    return {stage.name: minutes[stage.name] + stage.set_up if minutes[stage.name] else 0.0 for stage in batch.stages}


def _scaled(document: Document, model: Model, batch: BatchRecord, template: str) -> tuple[Stage, ...]:
    """A batch's stages with the minutes of a template's blades."""
    record = document.records.get(template)
    sizes = sizes_in(model, template) if template in model.shapes else Sizes()
    return of_knife(batch.stages, sizes, record.minutes if isinstance(record, TemplateRecord) else 0.0)
