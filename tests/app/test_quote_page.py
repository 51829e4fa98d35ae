"""Quote: orders typed in one line, priced, opened, quoted and copied; what is wrong is said and nothing is lost."""

from decimal import Decimal
from functools import cache

import pypdfium2
import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QGuiApplication
from PySide6.QtWidgets import QToolButton

from tests.app.waiting import at_rest, saved_in_preview
from tests.named import key_of
from tests.sentences import words_of
from workbook.app.dialogs.export import ExportDialog
from workbook.app.look import Look
from workbook.app.pages.quote.side import options_of
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.actions.rack import change_material
from workbook.document.document import Document
from workbook.document.money_records import PaymentRecord
from workbook.document.orders import lines_of
from workbook.document.records import MaterialRecord, TemplateRecord
from workbook.document.shop_records import CustomerRecord, OrderLine, OrderRecord
from workbook.shop.materials import MaterialKind
from workbook.shop.orders import Status
from workbook.shop.pricing import PriceMethod
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.work import work_in


@cache
def unpaid():
    """The demo's shop before anything was paid: an order with a payment is not deleted."""
    records = demo_document().records
    return Document({id_: record for id_, record in records.items() if not isinstance(record, PaymentRecord)})


@pytest.fixture
def shop(qtbot, tmp_path, monkeypatch):
    """The window on the demo's shop."""
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    made = Window(Workspace(work_in(unpaid()), Look("light")))
    qtbot.addWidget(made)
    made.resize(1600, 950)
    with qtbot.waitExposed(made):
        made.show()
    made.show_page("quote")
    yield made
    made.quote_page().steel.close()


@pytest.fixture
def page(shop):
    return shop.quote_page()


def document(shop):
    return shop.workspace.session.document


def typed(qtbot, field, text):
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)


def test_the_order_wanted_soonest_shows_with_its_lines_and_what_it_comes_to(qtbot, shop, page):
    assert page.orders.row_words(0)[:3] == ("1", "The Slipway galley", "3 Petty, 4 Paring")
    assert page.lines.row_words(0)[:3] == ("Petty", "52100", "green linen laminate")
    assert page.side.due.text() == f"${page.work.totals.due:,}"
    qtbot.waitUntil(lambda: "layout" in page.line_work.cost.part("Steel").how.split(";")[0], timeout=30_000)
    tree = page.working.texts()
    assert tree[0][0] == "Price each"
    assert {"Cost", "Steel", "Work", "Overhead", "Margin"} <= {words for words, _, _ in tree}
    assert "batch of 3" in page.plot.words()


def test_an_order_is_typed_in_one_line_and_taken_back(qtbot, shop, page):
    typed(qtbot, page.order_line, "2 Santoku for R. Okafor by 2027-03-01")
    order = document(shop).get(page.order, OrderRecord)
    assert (page.work.customer, order.wanted, order.number) == ("R. Okafor", "2027-03-01", 4)
    (line,) = lines_of(document(shop), order.id)
    assert (line.quantity, line.steel) == (2, "52100")
    assert page.order_line.text() == ""
    typed(qtbot, page.order_line, "3 Paring of O1")
    assert [own.quantity for own in lines_of(document(shop), order.id)] == [2, 3]
    shop.workspace.undo()
    shop.workspace.undo()
    assert document(shop) == unpaid()


@pytest.mark.parametrize(
    ("text", "says"), [("Petty", "Type a quantity"), ("2 sword", "no template"), ("2 Petty of D2", "No bar is of")]
)
def test_a_line_that_makes_no_sense_is_said_and_stays(qtbot, shop, page, text, says):
    typed(qtbot, page.order_line, text)
    assert says in shop.status.text()
    assert page.order_line.text() == text
    assert not shop.workspace.session.steps


def test_a_line_is_changed_by_its_fields_and_its_price_follows(qtbot, shop, page):
    before = page.work.totals.due
    typed(qtbot, page.side.line_form.field("quantity"), "6")
    assert document(shop).get("line1", OrderLine).quantity == 6
    assert page.work.totals.due > before
    page.side.line_form.field("way").activated.emit(3)
    assert document(shop).get("line1", OrderLine).pricing.way is PriceMethod.TARGET
    typed(qtbot, page.side.line_form.field("target"), "140")
    assert page.work.lines[0].price.amount == Decimal("152.00"), "with its blade guard"
    typed(qtbot, page.side.line_form.field("options"), "sheath")
    assert "words and a price" in shop.status.text()
    assert len(document(shop).get("line1", OrderLine).options) == 1
    typed(qtbot, page.side.line_form.field("options"), "sheath 25; engraving 10,50")
    assert [option.price for option in document(shop).get("line1", OrderLine).options] == [Decimal(25), Decimal("10.50")]


