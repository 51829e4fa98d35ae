"""Lay out: the search in its worker, its buttons, its words."""

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QWheelEvent
from PySide6.QtWidgets import QApplication, QMenu

from tests.app.waiting import at_rest, saved_in_preview
from tests.counts import some
from tests.named import by_names, key_of
from tests.sentences import words_of
from workbook.app.look import Look
from workbook.document.action import Action, said
from workbook.document.actions import rack
from workbook.document.document import replacing
from workbook.document.records import LayoutRecord
from workbook.document.shop_records import OrderLine, OrderRecord
from workbook.nesting.bounds import least_lost
from workbook.nesting.verify import faults
from workbook.shop.entry import bar_entry
from workbook.shop.orders import Status
from workbook.structs import replace
from workbook.tasks.keeping import spots_of
from workbook.tasks.work import work_on


@pytest.fixture
def page(qtbot, window):
    window.show_page("layout")
    made = window.bars_page()
    qtbot.waitUntil(lambda: made.laid is not None, timeout=30_000)
    yield made
    made.search.close()


def test_the_first_layout_that_shows_is_sound(page):
    assert faults(page.laid.nesting, page.laid.layout) == []
    assert page.side.print_button.isEnabled()
    assert page.side.figures["bars"].text() == str(len(page.laid.layout.bars))


def test_the_words_speak_of_the_layout_shown(page):
    least = least_lost(page.laid.nesting, page.laid.layout)
    assert least > 0
    assert f"{least:.0%}" in page.side.words.text()
    assert f"{page.laid.costs.bound}" in page.side.words.text()


def test_stop_stops_and_search_on_begins_again(qtbot, page):
    if page.search.running:
        with qtbot.waitSignal(page.search.stopped):
            page.side.stop_button.click()
    assert not page.search.running
    assert page.side.again_button.isVisibleTo(page)
    page.side.again_button.click()
    assert page.search.running
    with qtbot.waitSignal(page.search.reported, timeout=30_000):
        pass


def test_an_edited_template_is_laid_out_anew_when_the_page_is_entered(qtbot, window, page):
    before = page.laid
    window.show_page("draw")
    window.workspace.edit("blade.length", 120.0)
    window.show_page("layout")
    qtbot.waitUntil(lambda: page.laid is not None and page.laid is not before, timeout=30_000)
    petty = next(part for part in page.laid.nesting.parts if part.name == "Petty")
    assert petty.outline[:, 0].max() == pytest.approx(120.0, abs=0.01)


def test_a_blank_that_fits_no_bar_is_said_in_words(qtbot, window):
    job = window.workspace.model.job
    narrow = tuple(replace(bar, width=20.0, measured=type(bar.measured)()) for bar in job.bars)
    window.work_on(work_on(replace(job, bars=narrow)))
    window.show_page("layout")
    words = window.bars_page().side.left_out.text()
    assert "too narrow" in words
    assert not window.bars_page().side.print_button.isEnabled()


def test_a_dead_worker_is_reported_and_replaced(qtbot, page):
    page.search.stop()
    page.side.again_button.click()
    with qtbot.waitSignal(page.search.failed, timeout=30_000):
        page.search.workers[0].process.kill()
    assert "unexpectedly" in page.side.words.text()
    page.side.again_button.setVisible(True)
    page.side.again_button.click()
    with qtbot.waitSignal(page.search.reported, timeout=30_000):
        pass


def spot(page, bar, blank):
    """Where a blank's middle is on the widget."""
    return page.bars.pixel(bar, *page.bars.plans[bar].blanks[blank].middle).toPoint()


def pinned(page):
    return spots_of(page.laid.layout, page.shown.kept)


