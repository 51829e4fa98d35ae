"""Queries of a document about money and deliveries: what was paid, what has left the shop, what is for sale."""

from collections import Counter
from collections.abc import Mapping
from decimal import Decimal

from workbook.document.document import Document
from workbook.document.making import standing_of
from workbook.document.money_records import AfterKind, AfterRecord, DeliveryRecord, InvoiceRecord, PaymentRecord, SaleRecord
from workbook.document.orders import lines_of
from workbook.document.shop_records import OrderLine, PictureRecord, PieceRecord
from workbook.shop.money import NOTHING


def payments_of(document: Document, order: str) -> list[PaymentRecord]:
    """The payments for an order, in the order they were entered."""
    return [record for record in document.all(PaymentRecord) if record.order == order]


def paid(document: Document, order: str) -> Decimal:
    """What was paid for an order, refunds and what was taken back counted off."""
    return sum((record.counted for record in payments_of(document, order)), NOTHING)


def has_account(document: Document, order: str) -> bool:
    """Whether anything was paid, invoiced or delivered for an order."""
    records: tuple[PaymentRecord | InvoiceRecord | DeliveryRecord, ...] = (
        *document.all(PaymentRecord),
        *document.all(InvoiceRecord),
        *document.all(DeliveryRecord),
    )
    return any(record.order == order for record in records)


def is_taken_back(document: Document, record: PaymentRecord | InvoiceRecord | SaleRecord) -> bool:
    """Whether a record takes another back, or was taken back."""
    return bool(record.of) or any(other.of == record.id for other in document.all(type(record)))


def open_invoice(document: Document, order: str) -> InvoiceRecord | None:
    """The invoice of an order that was not cancelled; None where there is none."""
    found = [record for record in document.all(InvoiceRecord) if record.order == order]
    return next((record for record in found if not is_taken_back(document, record)), None)


def delivered(document: Document) -> frozenset[str]:
    """The ids of all knives that have left the shop, delivered or sold, and not come back."""
    return document.once(_delivered, DeliveryRecord, SaleRecord, AfterRecord)


def _delivered(document: Document) -> frozenset[str]:
    times = Counter(piece for record in document.all(DeliveryRecord) for piece in record.pieces)
    for sale in document.all(SaleRecord):
        times[sale.piece] += -1 if sale.of else 1
    for record in document.all(AfterRecord):
        times[record.piece] -= record.kind is AfterKind.RETURNED
    return frozenset(piece for piece, left in times.items() if left > 0)


def left_on(document: Document, piece: str, until: str = "9999") -> str:
    """The ISO date on which a knife left the shop for the last time, until a date; "" for one that is in the shop."""
    moves = [(record.date, 1) for record in document.all(DeliveryRecord) if piece in record.pieces]
    moves += [(record.date, -1 if record.of else 1) for record in document.all(SaleRecord) if record.piece == piece]
    moves += [
        (record.date, -1) for record in document.all(AfterRecord) if record.piece == piece and record.kind is AfterKind.RETURNED
    ]
    moves = [move for move in moves if move[0] <= until]
    return max(date for date, by in moves if by > 0) if sum(by for _date, by in moves) > 0 else ""


def sale_of(document: Document, piece: str) -> SaleRecord | None:
    """The sale of a knife that was not taken back; None where there is none."""
    found = [record for record in document.all(SaleRecord) if record.piece == piece and not is_taken_back(document, record)]
    return found[-1] if found else None


def after_of(document: Document, piece: str) -> list[AfterRecord]:
    """What happened to a knife after it had left the shop, in the order it was entered."""
    return [record for record in document.all(AfterRecord) if record.piece == piece]


def pictures_of(document: Document, of: str) -> list[PictureRecord]:
    """The pictures of a blade, or of anything else, by its id."""
    return [record for record in document.all(PictureRecord) if record.of == of]


def ordered(document: Document, order: str) -> int:
    """How many knives an order is for."""
    return sum(line.quantity for line in lines_of(document, order))


def blades_for(document: Document, order: str) -> list[PieceRecord]:
    """The blades that are for an order."""
    return document.once(_blades_by_order, PieceRecord, OrderLine).get(order, [])


def _blades_by_order(document: Document) -> Mapping[str, list[PieceRecord]]:
    found, orders = dict[str, list[PieceRecord]](), {line.id: line.order for line in document.all(OrderLine)}
    for piece in document.all(PieceRecord):
        if piece.line in orders:
            found.setdefault(orders[piece.line], []).append(piece)
    return found


def count_delivered(document: Document, order: str) -> int:
    """How many knives of an order were delivered."""
    gone = delivered(document)
    return sum(piece.id in gone for piece in blades_for(document, order))


def finished_of(document: Document, order: str) -> int:
    """How many knives of an order are finished, whether or not they have left the shop."""
    return sum(standing_of(document, piece).finished for piece in blades_for(document, order))


def ready_for(document: Document, order: str) -> list[PieceRecord]:
    """The finished knives of an order that are still in the shop."""
    gone = delivered(document)
    return [piece for piece in blades_for(document, order) if piece.id not in gone and standing_of(document, piece).finished]


def for_sale(document: Document) -> list[PieceRecord]:
    """The finished knives of the shop's own that are still in the shop."""
    gone = delivered(document)
    own = (piece for piece in document.all(PieceRecord) if not piece.line and piece.id not in gone)
    return [piece for piece in own if standing_of(document, piece).finished]
