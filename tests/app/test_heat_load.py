"""Heat treatment: what is known of these blades before the fire, what stops it, what is kept; quenched is not tempered."""

import re
from datetime import datetime, timedelta

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QMessageBox

from tests.app.waiting import at_rest
from workbook.app.dialogs.export import ExportDialog
from workbook.app.dialogs.heat_load import HeatLoadDialog
from workbook.app.look import Look
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.actions.whole import change_settings
from workbook.document.making import blades_of, entries_of, loads_of, recipe_for, untempered
from workbook.document.making_records import LoadRecord, RecipeRecord
from workbook.document.shop_records import PieceRecord
from workbook.heat.load import Bath, Cover, CycleKind, FileTest, Straightened
from workbook.model.blade_history import blade_history, blades_found
from workbook.region import USUAL, region_of
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.work import now, work_in

BATH = Bath(oil="canola/rapeseed oil", litres=8.0, depth=350.0, start=52.0, temper_oven=True)


def with_bath(document_, bath):
    return document_.applied(change_settings(document_, replace(document_.settings, bath=bath), "bath.oil", bath.oil))


@pytest.fixture
def opened(qtbot, tmp_path, monkeypatch):
    """The dialog for the two Paring of the demo's second batch that were measured, with a tank."""
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    window = Window(Workspace(work_in(with_bath(demo_document(), BATH)), Look("light")))
    qtbot.addWidget(window)
    window.resize(1440, 900)
    with qtbot.waitExposed(window):
        window.show()
    window.show_page("make")
    made = window.pages.currentWidget()
    made.choose("winter")
    made.traveller.choose_stage("Harden and temper")
    made.side.heat_button.click()
    yield window, window.findChild(HeatLoadDialog)
    at_rest(window)


def logged(book):
    """The loads that are not the demo's own."""
    return [record for record in book.all(LoadRecord) if record.id != "load-autumn"]


def asked(dialog):
    return [row.asked.text() for row in dialog.heats.rows]


def temper(dialog, degrees):
    """Types a temperature into every temper, as the keyboard would."""
    for row in dialog.heats.rows:
        if row.heat is CycleKind.TEMPER:
            row.asked.setText(degrees)
            row.asked.textEdited.emit(degrees)


def said(dialog):
    return dialog.told.text()


def test_cautions_come_first_then_the_steels_row_with_its_source(opened):
    _window, dialog = opened
    assert [piece.serial for piece in dialog.pieces] == ["26-06", "26-07"]
    assert [row.heat for row in dialog.heats.rows] == [CycleKind.HARDEN, CycleKind.TEMPER, CycleKind.TEMPER]
    assert asked(dialog) == ["1475", "", ""]  # the published aim of O1
    assert said(dialog).startswith("AISI O1: harden 1450–1500 °F (788–816 °C); target 1475 °F (802 °C)")
    assert "Source:" in said(dialog)
    assert "97% sure" in said(dialog)
    assert "The oil ends at about" in said(dialog)
    assert dialog.stops.text().startswith("No temper is planned")


def test_a_temper_tells_the_hardness_between_published_points(opened):
    _window, dialog = opened
    temper(dialog, "400")
    assert dialog.stops.text() == ""
    assert "about 60–63 HRC" in said(dialog)
    temper(dialog, "700")
    assert "outside the published points" in said(dialog)


@pytest.mark.parametrize(
    ("bath", "why"),
    [
        (Bath(), "How much oil is there"),
        (replace(BATH, depth=60.0), "Too shallow"),
        (replace(BATH, litres=0.05), "Too little oil"),
        (replace(BATH, oil="what was in the shed"), "The oil is unknown"),
        (replace(BATH, oil="mineral quench oil"), "working ceiling is unknown"),
    ],
)
def test_a_dangerous_bath_is_stopped(opened, bath, why):
    window, dialog = opened
    space = window.workspace
    settings = replace(space.session.document.settings, bath=bath)
    assert space.do(change_settings(space.session.document, settings, "bath.oil", bath.oil))
    assert why in dialog.stops.text()


