"""Payments, deliveries and invoices of orders. What has left the house is taken back by another record, not undone."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from typing import TYPE_CHECKING

from workbook.document.accounts import ready_for
from workbook.document.actions import accounts
from workbook.document.document import Document, Edit, EditError
from workbook.document.money_records import DeliveryRecord, PaymentKind, PaymentRecord
from workbook.model.accounts import Account, account_of, invoice_for, prices_fixed
from workbook.model.quoting import worked_out
from workbook.tasks.work import new_id, now
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.work import Work


class AccountDesk:
    """Changes the accounts of one workspace."""

    def __init__(self, space: Work) -> None:
        self._space = space

    @property
    def _document(self) -> Document:
        return self._space.session.document

    def of(self, order: str) -> Account:
        """The account of an order."""
        return account_of(self._document, self._space.model, order)

    def pay(self, order: str, amount: Decimal, kind: PaymentKind, date: str, note: str) -> str:
        """Enter a payment. Return why it cannot be, in words; "" where it is."""
        record = PaymentRecord(id=new_id(), place=0.0, order=order, date=date, amount=amount, kind=kind, note=note)
        return self._done(lambda: accounts.pay(self._document, record))

    def take_payment_back(self, payment: str) -> str:
        """Take a payment back that was entered wrong."""
        return self._done(lambda: accounts.take_payment_back(self._document, payment, new_id(), now()[:10]))

    def deliver(self, order: str, date: str, tracking: str) -> str:
        """Deliver all knives of an order that are ready."""
        pieces = tuple(piece.id for piece in ready_for(self._document, order))
        record = DeliveryRecord(id=new_id(), place=0.0, order=order, date=date, pieces=pieces, tracking=tracking)
        return self._done(lambda: accounts.deliver(self._document, record))

    def issue_invoice(self, order: str, date: str) -> str:
        """Issue an invoice of what the order comes to. Its prices must be fixed, as a quote fixes them."""
        if not prices_fixed(self._document, order):
            return _("The prices are not fixed yet. Print the quote, or copy it as text.")
        work = worked_out(self._document, self._space.model, order, {})
        return self._done(lambda: accounts.invoice(self._document, invoice_for(self._document, work, new_id(), date)))

    def cancel_invoice(self, invoice: str, date: str) -> str:
        """Cancel an invoice by another."""
        return self._done(lambda: accounts.cancel_invoice(self._document, invoice, new_id(), date))

    def _done(self, made: Callable[[], Edit]) -> str:
        try:
            self._space.do(made())
        except EditError as trouble:
            return str(trouble)
        return ""
