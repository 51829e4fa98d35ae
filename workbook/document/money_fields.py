"""The fields of payments, deliveries, sales, invoices and expenses. What has left the house is only ever added."""

from typing import Any

from workbook.document.money_records import (
    AFTER_WORDS,
    EXPENSE_WORDS,
    PAYMENT_WORDS,
    AfterRecord,
    DeliveryRecord,
    ExpenseRecord,
    InvoiceLine,
    InvoiceRecord,
    PaymentRecord,
    SaleRecord,
)
from workbook.fields import NOTE, SUM, Field, Kind, Table, choice, count, money, name, number, parts, share, text
from workbook.shop.fields import MOST_ORDERED, TAX
from workbook.texts import _

SINCE = 15
_ONCE: dict[str, Any] = {"added": True, "since": SINCE}
_ID = 100  # letters
_MOST_LINES = 1000
_MOST_MINUTES = 100_000


def _id() -> Field:
    return Field(key="id", kind=Kind.ID, letters=_ID, empty=False, **_ONCE)


def _place() -> Field:
    return number("place", -1e9, 1e9, **_ONCE)


def _to(key: str, *kinds: str, **more: Any) -> Field:
    return Field(key=key, kind=Kind.REFERENCE, letters=_ID, of=kinds, since=SINCE, **more)


def _date(*, added: bool = True) -> Field:
    return Field(key="date", kind=Kind.DATE, added=added, since=SINCE, label=_("Date"))


FIELDS: dict[type, Table] = {
    PaymentRecord: (
        _id(), _place(), _to("order", "order", added=True), _date(), money("amount", SUM, **_ONCE, label=_("Amount")),
        choice("kind", options=tuple(PAYMENT_WORDS.items()), **_ONCE, label=_("Payment")),
        text("note", NOTE, **_ONCE, label=_("Note")), _to("of", "payment", added=True),
    ),
    DeliveryRecord: (
        _id(), _place(), _to("order", "order", added=True), _date(), _to("pieces", "piece", entries=2000, added=True),
        text("tracking", **_ONCE, label=_("Tracking")), text("note", NOTE, **_ONCE, label=_("Note")),
    ),
    SaleRecord: (
        _id(), _place(), _to("piece", "piece", added=True), _date(), money("price", SUM, **_ONCE, label=_("Price")),
        share("tax", *TAX, **_ONCE, label=_("Tax")), share("kept", **_ONCE, label=_("Commission")),
        text("buyer", **_ONCE, label=_("Buyer")), text("note", NOTE, **_ONCE, label=_("Note")),
        _to("of", "sale", added=True),
    ),
    InvoiceLine: (
        name("words", since=SINCE), count("quantity", 1, MOST_ORDERED, since=SINCE), money("each", SUM, since=SINCE),
        text("details", NOTE, since=SINCE),
    ),
    InvoiceRecord: (
        _id(), _place(), count("number", 1, 10**9, **_ONCE), _date(), _to("order", "order", added=True),
        text("buyer", NOTE, **_ONCE), parts("lines", _MOST_LINES, **_ONCE),
        money("discount", SUM, **_ONCE), money("delivery", SUM, **_ONCE),
        share("tax", *TAX, **_ONCE), _to("of", "invoice", added=True), text("seller", NOTE, **_ONCE),
    ),
    ExpenseRecord: (
        _id(), _place(), _date(added=False), money("amount", SUM, since=SINCE, label=_("Amount")),
        choice("kind", options=tuple(EXPENSE_WORDS.items()), since=SINCE, label=_("Kind")),
        text("supplier", since=SINCE, label=_("Supplier")), text("receipt", since=SINCE, label=_("Receipt no.")),
        text("note", NOTE, since=SINCE, label=_("Note")),
    ),
    AfterRecord: (
        _id(), _place(), _to("piece", "piece", added=True), _date(),
        choice("kind", options=tuple(AFTER_WORDS.items()), **_ONCE, label=_("Done")),
        number("minutes", 0, _MOST_MINUTES, **_ONCE, label=_("Minutes")), money("price", SUM, **_ONCE, label=_("Price")),
        text("note", NOTE, **_ONCE, label=_("Note")), _to("of", "sale", "delivery", added=True),
        _to("line", "order line", added=True),
    ),
}  # fmt: skip