def test_an_order_is_changed_by_its_fields(qtbot, shop, page):
    form = page.side.order_form
    typed(qtbot, form.field("discount"), "20")
    typed(qtbot, form.field("tax"), "8.25")
    typed(qtbot, form.field("wanted"), "2027-02-03")
    order = document(shop).get("order1", OrderRecord)
    assert (order.discount, order.tax, order.wanted) == (20, pytest.approx(0.0825), "2027-02-03")
    typed(qtbot, form.field("wanted"), "soon")
    assert document(shop).get("order1", OrderRecord).wanted == "2027-02-03"
    assert "is not a date" in shop.status.text()
    form.field("status").activated.emit(list(Status).index(Status.MAKING))
    assert document(shop).get("order1", OrderRecord).status is Status.MAKING
    form.field("laying").click()
    assert document(shop).get("order1", OrderRecord).laying


def test_a_customer_is_renamed_and_taken_off_the_list(qtbot, shop, page):
    typed(qtbot, page.side.order_form.field("name"), "Slipway kitchens")
    assert page.work.customer == "Slipway kitchens"
    typed(qtbot, page.side.order_form.field("hand_breadth"), "3 1/2 in")
    assert document(shop).get("galley", CustomerRecord).hand_breadth == pytest.approx(88.9)
    shop.workspace.orders.drop_customer(page.order)
    assert page.work.customer == ""
    assert not page.side.order_form.row_of("name").isVisibleTo(page.side)
    for _ in range(3):
        shop.workspace.undo()
    assert document(shop) == unpaid()


def test_the_copied_quote_is_the_orders_and_its_price_stands(qtbot, shop, page):
    page.orders.choose("order3")
    page.side.copy_button.click()
    text = QGuiApplication.clipboard().text()
    assert text.startswith("Quote 3")
    assert f"${page.work.totals.due}" in text
    line = document(shop).get("line4", OrderLine)
    assert line.agreed == page.work.lines[0].price.amount
    assert document(shop).get("order3", OrderRecord).status is Status.QUOTED
    shop.workspace.undo()
    assert document(shop).get("line4", OrderLine).agreed is None


def test_the_printed_quote_is_looked_at_first_and_made_anew_with_the_order(qtbot, shop, page, tmp_path, monkeypatch):
    """What is saved is the file of the preview; from then on its prices stand, and it is not made again for that."""
    monkeypatch.setattr("workbook.app.asking.QFileDialog.getSaveFileName", lambda *a: (str(tmp_path / "quote.pdf"), ""))
    page.orders.choose("order3")
    page.side.print_button.click()
    (dialog,) = (each for each in shop.findChildren(ExportDialog) if each.isVisible())
    qtbot.waitUntil(lambda: dialog.save.isEnabled(), timeout=20_000)
    assert list(dialog.files) == ["quote-3-j-lind.pdf"]
    assert document(shop).get("order3", OrderRecord).status is Status.ASKED, "a look is no quote"
    first = next(iter(dialog.files.values()))
    shop.workspace.orders.change_line(replace(document(shop).get("line4", OrderLine), quantity=3), "quantity")
    qtbot.waitUntil(lambda: dialog.save.isEnabled() and next(iter(dialog.files.values())) != first, timeout=20_000)
    number = dialog.number
    saved_in_preview(qtbot, shop)
    assert (tmp_path / "quote.pdf").read_bytes() == next(iter(dialog.files.values()))
    text = pypdfium2.PdfDocument(tmp_path / "quote.pdf")[0].get_textpage().get_text_bounded()
    line = document(shop).get("line4", OrderLine)
    assert document(shop).get("order3", OrderRecord).status is Status.QUOTED
    assert f"{line.agreed}" in text
    assert "sheath: vegetable-tanned leather" in text
    qtbot.wait(50)
    assert dialog.number == number
    dialog.close()