def test_a_second_click_pins_a_blank_and_the_search_leaves_it(qtbot, page):
    page.search.stop()
    place = spot(page, 0, 1)
    qtbot.mouseClick(page.bars, Qt.MouseButton.LeftButton, pos=place)
    assert page.bars.chosen == (0, 1)
    assert not pinned(page)
    stays = page.laid.layout.bars[0].pieces[1]
    qtbot.mouseClick(page.bars, Qt.MouseButton.LeftButton, pos=place)
    assert pinned(page) == {(0, 1)}
    assert "pinned" in page.bars.accessibleDescription()
    with qtbot.waitSignal(page.search.reported, timeout=30_000) as seen:
        pass
    assert stays in seen.args[0].progress.best.bars[0].pieces
    qtbot.wait(500)
    assert len(pinned(page)) == 1
    page.search.stop()
    (where,) = pinned(page)
    assert page.laid.layout.bars[where[0]].pieces[where[1]] == stays
    page.toggle_pin(*where)
    assert not pinned(page)


def test_arrows_choose_and_the_space_bar_pins(qtbot, page):
    page.search.stop()
    page.bars.setFocus()
    for key in (Qt.Key.Key_Right, Qt.Key.Key_Right, Qt.Key.Key_Down, Qt.Key.Key_Up, Qt.Key.Key_Left, Qt.Key.Key_Right):
        qtbot.keyClick(page.bars, key)
    assert page.bars.chosen == (0, 0)
    qtbot.keyClick(page.bars, Qt.Key.Key_Space)
    assert pinned(page) == {(0, 0)}


def test_pins_go_when_the_order_changes(qtbot, window, page):
    page.search.stop()
    page.toggle_pin(0, 0)
    window.workspace.edit("blade.length", 130.0)
    qtbot.waitUntil(lambda: page.laid is not None, timeout=30_000)
    assert not pinned(page)
    assert faults(page.laid.nesting, page.laid.layout) == []


def test_one_more_blank_is_laid_where_there_is_room_and_the_order_grows(qtbot, window, page):
    """The demo leaves a long offcut of a bar that takes petties."""
    page.search.stop()
    laid = page.laid
    offcuts = [cost.offcut for cost in laid.costs.each]
    bar = offcuts.index(max(offcuts))
    part = laid.layout.bars[bar].pieces[0].part
    wish = laid.model.job.make[part]
    with qtbot.waitSignal(page.search.answered, timeout=30_000):
        page.one_more(bar, part)
    assert window.workspace.model.job.make[part].quantity == wish.quantity + 1
    assert sum(piece.part == part for use in page.laid.layout.bars for piece in use.pieces) == wish.quantity + 1
    assert faults(page.laid.nesting, page.laid.layout) == []
    assert page.search.running


def test_no_room_is_said_and_nothing_changes(qtbot, window, page):
    page.search.stop()
    before = page.laid
    full = min(range(len(before.costs.each)), key=lambda b: before.costs.each[b].offcut)
    page.pin(frozenset((full, i) for i in range(len(before.layout.bars[full].pieces))))
    page.search.stop()
    with qtbot.waitSignal(page.search.answered, timeout=30_000):
        page.one_more(full, before.layout.bars[full].pieces[0].part)
    assert "No room was found" in page.side.words.text()
    assert page.laid is before


def test_what_else_fits_is_said_a_line_a_place(qtbot, page):
    page.search.stop()
    with qtbot.waitSignal(page.search.answered, timeout=30_000):
        page.what_fits(0)
    assert "bar 1, around its blanks" in page.side.words.text()


@pytest.mark.parametrize("act", some(["edit", "pin", "search", "undo"], 2))
def test_looking_for_room_is_dropped_by_whatever_comes_next(qtbot, window, page, act):
    window.workspace.edit("blade.height", 30.0)
    qtbot.waitUntil(lambda: page.laid is not None, timeout=30_000)
    page.what_fits(0)
    assert page.search.asking
    {
        "edit": lambda: window.workspace.edit("blade.length", 130.0),
        "pin": lambda: page.toggle_pin(0, 0),
        "search": page.side.again_button.click,
        "undo": window.workspace.undo,
    }[act]()
    assert not page.search.asking
    with qtbot.waitSignal(page.search.reported, timeout=30_000):
        pass
    assert page.search.running or page.laid is not None


