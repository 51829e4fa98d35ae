"""Queries of a document about money and deliveries: what was paid, what has left the shop, what is for sale."""

from collections.abc import Mapping
from decimal import Decimal

from workbook.document.document import Document
from workbook.document.making import standing_of
from workbook.document.money_records import (
    AfterKind,
    AfterRecord,
    DeliveryRecord,
    ExpenseRecord,
    InvoiceRecord,
    OfMoney,
    PaymentRecord,
    SaleRecord,
)  # fmt: skip
from workbook.document.orders import lines_of
from workbook.document.shop_records import OrderLine, PictureRecord, PieceRecord
from workbook.shop.money import NOTHING

MONEY = (PaymentRecord, DeliveryRecord, InvoiceRecord, SaleRecord, AfterRecord, ExpenseRecord)


def money_of(document: Document) -> list[OfMoney]:
    """Everything that was paid, invoiced, delivered, sold or spent."""
    return [
        *document.all(PaymentRecord), *document.all(DeliveryRecord), *document.all(InvoiceRecord), *document.all(SaleRecord),
        *document.all(AfterRecord), *document.all(ExpenseRecord),
    ]  # fmt: skip


def payments_of(document: Document, order: str) -> list[PaymentRecord]:
    """The payments for an order, in the order they were entered."""
    return [record for record in document.all(PaymentRecord) if record.order == order]


def paid(document: Document, order: str) -> Decimal:
    """What was paid for an order, refunds and what was taken back counted off."""
    return sum((record.counted for record in payments_of(document, order)), NOTHING)


def has_account(document: Document, order: str) -> bool:
    """Whether anything was paid, invoiced or delivered for an order."""
    return order in orders_with_account(document)


def orders_with_account(document: Document) -> frozenset[str]:
    """The ids of all orders for which anything was paid, invoiced or delivered."""
    return document.once(_orders_with_account, PaymentRecord, InvoiceRecord, DeliveryRecord)


def _orders_with_account(document: Document) -> frozenset[str]:
    paid_for = {record.order for record in document.all(PaymentRecord)}
    billed = {record.order for record in document.all(InvoiceRecord)}
    return frozenset(paid_for | billed | {record.order for record in document.all(DeliveryRecord)})


def is_taken_back(document: Document, record: PaymentRecord | InvoiceRecord | SaleRecord) -> bool:
    """Whether a record takes another back, or was taken back."""
    return bool(record.of) or any(other.of == record.id for other in document.all(type(record)))


def open_invoice(document: Document, order: str) -> InvoiceRecord | None:
    """The invoice of an order that was not cancelled; None where there is none."""
    found = [record for record in document.all(InvoiceRecord) if record.order == order]
    return next((record for record in found if not is_taken_back(document, record)), None)


def delivered(document: Document) -> frozenset[str]:
    """The ids of all knives that have left the shop, delivered or sold, and not come back."""
    return frozenset(document.once(_departures, DeliveryRecord, SaleRecord, AfterRecord))


def departure_of(document: Document, piece: str) -> SaleRecord | DeliveryRecord | None:
    """The sale or delivery by which a knife left the shop; None for one that is in it."""
    return document.once(_departures, DeliveryRecord, SaleRecord, AfterRecord).get(piece)


def _departures(document: Document) -> Mapping[str, SaleRecord | DeliveryRecord]:
    """By knife, how it left: what was not taken back, and what it did not come back from."""
    back = {(record.of, record.piece) for record in document.all(AfterRecord) if record.kind is AfterKind.RETURNED}
    taken = {record.of for record in document.all(SaleRecord)}
    found: dict[str, SaleRecord | DeliveryRecord] = {
        piece: record for record in document.all(DeliveryRecord) for piece in record.pieces if (record.id, piece) not in back
    }
    for sale in document.all(SaleRecord):
        if not sale.of and sale.id not in taken and (sale.id, sale.piece) not in back:
            found[sale.piece] = sale
    return found


def left_on(document: Document, piece: str) -> str:
    """The ISO date on which a knife left the shop; "" for one that is in it."""
    departure = departure_of(document, piece)
    return departure.date if departure is not None else ""


def sale_of(document: Document, piece: str) -> SaleRecord | None:
    """The sale by which a knife left the shop; None for one that is in it, or was delivered for an order."""
    departure = departure_of(document, piece)
    return departure if isinstance(departure, SaleRecord) else None


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
