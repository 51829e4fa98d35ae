"""Stock: bars and materials added in one line, changed by field, undone."""

from decimal import Decimal

import pytest
from PySide6.QtCore import QPoint, Qt

from tests.app.waiting import at_rest
from tests.clock import until
from tests.written import stock_table
from workbook.document.actions.rack import remove_bar
from workbook.document.queries import job_of
from workbook.document.records import BarRecord, MaterialRecord, Prices
from workbook.geometry.polygon import polygon
from workbook.shop.job import MOST_SLANT
from workbook.shop.ledger import Reason
from workbook.shop.money import priced
from workbook.shop.worth import worth
from workbook.tasks.load import shaped
from workbook.tasks.scales import PROUD
from workbook.template.checks import CHECKS
from workbook.template.fittings import scale_outline
from workbook.units import INCH


@pytest.fixture
def page(window):
    window.show_page("stock")
    return window.stock_page()


def typed(qtbot, field, text):
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)


def bars(window):
    return [record.bar for record in window.workspace.session.document.all(BarRecord)]


def test_a_bar_is_added_in_one_line_shown_and_undone(qtbot, window, page):
    before = bars(window)
    window.workspace.change_settings("prices.shipping", "4.50", prices=Prices(shipping=Decimal("4.50")))
    typed(qtbot, page.bar_line, "1084 1/8 x 1 1/2 x 48, 27.50, buy")
    (added,) = [bar for bar in bars(window) if bar not in before]
    assert (added.steel, added.price, added.shipping, added.have) == ("1084", Decimal("27.50"), Decimal("4.50"), 0)
    assert page.bar_line.text() == ""
    assert page.side.title.text() == "1084 1/8 x 1 1/2 x 48"
    assert page.bars.row_words(page.bars.currentIndex().row())[0] == "1084"
    assert added in window.workspace.model.job.bars
    window.workspace.undo()
    assert bars(window) == before
    assert page.bars.count == len(before)
    assert page.side.none.isVisibleTo(page)


def test_a_line_that_makes_no_sense_is_said_and_stays(qtbot, window, page):
    typed(qtbot, page.bar_line, "52100 3/32 x 2")
    assert "Type the steel and three sizes" in page.wrong.text()
    assert page.bar_line.text() == "52100 3/32 x 2"
    typed(qtbot, page.material_line, "a, b, c")
    assert "not understood" in page.wrong.text()
    assert not window.workspace.session.steps


def test_a_bar_is_changed_by_its_fields_and_a_reading_is_checked(qtbot, window, page):
    page.bars.selectRow(0)
    typed(qtbot, page.bar_form.field("have"), "3")
    typed(qtbot, page.bar_form.field("price"), "35,25")
    typed(qtbot, page.bar_form.field("measured.thickness"), "0.0785")
    page.bar_form.field("edges").activated.emit(2)
    page.bar_form.field("offcut").click()
    page.bar_form.field("hot_rolled").click()
    bar = bars(window)[0]
    assert bar.hot_rolled
    assert (bar.have, bar.price, bar.offcut, bar.edges) == (3, Decimal("35.25"), True, "sheared")
    assert bar.measured.thickness == pytest.approx(0.0785 * INCH)
    assert page.bar_form.field("measured.thickness").text() == "0.0785"
    width = page.bar_form.field("measured.width")
    width.setFocus()
    width.selectAll()
    qtbot.keyClicks(width, "25")
    assert "Is the decimal point or the unit right?" in page.wrong.text()
    qtbot.keyClick(width, Qt.Key.Key_Return)
    assert width.text() == "25"
    assert bars(window)[0].measured.width == pytest.approx(2.505 * INCH)
    qtbot.keyClick(width, Qt.Key.Key_Escape)
    assert width.text() == "2.505"
    assert bars(window)[0].measured.width == pytest.approx(2.505 * INCH)
    typed(qtbot, page.bar_form.field("have"), "many")
    assert page.bar_form.field("have").text() == "many"  # it stays, to be mended
    page.bar_form.field("have").clearFocus()
    assert page.bar_form.field("have").text() == "many"
    typed(qtbot, page.bar_form.field("measured.thickness"), "0")
    assert bars(window)[0].measured.thickness is None
    while window.workspace.session.done:
        window.workspace.undo()
    assert page.bar_form.field("have").text() == "1"


