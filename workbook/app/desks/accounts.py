"""Payments, deliveries and invoices of orders, finished knives and expenses. What has left the house is taken back by another
record, not undone.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal
from typing import TYPE_CHECKING

from workbook.document.accounts import paid, ready_for
from workbook.document.actions import accounts, knives
from workbook.document.document import Document, Edit, EditError
from workbook.document.money_records import AfterRecord, DeliveryRecord, ExpenseRecord, PaymentKind, PaymentRecord, SaleRecord
from workbook.document.shop_records import PictureRecord, PieceRecord
from workbook.model.accounts import Account, account_of, invoice_for, prices_fixed
from workbook.model.quoting import OrderWork, worked_out
from workbook.storage.attachment import Attachment
from workbook.tasks.work import new_id, now
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.work import Work


class AccountDesk:
    """Changes the accounts of one workspace. A change that cannot be made returns why, in words; "" where it is made."""

    def __init__(self, space: Work) -> None:
        self._space = space

    @property
    def _document(self) -> Document:
        return self._space.session.document

    def of(self, order: str, work: OrderWork | None = None) -> Account:
        """The account of an order. `work`: its quote as a page has worked it out, where one has."""
        return account_of(self._document, self._space.model, order, work)

    def pay(self, order: str, amount: Decimal, kind: PaymentKind, date: str, note: str) -> str:
        """Enter a payment. Return why it cannot be, in words; "" where it is."""
        if kind is PaymentKind.REFUND and amount > paid(self._document, order):
            return _("That is more than was paid.")
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

    def sell(self, piece: str, price: Decimal, date: str, buyer: str, kept: float) -> str:
        """Sell a finished knife, with the shop's usual tax. `kept`: the share that whoever sold it keeps."""
        tax = self._document.settings.charges.tax
        record = SaleRecord(id=new_id(), place=0.0, piece=piece, date=date, price=price, tax=tax, kept=kept, buyer=buyer)
        return self._done(lambda: accounts.sell(self._document, record))

    def take_sale_back(self, sale: str) -> str:
        """Take a sale back: the knife is in the shop again."""
        return self._done(lambda: accounts.take_sale_back(self._document, sale, new_id(), now()[:10]))

    def offer(self, piece: str, price: Decimal | None, kept_at: str) -> str:
        """Set the price and the location of a finished knife, where they are others."""
        record = self._document.get(piece, PieceRecord)
        if (record.price, record.kept_at) == (price, kept_at):
            return ""
        return self._done(lambda: accounts.offer(self._document, piece, price, kept_at))

    def after(self, record: AfterRecord) -> str:
        """Enter what was done to a knife that has left the shop."""
        return self._done(lambda: knives.after(self._document, record))

    def drop_after(self, id_: str) -> str:
        """Remove what was entered wrong about it."""
        return self._done(lambda: knives.drop_after(self._document, id_))

    def add_picture(self, piece: str, picture: bytes) -> None:
        """Add a picture of a knife, a JPEG. StorageTrouble where it does not fit."""
        reference = self._space.session.attach(Attachment("image/jpeg", picture))
        record = PictureRecord(id=new_id(), place=0.0, of=piece, picture=reference, at=now())
        self._space.do(knives.add_picture(self._document, record))

    def drop_picture(self, picture: str) -> None:
        """Remove a picture of a knife."""
        self._space.do(knives.drop_picture(self._document, picture))

    def spend(self, records: Sequence[ExpenseRecord], key: str = "") -> None:
        """Replace the shop's expenses; `key`: of a cell, whose changes while it is typed are one step."""
        edit = accounts.spend(self._document, records)
        if key:
            self._space.merge_edit(key, edit)
        else:
            self._space.do(edit)

    def note_next_time(self, template: str, words: str) -> None:
        """Keep what is to be done otherwise when a template is made again."""
        self._space.do(knives.note_next_time(self._document, template, words))

    def _done(self, made: Callable[[], Edit]) -> str:
        try:
            self._space.do(made())
        except EditError as trouble:
            return str(trouble)
        return ""
