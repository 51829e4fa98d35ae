"""What comes in and leaves the shop: payments, deliveries, invoices, sales of finished knives, expenses. Nothing of it is changed
but an expense: what was wrong is taken back by another record.
"""

from collections.abc import Sequence
from decimal import Decimal

from workbook.document.accounts import (
    blades_for,
    count_delivered,
    delivered,
    departure_of,
    is_taken_back,
    open_invoice,
    ordered,
)
from workbook.document.action import Action, Value, plain
from workbook.document.document import Document, Edit, EditError, replacing
from workbook.document.making import standing_of
from workbook.document.money_records import (
    DeliveryRecord,
    ExpenseRecord,
    InvoiceRecord,
    PaymentKind,
    PaymentRecord,
    SaleRecord,
)
from workbook.document.queries import next_place
from workbook.document.records import Record
from workbook.document.shop_records import OrderRecord, PieceRecord
from workbook.shop.orders import DONE, TALKED_OF, Status
from workbook.structs import replace
from workbook.texts import _


def pay(document: Document, payment: PaymentRecord) -> Edit:
    """Enter a payment for an order; one that was only talked of is accepted then."""
    order = document.get(payment.order, OrderRecord)
    fields: dict[str, Value] = {"order": order.number, "amount": plain(payment.amount), "kind": plain(payment.kind)}
    after: list[Record] = [replace(payment, place=next_place(document, PaymentRecord))]
    if order.status in TALKED_OF and payment.kind is not PaymentKind.REFUND:
        after.append(replace(order, status=Status.AGREED))
    return replacing(document, Action("payment.entered", fields), after)


def take_payment_back(document: Document, wrong: str, id: str, date: str) -> Edit:  # noqa: A002
    """Take a payment back that was entered wrong. EditError for one that takes back, or was taken back."""
    record = document.get(wrong, PaymentRecord)
    if is_taken_back(document, record):
        raise EditError(_("this payment cannot be taken back"))
    after = replace(record, id=id, place=next_place(document, PaymentRecord), date=date, note="", of=wrong)
    order = document.get(record.order, OrderRecord)
    fields: dict[str, Value] = {"order": order.number, "amount": plain(record.amount)}
    return replacing(document, Action("payment.taken_back", fields), [after])


def deliver(document: Document, delivery: DeliveryRecord) -> Edit:
    """Deliver knives of an order, which is delivered once none is left. EditError for a knife that is not finished."""
    order, gone = document.get(delivery.order, OrderRecord), delivered(document)
    own = {piece.id for piece in blades_for(document, order.id)}
    if not delivery.pieces:
        raise EditError(_("No knife of order {number} is ready.", number=order.number))
    for id_ in delivery.pieces:
        piece = document.get(id_, PieceRecord)
        if id_ not in own:
            raise EditError(_("{serial} is not for order {number}.", serial=piece.serial, number=order.number))
        if id_ in gone or not standing_of(document, piece).finished:
            raise EditError(_("{serial} is not finished, or has left the shop.", serial=piece.serial))
    after: list[Record] = [replace(delivery, place=next_place(document, DeliveryRecord))]
    if left_to_deliver(document, order.id) <= len(delivery.pieces) and order.status not in DONE:
        after.append(replace(order, status=Status.DELIVERED, laying=False))
    fields: dict[str, Value] = {"order": order.number, "count": len(delivery.pieces)}
    return replacing(document, Action("delivery.entered", fields), after)


def left_to_deliver(document: Document, order: str) -> int:
    """How many knives of an order are still to be delivered."""
    return max(ordered(document, order) - count_delivered(document, order), 0)


def invoice(document: Document, record: InvoiceRecord) -> Edit:
    """Issue an invoice for an order. EditError while there is one that was not cancelled, or for one without lines."""
    order = document.get(record.order, OrderRecord)
    if open_invoice(document, record.order) is not None:
        raise EditError(_("Order {number} has an invoice. Cancel it before you issue another.", number=order.number))
    if not record.lines:
        raise EditError(_("Order {number} has nothing in it.", number=order.number))
    return _issued(document, record, "invoice.issued", order)


def cancel_invoice(document: Document, id: str, new: str, date: str) -> Edit:  # noqa: A002
    """Cancel an invoice by another with its amounts taken off."""
    record = document.get(id, InvoiceRecord)
    if is_taken_back(document, record):
        raise EditError(_("this invoice cannot be cancelled"))
    after = replace(record, id=new, number=next_invoice(document), date=date, of=id)
    return _issued(document, after, "invoice.cancelled", document.get(record.order, OrderRecord))


def _issued(document: Document, record: InvoiceRecord, action: str, order: OrderRecord) -> Edit:
    after = replace(record, number=next_invoice(document), place=next_place(document, InvoiceRecord))
    fields: dict[str, Value] = {"number": after.number, "order": order.number}
    return replacing(document, Action(action, fields), [after])


def next_invoice(document: Document) -> int:
    """The number of the next invoice: none is left out, and none is given twice."""
    return max((record.number for record in document.all(InvoiceRecord)), default=0) + 1


def sell(document: Document, sale: SaleRecord) -> Edit:
    """Sell a finished knife of the shop's own. EditError for one that is not finished, for an order, or gone."""
    piece = document.get(sale.piece, PieceRecord)
    if piece.line:
        raise EditError(_("{serial} is for an order. Give it to the shop first.", serial=piece.serial))
    if piece.id in delivered(document) or not standing_of(document, piece).finished:
        raise EditError(_("{serial} is not finished, or has left the shop.", serial=piece.serial))
    fields: dict[str, Value] = {"blade": piece.serial, "amount": plain(sale.price)}
    return replacing(document, Action("knife.sold", fields), [replace(sale, place=next_place(document, SaleRecord))])


def take_sale_back(document: Document, wrong: str, id: str, date: str) -> Edit:  # noqa: A002
    """Take a sale back: the knife is in the shop again."""
    record = document.get(wrong, SaleRecord)
    if departure_of(document, record.piece) != record:
        raise EditError(_("this sale cannot be taken back"))
    after = replace(record, id=id, place=next_place(document, SaleRecord), date=date, note="", of=wrong)
    piece = document.get(record.piece, PieceRecord)
    return replacing(document, Action("knife.came_back", {"blade": piece.serial}), [after])


def offer(document: Document, blade: str, price: Decimal | None, kept_at: str) -> Edit:
    """Set the price and the place of a finished knife."""
    piece = document.get(blade, PieceRecord)
    return replacing(document, Action("knife.offered", {"blade": piece.serial}), [replace(piece, price=price, kept_at=kept_at)])


def spend(document: Document, records: Sequence[ExpenseRecord]) -> Edit:
    """Replace the shop's expenses: some may be new, changed or gone."""
    kept = {record.id for record in records}
    gone = [record.id for record in document.all(ExpenseRecord) if record.id not in kept]
    return replacing(document, Action("expenses.changed", {"count": len(records)}), records, gone)
