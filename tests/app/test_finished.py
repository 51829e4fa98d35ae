"""Finished knives in the window: priced, sold in two actions, taken back, repaired; pictures; expenses; their papers."""

from decimal import Decimal
from io import BytesIO

import numpy as np
import pypdfium2
import pytest
from PIL import Image
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QApplication, QDialog, QFileDialog

from tests.app.waiting import at_rest
from tests.document.test_accounts import shop
from workbook.app.dialogs.account import AccountDialog
from workbook.app.dialogs.expenses import ExpensesDialog
from workbook.app.dialogs.export import ExportDialog
from workbook.app.dialogs.finished import FinishedDialog
from workbook.app.look import Look
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.accounts import after_of, delivered, for_sale, pictures_of, sale_of
from workbook.document.actions import accounts, making
from workbook.document.money_records import AfterKind, AfterRecord, DeliveryRecord, ExpenseKind, ExpenseRecord, SaleRecord
from workbook.document.shop_records import PieceRecord
from workbook.formats.picture import PHOTO_BYTES
from workbook.structs import replace
from workbook.tasks.work import work_in


def stock():
    """A shop with three finished knives of its own and one that is an order's."""
    document = shop(1)
    charges = replace(document.settings.charges, tax=0.07)
    return type(document)({**document.records, document.settings.id: replace(document.settings, charges=charges)})


@pytest.fixture
def window(qtbot, tmp_path, monkeypatch):
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    made = Window(Workspace(work_in(stock()), Look("light")))
    qtbot.addWidget(made)
    made.resize(1366, 768)
    with qtbot.waitExposed(made):
        made.show()
    yield made
    for dialog in made.findChildren(QDialog):
        dialog.close()
    made.end_pages()
    at_rest(made)


def opened(window, name, kind):
    window.dialog(name)
    return next(each for each in window.findChildren(kind))


@pytest.fixture
def finished(window):
    return opened(window, "finished", FinishedDialog)


def book(window):
    return window.workspace.session.document


def serials(table):
    return [table.row_words(n)[0] for n in range(table.count)]


def test_finished_knives_are_listed_with_their_cost_and_not_those_of_orders(window, finished):
    assert serials(finished.here) == [piece.serial for piece in for_sale(book(window))] == ["26-02", "26-03", "26-05"]
    assert all(finished.here.row_words(n)[3].startswith("$") for n in range(3))
    assert finished.count.text() == "3 knives in the shop, priced at $0.00"


