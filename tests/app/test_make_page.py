"""Make: blades typed in one line, an evening entered by keys, held, scrapped, given, undone; what cannot be is said."""

import pypdfium2
import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QInputDialog, QToolButton

from tests.app.waiting import at_rest
from workbook.app.dialogs.export import ExportDialog
from workbook.app.elements.basics import broken
from workbook.app.look import Look
from workbook.app.pages.make.history import BladeHistory
from workbook.app.pages.make.traveller import FIXED
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.actions import making, templates
from workbook.document.document import Document
from workbook.document.making import batches, blades_of, entries_of, standings_in
from workbook.document.making_records import BatchRecord, EntryRecord, LoadRecord
from workbook.document.queries import job_of, template_named
from workbook.document.records import TemplateRecord
from workbook.document.shop_records import OrderLine, PieceRecord
from workbook.making.entry import EntryKind
from workbook.making.standing import CellState
from workbook.region import region_of
from workbook.shop.labour import StageKind
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.load import shaped
from workbook.tasks.work import now, work_in


def without_batches(document):
    """A shop that has not begun yet."""
    ours = (BatchRecord, EntryRecord, LoadRecord, PieceRecord)
    return Document({id_: record for id_, record in document.records.items() if not isinstance(record, ours)})


@pytest.fixture
def shop(qtbot, tmp_path, monkeypatch):
    """The window on the demo's shop, on Make."""
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    made = Window(Workspace(work_in(without_batches(demo_document())), Look("light")))
    qtbot.addWidget(made)
    made.resize(1600, 950)
    with qtbot.waitExposed(made):
        made.show()
    made.show_page("make")
    yield made
    at_rest(made)


@pytest.fixture
def page(shop):
    return shop.pages.currentWidget()


def document(shop):
    return shop.workspace.session.document


def typed(qtbot, field, text):
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)


@pytest.fixture
def batch(qtbot, shop, page):
    """Twelve blades, begun by hand."""
    typed(qtbot, page.blade_line, "12 Petty of 52100")
    page.traveller.setFocus()
    return page.batch


def press(qtbot, page, *keys):
    """Press keys where the keyboard is; return how many."""
    for key in keys:
        qtbot.keyClick(page.window().focusWidget() or page.traveller, key)
    return len(keys)


def entries(shop, page):
    return [record.entry for record in entries_of(document(shop), page.batch)]


def states(shop, page, column):
    standings = standings_in(document(shop), page.batch)
    return [standings[piece.id].cells[column].state for piece in blades_of(document(shop), page.batch)]


def test_an_empty_page_says_how_a_batch_begins(page):
    assert page.empty.isVisible()
    assert "Mark a layout as cut on the Lay out page" in page.empty.text()
    assert not page.side.enter_button.isEnabled()


def test_an_evening_of_twelve_blades_with_one_exception_takes_at_most_twelve_keys(qtbot, shop, page, batch):
    """Minutes and Enter for all; then the next stage for all but the fourth."""
    count = press(qtbot, page, Qt.Key.Key_9, Qt.Key.Key_5, Qt.Key.Key_Return)
    count += press(qtbot, page, Qt.Key.Key_Down, Qt.Key.Key_Down, Qt.Key.Key_Down, Qt.Key.Key_Space)
    count += press(qtbot, page, Qt.Key.Key_4, Qt.Key.Key_2, Qt.Key.Key_Return)
    assert count <= 12
    first, second = entries(shop, page)
    assert (first.kind, first.stage, len(first.pieces), first.minutes) == (EntryKind.DONE, "Lay out and scribe", 12, 95)
    assert (second.stage, len(second.pieces), second.minutes, second.date) == ("Saw and profile", 11, 42, now()[:10])
    fourth = blades_of(document(shop), page.batch)[3]
    assert fourth.id not in second.pieces
    assert standings_in(document(shop), page.batch)[fourth.id].next == "Saw and profile"
    assert page.traveller.made.data(page.traveller.made.index(12, FIXED)).startswith("95 / ")


def test_it_may_be_entered_late_with_a_set_up_and_a_note(qtbot, shop, page, batch):
    page.side.date.setText("2026-11-20")
    page.side.set_up.setText("10")
    page.side.note.setText("new scriber")
    typed(qtbot, page.side.minutes, "1:35")
    done, set_up = entries(shop, page)
    assert (done.date, done.minutes, done.note) == ("2026-11-20", 95, "new scriber")
    assert (set_up.kind, set_up.minutes, set_up.stage) == (EntryKind.SET_UP, 10, "Lay out and scribe")
    assert page.side.minutes.text() == page.side.note.text() == ""
    shop.workspace.undo()
    assert entries(shop, page) == []
    assert states(shop, page, 0) == [CellState.NEXT] * 12
    shop.workspace.redo()
    assert len(entries(shop, page)) == 2


