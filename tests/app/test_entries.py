"""Numbers typed in fields: an entry is one step, belongs to what it was begun for, and leaves nothing when it is given up."""

import pytest
from PySide6.QtCore import QPoint, QPointF, Qt
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QApplication

from tests.app.waiting import at_rest
from tests.named import key_of, template_of
from tests.sentences import words_of
from workbook.formats.family import family
from workbook.structs import replace
from workbook.tasks.demo import demo_document, demo_workbook
from workbook.template.hole_places import Along
from workbook.template.model import Template
from workbook.template.pegs import pegs
from workbook.template.resizing import in_inches


@pytest.fixture
def field(qtbot, window):
    window.activateWindow()
    found = window.draw.panel._rows[0].field  # blade length
    qtbot.mouseClick(found, Qt.MouseButton.LeftButton)
    return found


def keyed(qtbot, field, text):
    field.selectAll()
    qtbot.keyClicks(field, text)


def length(window, name="Petty"):
    return template_of(window.workspace, name).blade.length


def test_an_undo_ends_an_entry_and_its_value_does_not_come_back(qtbot, window, field):
    before = length(window)
    keyed(qtbot, field, "6")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    window.workspace.undo()
    assert field.text() == "5 1/2"
    keyed(qtbot, field, "7 1/")
    assert length(window) != before  # 7 made sense on the way
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert length(window) == before
    keyed(qtbot, field, "6")
    window.workspace.undo()  # in the middle of an entry
    assert (field.text(), field.isModified()) == ("5 1/2", False)
    field.clearFocus()
    assert length(window) == before


def test_an_entry_is_not_taken_along_to_another_template(qtbot, window, field):
    keyed(qtbot, field, "7")
    window.workspace.add_family("chefs")
    assert field.hasFocus()
    keyed(qtbot, field, "x")
    qtbot.keyClick(field, Qt.Key.Key_Escape)
    assert window.workspace.chosen_template.blade.length == in_inches(family("chefs")).blade.length
    window.workspace.choose(key_of(window.workspace, "Petty"))
    keyed(qtbot, field, "6 1/")
    kept = length(window)
    window.workspace.duplicate()
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert length(window, "Petty copy") == kept


@pytest.mark.parametrize(("text", "key"), [("6'", Qt.Key.Key_Return), ("6 1/2", Qt.Key.Key_Escape), ("900", Qt.Key.Key_Return)])
def test_an_entry_that_is_given_up_leaves_no_step(qtbot, window, field, text, key):
    before = length(window)
    keyed(qtbot, field, text)
    qtbot.keyClick(field, key)
    assert length(window) == before
    assert not window.workspace.session.steps


def test_an_entry_that_is_given_up_leaves_what_could_be_done_again(qtbot, window, field):
    space = window.workspace
    space.edit("blade.height", 30.0)
    space.undo()
    keyed(qtbot, field, "6 1/2")
    qtbot.keyClick(field, Qt.Key.Key_Escape)
    assert [words_of(step) for step in space.session.steps] == ["Petty: Blade – Height at heel 1 3/16 in"]
    assert space.session.done == 0
    space.redo()
    assert template_of(space, "Petty").blade.height == 30.0
    assert length(window) == 139.7


def test_an_entry_is_one_step_however_long_it_takes(qtbot, window, field, monkeypatch):
    times = iter(range(0, 10_000, 100))
    monkeypatch.setattr("workbook.app.work.time.monotonic", lambda: float(next(times)))
    keyed(qtbot, field, "6 1/4")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert window.workspace.session.done == 1
    keyed(qtbot, field, "7")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert window.workspace.session.done == 2
    window.workspace.undo()
    assert field.text() == "6 1/4"


def test_undo_by_its_keys_is_the_workbooks_once_a_number_is_taken(qtbot, window, field):
    before = length(window)
    keyed(qtbot, field, "6")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert field.hasFocus()
    qtbot.keyClick(field, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert length(window) == before
    qtbot.keyClick(field, Qt.Key.Key_Y, Qt.KeyboardModifier.ControlModifier)
    assert length(window) == 152.4


def test_a_drag_ends_when_another_template_is_chosen(window):
    board, space = window.draw.board, window.workspace
    window.resize(1440, 900)
    board.fit()
    before = template_of(space, "Petty")
    peg = next(p for p in pegs(space.blank) if p.name == "point")
    origin, k = board.origin(), board.scale()
    at = QPoint(round(origin.x() + peg.at[0] * k), round(origin.y() - peg.at[1] * k))
    for kind, spot, held in (
        (QMouseEvent.Type.MouseButtonPress, at, Qt.MouseButton.LeftButton),
        (QMouseEvent.Type.MouseMove, at - QPoint(60, 0), Qt.MouseButton.LeftButton),
    ):
        button = Qt.MouseButton.LeftButton if kind is QMouseEvent.Type.MouseButtonPress else Qt.MouseButton.NoButton
        event = QMouseEvent(kind, QPointF(spot), board.mapToGlobal(QPointF(spot)), button, held, Qt.KeyboardModifier.NoModifier)
        QApplication.sendEvent(board, event)
    assert isinstance(template_of(space, "Petty"), Template) and template_of(space, "Petty") != before
    space.choose(key_of(space, "Paring"))
    assert template_of(space, "Petty") == before
    space.choose(key_of(space, "Petty"))
    assert template_of(space, "Petty") == before
    assert space.session.done == 0


def test_a_hole_that_passes_another_while_it_is_typed_stays_the_one_that_is_typed(qtbot, window):
    space, group = window.workspace, window.draw.panel.holes
    window.activateWindow()
    last = space.blank.holes[-1]
    rules = space.session.document.settings.rules
    space.change_settings("rules.along", Along.FRONT, rules=replace(rules, along=Along.FRONT))
    group.choose(last.mark)
    field = group.form.field("along")
    qtbot.mouseClick(field, Qt.MouseButton.LeftButton)
    keyed(qtbot, field, "0.25")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    others = {hole.centre for hole in space.blank.holes}
    assert len(others) == len(space.blank.holes)
    (moved,) = [h for h in space.blank.holes if h.centre[0] == pytest.approx(-6.35)]
    assert (moved.purpose, moved.size) == (last.purpose, last.size)
    assert window.draw.scene.held == moved.mark
    assert space.session.done == 2  # the first was the setting


def test_a_hole_of_a_workbook_to_look_at_stays_the_one_that_is_chosen(qtbot, window, tmp_path):
    file = tmp_path / "shop.shopbook"
    file.write_bytes(demo_workbook())
    window.filing.open_to_look(file)
    at_rest(window)
    group = window.draw.panel.holes
    group.choose("P1")
    field = group.form.field("purpose")
    for key in (Qt.Key.Key_PageDown, Qt.Key.Key_PageUp, Qt.Key.Key_End):
        qtbot.keyClick(field, key)
    assert group.form.isVisibleTo(window)
    assert field.currentText() == "pin"
    assert window.workspace.session.document == demo_document()


def test_a_length_typed_on_stock_is_one_step(qtbot, window, monkeypatch):
    times = iter(range(0, 100_000, 100))
    monkeypatch.setattr("workbook.app.work.time.monotonic", lambda: float(next(times)))
    window.show_page("stock")
    page = window.stock_page()
    page.bars.selectRow(0)
    width = page.bar_form.field("width")
    qtbot.mouseClick(width, Qt.MouseButton.LeftButton)
    keyed(qtbot, width, "2.625")
    qtbot.keyClick(width, Qt.Key.Key_Return)
    assert window.workspace.session.done == 1
