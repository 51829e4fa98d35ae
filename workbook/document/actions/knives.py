"""What is kept of finished knives: work done on them after they had left the shop, that they came back, and pictures."""

from workbook.document.accounts import departure_of
from workbook.document.action import Action, plain
from workbook.document.document import Document, Edit, EditError, replacing
from workbook.document.money_records import AfterKind, AfterRecord, DeliveryRecord
from workbook.document.queries import next_place
from workbook.document.records import Record, TemplateRecord
from workbook.document.shop_records import OrderLine, PictureRecord, PieceRecord
from workbook.structs import replace
from workbook.texts import _

_PLACE = 100  # letters


def after(document: Document, record: AfterRecord) -> Edit:
    """Enter what was done to a knife after it had left the shop, or that it came back: then it is the shop's own.

    EditError for a knife that is in the shop, and for money paid back for one of an order, which is a refund of that order.
    """
    piece, departure = document.get(record.piece, PieceRecord), departure_of(document, record.piece)
    if departure is None:
        raise EditError(_("{serial} has not left the shop.", serial=piece.serial))
    entered, records = replace(record, place=next_place(document, AfterRecord)), list[Record]()
    if record.kind is AfterKind.RETURNED:
        if record.price and isinstance(departure, DeliveryRecord):
            raise EditError(_("Enter the money paid back as a refund, in the account of the order."))
        entered = replace(entered, of=departure.id, line=piece.line)
        records.append(replace(piece, line="", price=None, kept_at=record.note[:_PLACE] or _("came back")))
    return replacing(document, Action("knife.after", {"blade": piece.serial, "kind": plain(record.kind)}), [entered, *records])


def drop_after(document: Document, id: str) -> Edit:  # noqa: A002
    """Remove what was entered wrong about a knife that had left the shop. EditError for a return of one that left again."""
    record = document.get(id, AfterRecord)
    piece, records = document.get(record.piece, PieceRecord), list[Record]()
    if record.kind is AfterKind.RETURNED:
        if departure_of(document, piece.id) is not None or piece.line:
            raise EditError(_("{serial} has left the shop again, or is for an order.", serial=piece.serial))
        line = record.line if isinstance(document.records.get(record.line), OrderLine) else ""
        records += [replace(piece, line=line)] if line else []
    return replacing(document, Action("knife.after_removed", {"blade": piece.serial, "kind": plain(record.kind)}), records, [id])


def add_picture(document: Document, record: PictureRecord) -> Edit:
    """Add a picture of a blade, whose bytes are in the session."""
    piece = document.get(record.of, PieceRecord)
    action = Action("knife.pictured", {"blade": piece.serial})
    return replacing(document, action, [replace(record, place=next_place(document, PictureRecord))])


def drop_picture(document: Document, id: str) -> Edit:  # noqa: A002
    """Remove a picture of a blade."""
    piece = document.get(document.get(id, PictureRecord).of, PieceRecord)
    return replacing(document, Action("knife.picture_removed", {"blade": piece.serial}), [], [id])


def note_next_time(document: Document, template: str, words: str) -> Edit:
    """Keep what is to be done otherwise when a template is made again."""
    record = document.get(template, TemplateRecord)
    action = Action("template.next_time", {"template": record.template.name, "note": words.strip()})
    return replacing(document, action, [replace(record, next_time=words.strip())])