@pytest.mark.parametrize(
    ("field", "text", "said"),
    [("minutes", "an hour", "Type minutes as 95 or 1:35"), ("minutes", "20000", "10"), ("date", "yesterday", "is not a date")],
)
def test_what_cannot_be_read_is_said_and_stays(qtbot, shop, page, batch, field, text, said):
    getattr(page.side, field).setText(text)
    qtbot.keyClick(page.side.minutes, Qt.Key.Key_Return)
    assert said in shop.status.text()
    assert entries(shop, page) == []
    assert getattr(page.side, field).text() == text


def test_a_hold_point_asks_for_readings_and_lets_nothing_by(qtbot, shop, page, batch):
    for _stage in range(4):
        typed(qtbot, page.side.minutes, "30")
    assert page.side.head.text() == "Grind before hardening, 12 held"
    assert states(shop, page, 3) == [CellState.HELD] * 12
    page.traveller.choose_stage("Harden and temper")
    page.traveller.toggle()
    typed(qtbot, page.side.minutes, "60")
    assert "is held at Grind before hardening. Measure it there" in shop.status.text()
    page.traveller.choose_stage_at(FIXED + 3)
    typed(qtbot, page.side.measured, "0.020 0.020")
    assert "3 needed: heel, middle, tip" in shop.status.text()
    typed(qtbot, page.side.measured, "0.020 0.020 0.014")
    assert states(shop, page, 3) == [CellState.DONE, *[CellState.HELD] * 11]
    assert page.traveller.currentIndex().row() == 1
    page.traveller.setCurrentIndex(page.traveller.made.index(0, FIXED + 3))
    assert "thinner than the" in page.side.lines.text()
    assert "A bevel cannot give steel back" in page.side.lines.text()
    for row in range(1, 12):
        page.traveller.setCurrentIndex(page.traveller.made.index(row, FIXED + 3))
        assert page.traveller.made.stage == "Grind before hardening"
        typed(qtbot, page.side.measured, "0.020 0.020 0.020")
    assert page.side.head.text() == "Harden and temper, 12 blades"  # the last one that was held leads on
    assert page.traveller.currentIndex().row() == 0


def answered(monkeypatch, words, *, sure=True):
    monkeypatch.setattr(QInputDialog, "getItem", lambda *a, **k: (words, sure))


def test_a_blade_is_scrapped_with_a_reason_and_its_order_is_helped(qtbot, shop, page, batch, monkeypatch):
    blades = blades_of(document(shop), page.batch)
    for piece in blades[:3]:
        shop.workspace.making.give(piece.id, "line1")
    answered(monkeypatch, "  ")
    page.side.scrap_button.click()
    assert "Type a reason" in shop.status.text()
    answered(monkeypatch, "cut into the line")
    for date, said in (("2099-01-01", "is in the future"), ("yesterday", "is not a date")):
        page.side.date.setText(date)
        page.side.scrap_button.click()
        assert said in shop.status.text()
    page.side.date.setText(now()[:10])
    page.side.scrap_button.click()
    (entry,) = entries(shop, page)
    assert (entry.kind, entry.reason, entry.pieces) == (EntryKind.SCRAP, "cut into the line", (blades[0].id,))
    assert page.traveller.made.chosen == {blade.id for blade in blades[1:]}  # nothing more is entered for what is lost
    assert page.shorts.isVisible()
    give = page.shorts.findChild(QToolButton, "give-line1")
    assert give.text() == f"Give {blades[3].serial}"
    give.click()
    assert document(shop).get(blades[3].id, PieceRecord).line == "line1"
    assert not page.shorts.isVisible()
    shop.workspace.undo()
    page.shorts.findChild(QToolButton, "more-line1").click()
    assert document(shop).get("line1", OrderLine).starts == 4


def test_an_entry_is_taken_back_by_another(qtbot, shop, page, batch):
    typed(qtbot, page.side.minutes, "95")
    page.side.entries.selectRow(0)
    page.side.back_button.click()
    assert [entry.kind for entry in entries(shop, page)] == [EntryKind.DONE, EntryKind.TAKEN_BACK]
    assert states(shop, page, 0) == [CellState.NEXT] * 12


def test_after_undo_the_stage_that_comes_next_is_chosen_again(qtbot, shop, page, batch):
    for _stage in range(2):
        typed(qtbot, page.side.minutes, "30")
    assert page.traveller.made.stage == "Drill the tang"
    shop.workspace.undo()
    assert page.traveller.made.stage == "Saw and profile"
    assert len(page.traveller.made.chosen) == 12