def test_what_was_read_is_kept_and_not_tempered_is_red(opened):
    window, dialog = opened
    dialog.heats.rows[0].read.setText("1468")
    dialog.read.before.setText("126")
    dialog.keep()
    book = window.workspace.session.document
    (record,) = logged(book)
    (cycle,) = record.load.cycles
    assert (cycle.kind, round(cycle.asked * 1.8 + 32), round(cycle.read * 1.8 + 32)) == (CycleKind.HARDEN, 1475, 1468)
    assert record.load.after is None
    assert list(record.pieces) == [piece.id for piece in blades_of(book, "winter")[:2]]
    assert untempered(book) == [record]
    made = window.pages.currentWidget()
    assert made.red.isVisible()
    assert "quenched, not tempered (26-06, 26-07)" in made.red.text()
    made.side.heat_button.click()
    later = [each for each in window.findChildren(HeatLoadDialog) if each.isVisible()][-1]
    later.heats.rows[0].drop.click()
    temper(later, "400")
    later.keep()
    assert "no heat in it is ticked as done" in later.wrong.text()
    for row in later.heats.rows:
        row.done.click()
    later.keep()
    book = window.workspace.session.document
    assert untempered(book) == []
    assert not made.red.isVisible()
    first = blades_of(book, "winter")[0]
    assert [load.number for load in loads_of(book, first.id)] == [2, 3]
    told = {each.what: each.words for each in blade_history(book, window.workspace.model, first)}
    assert told["Load 2, 1 of 2"] == "harden 1475 °F (read 1468 °F); canola/rapeseed oil (126 °F)"
    assert told["Load 3, 1 of 2"] == "temper 400 °F, 120 min; temper 400 °F, 120 min"
    assert [piece.serial for piece in blades_found(book, "load 2")] == ["26-07", "26-06"]


@pytest.mark.parametrize(
    ("field", "text", "said_"),
    [
        (lambda dialog: dialog.heats.rows[0].asked, "hot", "harden: "),
        (lambda dialog: dialog.heats.rows[1].asked, "400 or so", "temper: "),
        (lambda dialog: dialog.heats.rows[1].minutes, "-3", "temper: "),
        (lambda dialog: dialog.read.date, "today", "is not a date"),
        (lambda dialog: dialog.read.quenched, "25:00", "type a time of day"),
        (lambda dialog: dialog.read.seconds, "quick", "Furnace to quench"),
        (lambda dialog: dialog.read.hardness, "650", "Hardness as quenched"),
        (lambda dialog: dialog.time, "an hour", "Time available"),
    ],
)
def test_what_cannot_be_read_is_said_and_nothing_is_kept(opened, field, text, said_):
    window, dialog = opened
    field(dialog).setText(text)
    if field(dialog) is dialog.time:
        dialog.time.textEdited.emit(text)
        assert said_ in dialog.wrong.text()
        return
    dialog.keep()
    assert said_ in dialog.wrong.text()
    assert not logged(window.workspace.session.document)
    assert dialog.isVisible()


def test_a_load_without_any_heat_is_none(opened):
    window, dialog = opened
    dialog.heats.rows[0].asked.setText("")
    dialog.keep()
    assert "harden: type the target temperature" in dialog.wrong.text()
    dialog.heats.rows[0].done.click()
    dialog.keep()
    assert "type a temperature to harden at, to temper at, or both" in dialog.wrong.text()
    assert not logged(window.workspace.session.document)


def test_a_wanted_hardness_gives_its_temper_and_none_is_invented(qtbot, opened):
    _window, dialog = opened
    qtbot.keyClicks(dialog.wanted, "61")
    assert asked(dialog) == ["1475", "", ""]  # not before the number is whole
    qtbot.keyClick(dialog.wanted, Qt.Key.Key_Return)
    assert asked(dialog) == ["1475", "450", "450"]  # the table's row of O1: 60 to 62 HRC
    assert "about 60–62 HRC" in said(dialog)
    dialog.wanted.clear()
    qtbot.keyClicks(dialog.wanted, "70")
    qtbot.keyClick(dialog.wanted, Qt.Key.Key_Return)
    assert "no temper is suggested" in dialog.suggested.text()
    assert asked(dialog) == ["1475", "", ""]  # what went with another hardness is gone
    dialog.heats.rows[0].minutes.setText("12")
    dialog.heats.edited.emit()
    assert "no temper is suggested" in dialog.suggested.text()  # and stays said