def test_what_the_menu_does_with_an_order_is_done_with_one_that_is_there(qtbot, shop, page):
    first = page.order
    shop.show_page("draw")
    shop.workspace.orders.drop(first)
    for words in ("&Delete customer", "Copy quote as &text", "Include this &order in the layout"):
        next(action for action in shop.menuBar().findChildren(QAction) if action.text() == words).trigger()
    assert page.order != first
    assert page.order in document(shop).records
    shop.end_pages()


def test_a_line_and_an_order_are_added_and_dropped(qtbot, shop, page):
    page.more_button.click()
    assert len(lines_of(document(shop), "order1")) == 3
    page.drop_line_button.click()
    assert len(lines_of(document(shop), "order1")) == 2
    page.drop_button.click()
    assert "order1" not in document(shop).records
    assert page.order == "order2"


def test_what_open_orders_need_is_listed(qtbot, shop, page):
    page.buy_button.click()
    qtbot.waitUntil(lambda: page.needs.table.count and page.needs.needs[0].unit == "bar", timeout=30_000)
    assert "green linen laminate" in [need.what for need in page.needs.needs]
    assert page.needs.spend.text().startswith("$")
    page.buy_button.click()
    assert page.middle.currentIndex() == 0


def test_a_number_opens_to_how_it_came_about(qtbot, shop, page):
    qtbot.mouseClick(page.side.due.value, Qt.MouseButton.LeftButton)
    words = [line[0] for line in page.side.due.dialog.tree.texts()]
    assert words[:3] == ["Total due", "3 Petty", "4 Paring"]
    page.side.due.dialog.close()


def test_the_size_of_a_batch_is_chosen_by_key_and_pointer(qtbot, page):
    page.plot.setFocus()
    qtbot.keyClick(page.plot, Qt.Key.Key_Right)
    assert "batch of 4" in page.plot.accessibleDescription()
    qtbot.mouseMove(page.plot, page.plot.rect().center())
    assert "batch of 4" not in page.plot.words()


def test_a_template_that_goes_takes_its_lines_along(qtbot, shop, page):
    shop.workspace.choose(key_of(shop.workspace, "Paring"))
    shop.workspace.remove()
    assert page.lines.count == 1
    assert all(isinstance(document(shop).records.get(line.of), TemplateRecord) for line in document(shop).all(OrderLine))


def test_without_orders_the_page_says_how_to_begin(qtbot, window, monkeypatch):
    said = []
    monkeypatch.setattr(window, "say_trouble", lambda title, trouble: said.append(trouble.lines()))
    window.show_page("quote")
    page = window.quote_page()
    assert page._empty.isVisibleTo(page)
    assert not page.side.print_button.isEnabled()
    page.copy()
    window.printing.print_quote()
    at_rest(window)
    assert said == [["quote: there is nothing in it. Add a line to an order first."]]
    assert not window.workspace.session.steps


def test_rates_are_typed_in_and_count_at_once(qtbot, shop, page):
    from workbook.app.dialogs.rates import Rates

    dialog = Rates(shop, shop.workspace)
    qtbot.addWidget(dialog)
    before = page.work.cost
    typed(qtbot, dialog.form.field("hour"), "48")
    assert document(shop).settings.charges.hour == 48
    assert page.work.cost > before
    dialog.stages.table.item(1, 2).setText("99")
    assert document(shop).settings.charges.stages[1].minutes == 99
    dialog.stages.table.item(1, 3).setText("0")
    assert "from 10 to 100" in dialog.wrong.text()
    assert document(shop).settings.charges.stages[1].good == 1.0
    shop.workspace.undo()
    assert document(shop).settings.charges.stages[1].minutes == 18
    dialog.close()


def test_another_way_of_pricing_begins_with_the_price_there_is_and_no_margin_is_the_whole_price(qtbot, shop, page):
    form, price = page.side.line_form, page.work.lines[0].price.amount
    form.field("way").activated.emit(3)
    assert document(shop).get("line1", OrderLine).pricing.target == price - Decimal("12.00")
    assert page.work.lines[0].price.amount == price
    form.field("way").activated.emit(2)
    typed(qtbot, form.field("share"), "200")
    assert document(shop).get("line1", OrderLine).pricing.share == 2.0
    form.field("way").activated.emit(1)
    assert document(shop).get("line1", OrderLine).pricing.share == 0.95
    typed(qtbot, form.field("options"), "guard 25.005")
    assert document(shop).get("line1", OrderLine).options[0].price == Decimal("12.00")


