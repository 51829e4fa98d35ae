"""What was paid, invoiced, delivered, sold and spent in another shop book, as it comes into this one: nothing twice."""

from collections.abc import Callable, Iterator
from itertools import count
from typing import TypeVar

from workbook.document.accounts import MONEY, delivered, open_invoice
from workbook.document.document import Document
from workbook.document.money_records import (
    AfterKind,
    AfterRecord,
    DeliveryRecord,
    ExpenseRecord,
    InvoiceRecord,
    PaymentRecord,
    SaleRecord,
)  # fmt: skip
from workbook.document.queries import next_place
from workbook.document.records import Record
from workbook.document.shop_records import PieceRecord
from workbook.structs import replace

IdHere = Callable[[str], str]  # the id in this book of something of the other; "": it has none here, or does not come
_Money = TypeVar("_Money", PaymentRecord, DeliveryRecord, InvoiceRecord, SaleRecord, AfterRecord, ExpenseRecord)


def _new(mine: Document, theirs: Document, kind: type[_Money]) -> Iterator[_Money]:
    return (record for record in theirs.all(kind) if record.id not in mine.records)


def brought_money(
    mine: Document, theirs: Document, order_here: IdHere, piece_here: IdHere, line_here: IdHere, *, every: bool
) -> Iterator[Record]:
    """The records to bring: those of orders and knives that `order_here` and `piece_here` know; expenses where `every` is.

    Knives that have left the shop here are not delivered or sold once more.
    """
    places = {kind: count(next_place(mine, kind)) for kind in MONEY}
    for payment in _new(mine, theirs, PaymentRecord):
        if order := order_here(payment.order):
            yield replace(payment, place=next(places[PaymentRecord]), order=order)
    for bill in _bills(mine, theirs, order_here):
        yield replace(bill, place=next(places[InvoiceRecord]))
    gone, came = _gone(mine, theirs, line_here), set[str]()
    for delivery in _new(mine, theirs, DeliveryRecord):
        order = order_here(delivery.order)
        pieces = tuple(own for piece in delivery.pieces if (own := line_here(piece)) and own not in gone)
        if order and pieces:
            came.add(delivery.id)
            yield replace(delivery, place=next(places[DeliveryRecord]), order=order, pieces=pieces)
    for sale in _new(mine, theirs, SaleRecord):
        own = piece_here(sale.piece)
        if own and (sale.of in came or sale.of in mine.records if sale.of else own not in gone):
            came.add(sale.id)
            yield replace(sale, place=next(places[SaleRecord]), piece=own)
    for after in _new(mine, theirs, AfterRecord):
        own = line_here(after.piece) if after.of in came else piece_here(after.piece)
        if own and (after.kind is not AfterKind.RETURNED or after.of in came or after.of in mine.records):
            yield replace(after, place=next(places[AfterRecord]), piece=own, line=line_here(after.line))
            here = mine.records.get(own)
            if after.kind is AfterKind.RETURNED and isinstance(here, PieceRecord):
                yield replace(here, line="", price=None)  # it is the shop's again
    if every:
        for expense in _new(mine, theirs, ExpenseRecord):
            yield replace(expense, place=next(places[ExpenseRecord]))


def _gone(mine: Document, theirs: Document, line_here: IdHere) -> frozenset[str]:
    """The knives that have left the shop here, without those that the other book says came back."""
    returns = (record for record in _new(mine, theirs, AfterRecord) if record.kind is AfterKind.RETURNED)
    return delivered(mine) - {line_here(record.piece) for record in returns if record.of in mine.records}


def _bills(mine: Document, theirs: Document, order_here: IdHere) -> Iterator[InvoiceRecord]:
    """Invoices and what cancels them. Each comes under its own number, which a customer holds on paper, or not at all: where a
    number is taken, or the order would have two that stand. An invoice and what cancels it come together.
    """
    numbers = {record.number for record in mine.all(InvoiceRecord)}
    new = [bill for bill in _new(mine, theirs, InvoiceRecord) if order_here(bill.order)]
    cancels = {bill.of: bill for bill in new if bill.of}
    closed = {bill.of for bill in new if bill.of in mine.records and bill.number not in numbers}
    standing = {order_here(bill.order): open_invoice(mine, order_here(bill.order)) for bill in new}
    came = set[str]()
    for bill in new:
        order, cancel = order_here(bill.order), cancels.get(bill.id)
        if bill.of:
            fits = bill.of in came or bill.of in closed
        else:
            open_here = standing[order]
            free = cancel is not None or open_here is None or open_here.id in closed
            fits = free and not (cancel is not None and cancel.number in numbers)
        if fits and bill.number not in numbers:
            came.add(bill.id)
            if not bill.of and cancel is None:
                standing[order] = bill
            yield replace(bill, order=order)