def test_an_evening_that_is_too_short_to_temper_in_is_stopped(opened):
    _window, dialog = opened
    temper(dialog, "400")
    dialog.time.setText("200")
    dialog.time.textEdited.emit("200")
    assert (
        "Not enough time. The first temper would be over in about 4:10 h" in dialog.stops.text()
    )  # 120 to warm up, 2 blades of 5, a temper of 120
    dialog.time.setText("250")
    dialog.time.textEdited.emit("250")
    assert dialog.stops.text() == ""


def test_blades_are_never_straightened_cold(opened):
    window, dialog = opened
    offered = [dialog.read.straightened.itemText(n) for n in range(dialog.read.straightened.count())]
    assert offered == ["no", "hot off the quench", "in the temper", "after a temper"]
    dialog.read.straightened.setCurrentIndex(3)
    dialog.keep()
    assert "Cold as quenched, blades break" in dialog.wrong.text()
    assert not logged(window.workspace.session.document)


def test_every_field_is_kept_and_can_be_filled_in_later(opened):
    window, dialog = opened
    dialog.heats.rows[0].kind.setCurrentIndex(0)
    dialog.heats.rows[0].asked.setText("1600")
    dialog.heats.rows[0].minutes.setText("10")
    dialog.heats.rows[1].kind.setCurrentIndex(2)
    dialog.heats.rows[1].asked.setText("1475")
    dialog.heats.rows[1].minutes.setText("12")
    dialog.heats.rows[1].read.setText("1470")
    dialog.heats.rows[1].read.textEdited.emit("1470")  # what was read was done
    dialog.heats.rows[2].kind.setCurrentIndex(3)
    dialog.heats.rows[2].asked.setText("-100")
    dialog.heats.add_button.click()
    dialog.heats.rows[3].asked.setText("385")
    dialog.heats.rows[3].minutes.setText("90")
    dialog.cover.setCurrentIndex(2)
    read = dialog.read
    typed = (
        (read.date, "2026-11-29"), (read.furnace, "gas forge"), (read.quenched, "21:40"), (read.seconds, "2.5"),
        (read.before, "125"), (read.after, "141"), (read.hardness, "64.5"), (read.note, "tongs too cold"),
    )  # fmt: skip
    for line, text in typed:
        line.setText(text)
    read.file.setCurrentIndex(1)
    read.straightened.setCurrentIndex(1)
    dialog.keep()
    (record,) = logged(window.workspace.session.document)
    load = record.load
    assert record.date == "2026-11-29"
    assert [cycle.done for cycle in load.cycles] == [True, True, False, False]  # the others are still to come
    assert [(c.kind, round(c.asked * 1.8 + 32), c.minutes) for c in load.cycles] == [
        (CycleKind.NORMALISE, 1600, 10), (CycleKind.HARDEN, 1475, 12), (CycleKind.COLD, -100, 120), (CycleKind.TEMPER, 385, 90)
    ]  # fmt: skip
    assert (load.cover, load.furnace, load.quenched, load.seconds) == (Cover.FOIL, "gas forge", "21:40", 2.5)
    assert (load.file, load.as_quenched, load.straightened) == (FileTest.SKATES, 64.5, Straightened.HOT)
    assert (round(load.before * 1.8 + 32), round(load.after * 1.8 + 32), load.until_temper) == (125, 141, None)
    side = window.pages.currentWidget().side
    assert side.load_button.text() == "Load 2…"
    side.load_button.click()
    again = [each for each in window.findChildren(HeatLoadDialog) if each.isVisible()][-1]
    assert (again.read.quenched.text(), again.read.hardness.text(), again.read.before.text()) == ("21:40", "64.5", "125")
    assert again.read.straightened.currentText() == "hot off the quench"
    assert [row.asked.text() for row in again.heats.rows] == ["1600", "1475", "-100", "385"]
    again.read.until.setText("40")
    again.heats.rows[3].read.setText("390")
    again.heats.rows[3].read.textEdited.emit("390")
    assert window.pages.currentWidget().red.isVisible()
    again.keep()
    assert not window.pages.currentWidget().red.isVisible()
    (filled,) = logged(window.workspace.session.document)
    assert (filled.number, filled.load.until_temper, round(filled.load.cycles[3].read * 1.8 + 32)) == (2, 40, 390)
    assert (filled.load.seconds, filled.load.note, filled.load.quench) == (2.5, "tongs too cold", load.quench)
    window.workspace.undo()
    assert logged(window.workspace.session.document) == [record]


