"""The account of an order: what is due and paid, payments, what is delivered, its invoice."""

from collections.abc import Callable

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QDialog, QInputDialog, QVBoxLayout, QWidget

from workbook.app.asking import sure
from workbook.app.changed import Changed
from workbook.app.dialogs.heat_fields import choice_of, line_of
from workbook.app.elements.basics import Lettered, button, label, row, tool
from workbook.app.elements.record_table import RecordTable
from workbook.app.elements.working import Figure, OpenedFigure
from workbook.app.plain import plain
from workbook.app.workspace import Workspace
from workbook.document.accounts import is_taken_back, payments_of
from workbook.document.document import Document
from workbook.document.money_records import PAYMENT_WORDS, InvoiceRecord, PaymentKind, PaymentRecord
from workbook.document.orders import customer_of
from workbook.document.shop_records import OrderRecord
from workbook.model.accounts import Account, prices_fixed, state_words
from workbook.model.quoting import OrderWork
from workbook.number_in import NumberError, parse_amount, written
from workbook.shop.entry import EntryError
from workbook.shop.money import NOTHING, priced
from workbook.shop.order_entry import iso_date
from workbook.tasks.work import now
from workbook.texts import _, ngettext

_HEADS = (_("Date"), _("Payment"), _("Note"), _("Amount"))
_NOTE = _("Payments and invoices cannot be undone. Take a payment back, or cancel an invoice by another. Check local tax rules.")


_PAPERS = {
    "invoice": _("Invoice"), "receipt": _("Receipt"), "packing": _("Packing slip"), "care": _("Care cards"),
    "history": _("Histories"),
}  # fmt: skip


