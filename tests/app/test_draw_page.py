"""Draw, by real keys and clicks."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtWidgets import QComboBox, QDialog, QLineEdit

from tests.named import template_of
from workbook.app.elements.checks import CheckWord
from workbook.template.model import HeelForm
from workbook.units import INCH


def type_over(qtbot, field, text):
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)


def test_typing_a_fraction_lengthens_the_blade(qtbot, window, field):
    type_over(qtbot, field("blade.length"), "6 3/16")
    assert window.workspace.blank.extent()[2] == pytest.approx(6.1875 * INCH, abs=0.01)


def test_typing_millimetres_works_in_an_inch_field(qtbot, window, field):
    type_over(qtbot, field("blade.length"), "150 mm")
    assert window.workspace.blank.extent()[2] == pytest.approx(150, abs=0.01)


def test_garbage_leaves_the_drawing_and_says_where_it_stops_making_sense(qtbot, window, field):
    before = window.workspace.blank
    length = field("blade.length")
    type_over(qtbot, length, "1 1/x")
    assert length.toolTip().startswith("a number is missing after")
    assert window.draw.trouble.isVisible()
    assert window.workspace.blank.extent()[2] == pytest.approx(
        INCH, abs=0.01
    )  # what was typed up to "1 1" was no length but "1" was
    for leave in (Qt.Key.Key_Return, Qt.Key.Key_Tab):  # it stays with its reason; the knife is as it was before
        qtbot.keyClick(length, leave)
        assert (length.text(), length.property("wrong")) == ("1 1/x", True)
        assert window.draw.trouble.text().startswith("a number is missing after")
        assert window.workspace.blank.extent() == before.extent()
    type_over(qtbot, field("blade.height"), "1 1/4")  # another value that is right leaves the reason in sight
    assert window.draw.trouble.isVisible()
    length.setFocus()
    qtbot.keyClick(length, Qt.Key.Key_Escape)
    assert (length.text(), length.property("wrong")) == ("5 1/2", False)
    assert not window.draw.trouble.isVisible()


def test_a_wrong_value_gives_way_to_an_undo_and_is_read_again_when_its_limits_have_changed(qtbot, window, field):
    length = field("blade.length")
    type_over(qtbot, length, "6")
    type_over(qtbot, length, "six")
    window.workspace.undo()
    assert (length.text(), length.property("wrong")) == ("5 1/2", False)


def test_a_reason_outlives_another_entry_and_goes_with_its_row(qtbot, window, field):
    length = field("blade.length")
    type_over(qtbot, length, "six")
    cell = window.draw.table.item(0, 2)
    window.draw.table.editItem(cell)
    editor = window.draw.table.findChildren(QLineEdit)[-1]
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    assert window.draw.trouble.text().startswith("start with a number")  # of the length, which is still wrong
    qtbot.keyClick(length, Qt.Key.Key_Escape)
    ricasso = field("heel.ricasso")
    type_over(qtbot, ricasso, "zz")
    assert window.draw.trouble.isVisible()
    window.workspace.edit("heel.form", HeelForm.PLAIN)  # a plain heel has no ricasso
    assert not window.draw.trouble.isVisible()


def test_what_is_refused_takes_wrong_text_away_with_its_mark(qtbot, window, field):
    length = field("blade.length")
    type_over(qtbot, length, "zz")
    window.workspace.refused.emit()
    assert (length.text(), length.property("wrong")) == ("5 1/2", False)


def test_a_click_takes_the_whole_value_and_a_double_click_too(qtbot, window, field):
    length = field("blade.length")
    window.draw.board.setFocus()
    spot = QPoint(length.width() - 30, length.height() // 2)
    qtbot.mouseClick(length, Qt.MouseButton.LeftButton, pos=spot)
    assert length.selectedText() == "5 1/2"
    qtbot.keyClicks(length, "1 1/4")
    qtbot.keyClick(length, Qt.Key.Key_Tab)
    assert template_of(window.workspace, "Petty").blade.length == pytest.approx(1.25 * INCH)
    qtbot.mouseClick(length, Qt.MouseButton.LeftButton, pos=spot)
    qtbot.mouseClick(length, Qt.MouseButton.LeftButton, pos=spot)  # a second click sets the cursor
    assert length.selectedText() == ""
    qtbot.mouseDClick(length, Qt.MouseButton.LeftButton, pos=spot)
    assert length.selectedText() == "1 1/4"


def test_the_window_has_its_shortcuts_while_a_field_has_the_keyboard(qtbot, window, field):
    length = field("blade.length")
    length.setFocus()
    for keys, dialog in (("E", "export"), ("K", "finder")):
        qtbot.keyClick(length, getattr(Qt.Key, f"Key_{keys}"), Qt.KeyboardModifier.ControlModifier)
        qtbot.waitUntil(lambda dialog=dialog: any(d.property("dialog") == dialog for d in window.findChildren(QDialog)))
        for shown in window.findChildren(QDialog):
            shown.close()
        length.setFocus()
    qtbot.keyClick(length, Qt.Key.Key_A, Qt.KeyboardModifier.ControlModifier)  # keys of texts are the field's own
    assert length.selectedText() == "5 1/2"


def test_a_value_out_of_range_is_refused_with_the_range(qtbot, window, field):
    length = field("blade.length")
    before = window.workspace.blank.extent()
    length.setFocus()
    length.setText("90")
    length.textEdited.emit("90")
    assert "Allowed: " in length.toolTip()
    assert window.workspace.blank.extent() == before


def test_the_up_arrow_nudges_by_a_sixty_fourth(qtbot, window, field):
    length = field("blade.length")
    length.setFocus()
    qtbot.keyClick(length, Qt.Key.Key_Up)
    assert window.workspace.blank.extent()[2] == pytest.approx((5.5 + 1 / 64) * INCH, abs=0.01)


def test_escape_puts_the_last_sound_value_back(qtbot, window, field):
    length = field("blade.length")
    type_over(qtbot, length, "abc")
    qtbot.keyClick(length, Qt.Key.Key_Escape)
    assert length.text() == "5 1/2"


def test_a_focused_field_lights_its_dimension(window, field):
    field("blade.height").setFocus()
    assert window.draw.scene.lit == "height"
    field("blade.thickness").setFocus()
    assert window.draw.scene.lit == ""


def test_choosing_a_template_by_key_shows_it(qtbot, window):
    shelf = window.draw.shelf.list
    shelf.setFocus()
    qtbot.keyClick(shelf, Qt.Key.Key_Down)
    assert window.workspace.name == "Santoku type"
    assert window.draw.board.scene.blank.name == "Santoku type"
    assert window.draw.table.rowCount() == len(window.workspace.blank.holes)


def test_clicking_a_hole_in_the_table_rings_it_on_the_board(qtbot, window):
    table = window.draw.table
    place = table.visualItemRect(table.item(1, 0)).center()
    qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=place)
    assert window.draw.scene.chosen == table.item(1, 0).text()


def test_a_lower_handle_brings_up_a_check_and_a_click_shows_where(qtbot, window, field):
    for part in ("waist", "palm", "neck", "butt", "front"):
        window.workspace.edit(f"handle.{part}", 13.0)
    words = [w for w in window.draw.checks.findChildren(CheckWord) if w.focusPolicy() != Qt.FocusPolicy.NoFocus]
    assert words
    qtbot.mouseClick(words[0], Qt.MouseButton.LeftButton, pos=QPoint(5, 10))
    assert window.draw.scene.ring is not None


def test_a_choice_changes_the_tang(qtbot, window, field):
    form = field("tang.form")
    assert isinstance(form, QComboBox)
    form.setFocus()
    form.activated.emit(form.findText("hidden"))
    assert window.workspace.blank.grip is not None


def test_millimetres_first_shows_them_first(window, field):
    window.workspace.use_unit("mm")
    assert field("blade.length").text() == "139.7"
    assert "mm first" in window.unit_word.text()


def test_a_new_template_from_a_family_joins_the_shelf(window):
    window.workspace.add_family("chefs")
    assert window.workspace.name == "Chef's"
    assert window.draw.shelf.list.model().rowCount() == 4
    window.workspace.add_family("chefs")
    assert window.workspace.name == "Chef's 2"


def test_the_wheel_zooms_about_the_pointer_and_0_fits_again(qtbot, window):
    board = window.draw.board
    fitted = board.zoom
    board.setFocus()
    qtbot.keyClick(board, Qt.Key.Key_Plus)
    assert board.zoom > fitted
    qtbot.keyClick(board, Qt.Key.Key_0)
    assert board.zoom == pytest.approx(fitted)


def test_dragging_the_paper_moves_the_knife(qtbot, window):
    board = window.draw.board
    before = board.origin()
    qtbot.mousePress(board, Qt.MouseButton.LeftButton, pos=QPoint(100, 100))
    qtbot.mouseMove(board, QPoint(150, 130))
    qtbot.mouseRelease(board, Qt.MouseButton.LeftButton, pos=QPoint(150, 130))
    moved = board.origin() - before
    assert (moved.x(), moved.y()) == (pytest.approx(50), pytest.approx(30))