def test_pins_and_their_serials_survive_another_look_and_another_search(qtbot, window, page):
    page.search.stop()
    serial = page.bars.plans[0].blanks[1].serial
    page.toggle_pin(0, 1)
    page.search.stop()
    window.use_look(Look("dark", 1.25))
    again = window.bars_page()
    assert again is not page
    assert len(pinned(again)) == 1
    again.side.again_button.click()
    with qtbot.waitSignal(again.search.reported, timeout=30_000):
        pass
    again.search.stop()
    ((bar, blank),) = pinned(again)
    assert again.bars.plans[bar].blanks[blank].serial == serial
    again.search.close()


def test_the_menu_of_a_bar_offers_what_can_be_done(qtbot, page):
    page.search.stop()
    page._menu(0, 0, QPoint(5, 5))
    (menu,) = (child for child in page.children() if isinstance(child, QMenu))
    words = [action.text() for action in menu.actions() if action.text()]
    menu.close()
    assert words[0] == "Pin blank"
    assert any(word.startswith("Add one more ") for word in words)
    assert words[-1] == "Find what else fits on this bar"


def test_bar_sheets_and_cut_file_are_written_where_asked(qtbot, window, page, tmp_path, monkeypatch):
    monkeypatch.setattr("workbook.app.asking.QFileDialog.getSaveFileName", lambda *a: (str(tmp_path / "bars.pdf"), ""))
    page.side.print_button.click()
    dialog = saved_in_preview(qtbot, window)
    assert (tmp_path / "bars.pdf").read_bytes() == dialog.files["bars.pdf"]
    dialog.close()
    monkeypatch.setattr("workbook.app.asking.QFileDialog.getSaveFileName", lambda *a: (str(tmp_path / "bars.dxf"), ""))
    page.side.cut_button.click()
    at_rest(window)
    assert "LWPOLYLINE" in (tmp_path / "bars.dxf").read_text()


def test_a_template_sheet_and_its_cut_file_are_written(qtbot, window, tmp_path, monkeypatch):
    monkeypatch.setattr("workbook.app.asking.QFileDialog.getSaveFileName", lambda *a: (str(tmp_path / "petty.pdf"), ""))
    window.draw.print_button.click()
    saved_in_preview(qtbot, window).close()
    assert (tmp_path / "petty.pdf").read_bytes().startswith(b"%PDF")
    monkeypatch.setattr("workbook.app.asking.QFileDialog.getSaveFileName", lambda *a: (str(tmp_path / "petty.dxf"), ""))
    window.draw.cut_button.click()
    at_rest(window)
    assert "CIRCLE" in (tmp_path / "petty.dxf").read_text()


def test_a_folder_that_cannot_be_written_gives_a_message_and_no_file(window, tmp_path, monkeypatch):
    in_the_way = tmp_path / "file"
    in_the_way.write_text("x")
    monkeypatch.setattr("workbook.app.asking.QFileDialog.getSaveFileName", lambda *a: (str(in_the_way / "petty.dxf"), ""))
    said = []
    monkeypatch.setattr(window, "say_trouble", lambda title, trouble: said.append((title, trouble.lines())))
    window.draw.cut_button.click()
    at_rest(window)
    assert said[0][0] == "Could not be exported: Cutting file"
    assert in_the_way.read_text() == "x"


def counted(qtbot, box, text):
    box.setFocus()
    box.selectAll()
    qtbot.keyClicks(box, text)
    qtbot.keyClick(box, Qt.Key.Key_Return)


def made(window):
    """What is to be made: template, steel, how many."""
    return [(wish.template, wish.steel, wish.quantity) for wish in by_names(window.workspace.model.job).make]


