"""What the stages of a batch should take, by the rates and each blade's sizes."""

from collections.abc import Mapping

from workbook.document.document import Document
from workbook.document.making import blades_of, standings_in
from workbook.document.making_records import BatchRecord
from workbook.document.records import TemplateRecord
from workbook.making.standing import CellState
from workbook.model.model import Model
from workbook.model.quoting import sizes_in
from workbook.shop.labour import Sizes, of_knife

_OUT = (CellState.NOT, CellState.BEFORE)


def planned(document: Document, model: Model, batch: BatchRecord) -> Mapping[str, float]:
    """Minutes for each stage of a batch: its set-up, and the blades that go through it at their own sizes."""
    minutes = {stage.name: 0.0 for stage in batch.stages}
    for piece in blades_of(document, batch.id):
        record = document.records.get(piece.of)
        sizes = sizes_in(model, piece.of) if piece.of in model.shapes else Sizes()
        own = record.minutes if isinstance(record, TemplateRecord) else 0.0
        cells = standings_in(document, batch.id)[piece.id].cells
        for stage, cell in zip(of_knife(batch.stages, sizes, own), cells, strict=True):
            minutes[stage.name] += 0.0 if cell.state in _OUT else stage.minutes
    return {stage.name: minutes[stage.name] + stage.set_up if minutes[stage.name] else 0.0 for stage in batch.stages}