def test_materials_are_added_changed_and_taken_off(qtbot, window, page):
    typed(qtbot, page.material_line, "curly maple, handle, pair, 14.00, 3")
    typed(qtbot, page.material_form.field("low"), "5")
    (record,) = window.workspace.session.document.all(MaterialRecord)
    assert record.material.short
    assert "reorder" in page.materials.row_words(0)[5]
    assert not page.bars.selectionModel().hasSelection()
    page.remove_button.click()
    assert not list(window.workspace.session.document.all(MaterialRecord))
    window.workspace.undo()
    assert page.materials.count == 1


def test_choosing_a_bar_lets_the_material_go(qtbot, window, page):
    typed(qtbot, page.material_line, "epoxy, adhesive, kit, 12, 1")
    page.bars.selectRow(1)
    assert page.bar_form.isVisibleTo(page)
    assert not page.material_form.isVisibleTo(page)
    assert not page.materials.selectionModel().hasSelection()
    page.remove_button.click()
    assert len(bars(window)) == 4


def test_a_hot_rolled_bar_is_warned_of_on_draw_and_on_lay_out(window, page):
    def said():
        window.show_page("draw")
        row = window.draw.checks.layout()
        words = [row.itemAt(i).widget() for i in range(row.count())]
        return [word.accessibleName() for word in words if word is not None]

    assert said() == [f"All {len(CHECKS)} checks passed"]
    page.bars.selectRow(0)
    page.bar_form.field("hot_rolled").click()
    assert "is hot-rolled: too little sound steel is left below the skin of its faces" in said()[0]
    assert window.draw.print_button.isEnabled()  # the template is as good as it was
    window.show_page("layout")
    assert window.bars_page().side.left_out.text().startswith("Petty: The bar “52100 5/64 x 2 1/2 x 36” is hot-rolled")
    window.workspace.undo()
    assert said()[-1] == f"All {len(CHECKS)} checks passed"
    window.show_page("layout")
    assert window.bars_page().side.left_out.text() == ""


def test_what_comes_and_goes_is_booked_and_more_than_there_is_cannot_leave(qtbot, window, page):
    typed(qtbot, page.material_line, "maple, handle, pair, 14.00, 3")
    record = page._record
    typed(qtbot, page.side.count, "2")
    page.side.buttons[Reason.USED].click()
    assert window.workspace.session.document.get(record.id, MaterialRecord).material.have == 1
    page.side.buttons[Reason.SCRAPPED].click()
    assert "cannot be taken" in page.wrong.text()
    typed(qtbot, page.side.count, "5")
    page.side.buttons[Reason.BOUGHT].click()
    rows = [page.side.ledger.row_words(n) for n in range(page.side.ledger.count)]
    assert [(row[1], row[2], row[3]) for row in rows] == [("bought", "+5", "6"), ("used", "-2", "1"), ("entered", "+3", "3")]
    window.workspace.undo()
    assert page.side.ledger.count == 2


def test_the_rack_is_pictured_and_a_bar_chosen_in_it(qtbot, window, page):
    there = next(r for r in window.workspace.session.document.all(BarRecord) if r.bar.have)
    assert there.bar.name in page.rack.accessibleDescription()
    qtbot.mouseClick(page.rack, Qt.MouseButton.LeftButton, pos=QPoint(60, 40))
    assert page._record is not None
    assert page._record.id == there.id
    assert page.side.title.text() == there.bar.name


def test_a_table_of_stock_goes_out_and_comes_in(qtbot, window, page, tmp_path):
    path = tmp_path / "stock.csv"
    path.write_bytes(stock_table(window.workspace.session.document) + b"pin,brass rod,,,,,6.35,4.00,rod,,,7\r\n")
    window.bringing.bring_in_stock(path)
    at_rest(window)
    assert [r.material.name for r in window.workspace.session.document.all(MaterialRecord)] == ["brass rod"]
    window.workspace.undo()
    assert not list(window.workspace.session.document.all(MaterialRecord))


def test_what_follows_from_a_table_is_what_would_follow_from_its_edit(window, page, tmp_path):
    path = tmp_path / "stock.csv"
    path.write_bytes(stock_table(window.workspace.session.document).replace(b"52100", b"1095"))
    before = window.workspace.model
    window.bringing.bring_in_stock(path)
    at_rest(window)
    space = window.workspace
    again = shaped(job_of(space.session.document), before)
    assert (space.model.job, space.model.of_bars) == (again.job, again.of_bars)
    assert space.model.job != before.job
    assert space.model.shapes[space.chosen] is before.shapes[space.chosen]


