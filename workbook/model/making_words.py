"""The words for where blades stand, on the screen, on paper and in a history."""

from collections.abc import Iterable

from workbook.document.document import Document
from workbook.document.making import order_of
from workbook.document.orders import customer_of
from workbook.document.records import TemplateRecord
from workbook.document.shop_records import PieceRecord
from workbook.making.entry import EntryKind
from workbook.making.standing import Cell, CellState
from workbook.region import Region
from workbook.texts import _

_SHORT = 12  # letters of a reason in a cell
_WORDS = {
    CellState.NOT: "–",
    CellState.BEFORE: _("before"),
    CellState.OPEN: "",
    CellState.NEXT: _("next"),
    CellState.SENT: _("out"),
    CellState.HELD: _("held"),
    CellState.AGAIN: _("repeat"),
}
SAID = {  # in full, for a screen reader
    **_WORDS,
    CellState.NOT: _("not for this blade"),
    CellState.OPEN: _("to do"),
    CellState.DONE: _("done"),
    CellState.SCRAPPED: _("scrapped"),
}
KINDS = {
    EntryKind.DONE: "",
    EntryKind.SET_UP: _("set-up"),
    EntryKind.MEASURED: _("measured"),
    EntryKind.PASSED: _("passed"),
    EntryKind.REWORK: _("repeat"),
    EntryKind.SCRAP: _("scrapped"),
    EntryKind.SENT: _("sent out"),
    EntryKind.BACK: _("back"),
    EntryKind.NOTE: _("note"),
    EntryKind.TAKEN_BACK: _("taken back"),
}


def cell_words(cell: Cell, local: Region) -> str:
    """What stands in a cell: when it was done, else a word."""
    match cell.state:
        case CellState.DONE:
            return local.brief_day(cell.date)
        case CellState.SCRAPPED:
            return cell.reason if len(cell.reason) <= _SHORT else f"{cell.reason[:_SHORT]}…"
        case _:
            return _WORDS[cell.state]


def next_times(document: Document, templates: Iterable[str]) -> list[str]:
    """What is to be done otherwise this time, of each template by its id: "Petty, next time: a fuller handle"."""
    records = (document.records.get(each) for each in dict.fromkeys(templates))
    return [
        _("{name}, next time: {note}", name=record.template.name, note=record.next_time)
        for record in records
        if isinstance(record, TemplateRecord) and record.next_time
    ]


def for_words(document: Document, piece: PieceRecord) -> str:
    """What a blade is and whose: "Petty, A. Moreno"."""
    order = order_of(document, piece)
    whose = (customer_of(document, order) or _("order {number}", number=order.number)) if order else _("shop stock")
    return f"{piece.name}, {whose}"
