"""The account of an order: payments typed, taken back, never undone; knives delivered; an invoice issued and cancelled."""

from decimal import Decimal

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QInputDialog

from tests.app.waiting import at_rest
from tests.document.test_accounts import shop
from workbook.app.dialogs.account import AccountDialog
from workbook.app.look import Look
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.accounts import paid
from workbook.document.money_records import DeliveryRecord, InvoiceRecord, PaymentKind, PaymentRecord
from workbook.document.shop_records import OrderLine
from workbook.structs import replace
from workbook.tasks.work import work_in


@pytest.fixture
def window(qtbot, tmp_path, monkeypatch):
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    document = shop()
    line = replace(document.get("line1", OrderLine), agreed=Decimal("400.00"), options=())
    document = type(document)({**document.records, line.id: line})
    made = Window(Workspace(work_in(document), Look("light")))
    qtbot.addWidget(made)
    made.resize(1366, 768)
    with qtbot.waitExposed(made):
        made.show()
    yield made
    made.end_pages()
    at_rest(made)


@pytest.fixture
def account(window):
    window.show_account("order1")
    return next(each for each in window.findChildren(AccountDialog))


def book(window):
    return window.workspace.session.document


def test_a_deposit_then_the_balance_are_suggested_and_entered_by_enter(qtbot, window, account):
    assert (account.amount.text(), account.kind.currentText()) == ("600.00", "deposit")
    qtbot.keyClick(account.amount, Qt.Key.Key_Return)
    assert (account.amount.text(), account.kind.currentText()) == ("600.00", "balance")
    account.amount.setText("599.99")
    qtbot.keyClick(account.amount, Qt.Key.Key_Return)
    assert [(p.amount, p.kind) for p in book(window).all(PaymentRecord)] == [
        (Decimal("600"), PaymentKind.DEPOSIT), (Decimal("599.99"), PaymentKind.BALANCE),
    ]  # fmt: skip
    assert account.balance.text().startswith("$0.01")


def test_an_order_with_a_payment_is_not_deleted(qtbot, window, account):
    qtbot.mouseClick(account.pay_button, Qt.MouseButton.LeftButton)
    said = []
    window.workspace.said.connect(said.append)
    window.workspace.orders.drop("order1")
    assert "order1" in book(window).records
    assert "has payments" in said[-1]


def test_a_wrong_payment_is_taken_back_and_not_undone(qtbot, window, account):
    qtbot.mouseClick(account.pay_button, Qt.MouseButton.LeftButton)
    said = []
    window.workspace.said.connect(said.append)
    window.workspace.undo()
    assert paid(book(window), "order1") == 600
    assert "cannot be undone" in said[-1]
    account.payments.selectRow(0)
    qtbot.mouseClick(account.back_button, Qt.MouseButton.LeftButton)
    assert paid(book(window), "order1") == 0
    assert [account.payments.row_words(n)[1] for n in range(2)] == ["deposit, taken back", "deposit, takes back"]
    account.payments.selectRow(0)
    assert not account.back_button.isEnabled()


@pytest.mark.parametrize(("amount", "words"), [("0", "over 0"), ("lots", "type an amount"), ("-5", "")])
def test_what_is_no_amount_is_said(qtbot, window, account, amount, words):
    account.amount.setText(amount)
    qtbot.keyClick(account.amount, Qt.Key.Key_Return)
    assert words in account.wrong.text() != ""
    assert not list(book(window).all(PaymentRecord))


def test_knives_that_are_ready_are_delivered(qtbot, window, account, monkeypatch):
    monkeypatch.setattr(QInputDialog, "getText", lambda *_a, **_k: ("TR-1", True))
    assert account.deliver_button.text() == "Deliver 3…"
    qtbot.mouseClick(account.deliver_button, Qt.MouseButton.LeftButton)
    (delivery,) = book(window).all(DeliveryRecord)
    assert (len(delivery.pieces), delivery.tracking) == (3, "TR-1")
    assert account.knives.text() == "0 ready, 3 of 3 delivered"
    assert "delivered" in account.state.text()


def test_an_invoice_is_issued_of_fixed_prices_and_cancelled_by_another(qtbot, window, account, monkeypatch):
    asked = []
    monkeypatch.setattr(
        "workbook.app.dialogs.account.sure", lambda _of, words, more, verb: asked.append(f"{words} {more}") or True
    )
    qtbot.mouseClick(account.invoice_button, Qt.MouseButton.LeftButton)
    (bill,) = book(window).all(InvoiceRecord)
    assert [(line.words, line.quantity, line.each) for line in bill.lines] == [("Petty", 3, Decimal("400.00"))]
    assert account.invoice.text().startswith("no. 1, ")
    qtbot.mouseClick(account.invoice_button, Qt.MouseButton.LeftButton)
    assert [(each.number, bool(each.of)) for each in book(window).all(InvoiceRecord)] == [(1, False), (2, True)]
    assert account.invoice.text() == "none yet"
    line = book(window).get("line1", OrderLine)
    window.workspace.orders.change_line(replace(line, agreed=None), "target")
    qtbot.mouseClick(account.invoice_button, Qt.MouseButton.LeftButton)
    assert "not fixed" in account.wrong.text()
    assert asked == [
        "Issue an invoice of $1,200.00? This cannot be undone.",
        "Cancel invoice 1? A second invoice takes its amounts off. This cannot be undone.",
    ]
    assert "prices not fixed yet" in account.state.text()