def test_what_lies_here_is_worth_follows_and_opens(window, page):
    until(lambda: page.worth.text() != "-")
    document = window.workspace.session.document
    bars, materials = (r.bar for r in document.all(BarRecord)), (r.material for r in document.all(MaterialRecord))
    whole = worth(bars, materials, window.workspace.model.facts)
    assert page.worth.text() == priced(whole.amount, document.settings.money)
    page.worth.open()
    assert page.worth.dialog.tree.topLevelItem(0).text(1) == page.worth.text()
    typed_worth = page.worth.text()
    window.workspace.do(remove_bar(window.workspace.session.document, next(window.workspace.session.document.all(BarRecord)).id))
    until(lambda: page.worth.text() != typed_worth)


def test_an_end_cannot_slant_over_half_the_bar(qtbot, window, page):
    page.bars.selectRow(0)
    slant = page.bar_form.field("slant")
    slant.setFocus()
    slant.selectAll()
    qtbot.keyClicks(slant, "30")
    assert "out of square by over half" in page.wrong.text()
    qtbot.keyClick(slant, Qt.Key.Key_Return)
    assert bars(window)[0].slant <= MOST_SLANT * bars(window)[0].length
    typed(qtbot, page.bar_form.field("slant"), "1/2")
    assert bars(window)[0].true_length == pytest.approx(bars(window)[0].measured.length - INCH / 2)


def test_what_goes_wrong_while_the_stock_is_counted_is_told_on_the_window_s_thread(qtbot, page, monkeypatch):
    def broken(*stock):
        raise ValueError("no such steel")

    monkeypatch.setattr("workbook.app.pages.stock.page.worth", broken)
    with qtbot.capture_exceptions() as raised:
        page.refresh()
        until(lambda: raised)
    assert str(raised[0][1]) == "no such steel"


def add_sheet(qtbot, window, page, width, length):
    """A sheet of material thick enough for one scale, of this size."""
    typed(qtbot, page.material_line, "sheet, handle, sheet, 14.00, 3")
    template = window.workspace.blank.template
    for key, value in (("size", template.handle.scale_thickness / INCH + 0.01), ("width", width), ("length", length)):
        typed(qtbot, page.material_form.field(key), str(value))
    return max(window.workspace.session.document.all(MaterialRecord), key=lambda record: record.place).id


def test_pairs_of_scales_are_counted_beside_the_window_and_booked_as_a_step(qtbot, window, page):
    """A sheet as long as one scale with its edging, and as wide as two with a saw cut between, gives just one pair."""
    outline = scale_outline(window.workspace.blank.template)
    points = polygon(outline).bounds
    long, wide = points[2] - points[0] + 2 * PROUD, points[3] - points[1] + 2 * PROUD
    kerf = window.workspace.model.job.saw.kerf
    inches = (2 * wide + kerf + 0.5) / INCH, (long + 0.5) / INCH
    id_ = add_sheet(qtbot, window, page, *inches)
    knife = window.workspace.session.document.get(id_, MaterialRecord).material.knife
    with qtbot.waitSignal(page.pairs.ended, timeout=60_000):
        qtbot.mouseClick(page.side.pairs_button, Qt.MouseButton.LeftButton)
        assert not page.side.pairs_button.isEnabled(), "it goes on beside the window"
        page.bars.selectRow(0)  # what is chosen meanwhile is left alone
    assert window.workspace.session.document.get(id_, MaterialRecord).material.knife == 1.0
    assert "One gives 1 pair of scales for Petty. A knife uses all of it." in window.status.text()
    assert page.side.pairs_button.isEnabled()
    window.workspace.undo()
    assert window.workspace.session.document.get(id_, MaterialRecord).material.knife == knife


def test_a_sheet_too_small_for_scales_is_said(qtbot, window, page):
    id_ = add_sheet(qtbot, window, page, 2, 3)
    before = window.workspace.session.document.get(id_, MaterialRecord)
    with qtbot.waitSignal(page.pairs.ended, timeout=60_000):
        qtbot.mouseClick(page.side.pairs_button, Qt.MouseButton.LeftButton)
    assert "too small" in window.status.text()
    assert window.workspace.session.document.get(id_, MaterialRecord) == before
