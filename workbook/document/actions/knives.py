"""What is kept of finished knives: work done on them after they had left the shop, that they came back, and pictures."""

from workbook.document.accounts import delivered
from workbook.document.action import Action, plain
from workbook.document.document import Document, Edit, EditError, replacing
from workbook.document.money_records import AfterRecord
from workbook.document.queries import next_place
from workbook.document.records import TemplateRecord
from workbook.document.shop_records import PictureRecord, PieceRecord
from workbook.structs import replace
from workbook.texts import _


def after(document: Document, record: AfterRecord) -> Edit:
    """Enter what was done to a knife after it had left the shop, or that it came back. EditError for one that is here."""
    piece = document.get(record.piece, PieceRecord)
    if piece.id not in delivered(document):
        raise EditError(_("{serial} has not left the shop.", serial=piece.serial))
    action = Action("knife.after", {"blade": piece.serial, "kind": plain(record.kind)})
    return replacing(document, action, [replace(record, place=next_place(document, AfterRecord))])


def drop_after(document: Document, id: str) -> Edit:  # noqa: A002
    """Remove what was entered wrong about a knife that had left the shop."""
    record = document.get(id, AfterRecord)
    piece = document.get(record.piece, PieceRecord)
    return replacing(document, Action("knife.after_removed", {"blade": piece.serial, "kind": plain(record.kind)}), [], [id])


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