class AccountDialog(QDialog):
    """The dialog; it follows the workbook while it is open."""

    paper_wanted = Signal(str)  # the key of an export

    def __init__(
        self, parent: QWidget, workspace: Workspace, order: str, work_of: Callable[[], OrderWork | None] = lambda: None
    ) -> None:
        """`work_of`: the quote that a page shows, worked out with a layout."""
        super().__init__(parent)
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._space, self._order, self._chosen = workspace, order, ""  # the id of the payment chosen
        self._work_of = work_of
        look = workspace.look
        self.state = Lettered(look, "", 9.75, bold=True)
        self.due, self.paid, self.balance = (
            Figure(look, name, words)
            for name, words in (("account-due", _("due")), ("account-paid", _("paid")), ("account-balance", _("balance")))
        )
        self.payments = RecordTable(look, "payments", _("Payments"), _HEADS, right=(3,))
        self.payments.set_widths(look, {0: 110, 1: 150, 3: 110})
        self.back_button = tool(look, "payment-back", _("Take back"))
        self.amount, self.date = line_of(look, "payment-amount", _("Amount")), line_of(look, "payment-date", _("Date"))
        self.note = line_of(look, "payment-note", _("Note"), 170)
        self.kind = choice_of(look, "payment-kind", _("Payment"), PAYMENT_WORDS, 120)
        self.pay_button = button(look, "enter-payment", _("Enter payment"), main=True)
        self.pay_button.setAutoDefault(False)  # Enter in a line enters it, once
        self.knives, self.invoice = label(look, ""), label(look, "")
        self.deliver_button, self.invoice_button = tool(look, "deliver", _("Deliver…")), tool(look, "invoice", "")
        self.papers = {key: tool(look, f"print-{key}", words, "print") for key, words in _PAPERS.items()}
        self.wrong = Lettered(look, "", 9, bold=True, tone="stop")
        self._build()
        self.resize(min(look.px(700), parent.width()), min(look.px(560), parent.height()))
        self._connect()
        self._fill()

    def _build(self) -> None:
        look, none = self._space.look, (0, 0, 0, 0)
        note = label(look, _NOTE, "small", soft=True)
        note.setWordWrap(True)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(14, 12, 14, 12)
        outer.addWidget(self.state)
        outer.addLayout(row(self.due, self.paid, self.balance, None, margins=none, gap=24))
        outer.addLayout(row(label(look, _("Payments"), "strong"), None, self.back_button, margins=none))
        outer.addWidget(self.payments, 1)
        fields = [part for each in (self.amount, self.kind, self.date) for part in (label(look, each.accessibleName()), each)]
        outer.addLayout(row(*fields, None, margins=none))
        outer.addLayout(row(label(look, _("Note")), self.note, None, self.pay_button, margins=none))
        outer.addSpacing(look.px(8))
        outer.addLayout(row(label(look, _("Knives"), "strong"), self.knives, None, self.deliver_button, margins=none))
        outer.addLayout(row(label(look, _("Invoice"), "strong"), self.invoice, None, self.invoice_button, margins=none))
        outer.addSpacing(look.px(8))
        outer.addLayout(row(*self.papers.values(), None, margins=none))
        outer.addWidget(self.wrong)
        outer.addWidget(note)

    def _connect(self) -> None:
        for line in (self.amount, self.date, self.note):
            line.returnPressed.connect(self._pay)
        self.pay_button.clicked.connect(self._pay)
        self.back_button.clicked.connect(lambda: self._say(self._space.accounts.take_payment_back(self._chosen)))
        self.payments.chosen.connect(self._choose)
        self.deliver_button.clicked.connect(self._deliver)
        self.invoice_button.clicked.connect(self._invoice)
        for key, each in self.papers.items():
            each.clicked.connect(lambda _on=False, key=key: self.paper_wanted.emit(key))
        self._space.changed.connect(self._changed)

    @property
    def _document(self) -> Document:
        return self._space.session.document

    def _say(self, problem: str) -> None:
        self.wrong.say(problem, "stop")
        self.wrong.setVisible(bool(problem))

    def _changed(self, change: Changed) -> None:
        if not change.records:
            return
        if isinstance(self._document.records.get(self._order), OrderRecord):
            self._fill()
        else:
            self.close()

    def _account(self) -> Account:
        """The account, by the quote that the page has worked out where it is of this order."""
        work = self._work_of()
        return self._space.accounts.of(self._order, work if work is not None and work.order.id == self._order else None)

    def _choose(self, payment: str) -> None:
        record = self._document.records.get(payment)
        self._chosen = payment
        self.back_button.setEnabled(isinstance(record, PaymentRecord) and not is_taken_back(self._document, record))

    def _fill(self) -> None:
        document = self._document
        order, money = document.get(self._order, OrderRecord), document.settings.money
        account, number = self._account(), _("Order {number}", number=order.number)
        self.setWindowTitle(_("Account of order {number}", number=order.number))
        whose = customer_of(document, order)
        fixed = "" if account.invoice or prices_fixed(document, self._order) else _("prices not fixed yet")
        if account.balance < 0:
            fixed = _("{amount} too much was paid", amount=priced(-account.balance, money))
        self.state.say("   ".join(part for part in (number, whose, state_words(document, order), fixed) if part))
        amounts = {_("due"): account.due, _("paid"): account.paid, _("balance"): account.balance}
        for figure, (words, amount) in zip((self.due, self.paid, self.balance), amounts.items(), strict=True):
            figure.say(OpenedFigure(words, priced(amount, money)))
        self.payments.show_records(payments_of(document, self._order), self._row, self._chosen)
        self._choose(self._chosen)
        self._suggest(account)
        self._show_knives(account)
        self._say("" if document.settings.shop else _("Papers have no sender: type the shop's name and address in Rates."))

    def _suggest(self, account: Account) -> None:
        """Fill in the payment that comes next."""
        first = account.paid <= 0 and 0 < account.deposit < account.due
        amount = account.deposit if first else max(account.balance, NOTHING)
        self.kind.setCurrentIndex(list(PAYMENT_WORDS).index(PaymentKind.DEPOSIT if first else PaymentKind.BALANCE))
        self.amount.setText(written(amount) if amount else "")
        self.date.setText(now()[:10])
        self.note.clear()

    def _show_knives(self, account: Account) -> None:
        local, bill = self._document.settings.local, account.invoice
        self.knives.setText(
            _(
                "{ready} ready, {gone} of {wanted} delivered", ready=account.ready, gone=account.delivered, wanted=account.ordered
            )
        )  # fmt: skip
        self.deliver_button.setEnabled(account.ready > 0)
        ready = ngettext("Deliver {count}…", "Deliver {count}…", account.ready)
        self.deliver_button.setText(ready if account.ready else _("Deliver…"))
        self.invoice.setText(
            _("no. {number}, {date}", number=bill.number, date=local.short_day(bill.date)) if bill else _("none yet")
        )
        self.invoice_button.setText(_("Cancel invoice") if bill else _("Issue invoice"))
        self.invoice_button.setAccessibleName(self.invoice_button.text())
        made = account.ready + account.delivered > 0
        document = self._document
        standing = (each for each in payments_of(document, self._order) if not is_taken_back(document, each))
        bills = (each for each in document.all(InvoiceRecord) if each.order == self._order)
        there = {"invoice": any(bills), "receipt": any(standing)}
        for key, each in self.papers.items():
            each.setEnabled(there.get(key, made))

    def _row(self, record: PaymentRecord) -> tuple[str, ...]:
        document = self._document
        local, money = document.settings.local, document.settings.money
        kind = PAYMENT_WORDS[record.kind]
        if record.of:
            kind = _("{kind}, takes back", kind=kind)
        elif is_taken_back(document, record):
            kind = _("{kind}, taken back", kind=kind)
        return local.short_day(record.date), kind, record.note, priced(record.counted, money)

    def _pay(self) -> None:
        try:
            amount, date = parse_amount(self.amount.text()), iso_date(self.date.text())
        except (NumberError, EntryError) as trouble:
            self._say(str(trouble))
            return
        if amount <= 0:
            self._say(_("Type an amount over 0. Money paid back is a refund."))
            return
        if date > now()[:10]:
            self._say(_("This date is still to come."))
            return
        kind = PaymentKind(self.kind.currentData())
        problem = self._space.accounts.pay(self._order, amount, kind, date, self.note.text().strip())
        if problem:
            self._say(problem)
        else:
            self.payments.setFocus(Qt.FocusReason.OtherFocusReason)  # what is suggested next is no payment yet

    def _deliver(self) -> None:
        balance, money = self._account().balance, self._document.settings.money
        asked = _("Tracking number, if any")
        if balance > 0:
            asked = _("{amount} is not paid yet. Tracking number, if any", amount=priced(balance, money))
        words, yes = QInputDialog.getText(self, _("Deliver the knives that are ready"), plain(asked))
        if yes:
            self._say(self._space.accounts.deliver(self._order, now()[:10], words.strip()))

    def _invoice(self) -> None:
        account, money = self._account(), self._document.settings.money
        bill, lasting = account.invoice, _("This cannot be undone.")
        if bill is not None:
            words = _("Cancel invoice {number}? A second invoice takes its amounts off.", number=bill.number)
            if sure(self, words, lasting, _("Cancel invoice")):
                self._say(self._space.accounts.cancel_invoice(bill.id, now()[:10]))
            return
        words = _("Issue an invoice of {amount}?", amount=priced(account.due, money))
        if not prices_fixed(self._document, self._order) or sure(self, words, lasting, _("Issue invoice")):
            self._say(self._space.accounts.issue_invoice(self._order, now()[:10]))