def test_what_was_entered_is_said_with_what_was_skipped(qtbot, shop, page, batch):
    heard = []
    page.hint.connect(heard.append)
    typed(qtbot, page.side.minutes, "95")
    assert heard[-1] == "Lay out and scribe: 12 blades, 95 min, entered."
    page.traveller.choose_stage("Drill the tang")
    page.traveller.toggle()
    typed(qtbot, page.side.minutes, "")
    assert heard[-1] == "Drill the tang: 1 blade, without minutes, entered. Saw and profile before it is still open."


def test_only_an_entry_that_stands_can_be_taken_back(qtbot, shop, page, batch):
    typed(qtbot, page.side.minutes, "30")
    page.side.entries.selectRow(0)
    assert page.side.back_button.isEnabled()
    page.side.back_button.click()
    assert page.side.entries.row_words(0)[1] == "takes back: Lay out and scribe"
    assert page.side.entries.row_words(1)[1] == "taken back: Lay out and scribe"
    for row in range(2):
        page.side.entries.selectRow(row)
        assert not page.side.back_button.isEnabled()


def test_what_cannot_have_been_is_not_entered(qtbot, shop, page, batch):
    page.side.date.setText("2099-01-01")
    typed(qtbot, page.side.minutes, "30")
    assert "2099-01-01 is in the future" in shop.status.text()
    page.side.date.setText(now()[:10])
    for _stage in range(4):
        typed(qtbot, page.side.minutes, "30")
    typed(qtbot, page.side.measured, "20 20 20")
    assert "is thicker than the bar" in shop.status.text() or "0 to" in shop.status.text()
    typed(qtbot, page.side.measured, "0.5 0.5 0.5")
    assert "an edge of 0.500 in is thicker than the bar" in shop.status.text()
    assert states(shop, page, 3) == [CellState.HELD] * 12


def test_enter_takes_the_first_blade_that_is_found(qtbot, shop, page, batch):
    qtbot.keyClicks(page.finding.line, "petty")
    qtbot.keyClick(page.finding.line, Qt.Key.Key_Return)
    assert page.middle.currentWidget() is page.history


def test_blades_that_cannot_be_added_are_said_and_the_line_stays(qtbot, shop, page):
    typed(qtbot, page.blade_line, "3 Petty of 52100 at plating")
    assert "no stage has this name" in shop.status.text()
    assert page.blade_line.text() == "3 Petty of 52100 at plating"
    typed(qtbot, page.blade_line, "3 Petty of 52100 to 7")
    assert "There is no batch 7" in shop.status.text()
    assert batches(document(shop)) == []


def test_more_blades_join_a_batch_by_its_number_with_serials_of_their_own(qtbot, shop, page, batch):
    typed(qtbot, page.blade_line, "2 Petty of 52100 at Sharpen to 1")
    serials = [piece.serial for piece in blades_of(document(shop), batch)]
    assert len(serials) == len(set(serials)) == 14
    assert states(shop, page, 0)[-2:] == [CellState.BEFORE] * 2


def test_a_batch_gets_a_name(shop, page, batch, monkeypatch):
    monkeypatch.setattr(QInputDialog, "getText", lambda *a, **k: ("For the spring show", True))
    page.name_button.click()
    assert page.list.row_words(0)[1].startswith("For the spring show")


def test_a_batch_whose_template_is_gone_still_shows(shop, page, batch):
    template = blades_of(document(shop), batch)[0].of
    assert isinstance(document(shop).records[template], TemplateRecord)
    shop.workspace.do(templates.remove(document(shop), template))
    assert page.traveller.made.rowCount() == 13
    assert page.traveller.made.data(page.traveller.made.index(0, 0)).startswith("Petty")


def test_a_cell_is_told_in_full_to_a_screen_reader(page, batch):
    made = page.traveller.made
    assert made.data(made.index(0, FIXED), Qt.ItemDataRole.AccessibleTextRole) == "T1, Lay out and scribe, next, selected"


def test_the_timer_puts_its_minutes_in(qtbot, shop, page, batch, monkeypatch):
    moments = iter(["2026-11-26T18:00:00+00:00", "2026-11-26T19:35:00+00:00"])
    monkeypatch.setattr("workbook.app.pages.make.entering.now", lambda: next(moments))
    page.side.timer_button.setChecked(True)
    page.side.timer_button.setChecked(False)
    assert page.side.minutes.text() == "95"


