"""Today: minutes typed, lines taken on, what is due, waits and is to buy; hours, own numbers, dates for a quote, notices."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog

from tests.app.waiting import at_rest
from tests.model.test_tonight import changed, demo, glued, without_orders
from workbook.app.dialogs.hours import HoursDialog
from workbook.app.dialogs.own_numbers import OwnNumbersDialog
from workbook.app.look import Look
from workbook.app.pages.table import NAMES
from workbook.app.wait_notices import WaitNotices
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.document import Document
from workbook.document.making import batches
from workbook.document.making_records import BatchRecord, EntryRecord, LoadRecord
from workbook.document.records import MaterialRecord
from workbook.document.shop_records import OrderRecord, PieceRecord
from workbook.shop.hours import DaysOff, ShopDay
from workbook.structs import replace
from workbook.tasks.work import work_in

NOW = "2026-11-30T18:40:00.000+01:00"


@pytest.fixture
def opened(qtbot, tmp_path, monkeypatch):
    """Opens the window on a document, on Today, on a Monday evening."""
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    clock = [NOW]
    for module in ("app.plans", "app.pages.today.page", "app.wait_notices", "app.desks.making", "app.pages.make.page"):
        monkeypatch.setattr(f"workbook.{module}.now", lambda: clock[0])
    for name, value in (("_AT_ONCE", 60.0), ("STEPS", 60), ("DRAWS", 16)):  # all at once, and of it a little
        monkeypatch.setattr(f"workbook.app.plans.{name}", value)
    windows = []

    def open_on(document):
        made = Window(Workspace(work_in(document), Look("light")))
        qtbot.addWidget(made)
        made.resize(1366, 768)
        with qtbot.waitExposed(made):
            made.show()
        made.show_page("today")
        windows.append(made)
        return made, made.pages.currentWidget()

    open_on.clock = clock
    yield open_on
    for made in windows:
        made.end_pages()
        at_rest(made)


def typed(qtbot, field, text):
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)


def test_an_evening_is_planned_for_the_minutes_typed_and_a_line_becomes_an_entry(qtbot, opened):
    window, page = opened(without_orders(demo()))
    typed(qtbot, page.minutes, "30")
    ((when, what, why),) = page.lines.said
    assert (when, what) == ("18:40–19:09", "Drill the tang, 3 Santoku type, Batch 3")
    assert why == "Fits into the time there is."
    qtbot.mouseClick(page.lines.buttons[0], Qt.MouseButton.LeftButton)
    make = window.pages.currentWidget()
    assert window.page_name() == "make"
    assert (make.traveller.made.stage, len(make.traveller.made.chosen), make.side.minutes.text()) == ("Drill the tang", 3, "29")
    before = len(list(window.workspace.session.document.all(EntryRecord)))
    qtbot.keyClicks(make.side.minutes, "21")
    qtbot.keyClick(make.side.minutes, Qt.Key.Key_Return)
    entries = list(window.workspace.session.document.all(EntryRecord))[before:]
    assert [(record.entry.stage, record.entry.minutes, len(record.entry.pieces)) for record in entries] == [
        ("Drill the tang", 21, 3)
    ]
    window.show_page("today")
    assert "Drill the tang" not in " ".join(what for _when, what, _why in page.lines.said)


def test_without_minutes_it_is_for_the_hours_of_the_shop(qtbot, opened):
    _window, page = opened(without_orders(demo()))
    assert page.span.text() == "until 20:30"
    typed(qtbot, page.minutes, "1:15")
    assert page.span.text() == "until 19:55"
    typed(qtbot, page.minutes, " ")
    assert page.span.text() == "until 20:30"
    opened.clock[0] = "2026-11-29T10:00:00.000+01:00"  # a Sunday
    page.refresh()
    assert page.span.text() == "next hours: Nov 30, 19:00–20:30"


def test_minutes_that_are_none_are_said(qtbot, opened):
    window, page = opened(without_orders(demo()))
    typed(qtbot, page.minutes, "soon")
    assert "Type minutes as 95 or 1:35" in window.status.text()


def test_time_that_was_typed_runs_out(qtbot, opened):
    _window, page = opened(without_orders(demo()))
    typed(qtbot, page.minutes, "30")
    opened.clock[0] = "2026-11-30T19:00:00.000+01:00"
    page.refresh()
    assert page.span.text() == "until 19:10"
    opened.clock[0] = "2026-11-30T19:20:00.000+01:00"
    page.tick()
    assert (page.span.text(), page.minutes.text()) == ("until 20:30", "")


def test_orders_get_their_dates_and_one_that_slips_says_what_helps(opened):
    order = demo().get("order1", OrderRecord)
    _window, page = opened(changed(demo(), replace(order, wanted="2026-12-20")))
    (line,) = page.due.shown
    assert line.right == "Dec 20"
    assert line.more.startswith("0 of 7 finished. Even odds ")
    assert line.late
    assert line.more.endswith("Agree on a later date.") or "in time." in line.more


def test_waits_count_down_and_what_is_short_is_to_buy(opened):
    document, _batch, _blades = glued()
    short = next(record for record in document.all(MaterialRecord) if record.material.low)
    document = changed(document, replace(short, material=replace(short.material, have=0.0)))
    _window, page = opened(document)
    (wait,) = page.waits.shown
    assert (wait.words, wait.right) == ("Glue the handle, 2 blades of Batch 2", "23:41 h")
    assert short.material.name in [line.words for line in page.buying.shown]
    opened.clock[0] = "2026-12-01T10:40:00.000+01:00"
    page.tick()
    assert page.waits.shown[0].right == "7:41 h"
    opened.clock[0] = "2026-12-01T20:00:00.000+01:00"
    page.tick()
    assert not page.waits.shown


def test_the_page_is_offered_once_there_is_a_batch(qtbot, opened):
    ours = (BatchRecord, EntryRecord, LoadRecord, PieceRecord)
    empty = Document({id_: record for id_, record in demo().records.items() if not isinstance(record, ours)})
    window, _page = opened(empty)
    button = window.rail.button(NAMES.index("today"))
    assert not button.isVisible()
    window.show_page("make")
    make = window.pages.currentWidget()
    make.blade_line.setText("2 Petty of 52100")
    qtbot.keyClick(make.blade_line, Qt.Key.Key_Return)
    assert button.isVisible()
    window.workspace.undo()
    assert not button.isVisible()


def test_a_wait_that_is_over_is_said_once_also_after_a_restart(qtbot, opened):
    document, _batch, _blades = glued()
    window, _page = opened(document)
    space, said = window.workspace, []
    space.said.connect(said.append)
    WaitNotices(window, lambda: space).tell()
    assert not said
    opened.clock[0] = "2026-12-01T19:00:00.000+01:00"
    later = WaitNotices(window, lambda: space)  # as after a restart: what was told is kept with what was typed
    later.tell()
    later.tell()
    assert said == ["The wait is over: Glue the handle, 2 blades of Batch 2."]


def test_one_clock_speaks_for_a_window_also_in_another_look(opened):
    document, _batch, _blades = glued()
    window, _page = opened(document)
    notices = window.notices
    notices.tell()
    window.use_look(Look("dark"))
    assert window.notices is notices
    opened.clock[0] = "2026-12-01T19:00:00.000+01:00"
    notices.tell()
    assert window.status.text() == "The wait is over: Glue the handle, 2 blades of Batch 2."


def test_a_plan_grows_old_and_is_made_anew(opened):
    _window, page = opened(without_orders(demo()))
    opened.clock[0] = "2026-11-30T19:20:00.000+01:00"
    page.tick()
    assert page.lines.said[0][0].startswith("19:20")


def dialog(window, name, kind):
    window.dialog(name)
    return next(each for each in window.findChildren(QDialog) if isinstance(each, kind))


def test_hours_are_typed_and_undone(opened):
    window, _page = opened(without_orders(demo()))
    hours = dialog(window, "hours", HoursDialog)
    hours.days.table.item(6, 1).setText("12:30")
    hours.days.table.item(6, 0).setText("10")
    kept = window.workspace.session.document.settings.hours
    assert kept.days[6] == ShopDay(begin=600, end=750)
    assert hours.week.text() == "18:00 h a week"
    hours.days.table.item(0, 0).setText("late")
    assert "type a time of day" in hours.wrong.text()
    assert window.workspace.session.document.settings.hours == kept
    hours.off.changed.emit((DaysOff(first="2026-12-24", last="2026-12-24"),))
    hours.off.table.item(0, 1).setText("2027-01-03")
    assert window.workspace.session.document.settings.hours.off == (DaysOff(first="2026-12-24", last="2027-01-03"),)
    hours.off.table.item(0, 1).setText("2026-12-01")
    assert window.workspace.session.document.settings.hours.off == (DaysOff(first="2026-12-01", last="2026-12-01"),)
    window.workspace.undo()  # all was typed in a moment
    assert window.workspace.session.document.settings.hours == demo().settings.hours


def test_own_numbers_are_used_for_quotes_by_a_press_and_undone(qtbot, opened):
    window, _page = opened(demo())
    shown = dialog(window, "own-numbers", OwnNumbersDialog)
    rows = [shown.table.row_words(n) for n in range(shown.table.count)]
    at = next(n for n, row in enumerate(rows) if row[0] == "Sharpen")
    shown.table.selectRow(at)
    assert shown.plot.count() == 1
    qtbot.keyClick(shown.plot, Qt.Key.Key_Right)
    assert "4 blades" in shown.plot.words()
    before = window.workspace.session.document.settings.charges
    qtbot.mouseClick(shown.minutes_button, Qt.MouseButton.LeftButton)
    after = window.workspace.session.document.settings.charges
    assert [stage.name for a, stage in zip(before.stages, after.stages, strict=True) if a != stage] == ["Sharpen"]
    assert f"{after.stages[at].minutes:g}" == shown.table.row_words(at)[1] != rows[at][1]
    window.workspace.undo()
    assert window.workspace.session.document.settings.charges == before


def test_a_quote_takes_the_date_it_can_be_promised_for(qtbot, opened):
    window, _page = opened(demo())
    window.show_page("quote")
    quote = window.pages.currentWidget()
    quote.choose("order2")
    promise = quote.side.promise
    qtbot.mouseClick(promise.ask_button, Qt.MouseButton.LeftButton)
    promise.plans.finish()
    assert promise.words.text().startswith("Even odds ")
    qtbot.mouseClick(promise.use_button, Qt.MouseButton.LeftButton)
    order = window.workspace.session.document.get("order2", OrderRecord)
    assert order.wanted == promise.date or order.wanted > "2026-12-01"
    assert order.wanted != "2027-02-01"
    assert not promise.use_button.isVisible(), "the order has changed: another date would be another"


def test_nothing_is_left_of_an_order_whose_knives_are_finished(qtbot, opened):
    document = demo()
    finished = [piece for piece in document.all(PieceRecord) if piece.batch == "autumn"][:3]
    line = next(each for each in document.records.values() if getattr(each, "id", "") == "line1")
    rest = {id_: record for id_, record in document.records.items() if id_ != "line2"}
    document = changed(Document(rest), *(replace(piece, line=line.id) for piece in finished), replace(line, starts=3))
    assert batches(document)
    window, _page = opened(document)
    window.show_page("quote")
    promise = window.pages.currentWidget().side.promise
    promise.ask()
    promise.plans.finish()
    assert promise.words.text() == "Nothing of this order is left to make."