def test_a_tempered_row_that_is_only_asked_for_leaves_the_load_red(opened):
    window, dialog = opened
    temper(dialog, "400")
    dialog.keep()
    assert "quenched, not tempered" in window.pages.currentWidget().red.text()
    (record,) = logged(window.workspace.session.document)
    told = {
        each.what: each.words
        for each in blade_history(window.workspace.session.document, window.workspace.model, blade_of(window, record))
    }
    assert "temper 400 °F, 120 min (to come)" in told["Load 2, 1 of 2"]


def blade_of(window, record):
    return window.workspace.session.document.get(record.pieces[0], PieceRecord)


def test_what_was_read_without_what_was_asked_is_asked_for(opened):
    window, dialog = opened
    dialog.heats.rows[1].read.setText("400")
    dialog.keep()
    assert "temper: type the target temperature" in dialog.wrong.text()
    assert not logged(window.workspace.session.document)


def test_a_load_that_was_undone_does_not_come_back_and_a_changed_one_is_not_overwritten(opened):
    window, dialog = opened
    dialog.keep()
    window.pages.currentWidget().side.load_button.click()
    again = [each for each in window.findChildren(HeatLoadDialog) if each.isVisible()][-1]
    window.workspace.undo()
    again.keep()
    assert "changed or undone meanwhile" in again.wrong.text()
    assert logged(window.workspace.session.document) == []
    assert again.isVisible()


def test_an_oil_that_no_table_knows_is_kept_as_it_is_typed(opened):
    window, dialog = opened
    assert dialog.read.quench.text() == BATH.oil
    dialog.read.quench.setText("house oil no. 50")
    dialog.keep()
    (record,) = logged(window.workspace.session.document)
    assert record.load.quench == "house oil no. 50"


def test_a_makers_own_way_with_a_steel_comes_first_and_stands_beside_what_is_published(opened):
    window, dialog = opened
    temper(dialog, "410")
    dialog.heats.rows[0].minutes.setText("15")
    dialog.cover.setCurrentIndex(1)
    dialog.read.note.setText("the steel's own sheet")
    dialog.own_button.click()
    assert f"Your recipe of {region_of(USUAL).short_day(now())}: harden 1475 °F, 15 min; temper 410 °F" in said(dialog)
    assert "Source: the steel's own sheet" in said(dialog)
    assert dialog.wrong.text().startswith("Saved as your recipe for O1")
    assert "AISI O1: harden" in said(dialog)
    dialog.close()
    window.pages.currentWidget().side.heat_button.click()
    again = [each for each in window.findChildren(HeatLoadDialog) if each.isVisible()][-1]
    assert again.begin.currentText() == "my own"
    assert asked(again) == ["1475", "410", "410"]
    assert again.heats.rows[0].minutes.text() == "15"
    assert again.cover.currentText() == "coating"
    again.begin.setCurrentIndex(0)
    assert asked(again) == ["1475", "", ""]
    temper(again, "405")
    again.own_button.click()
    recipe = recipe_for(window.workspace.session.document, "o1")
    assert round(recipe.recipe.cycles[1].asked * 1.8 + 32) == 405
    assert len([each for each in window.workspace.session.document.all(RecipeRecord) if each.steel == "O1"]) == 1


def test_a_tick_that_a_reading_made_goes_with_it(qtbot, opened):
    _window, dialog = opened
    row = dialog.heats.rows[1]
    qtbot.keyClicks(row.read, "400")
    assert row.done.isChecked()
    for _digit in "400":
        qtbot.keyClick(row.read, Qt.Key.Key_Backspace)
    assert not row.done.isChecked()
    row.done.click()
    qtbot.keyClicks(row.read, "4")
    qtbot.keyClick(row.read, Qt.Key.Key_Backspace)
    assert row.done.isChecked()  # the maker's own tick stays