def test_a_blade_is_found_and_told_whole(qtbot, shop, page, batch, monkeypatch):
    blades = blades_of(document(shop), batch)
    shop.workspace.making.give(blades[1].id, "line1")
    typed(qtbot, page.side.minutes, "95")
    qtbot.keyClicks(page.finding.line, "slipway 52100")
    assert page.finding.found.count == 1
    page.finding.found.selectRow(0)
    assert page.middle.currentWidget() is page.history
    table = page.history.table
    rows = [tuple(table.item(r, c).text() for c in range(3)) for r in range(table.rowCount())]
    assert ("For", "The Slipway galley, order 1, due Jan 15, 2027", "Nov 2, 2026") in rows
    assert ("Lay out and scribe", "done; 8 min of 95 min", region_of("en-US").short_day(now())) in rows
    assert any(what == "Time" and words.startswith("8 min, $3.17 at your rate") for what, words, _date in rows)
    assert page.traveller.blade.id == blades[1].id
    page.history.back_button.click()
    assert page.middle.currentIndex() == 0


def test_what_is_long_in_a_blades_history_goes_on_below(qtbot):
    """Of the sample's cracked blade, with its load."""
    history = BladeHistory(Look("light"))
    qtbot.addWidget(history)
    history.resize(420, 700)
    history.show()
    document_ = demo_document()
    history.show_blade(document_, shaped(job_of(document_)), document_.get("a4", PieceRecord))
    table = history.table
    row = next(r for r in range(table.rowCount()) if table.item(r, 0).text().startswith("Load 1"))
    lines = broken(Look("light"), table.item(row, 1).text(), 9.75, False, table.columnWidth(1) - 10)
    assert " ".join(lines) == table.item(row, 1).text()
    assert len(lines) > 4
    assert table.rowHeight(row) == 28 + 17 * (len(lines) - 1)
    assert table.rowHeight(0) == 28


@pytest.mark.parametrize(
    ("words", "count"), [("T3", 1), ("batch 1", 12), ("petty 52100", 12), ("o1", 0), (now()[:10], 12), ("", 0), ("t3 order", 0)]
)
def test_blades_are_found_by_any_word_that_is_known_of_them(shop, page, batch, words, count):
    page.finding.find_blades(words)
    assert page.finding.found.count == count


def test_other_pages_lead_to_their_blades(qtbot, shop, page, batch):
    shop.workspace.making.give(blades_of(document(shop), batch)[4].id, "line1")
    shop.show_page("quote")
    shop.quote_page().side.blades_button.click()
    assert shop.pages.currentWidget() is page
    assert page.finding.line.text() == "order 1"
    assert page.middle.currentWidget() is page.history
    shop.show_page("stock")
    stock = shop.stock_page()
    stock.bars.selectRow(0)
    stock.side.blades_button.click()
    assert page.finding.line.text() == stock.bars.row_words(0)[1] or page.finding.line.text() in stock.side.title.text()
    assert page.finding.found.count == 0
    shop.show_blades("")
    assert page.finding.line.hasFocus()


def test_blades_are_sent_to_a_service_with_a_sheet_and_come_back(qtbot, shop, page, batch):
    record = document(shop).get(batch, BatchRecord)
    stages = tuple(replace(stage, kind=StageKind.OUTSIDE) if n == 1 else stage for n, stage in enumerate(record.stages))
    page.traveller.choose_stage(stages[0].name)
    assert not page.side.send_button.isVisible()
    press(qtbot, page, "3", "0", Qt.Key.Key_Return)
    shop.workspace.do(making.change_batch(document(shop), replace(document(shop).get(batch, BatchRecord), stages=stages)))
    page.refresh()
    page.traveller.choose_stage(stages[1].name)
    assert page.side.send_button.isVisible()
    page.side.send_button.click()
    assert {standing.cells[1].state for standing in standings_in(document(shop), batch).values()} == {CellState.SENT}
    page.side.outgoing_button.click()
    dialog = next(each for each in shop.findChildren(ExportDialog))
    qtbot.waitUntil(lambda: bool(dialog.files), timeout=30_000)
    (content,) = dialog.files.values()
    words = pypdfium2.PdfDocument(content)[0].get_textpage().get_text_bounded()
    assert stages[1].name in words and "Petty, 52100" in words and "Came back on" in words
    dialog.close()
    page.side.minutes.setText("5")
    page.side.enter_button.click()
    assert {standing.cells[1].state for standing in standings_in(document(shop), batch).values()} == {CellState.DONE}


def test_a_note_for_the_next_time_comes_back_with_the_template(qtbot, shop, page, batch, monkeypatch):
    monkeypatch.setattr(QInputDialog, "getMultiLineText", lambda *_a, **_k: ("Leave the heel\n longer.", True))
    page.side.next_button.click()
    assert template_named(document(shop), "Petty").next_time == "Leave the heel longer."
    assert "Petty, next time: Leave the heel longer." in page.side.lines.text()
    shop.show_page("draw")
    shop.workspace.choose(template_named(document(shop), "Petty").id)
    assert shop.draw.panel.next_time.text() == "Next time: Leave the heel longer."
    shop.workspace.undo()
    assert "1 mm fuller" in shop.draw.panel.next_time.text()  # what the sample has