def test_a_poor_yield_and_a_huge_order_are_worked_out_all_the_same(qtbot, shop, page):
    charges = document(shop).settings.charges
    stages = tuple(replace(stage, good=0.1) for stage in charges.stages)
    shop.workspace.change_settings("charges.stages", charges=replace(charges, stages=stages))
    typed(qtbot, page.side.line_form.field("quantity"), "40")
    assert page.work.lines[0].batch.starts == 2000
    assert "(0% yield): 0% sure" in page.work.lines[0].cost.how


def test_the_amount_due_is_as_wide_as_it_needs(qtbot, shop, page):
    typed(qtbot, page.side.line_form.field("quantity"), "900")
    value = page.side.due.value
    assert value.width() >= value.fontMetrics().horizontalAdvance(value.text())


def test_a_template_that_goes_says_from_which_orders(shop, page):
    shop.workspace.choose(key_of(shop.workspace, "Petty"))
    shop.workspace.remove()
    assert words_of(shop.workspace.session.steps[-1]) == "Petty deleted, also from orders 1, 3"


def test_no_sum_of_another_workbook_stays(qtbot, shop, page):
    """A workbook without orders, after one with: nothing is due."""
    assert page.side.due.text() not in ("-", "")
    shop.filing.new()
    qtbot.waitUntil(lambda: page.work is None)
    assert page.side.due.text() == "-"
    assert {value.text() for value in page.side.rows} == {"-"}


def test_a_templates_own_minutes_are_typed_beside_its_line_and_undone(qtbot, shop, page):
    before = page.line_work.cost.part("Work").amount
    field = page.side.line_form.field("minutes")
    typed(qtbot, field, "600")
    line = page.line_work.line
    assert document(shop).get(line.of, TemplateRecord).minutes == 600
    after = page.line_work.cost.part("Work")
    assert after.amount > before
    assert "what this template takes" in after.parts[-1].how
    shop.workspace.undo()
    assert page.line_work.cost.part("Work").amount == before


@pytest.mark.parametrize(
    "text", ["sheath 45 costing 9 costing 3", "sheath 45 costing about 9", "guide costing extra 10", "sheath costing 9"]
)
def test_an_extra_has_one_cost_behind_its_price_or_is_refused(text):
    with pytest.raises(ValueError, match="type words and a price"):
        options_of(text)


def test_an_extras_cost_is_read_in_any_letters():
    (extra,) = options_of("sheath 45 Costing 18")
    assert (extra.words, extra.price, extra.cost) == ("sheath", Decimal(45), Decimal(18))


def test_of_a_price_that_is_agreed_it_is_not_said_that_it_may_change(qtbot, shop, page):
    """The same change of the saw, so that layouts are looked for anew, before and after the order was quoted."""
    space = shop.workspace
    for kerf, said in ((1.3, True), (1.4, False)):
        qtbot.waitUntil(lambda: not page.steel.busy, timeout=30_000)
        space.change_settings("saw.kerf", kerf, saw=replace(space.session.document.settings.saw, kerf=kerf))
        assert page.steel.busy
        assert page._finding.isVisible() is said
        qtbot.waitUntil(lambda: not page.steel.busy, timeout=30_000)
        space.orders.quoted(page.work)


def test_a_lines_steel_and_handle_are_looked_up(shop, page):
    space = shop.workspace
    wood = next(record for record in space.session.document.all(MaterialRecord) if record.material.kind is MaterialKind.HANDLE)
    space.do(change_material(space.session.document, wood.id, replace(wood.material, name="curly maple"), space.stamp()))
    page.side.line_form.entered.emit("handle", wood.id)
    button = page.side.findChild(QToolButton, "look-up-named")
    button.menu().aboutToShow.emit()
    assert [action.text() for action in button.menu().actions()] == [page.side._line.steel, "sugar (hard) maple"]
    button.menu().actions()[1].trigger()
    assert shop.look_up_page().card_view.card.title == "sugar (hard) maple"
