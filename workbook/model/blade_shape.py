"""The shape a blade was cut as."""

from workbook.document.document import Document
from workbook.document.queries import number_of, revisions_of
from workbook.document.records import TemplateRecord
from workbook.document.shop_records import PieceRecord
from workbook.model.model import Model, shape_for
from workbook.template.shape import Shape


def blank_of(document: Document, model: Model, piece: PieceRecord) -> tuple[Shape | None, int | None]:
    """The blank a blade was cut as; where that is not known any more, the template's blank and its revision now."""
    blank = model.shapes.get(piece.of)
    now = number_of(document, piece.of) if isinstance(document.records.get(piece.of), TemplateRecord) else 0
    if blank is None or piece.revision == now:
        return blank, None
    then = next((each for each in revisions_of(document, piece.of) if each.number == piece.revision), None)
    template = then.family or then.drawn if then is not None else None
    if template is not None:
        return shape_for(template, model.tools), None
    return blank, now


def shape_of(document: Document, model: Model, piece: PieceRecord) -> Shape | None:
    """The shape a blade was cut as; None where that is not known any more."""
    blank, now = blank_of(document, model, piece)
    return blank if now is None else None