def test_a_price_and_a_location_are_typed_and_undone(qtbot, window, finished):
    finished.here.choose(for_sale(book(window))[1].id)
    finished.selling.price.setText("285")
    finished.selling.kept_at.setText("show case")
    qtbot.keyClick(finished.selling.kept_at, Qt.Key.Key_Return)
    assert finished.here.row_words(1)[4:] == ("$285.00", "show case")
    assert finished.count.text() == "3 knives in the shop, priced at $285.00"
    qtbot.keyClick(finished, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert finished.here.row_words(1)[4:] == ("", "") and finished.selling.price.text() == ""
    finished.selling.price.setText("a lot")
    qtbot.mouseClick(finished.selling.offer_button, Qt.MouseButton.LeftButton)
    assert finished.wrong.text() and book(window).get("a3", PieceRecord).price is None


def test_a_knife_is_sold_in_two_actions_with_the_shops_tax(qtbot, window, finished):
    window.workspace.accounts.offer("a3", Decimal("285.00"), "show case")
    finished.here.choose("a3")  # the first
    qtbot.mouseClick(finished.selling.sell_button, Qt.MouseButton.LeftButton)  # the second
    (sale,) = book(window).all(SaleRecord)
    assert (sale.piece, sale.price, sale.tax, sale.kept) == ("a3", Decimal("285.00"), 0.07, 0.0)
    assert "a3" in delivered(book(window)) and serials(finished.here) == ["26-02", "26-05"]


def test_a_sale_on_commission_and_one_without_a_price(qtbot, window, finished):
    finished.here.choose("a5")
    qtbot.mouseClick(finished.selling.sell_button, Qt.MouseButton.LeftButton)
    assert finished.wrong.text() == "Type the price it is sold for."
    finished.selling.price.setText("260")
    finished.selling.buyer.setText("galley shop")
    finished.selling.kept.setText("120")
    qtbot.keyClick(finished.selling.kept, Qt.Key.Key_Return)
    assert finished.wrong.text() and not list(book(window).all(SaleRecord))
    finished.selling.kept.setText("12.5 %")
    qtbot.keyClick(finished.selling.kept, Qt.Key.Key_Return)
    (sale,) = book(window).all(SaleRecord)
    assert (sale.buyer, sale.kept) == ("galley shop", 0.125)


def test_a_knife_that_left_is_repaired_comes_back_and_is_for_sale_again(qtbot, window, finished):
    window.workspace.accounts.sell("a3", Decimal("285.00"), "2026-11-20", "R. Okafor", 0.0)
    finished.gone_switch.click()
    assert serials(finished.gone) == ["26-03"] and finished.gone.row_words(0)[3:] == ("R. Okafor", "$285.00")
    serving = finished.serving
    serving.kind.setCurrentIndex(list(AfterKind).index(AfterKind.REPAIRED))
    serving.minutes.setText("25")
    serving.price.setText("40")
    serving.note.setText("a chip at the tip")
    qtbot.mouseClick(serving.enter_button, Qt.MouseButton.LeftButton)
    (record,) = after_of(book(window), "a3")
    assert (record.kind, record.minutes, record.price, record.note) == (
        AfterKind.REPAIRED,
        25.0,
        Decimal(40),
        "a chip at the tip",
    )
    assert serving.table.row_words(0)[1:] == ("repaired", "a chip at the tip", "$40.00")
    serving.table.choose(record.id)
    qtbot.mouseClick(serving.less_button, Qt.MouseButton.LeftButton)
    assert not after_of(book(window), "a3")
    serving.kind.setCurrentIndex(list(AfterKind).index(AfterKind.RETURNED))
    qtbot.mouseClick(serving.enter_button, Qt.MouseButton.LeftButton)
    assert "a3" not in delivered(book(window)) and finished.gone.count == 0
    finished.gone_switch.click()
    assert "26-03" in serials(finished.here)


def test_enter_acts_on_no_other_knife(qtbot, window, finished):
    for piece in ("a3", "a2"):
        window.workspace.accounts.offer(piece, Decimal("285.00"), "show case")
    finished.here.choose("a3")
    finished.selling.buyer.setText("Alice")
    for _turn in range(2):
        qtbot.keyClick(finished.selling.buyer, Qt.Key.Key_Return)
    assert [sale.piece for sale in book(window).all(SaleRecord)] == ["a3"]
    assert not finished.selling.sell_button.isEnabled()
    assert finished.wrong.text() == "26-03 is sold for $285.00; $304.95 comes in." and finished.receipt_button.isEnabled()
    finished.gone_switch.click()
    finished.serving.kind.setCurrentIndex(list(AfterKind).index(AfterKind.RETURNED))
    for _turn in range(2):
        qtbot.keyClick(finished.serving.note, Qt.Key.Key_Return)
    assert [each.piece for each in book(window).all(AfterRecord)] == ["a3"]


def test_a_return_entered_wrong_is_taken_back_where_the_knife_is_now(qtbot, window, finished):
    window.workspace.accounts.sell("a3", Decimal("285.00"), "2026-11-20", "R. Okafor", 0.0)
    window.workspace.accounts.after(AfterRecord(id="x", place=0.0, piece="a3", date="2026-11-21", kind=AfterKind.RETURNED))
    finished.here.choose("a3")
    assert finished.selling.back_button.isVisible()
    qtbot.mouseClick(finished.selling.back_button, Qt.MouseButton.LeftButton)
    assert "a3" in delivered(book(window)) and not after_of(book(window), "a3")


def test_what_is_being_typed_stays_when_the_book_changes_and_the_sum_has_its_tax(window, finished):
    finished.here.choose("a3")
    finished.selling.price.setText("300")
    assert finished.selling.sum.text() == "With 7% tax: $321.00"
    window.workspace.accounts.offer("a2", Decimal("9.00"), "")
    assert finished.selling.price.text() == "300"


def test_a_sale_entered_wrong_is_taken_back(qtbot, window, finished):
    window.workspace.accounts.sell("a3", Decimal("285.00"), "2026-11-20", "", 0.0)
    finished.gone_switch.click()
    qtbot.mouseClick(finished.serving.back_button, Qt.MouseButton.LeftButton)
    assert sale_of(book(window), "a3") is None and "a3" not in delivered(book(window))


def test_a_large_picture_is_kept_small_and_removed(qtbot, window, finished, tmp_path):
    pixels = np.random.default_rng(1).integers(0, 255, (1500, 2600, 3), dtype=np.uint8)  # noise is as large as a JPEG gets
    Image.fromarray(pixels).save(tmp_path / "knife.png")
    finished.here.choose("a5")
    finished.pictures.add(tmp_path / "knife.png")
    qtbot.waitUntil(lambda: bool(pictures_of(book(window), "a5")), timeout=30_000)
    (record,) = pictures_of(book(window), "a5")
    data = window.workspace.session.attachment(record.picture).data
    assert len(data) <= PHOTO_BYTES and Image.open(BytesIO(data)).format == "JPEG"
    assert not finished.pictures.picture.pixmap().isNull() and finished.pictures.count.text() == "1/1"
    finished.here.choose("a3")
    assert finished.pictures.picture.text() == "no picture"
    finished.here.choose("a5")
    qtbot.mouseClick(finished.pictures.less_button, Qt.MouseButton.LeftButton)
    assert not pictures_of(book(window), "a5") and finished.pictures.picture.text() == "no picture"


def test_a_file_that_is_no_picture_is_refused(qtbot, window, finished, tmp_path, monkeypatch):
    told = []
    monkeypatch.setattr(window, "say_trouble", lambda title, trouble: told.append((title, trouble)))
    (tmp_path / "note.jpg").write_text("a note")
    monkeypatch.setattr(QFileDialog, "getOpenFileName", lambda *_a, **_k: (str(tmp_path / "note.jpg"), ""))
    qtbot.mouseClick(finished.pictures.add_button, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: bool(told), timeout=30_000)
    assert "note.jpg cannot be added" in told[0][0] and not pictures_of(book(window), "a2")


def test_expenses_are_rows_that_are_typed_checked_and_undone(qtbot, window):
    dialog = opened(window, "expenses", ExpensesDialog)
    qtbot.mouseClick(dialog.cells.findChild(object, "add-expenses"), Qt.MouseButton.LeftButton)
    table = dialog.cells.table
    for column, text in ((0, "2026-03-09"), (1, "64.55"), (2, "steel"), (3, "steel by mail"), (4, "A 12"), (5, "two bars")):
        table.item(0, column).setText(text)
    (record,) = book(window).all(ExpenseRecord)
    assert (record.date, record.amount, record.kind) == ("2026-03-09", Decimal("64.55"), ExpenseKind.STEEL)
    assert (record.supplier, record.receipt, record.note) == ("steel by mail", "A 12", "two bars")
    assert dialog.years.text() == "2026: $64.55"
    table.item(0, 0).setText("yesterday or so")
    assert dialog.wrong.text() and next(iter(book(window).all(ExpenseRecord))).date == "2026-03-09"
    steps = len(window.workspace.session.steps)
    table.setCurrentCell(0, 5)
    table.setFocus()
    qtbot.keyClicks(table, "rags")
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Tab)  # it is the last cell: nothing after it is typed over
    qtbot.keyClicks(table, "9")
    assert next(iter(book(window).all(ExpenseRecord))).date == "2026-03-09"
    assert len(window.workspace.session.steps) <= steps + 2  # what was typed into the note is one step
    window.workspace.undo()
    table.setCurrentCell(0, 1)
    qtbot.mouseClick(dialog.cells.findChild(object, "less-expenses"), Qt.MouseButton.LeftButton)
    assert not list(book(window).all(ExpenseRecord))
    window.workspace.undo()
    assert list(book(window).all(ExpenseRecord))