def test_the_order_is_changed_beside_the_bars_and_undone(qtbot, window, page, monkeypatch):
    monkeypatch.setattr("workbook.app.work._ONE_STEP", 60.0)  # however long the layout takes
    box = page.side.order.count(key_of(window.workspace, "Paring"), "O1")
    counted(qtbot, box, "2")
    assert ("Paring", "O1", 2) in made(window)
    assert words_of(window.workspace.session.steps[-1]) == "make 2 Paring of O1"
    qtbot.waitUntil(lambda: page.laid is not None, timeout=30_000)
    assert sum(piece.part == 2 for use in page.laid.layout.bars for piece in use.pieces) == 2
    counted(qtbot, box, "0")
    assert [name for name, _, _ in made(window)] == ["Petty", "Santoku type"]
    window.workspace.undo()  # one number changed twice is one step
    assert page.side.order.count(key_of(window.workspace, "Paring"), "O1").number == 4


def test_a_row_of_the_order_is_called_as_its_template_is_now(window, page):
    window.workspace.rename("Zebra")
    box = page.side.order.count(key_of(window.workspace, "Zebra"), "52100")
    assert box.accessibleName() == "Quantity of Zebra in 52100"
    window.workspace.undo()
    assert page.side.order.count(key_of(window.workspace, "Petty"), "52100").accessibleName() == "Quantity of Petty in 52100"


def test_only_what_is_asked_for_is_listed_and_only_bars_of_its_steels(window, page):
    space, order = window.workspace, page.side.order
    bar = bar_entry("1095 5/64 x 2 x 36, 10.00, 3", "in")
    space.do(rack.add_bar(space.session.document, bar, "new", space.stamp()))
    asked = {(wish.template, wish.steel) for wish in space.model.job.make}
    rows = {
        (key, steel) for key in space.model.job.keys for steel in ("52100", "1095", "O1", "1084") if order.has_row(key, steel)
    }
    assert rows == asked  # each template of the demo is asked for
    listed = [page.side.choice.bars.item(n).text() for n in range(page.side.choice.bars.count())]
    assert listed and all(text.startswith(("52100", "O1")) for text in listed)
    order.show_every_steel(True)
    assert order.has_row(key_of(space, "Petty"), "1095")
    order.show_every_steel(False)
    assert not order.has_row(key_of(space, "Petty"), "1095")
    counted_out = order.count(key_of(space, "Petty"), "52100")
    counted_out.entered.emit(0)
    assert order.has_row(key_of(space, "Petty"), "52100")  # it stays in sight, to be typed in again


