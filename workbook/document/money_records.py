"""What leaves the shop and what comes in: payments, deliveries, sales, invoices, expenses, work after a sale. One frozen record
for each.
"""

from decimal import Decimal
from enum import StrEnum

from msgspec import Struct

from workbook.shop.money import NOTHING
from workbook.texts import _


class PaymentKind(StrEnum):
    """What a payment is for."""

    DEPOSIT = "deposit"
    BALANCE = "balance"
    REFUND = "refund"  # paid back: its amount is counted off
    OTHER = "other"


PAYMENT_WORDS = {
    PaymentKind.DEPOSIT: _("deposit"),
    PaymentKind.BALANCE: _("balance"),
    PaymentKind.REFUND: _("refund"),
    PaymentKind.OTHER: _("other"),
}


class ExpenseKind(StrEnum):
    """What an expense is for."""

    STEEL = "steel"
    MATERIALS = "materials"
    OUTSIDE = "outside"
    TOOLS = "tools"
    SHIPPING = "shipping"
    OTHER = "other"


EXPENSE_WORDS = {
    ExpenseKind.STEEL: _("steel"),
    ExpenseKind.MATERIALS: _("materials"),
    ExpenseKind.OUTSIDE: _("outside work"),
    ExpenseKind.TOOLS: _("tools"),
    ExpenseKind.SHIPPING: _("shipping"),
    ExpenseKind.OTHER: _("other"),
}


class AfterKind(StrEnum):
    """What happened to a knife after it had left the shop."""

    SHARPENED = "sharpened"
    REPAIRED = "repaired"
    RETURNED = "returned"  # it is the shop's again
    OTHER = "other"


AFTER_WORDS = {
    AfterKind.SHARPENED: _("sharpened"),
    AfterKind.REPAIRED: _("repaired"),
    AfterKind.RETURNED: _("returned to the shop"),
    AfterKind.OTHER: _("other"),
}


class PaymentRecord(Struct, frozen=True, kw_only=True):
    """Money for an order. One that was entered wrong is taken back by another."""

    id: str
    place: float
    order: str  # its id
    date: str  # ISO
    amount: Decimal  # over 0, also of a refund
    kind: PaymentKind = PaymentKind.BALANCE
    note: str = ""
    of: str = ""  # the id of the payment that this one takes back

    @property
    def counted(self) -> Decimal:
        """What it adds to what was paid."""
        return -self.amount if (self.kind is PaymentKind.REFUND) is not bool(self.of) else self.amount


class DeliveryRecord(Struct, frozen=True, kw_only=True):
    """Knives of an order that were handed over or sent."""

    id: str
    place: float
    order: str
    date: str
    pieces: tuple[str, ...]  # ids
    tracking: str = ""
    note: str = ""


class SaleRecord(Struct, frozen=True, kw_only=True):
    """A finished knife that was sold without an order."""

    id: str
    place: float
    piece: str
    date: str
    price: Decimal  # before tax
    tax: float = 0.0  # a share of the price
    kept: float = 0.0  # the share of the price that whoever sold it for the shop keeps
    buyer: str = ""
    note: str = ""
    of: str = ""  # the id of the sale that this one takes back: the knife came home


class InvoiceLine(Struct, frozen=True, kw_only=True):
    """A line of an invoice as it was sent."""

    words: str
    quantity: int
    each: Decimal
    details: str = ""  # steel, handle, extras


class InvoiceRecord(Struct, frozen=True, kw_only=True):
    """An invoice as it was sent; it never changes. A wrong one is cancelled by another with its amounts taken off."""

    id: str
    place: float
    number: int
    date: str
    order: str
    buyer: str
    lines: tuple[InvoiceLine, ...]
    discount: Decimal = NOTHING
    delivery: Decimal = NOTHING
    tax: float = 0.0
    of: str = ""  # the id of the invoice that this one cancels
    seller: str = ""  # the shop, its address, and how it is reached, a line each, as they were then


class ExpenseRecord(Struct, frozen=True, kw_only=True):
    """Money spent for the shop."""

    id: str
    place: float
    date: str
    amount: Decimal
    kind: ExpenseKind = ExpenseKind.OTHER
    supplier: str = ""
    receipt: str = ""  # its number
    note: str = ""


class AfterRecord(Struct, frozen=True, kw_only=True):
    """What was done to a knife after it had left the shop, or that it came back."""

    id: str
    place: float
    piece: str
    date: str
    kind: AfterKind = AfterKind.SHARPENED
    minutes: float = 0.0
    price: Decimal = NOTHING  # before tax; of a knife that came back, what was paid back
    note: str = ""
    of: str = ""  # of one that came back, the id of the sale or the delivery it came back from
    line: str = ""  # of one that came back, the id of the order line it was for

    @property
    def counted(self) -> Decimal:
        """What comes in."""
        return -self.price if self.kind is AfterKind.RETURNED else self.price


OfMoney = PaymentRecord | DeliveryRecord | InvoiceRecord | SaleRecord | AfterRecord | ExpenseRecord
