"""Heat treatment: what is known of these blades before the fire, what stops it, what is kept; quenched is not tempered."""

import pytest

from tests.app.waiting import at_rest
from workbook.app.dialogs.export import ExportDialog
from workbook.app.dialogs.heat_load import HeatLoadDialog
from workbook.app.look import Look
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.actions.whole import change_settings
from workbook.document.making import blades_of, loads_of, untempered
from workbook.document.making_records import LoadRecord
from workbook.heat.load import Bath, CycleKind
from workbook.model.blade_history import blade_history, blades_found
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.work import work_in

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


def said(dialog):
    return dialog.told.text()


def test_cautions_come_first_then_the_steels_row_with_its_source(opened):
    _window, dialog = opened
    assert [piece.serial for piece in dialog.pieces] == ["26-06", "26-07"]
    assert dialog.harden.text() == "1475"  # the published aim of O1
    assert said(dialog).startswith("AISI O1: harden 1450–1500 °F; aim 1475 °F")
    assert "Source:" in said(dialog)
    assert "sure 97 %" in said(dialog)
    assert "The oil ends at about" in said(dialog)
    assert dialog.stops.text().startswith("No temper is planned")


def test_a_temper_tells_the_hardness_between_published_points(opened):
    _window, dialog = opened
    dialog.temper.setText("400")
    dialog.show_told()
    assert dialog.stops.text() == ""
    assert "about 60 to 63 HRC" in said(dialog)
    dialog.temper.setText("700")
    dialog.show_told()
    assert "beyond the published points" in said(dialog)


@pytest.mark.parametrize(
    ("bath", "why"),
    [
        (Bath(), "How much oil is there"),
        (replace(BATH, depth=60.0), "Too shallow"),
        (replace(BATH, litres=0.05), "Too little oil"),
        (replace(BATH, oil="what was in the shed"), "Which oil it is, is not known"),
        (replace(BATH, oil="mineral quench oil"), "working ceiling is not known"),
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
    dialog.read.setText("1468")
    dialog.before.setText("126")
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
    later.harden.setText("")
    later.temper.setText("400")
    later.keep()
    book = window.workspace.session.document
    assert untempered(book) == []
    assert not made.red.isVisible()
    first = blades_of(book, "winter")[0]
    assert [load.number for load in loads_of(book, first.id)] == [2, 3]
    told = {each.what: each.words for each in blade_history(book, first)}
    assert told["Load 2, 1 of 2"] == "harden 1475 °F (read 1468 °F); canola/rapeseed oil (126 °F)"
    assert told["Load 3, 1 of 2"] == "temper 400 °F, 120 min; temper 400 °F, 120 min"
    assert [piece.serial for piece in blades_found(book, "load 2")] == ["26-07", "26-06"]


@pytest.mark.parametrize(
    ("field", "text", "said_"),
    [
        ("harden", "hot", "Harden at"),
        ("temper", "400 or so", "Temper at"),
        ("date", "today", "no date"),
        ("hours", "300", "Hours of each"),
    ],
)
def test_what_cannot_be_read_is_said_and_nothing_is_kept(opened, field, text, said_):
    window, dialog = opened
    getattr(dialog, field).setText(text)
    dialog.keep()
    assert said_ in dialog.wrong.text()
    assert not logged(window.workspace.session.document)
    assert dialog.isVisible()


def test_a_load_without_any_heat_is_none(opened):
    window, dialog = opened
    dialog.harden.setText("")
    dialog.keep()
    assert "a temperature is wanted" in dialog.wrong.text()
    assert not logged(window.workspace.session.document)


def test_its_sheet_is_shown_before_it_is_printed(qtbot, opened):
    window, dialog = opened
    dialog.close()
    window.pages.currentWidget().side.sheets_button.click()
    (shown,) = (each for each in window.findChildren(ExportDialog) if each.isVisible())
    qtbot.waitUntil(lambda: bool(shown.files), timeout=20_000)
    assert list(shown.files) == ["heat-batch-2.pdf"]
    shown.close()