def test_an_order_is_being_made_once_its_first_blank_is_cut_and_undo_is_at_hand(qtbot, window, page):
    space = window.workspace
    document = space.session.document
    order = OrderRecord(id="o", place=1.0, number=1, status=Status.QUOTED, laying=True)
    line = OrderLine(id="l", place=1.0, of=key_of(space, "Petty"), steel="52100", quantity=1, order="o")
    rest = [record.id for record in document.all(OrderLine)]
    space.do(replacing(document, Action("order.added", {"order": 1}), [order, line], rest))
    qtbot.waitUntil(lambda: page.laid is not None and len(page.laid.layout.bars) == 1, timeout=30_000)
    page.search.stop()
    at_rest(window)
    page.side.mark_button.setFocus()
    qtbot.keyClick(page.side.mark_button, Qt.Key.Key_Space)
    assert space.session.document.get("o", OrderRecord).status is Status.MAKING
    assert page.bars.hasFocus()
    qtbot.keyClick(page.bars, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert space.session.document.get("o", OrderRecord).status is Status.QUOTED


def test_every_steel_that_suits_has_its_row_and_the_wheel_leaves_counts_alone(qtbot, window, page):
    bar = bar_entry("1095 5/64 x 2 x 36, 10.00, 3", "in")
    window.workspace.do(rack.add_bar(window.workspace.session.document, bar, "new", window.workspace.stamp()))
    page.side.order.show_every_steel(True)
    box = page.side.order.count(key_of(window.workspace, "Petty"), "1095")
    assert (box.number, page.side.order.count(key_of(window.workspace, "Petty"), "52100").number) == (0, 6)
    counted(qtbot, box, "2")
    counted(qtbot, page.side.order.count(key_of(window.workspace, "Petty"), "52100"), "0")
    assert ("Petty", "1095", 2) in made(window)
    assert page.side.order.count(key_of(window.workspace, "Petty"), "52100").number == 0
    box = page.side.order.count(key_of(window.workspace, "Petty"), "1095")
    box.clearFocus()
    spot = QPointF(10, 10)
    wheel = QWheelEvent(spot, box.mapToGlobal(spot), QPoint(), QPoint(0, 120), Qt.MouseButton.NoButton,
                        Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False)  # fmt: skip
    QApplication.sendEvent(box, wheel)
    assert box.number == 2


def test_with_nothing_to_lay_out_there_are_no_figures(qtbot, window, page):
    for wish in list(window.workspace.model.job.make):
        window.workspace.layouts.make(wish.template, wish.steel, 0)
    assert page.side.figures["steel"].text() == "-"
    assert "To make" in page.side.words.text()
    window.workspace.undo()


def test_the_table_mirrors_the_bars(qtbot, page):
    page.search.stop()
    page.table_button.click()
    table = page.blanks.table
    assert table.isVisibleTo(page)
    assert table.rowCount() == sum(len(use.pieces) for use in page.laid.layout.bars)
    table.selectRow(3)
    chosen = page.bars.chosen
    assert page.bars.plans[chosen[0]].blanks[chosen[1]].serial == table.item(3, 0).text()
    qtbot.keyClick(table, Qt.Key.Key_Space)
    assert chosen in spots_of(page.laid.layout, page.shown.kept)
    assert table.item(3, 7).text() == "pinned"
    page.bars.choose(0, 0)
    assert table.currentRow() == 0


def test_a_layout_is_kept_shown_again_and_says_what_has_changed(qtbot, window, page):
    page.search.stop()
    page.bars.choose(0, 0)
    page.toggle_pin(0, 0)
    page.search.stop()
    page.side.keep_button.click()
    was = page.laid.layout
    names = [blank.serial for plan in page.bars.plans for blank in plan.blanks]
    assert page.side.kept.count() == 1
    assert words_of(window.workspace.session.steps[-1]) == "Layout 1 saved"
    page.shown.kept = ()
    page.side.again_button.click()
    with qtbot.waitSignal(page.search.reported, timeout=30_000):
        pass
    page.side.kept.setCurrentRow(0)
    page.side.kept.itemActivated.emit(page.side.kept.item(0))
    assert page.laid.layout == was
    assert [blank.serial for plan in page.bars.plans for blank in plan.blanks] == names
    assert spots_of(page.laid.layout, page.shown.kept) == {(0, 0)}
    window.workspace.edit("blade.length", 125.0)
    assert "changed since" in page.side.kept.item(0).text()
    qtbot.waitUntil(lambda: page.laid is not None, timeout=30_000)
    page.side.kept.itemActivated.emit(page.side.kept.item(0))
    assert "Petty was revision 1 then" in page.side.words.text()
    window.workspace.undo()
    qtbot.waitUntil(lambda: page.laid is not None, timeout=30_000)
    page.side.kept.setCurrentRow(0)
    page.side.kept.itemActivated.emit(page.side.kept.item(0))
    assert page.laid.layout == was
    assert not page.side.blades_button.isVisibleTo(page.side)
    document_ = window.workspace.session.document
    (record,) = (each for each in document_.all(LayoutRecord) if each.name == "Layout 1")
    assert window.workspace.do(replacing(document_, said("cut"), [replace(record, cut="2026-11-02T10:00:00")]))
    with qtbot.waitSignal(window.workspace.blades_wanted) as asked:
        page.side.blades_button.click()
    assert asked.args == ["2026-11-02"]
    window.show_page("layout")
    page.side.drop_button.click()
    assert page.side.kept.count() == 0