def test_blades_in_a_load_that_is_not_tempered_are_not_hardened_again_without_a_word(qtbot, opened):
    window, dialog = opened
    dialog.keep()
    made = window.pages.currentWidget()
    made.side.heat_button.click()
    again = [each for each in window.findChildren(HeatLoadDialog) if each.isVisible()][-1]
    assert "26-06 is in load 2, which is not tempered" in again.stops.text()
    again.close()
    typed = made.side.minutes
    qtbot.keyClicks(typed, "60")
    qtbot.keyClick(typed, Qt.Key.Key_Return)
    assert "Load 2 is not tempered" in window.status.text()
    assert not [e for e in entries_of(window.workspace.session.document, "winter") if e.entry.minutes == 60]


def test_a_row_that_becomes_a_hardening_is_ticked_and_one_that_becomes_a_temper_is_not(opened):
    _window, dialog = opened
    first, second, _third = dialog.heats.rows
    first.kind.setCurrentIndex(0)  # normalise
    second.kind.setCurrentIndex(2)  # harden: logged after the quench, so it was done
    assert [row.done.isChecked() for row in dialog.heats.rows] == [True, True, False]
    first.kind.setCurrentIndex(4)  # temper
    assert not first.done.isChecked()


def test_a_blade_is_not_straightened_in_a_temper_that_is_still_to_come(opened):
    window, dialog = opened
    temper(dialog, "400")
    dialog.read.straightened.setCurrentIndex(2)
    dialog.keep()
    assert "no temper is ticked" in dialog.wrong.text()
    assert not logged(window.workspace.session.document)
    dialog.heats.rows[1].done.click()
    dialog.keep()
    (record,) = logged(window.workspace.session.document)
    assert record.load.straightened is Straightened.IN_TEMPER


def test_escape_asks_for_a_tick_too(qtbot, opened, monkeypatch):
    _window, dialog = opened
    monkeypatch.setattr(QMessageBox, "exec", lambda box: QMessageBox.StandardButton.No)
    dialog.heats.rows[1].done.click()
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert dialog.isVisible()


@pytest.mark.parametrize("answer", [True, False])
def test_escape_asks_before_what_was_typed_is_lost(qtbot, opened, monkeypatch, answer):
    _window, dialog = opened
    buttons = QMessageBox.StandardButton
    monkeypatch.setattr(QMessageBox, "exec", lambda box: buttons.Yes if answer else buttons.No)
    dialog.read.note.setText("tongs too cold")
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert dialog.isVisible() is not answer


def test_escape_closes_what_nothing_was_typed_in(qtbot, opened, monkeypatch):
    _window, dialog = opened
    monkeypatch.setattr(QMessageBox, "exec", lambda box: pytest.fail("asked"))
    qtbot.keyClick(dialog, Qt.Key.Key_Escape)
    assert not dialog.isVisible()


def test_no_hardness_is_told_of_a_heat_that_nobody_published(opened):
    _window, dialog = opened
    temper(dialog, "400")
    assert "HRC, ±1.5" in said(dialog)
    dialog.heats.rows[0].asked.setText("1300")
    dialog.heats.edited.emit()
    assert "outside what is published for O1" in dialog.stops.text()
    assert "HRC, ±1.5" not in said(dialog)


def test_the_red_line_has_a_clock(opened):
    window, dialog = opened
    began = datetime.now() - timedelta(minutes=75)
    dialog.read.date.setText(f"{began:%Y-%m-%d}")
    dialog.read.quenched.setText(f"{began:%H:%M}")
    dialog.keep()
    assert re.search("7[56] min ago, over the hour", window.pages.currentWidget().red.text())


def test_its_sheet_is_shown_before_it_is_printed(qtbot, opened):
    window, dialog = opened
    dialog.close()
    window.pages.currentWidget().side.sheets_button.click()
    (shown,) = (each for each in window.findChildren(ExportDialog) if each.isVisible())
    qtbot.waitUntil(lambda: bool(shown.files), timeout=20_000)
    assert list(shown.files) == ["heat-batch-2.pdf"]
    shown.close()
