"""Scaling, sizes, reset, revisions with notes compared and taken back: by dialog and menu, each one step."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QAbstractButton

from tests.named import key_of, template_of
from tests.sentences import words_of
from workbook.app.canvas.knife_view import knife_marks
from workbook.app.dialogs.scaling import Scaling, SizesDialog
from workbook.app.reshaping import as_family, mirror
from workbook.app.template_menu import keep_revision
from workbook.formats.family import family
from workbook.geometry.drawing import Curve
from workbook.geometry.path import bounds
from workbook.sheets.views import left_face, right_face
from workbook.tasks.sheets import run_of
from workbook.template.model import Bevel, Face
from workbook.template.resizing import ScaledPart, in_inches, length_of
from workbook.template.shape import loops
from workbook.units import INCH


def typed(qtbot, field, text):
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)


def shown(qtbot, dialog):
    dialog.show()  # it goes with the window
    return dialog


def test_the_knife_is_scaled_to_nine_inches_over_all_in_one_step(qtbot, window):
    space = window.workspace
    before = template_of(space, "Petty")
    dialog = shown(qtbot, Scaling(window, space))
    typed(qtbot, dialog.form.field("length"), "9")
    dialog.go.click()
    after = template_of(space, "Petty")
    assert length_of(after, ScaledPart.WHOLE) == pytest.approx(9 * INCH)
    assert after.blade.height / before.blade.height == pytest.approx(9 * INCH / length_of(before, ScaledPart.WHOLE))
    assert words_of(space.session.steps[-1]) == "Petty: whole knife scaled to 9 in"
    space.undo()
    assert template_of(space, "Petty") == before


def test_the_blade_grows_and_the_handle_stays(qtbot, window):
    space = window.workspace
    before = template_of(space, "Petty")
    dialog = shown(qtbot, Scaling(window, space))
    dialog.form.field("part").activated.emit(1)
    assert dialog.form.field("length")._value == before.blade.length
    typed(qtbot, dialog.form.field("length"), "6")
    dialog.form.field("heights").click()
    dialog.go.click()
    after = template_of(space, "Petty")
    assert (after.handle, after.blade.height) == (before.handle, before.blade.height)
    assert after.blade.length == pytest.approx(6 * INCH)


def test_what_cannot_be_is_said_and_the_dialog_stays(qtbot, window):
    dialog = shown(qtbot, Scaling(window, window.workspace))
    dialog.form.field("part").activated.emit(2)
    typed(qtbot, dialog.form.field("length"), "15")
    dialog.go.click()
    assert "out of its range" in dialog.wrong.text()
    assert dialog.isVisible()
    assert not window.workspace.session.steps


def test_a_wrong_length_is_not_scaled_by_the_one_before_it(qtbot, window):
    dialog = shown(qtbot, Scaling(window, window.workspace))
    typed(qtbot, dialog.form.field("length"), "14")
    typed(qtbot, dialog.form.field("length"), "14000")
    dialog.go.click()
    assert dialog.isVisible() and dialog.wrong.text()
    assert not window.workspace.session.steps


def test_three_blade_lengths_from_one_template(qtbot, window):
    space = window.workspace
    count = len(space.model.job.templates)
    dialog = shown(qtbot, SizesDialog(window, space))
    dialog.go.click()
    assert "Type 1 to 12 lengths" in dialog.wrong.text()
    typed(qtbot, dialog.form.field("lengths"), "5, 6 1/2, 8")
    dialog.go.click()
    names = [t.name for t in space.model.job.templates]
    assert names[1:4] == ["Petty 5 in", "Petty 6 1/2 in", "Petty 8 in"]
    assert template_of(space, "Petty 8 in").blade.length == pytest.approx(8 * INCH)
    assert words_of(space.session.steps[-1]) == "3 sizes of Petty"
    space.undo()
    assert len(space.model.job.templates) == count


def test_a_group_or_all_goes_back_to_the_family(window):
    space = window.workspace
    space.edit("blade.length", 150.0)
    space.edit("handle.palm", 30.0)
    as_family(space, "blade")
    own, base = template_of(space, "Petty"), in_inches(family("petty"))
    assert (own.blade, own.handle.palm) == (base.blade, 30.0)
    as_family(space)
    assert template_of(space, "Petty").handle == base.handle
    assert template_of(space, "Petty").name == "Petty"


def test_a_revision_is_kept_with_a_note_compared_and_taken_back(window, monkeypatch):
    space, draw = window.workspace, window.draw
    monkeypatch.setattr("workbook.app.template_menu.QInputDialog.getText", lambda *a, **k: ("before the show", True))
    keep_revision(window)
    (kept,) = space.revisions()
    assert (kept.number, kept.note) == (1, "before the show")
    was = loops(space.blank)
    space.edit("blade.length", 152.4)
    draw.compare(kept)
    assert loops(draw.scene.ghost) == was
    assert "Blade length 6 in (was 5 1/2 in)" in window.status.text()
    draw.board.grab()
    menu = draw._compare
    menu.aboutToShow.emit()
    words = [action.text() for action in menu.actions() if action.text()]
    assert words[0].startswith("Over this: Revision 1, ")
    assert words[0].endswith("before the show")
    assert words[1].startswith("Below this: Revision 1, ")
    assert words[2].startswith("Beside this: Revision 1, ")
    assert words[3:] == ["No comparison", "Restore revision 1"]
    next(action for action in menu.actions() if action.text() == words[2]).trigger()
    marks = [m for m in knife_marks(draw.scene, 1.0, window.workspace.look.measure) if isinstance(m, Curve)]
    ghost = next(bounds(m.path) for m in marks if (m.tone, m.line) == ("blue", "grind_before"))
    assert ghost[0] > bounds(draw.scene.blank.outline)[2] + 10
    over = draw.board.zoom
    menu.aboutToShow.emit()
    next(action for action in menu.actions() if action.text() == words[1]).trigger()
    assert draw.board.zoom > 1.5 * over  # the view held both beside each other
    marks = [m for m in knife_marks(draw.scene, 1.0, window.workspace.look.measure) if isinstance(m, Curve)]
    knife = bounds(draw.scene.blank.outline)
    ghost = next(bounds(m.path) for m in marks if (m.tone, m.line) == ("blue", "grind_before"))
    assert ghost[3] < knife[1] - 10
    draw.board.grab()
    next(action for action in menu.actions() if action.text() == "Restore revision 1").trigger()
    assert template_of(space, "Petty").blade.length == pytest.approx(5.5 * INCH)
    assert words_of(space.session.steps[-1]) == "Petty: restored from revision 1"
    assert draw.scene.ghost is None  # there is nothing to compare it with any more
    draw.compare(kept)
    space.edit("blade.length", 150.0)
    assert "Blade length" in window.status.text() and "was 5 1/2 in" in window.status.text()
    draw.compare(None)
    assert draw.scene.ghost is None


def test_a_single_bevel_is_made_for_the_other_hand(window):
    space = window.workspace
    mirror(space)
    assert "same for both hands" in window.status.text()
    space.edit("grind.bevel", Bevel.SINGLE)
    mirror(space)
    assert template_of(space, "Petty").grind.face is Face.LEFT
    assert words_of(space.session.steps[-1]) == "Petty: mirrored for the left hand"
    run = run_of(space.model.job, "letter", "")
    right, left = right_face(run, space.blank, 2.0, heights=False), left_face(run, space.blank, 2.0)
    lines = [sum(getattr(mark, "line", "") == "grind_finished" for mark in view.marks) for view in (right, left)]
    assert lines == [0, 1]
    mirror(space)
    right, left = right_face(run, space.blank, 2.0, heights=False), left_face(run, space.blank, 2.0)
    assert [sum(getattr(mark, "line", "") == "grind_finished" for mark in view.marks) for view in (right, left)] == [1, 0]


def test_the_dialogs_have_one_main_button_and_names(qtbot, window):
    for dialog in (Scaling(window, window.workspace), SizesDialog(window, window.workspace)):
        shown(qtbot, dialog)
        assert [b.accessibleName() for b in dialog.findChildren(QAbstractButton) if b.objectName() == "main"]


def test_a_scale_dialog_is_of_the_template_it_was_opened_for(window):
    space = window.workspace
    dialog = Scaling(window, space)
    dialog.show()
    santoku = template_of(space, "Santoku type")
    space.choose(key_of(space, "Santoku type"))
    assert not dialog.isVisible()
    assert template_of(space, "Santoku type") == santoku