def words_of(content):
    return " ".join(page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(content))


def printed(qtbot, window):
    dialog = next(each for each in window.findChildren(ExportDialog) if each.isVisible())
    qtbot.waitUntil(lambda: bool(dialog.files) or bool(dialog.trouble.text()), timeout=30_000)
    return {name: words_of(content) for name, content in dialog.files.items()}, dialog


def test_papers_of_a_knife_are_printed_from_its_row(qtbot, window, finished):
    finished.here.choose("a5")
    qtbot.mouseClick(finished.care_button, Qt.MouseButton.LeftButton)
    (card,) = printed(qtbot, window)[0].values()
    assert "26-05" in card and "26-03" not in card and "dishwasher" in card and "green linen laminate" in card
    assert not finished.receipt_button.isEnabled()
    qtbot.mouseClick(finished.history_button, Qt.MouseButton.LeftButton)
    files, dialog = printed(qtbot, window)
    assert "Heat treatment" in files["history-26-05.pdf"] and "404" not in files["history-26-05.pdf"]
    for part in ("heat", "stages"):
        dialog.form.entered.emit(f"tell.{part}", False)
    dialog.form.entered.emit("tell.hours", True)
    qtbot.waitUntil(lambda: bool(dialog.files) and "6:44 h" in words_of(dialog.files["history-26-05.pdf"]), timeout=30_000)
    told = words_of(dialog.files["history-26-05.pdf"])
    assert "Heat treatment" not in told and "Sharpen" not in told


def test_papers_of_an_order_are_printed_from_its_account(qtbot, window):
    space = window.workspace
    space.do(making.give_to(book(window), "a2", "line1"))
    sent = DeliveryRecord(id="sent", place=0.0, order="order1", date="2026-11-27", pieces=("a1", "a2"), tracking="ZX 4411")
    space.do(accounts.deliver(book(window), sent))
    window.show_account("order1")
    dialog = next(each for each in window.findChildren(AccountDialog))
    assert {key: each.isEnabled() for key, each in dialog.papers.items()} == {
        "invoice": False, "receipt": False, "packing": True, "care": True, "history": True,
    }  # fmt: skip
    qtbot.mouseClick(dialog.papers["packing"], Qt.MouseButton.LeftButton)
    (slip,) = printed(qtbot, window)[0].values()
    assert "26-01, 26-02" in slip and "ZX 4411" in slip and "$" not in slip
    qtbot.mouseClick(dialog.papers["care"], Qt.MouseButton.LeftButton)
    (cards,) = printed(qtbot, window)[0].values()
    assert "26-01" in cards and "26-02" in cards and "26-03" not in cards
