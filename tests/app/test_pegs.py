"""Pegs on the board by real mouse and keys: moved live, one step when let go, put back by Escape, stopped with the reason."""

import itertools
import re

import pytest
from PySide6.QtCore import QPoint, QPointF, QRect, Qt
from PySide6.QtGui import QContextMenuEvent, QMouseEvent
from PySide6.QtWidgets import QApplication, QLineEdit, QMenu, QScrollArea, QTableWidget, QToolButton

from tests.counts import some
from tests.named import key_of, template_of
from tests.sentences import words_of
from workbook.app.canvas.knife_view import knife_marks
from workbook.app.canvas.scene import GhostAt
from workbook.app.elements.basics import Lettered
from workbook.app.elements.group import open_groups
from workbook.app.elements.length_field import ValueField
from workbook.app.look import Look
from workbook.app.pages.judging import for_hands
from workbook.document.action import said
from workbook.document.actions.orders import change_customer
from workbook.document.document import replacing
from workbook.document.queries import template_named
from workbook.document.shop_records import CustomerRecord, OrderLine, OrderRecord
from workbook.formats.family import family, family_ids
from workbook.geometry.drawing import Text
from workbook.geometry.path import bounds
from workbook.shop.orders import Status
from workbook.structs import replace
from workbook.template.blade import height_at
from workbook.template.handle import handle_back, handle_belly, middle
from workbook.template.hole_places import Across, Along
from workbook.template.model import MOST, OutlineRun, Purpose
from workbook.template.pegs import free_of, pegs
from workbook.units import INCH


@pytest.fixture
def board(window):
    window.resize(1440, 900)
    window.draw.board.fit()
    return window.draw.board


def place(board, at):
    origin, k = board.origin(), board.scale()
    return QPoint(round(origin.x() + at[0] * k), round(origin.y() - at[1] * k))


def peg(window, name):
    return next(p for p in pegs(window.workspace.blank) if p.name == name)


def mouse(board, kind, at, buttons, keys=Qt.KeyboardModifier.NoModifier):
    button = Qt.MouseButton.LeftButton if kind is not QMouseEvent.Type.MouseMove else Qt.MouseButton.NoButton
    spot = QPointF(at)
    event = QMouseEvent(kind, spot, board.mapToGlobal(spot), button, buttons, keys)
    QApplication.sendEvent(board, event)


def drag(board, start, end, *, let_go=True, keys=Qt.KeyboardModifier.NoModifier):
    mouse(board, QMouseEvent.Type.MouseButtonPress, start, Qt.MouseButton.LeftButton)
    for n in range(1, 6):
        step = QPoint(start.x() + (end.x() - start.x()) * n // 5, start.y() + (end.y() - start.y()) * n // 5)
        mouse(board, QMouseEvent.Type.MouseMove, step, Qt.MouseButton.LeftButton, keys)
    if let_go:
        mouse(board, QMouseEvent.Type.MouseButtonRelease, end, Qt.MouseButton.NoButton)


def test_the_point_dragged_changes_the_blade_in_one_step_and_undo_takes_it_back(window, board):
    space, before = window.workspace, template_of(window.workspace, "Petty")
    start = place(board, peg(window, "point").at)
    drag(board, start, start + QPoint(30, 0))
    length = template_of(space, "Petty").blade.length
    assert length > before.blade.length + 5
    assert length / (INCH / 64) == pytest.approx(round(length / (INCH / 64)))
    (step,) = space.session.steps
    assert words_of(step).startswith("Petty: Blade length 5 ")
    assert window.draw.panel._rows[0].field._value == length
    space.undo()
    assert template_of(space, "Petty") == before


def test_while_it_goes_the_number_stands_beside_it_and_nothing_is_kept(qtbot, window, board):
    space, before = window.workspace, template_of(window.workspace, "Petty")
    start = place(board, peg(window, "belly").at)
    drag(board, start, start + QPoint(-25, 0), let_go=False)
    assert window.draw.scene.tag.startswith("Edge straight 2")
    assert template_of(space, "Petty") != before
    assert not space.session.steps
    board.grab()
    qtbot.keyClick(board, Qt.Key.Key_Escape)
    assert template_of(space, "Petty") == before
    assert not space.session.steps
    mouse(board, QMouseEvent.Type.MouseButtonRelease, start, Qt.MouseButton.NoButton)
    assert not space.session.steps


def test_the_front_pulled_down_leaves_the_spine_where_it_is_seen(window, board):
    def spine():
        return place(board, (0.0, template_of(window.workspace, "Petty").handle.front / 2))

    before, height = spine(), template_of(window.workspace, "Petty").handle.front
    start = place(board, peg(window, "front").at)
    drag(board, start, start + QPoint(0, 12))
    assert (spine() - before).manhattanLength() <= 1
    grown = template_of(window.workspace, "Petty").handle.front - height
    assert grown == pytest.approx(12 / board.scale(), abs=0.5)
    assert (place(board, peg(window, "front").at) - (start + QPoint(0, 12))).manhattanLength() <= 3


def test_a_click_chooses_and_moves_nothing(window, board):
    at = place(board, peg(window, "heel").at)
    mouse(board, QMouseEvent.Type.MouseButtonPress, at, Qt.MouseButton.LeftButton)
    mouse(board, QMouseEvent.Type.MouseMove, at + QPoint(1, 1), Qt.MouseButton.LeftButton)
    mouse(board, QMouseEvent.Type.MouseButtonRelease, at, Qt.MouseButton.NoButton)
    assert window.draw.scene.held == "heel"
    assert window.draw.scene.lit == "ahead"
    assert not window.workspace.session.steps


def test_a_peg_stops_at_its_range_with_the_reason(window, board):
    start = place(board, peg(window, "front").at)
    drag(board, start, start + QPoint(0, 260), let_go=False)
    assert window.draw.scene.stopped
    assert "limit reached" in window.draw.scene.tag or "no more room" in window.draw.scene.tag
    board.grab()
    mouse(board, QMouseEvent.Type.MouseButtonRelease, start, Qt.MouseButton.NoButton)
    assert not [p for p in window.workspace.model.checked(key_of(window.workspace, "Petty")) if p.severity == "stop"]


def test_arrow_keys_nudge_the_chosen_peg_by_the_increment_as_one_step(qtbot, window, board):
    space = window.workspace
    before = template_of(space, "Petty").blade.length
    board.setFocus()
    qtbot.keyClick(board, Qt.Key.Key_H)
    assert window.draw.scene.held == "point"
    for _ in range(3):
        qtbot.keyClick(board, Qt.Key.Key_Right)
    qtbot.keyClick(board, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    assert template_of(space, "Petty").blade.length == pytest.approx(before + 11 * INCH / 64)
    assert len(space.session.steps) == 1
    qtbot.keyClick(board, Qt.Key.Key_H)
    assert window.draw.scene.held == "spine"
    qtbot.keyClick(board, Qt.Key.Key_Escape)
    assert window.draw.scene.held == ""
    qtbot.keyClick(board, Qt.Key.Key_Left)  # the paper moves again
    assert len(space.session.steps) == 1


def test_a_hole_is_dragged_and_stands_alone_then(window, board):
    space = window.workspace
    hole = space.blank.holes[2]
    start = place(board, hole.centre)
    drag(board, start, start + QPoint(12, -9))
    moved = space.blank.holes[2]
    assert moved.centre[0] > hole.centre[0] + 1
    assert len(template_of(space, "Petty").holes) == len(space.blank.holes)
    assert window.draw.table.rowCount() == len(space.blank.holes)
    assert "from the butt" in words_of(space.session.steps[-1])
    space.undo()
    assert template_of(space, "Petty").holes is None


@pytest.mark.parametrize(
    ("keys", "word", "same"),
    [
        (Qt.KeyboardModifier.NoModifier, "Thicken: Crown ", False),
        (Qt.KeyboardModifier.ShiftModifier, "Raise: Crown ", True),
    ],
)
def test_the_back_thickens_the_handle_or_raises_it_with_shift(window, board, keys, word, same):
    space = window.workspace
    palm, height = peg(window, "palm").at, template_of(space, "Petty").handle.palm
    start = place(board, peg(window, "back").at)
    drag(board, start, start - QPoint(0, 12), let_go=False, keys=keys)
    assert window.draw.scene.tag.startswith(word)
    mouse(board, QMouseEvent.Type.MouseButtonRelease, start - QPoint(0, 12), Qt.MouseButton.NoButton)
    handle = template_of(space, "Petty").handle
    assert handle.crown > 1.0 and (handle.palm == height) is same
    assert (peg(window, "palm").at == pytest.approx(palm, abs=1e-6)) is not same
    assert len(space.session.steps) == 1


def test_what_is_under_the_pointer_is_said(window, board):
    said = []
    board.pointed.connect(said.append)
    blade = window.workspace.blank.curves
    places = {
        peg(window, "point").at: "Drag “tip”, or select it",
        window.workspace.blank.holes[0].centre: "B1: handle bolt",
        ((blade.heel[0] + blade.point[0]) / 2 + 3, blade.heel[1] + 10): "Blade",
        (-8.0, 6.0): "Tang, under the scales",
        (0.0, 90.0): "",
    }
    for at, words in places.items():
        mouse(board, QMouseEvent.Type.MouseMove, place(board, at), Qt.MouseButton.NoButton)
        assert said[-1].startswith(words), (at, said[-1])
        assert bool(said[-1]) == bool(words)


def test_points_stand_in_a_table_that_chooses_them(window):
    window.draw.points_button.click()
    table = window.draw.points
    assert table.isVisibleTo(window.draw)
    assert table.item(0, 0).text() == "tip"
    assert "Blade length" in table.item(0, 3).text()
    table.selectRow(2)
    assert window.draw.scene.held == pegs(window.workspace.blank)[2].name


@pytest.mark.parametrize("name", some(family_ids(), 2))
def test_every_peg_of_every_family_can_be_dragged(window, board, name):
    space = window.workspace
    space.add_family(name)
    board.fit()
    for own in pegs(space.blank):
        steps = len(space.session.steps)
        if own.name not in {p.name for p in pegs(space.blank)}:
            continue  # the curve it pulls has become straight
        start = place(board, peg(window, own.name).at)
        if board.peg_at(QPointF(start)) != own.name:
            continue  # another lies over it at this zoom
        drag(board, start, start + QPoint(5, -4))
        assert len(space.session.steps) - steps in (0, 1)
        assert not [p for p in space.model.checked(space.chosen) if p.severity == "stop"]
    board.grab()


def arranged(group, words):
    """What the menu Arrange is asked for."""
    (action,) = [a for a in group.findChild(QToolButton, "arrange-holes").menu().actions() if a.text() == words]
    assert action.isEnabled()
    action.trigger()


def typed(qtbot, field, text):
    field.setFocus()
    field.selectAll()
    qtbot.keyClicks(field, text)
    qtbot.keyClick(field, Qt.Key.Key_Return)


def test_a_usual_set_of_bolts_replaces_the_pins_and_bolts(window):
    space, group = window.workspace, window.draw.panel.holes
    group.head.set_open(True)
    (sets,) = [a.menu() for a in group.findChild(QToolButton, "arrange-holes").menu().actions() if a.menu() is not None]
    sets.aboutToShow.emit()
    assert [a.text() for a in sets.actions() if a.isVisible()][-1] == "Three bolts"  # none for a hidden tang
    sets.actions()[-2].trigger()
    assert group.head.accessibleDescription() == "3 bolts, 2 epoxy holes"  # the pattern of lightening holes fills both rooms
    assert words_of(space.session.steps[-1]) == "Petty: holes: Three bolts"
    space.undo()
    assert group.head.accessibleDescription() == "2 bolts, 1 pin, 2 epoxy holes"


def test_holes_are_added_changed_and_removed_in_the_panel(qtbot, window, board):
    space, group = window.workspace, window.draw.panel.holes
    assert group.head.accessibleDescription() == "2 bolts, 1 pin, 2 epoxy holes"
    count = len(space.blank.holes)
    group.add(Purpose.LANYARD)
    assert [h.purpose for h in space.blank.holes].count(Purpose.LANYARD) == 1
    assert window.draw.scene.chosen == "L1"
    assert group.form.isVisibleTo(group)
    typed(qtbot, group.form.field("along"), "1 1/4")
    butt = space.blank.extent()[0]
    assert next(h for h in space.blank.holes if h.mark == "L1").centre[0] == pytest.approx(butt + 1.25 * INCH)
    typed(qtbot, group.form.field("size"), "3/16")
    typed(qtbot, group.form.field("across"), "3/8")
    hole = next(h for h in space.blank.holes if h.mark == "L1")
    handle = template_of(space, "Petty").handle
    back = height_at(handle_back(handle), hole.centre[0])
    assert (hole.size, hole.centre[1]) == pytest.approx((3 / 16 * INCH, back - 3 / 8 * INCH))
    assert words_of(space.session.steps[-1]) == "Petty: hole L1: 3/8 in from the spine"
    group.findChild(QToolButton, "remove-hole").click()
    assert len(space.blank.holes) == count
    assert not group.form.isVisibleTo(group)
    while space.session.done:
        space.undo()
    assert template_of(space, "Petty").holes is None


def test_the_tang_is_lightened_in_one_step(window, board):
    space = window.workspace
    before, group = len(space.blank.holes), window.draw.panel.holes
    group.head.set_open(True)

    def grams():
        said = " ".join(shown.accessibleName() for shown in group.findChildren(Lettered))
        return float(re.search(r"remove ([0-9.]+) g of steel", said)[1])

    out = grams()
    arranged(group, "Lighten the tang")
    assert grams() > out > 0
    assert len(space.blank.holes) > before
    assert words_of(space.session.steps[-1]) == "Petty: lightening holes"
    assert not [p for p in space.model.checked(key_of(space, "Petty")) if p.severity == "stop"]


def test_a_problem_is_picked_and_fixed_with_one_button(window, board):
    space, draw = window.workspace, window.draw
    hole = next(h for h in space.blank.holes if h.mark == "P1")
    drag(board, place(board, hole.centre), place(board, (hole.centre[0], -8.5)))
    problem = next(p for p in space.model.checked(key_of(space, "Petty")) if "P1" in p.what)
    draw.checks.picked.emit(problem)
    assert draw.scene.ring == problem.at
    assert draw.fix_button.isVisibleTo(draw)
    assert draw.fix_button.text() == "Fix it: P1 to the center line"
    draw.fix_button.click()
    assert not [p for p in space.model.checked(key_of(space, "Petty")) if "P1" in p.what and p.severity != "note"]
    assert words_of(space.session.steps[-1]) == "Petty: P1 to the center line"
    assert not draw.fix_button.isVisibleTo(draw)


def test_the_contour_shows_in_section_while_it_is_set_and_whom_the_handle_fits(qtbot, window, field):
    one = field("handle.thick_palm")
    one.setFocus()
    qtbot.waitUntil(lambda: window.draw.scene.lit == "contour")
    words = {mark.text for mark in knife_marks(window.draw.scene, 1.0, window.workspace.look.measure) if isinstance(mark, Text)}
    assert {"front", "palm", "butt"} <= words
    window.draw.board.grab()
    hand = window.draw.panel.hand.text()
    assert "of men and " in hand
    assert "ANSUR II" in hand
    typed(qtbot, field("handle.length"), "3 1/2")
    assert window.draw.panel.hand.text() != hand


def test_a_label_dragged_changes_its_number_by_steps(window, field):
    field("blade.length")
    row = next(r for r in window.draw.panel._rows if r.parameter.path == "blade.length")
    before = template_of(window.workspace, "Petty").blade.length
    drag(row._label, QPoint(10, 10), QPoint(10 + 4 * 6, 10))
    assert template_of(window.workspace, "Petty").blade.length == pytest.approx(before + 6 * INCH / 64)
    assert len(window.workspace.session.steps) == 1


def press(board, window, name):
    at = place(board, peg(window, name).at)
    mouse(board, QMouseEvent.Type.MouseButtonPress, at, Qt.MouseButton.LeftButton)
    mouse(board, QMouseEvent.Type.MouseButtonRelease, at, Qt.MouseButton.NoButton)


def test_what_was_clicked_last_is_what_the_keys_move(qtbot, window, board):
    space = window.workspace
    press(board, window, "heel")
    press(board, window, "B1")
    heel, before = template_of(space, "Petty").heel.ahead, space.blank.holes[0].centre
    for _ in range(3):
        qtbot.keyClick(board, Qt.Key.Key_Left)
    assert template_of(space, "Petty").heel.ahead == heel
    after = space.blank.holes[0].centre
    assert (before[0] - after[0], after[1]) == (pytest.approx(3 * INCH / 64), before[1])
    assert window.draw.table.currentRow() == 0
    press(board, window, "palm")
    qtbot.keyClick(board, Qt.Key.Key_Down)
    assert space.blank.holes[0].centre == after
    qtbot.keyClick(board, Qt.Key.Key_Escape)
    space.edit("blade.length", 141.0)
    assert window.draw.scene.held == ""


def test_another_template_has_nothing_chosen(window, board):
    window.draw.table.selectRow(1)
    assert window.draw.scene.held
    window.workspace.choose(key_of(window.workspace, "Santoku type"))
    assert window.draw.scene.held == ""
    assert not window.draw.table.selectionModel().hasSelection()
    assert template_of(window.workspace, "Santoku type").holes is None


@pytest.mark.parametrize(
    ("family", "name", "key", "times"),
    [
        ("paring", "P1", Qt.Key.Key_Up, 3),
        ("chefs", "front", Qt.Key.Key_Down, 9),
        ("puukko-type", "tang end", Qt.Key.Key_Left, 4),
    ],
)
def test_keys_refuse_what_the_mouse_refuses(qtbot, window, board, family, name, key, times):
    space = window.workspace
    space.add_family(family)
    board.setFocus()
    window.draw._peg_chosen(name)
    for _ in range(times):
        qtbot.keyClick(board, key, Qt.KeyboardModifier.ShiftModifier)
    assert not [p for p in space.model.checked(space.chosen) if p.severity == "stop"]
    assert window.draw.scene.stopped


def test_keys_along_one_way_leave_the_other_number_alone(qtbot, window, board):
    space = window.workspace
    before = template_of(space, "Petty")
    for name, key in (("belly", Qt.Key.Key_Right), ("palm", Qt.Key.Key_Down)):
        window.draw._peg_chosen(name)
        qtbot.keyClick(board, key)
        moved = template_of(space, "Petty")
        if name == "belly":
            assert moved.blade.edge_rise == before.blade.edge_rise
        else:
            assert moved.handle.palm_at == before.handle.palm_at
        space.undo()
    window.draw._peg_chosen("front")
    qtbot.keyClick(board, Qt.Key.Key_Right)
    assert template_of(space, "Petty") == before


def test_an_undo_in_the_middle_of_a_drag_ends_the_drag(window, board):
    space = window.workspace
    start = place(board, peg(window, "point").at)
    drag(board, start, start + QPoint(20, 0))
    heel = place(board, peg(window, "heel").at)
    mouse(board, QMouseEvent.Type.MouseButtonPress, heel, Qt.MouseButton.LeftButton)
    space.undo()
    was = template_of(space, "Petty")
    mouse(board, QMouseEvent.Type.MouseMove, heel + QPoint(10, 4), Qt.MouseButton.LeftButton)
    mouse(board, QMouseEvent.Type.MouseButtonRelease, heel + QPoint(10, 4), Qt.MouseButton.NoButton)
    assert template_of(space, "Petty") == was
    assert space.session.done == 0
    assert len(space.session.steps) == 1  # and can be done again


def test_another_template_chosen_in_the_middle_of_a_drag_stays_itself(window, board):
    space = window.workspace
    paring = template_of(space, "Paring")
    heel = place(board, peg(window, "heel").at)
    mouse(board, QMouseEvent.Type.MouseButtonPress, heel, Qt.MouseButton.LeftButton)
    mouse(board, QMouseEvent.Type.MouseMove, heel + QPoint(10, 4), Qt.MouseButton.LeftButton)
    space.choose(key_of(space, "Paring"))
    mouse(board, QMouseEvent.Type.MouseMove, heel + QPoint(20, 8), Qt.MouseButton.LeftButton)
    mouse(board, QMouseEvent.Type.MouseButtonRelease, heel + QPoint(20, 8), Qt.MouseButton.NoButton)
    assert template_of(space, "Paring") == paring
    assert not space.session.steps


def test_a_hole_dragged_past_another_is_still_the_one_that_is_held(window, board):
    space = window.workspace
    space.choose(key_of(space, "Santoku type"))
    board.fit()
    first, second = space.blank.holes[:2]
    start = place(board, first.centre)
    drag(board, start, place(board, (second.centre[0] - 8.0, second.centre[1])))
    held = window.draw.scene.held
    hole = next(h for h in space.blank.holes if h.mark == held)
    assert hole.centre[0] < second.centre[0]
    assert window.draw.scene.chosen == held


def test_a_label_dragged_to_and_fro_leaves_no_step(window, field):
    field("blade.length")
    row = next(r for r in window.draw.panel._rows if r.parameter.path == "blade.length")
    before = template_of(window.workspace, "Petty").blade.length
    mouse(row._label, QMouseEvent.Type.MouseButtonPress, QPoint(10, 10), Qt.MouseButton.LeftButton)
    for x in (-4000, 60, 10):
        mouse(row._label, QMouseEvent.Type.MouseMove, QPoint(x, 10), Qt.MouseButton.LeftButton)
        window.workspace._last = (window.workspace._last[0], -100.0)  # long ago
    mouse(row._label, QMouseEvent.Type.MouseButtonRelease, QPoint(10, 10), Qt.MouseButton.NoButton)
    assert template_of(window.workspace, "Petty").blade.length == before
    assert not window.workspace.session.steps


def test_a_double_click_fits_on_the_paper_and_on_a_peg_begins_a_drag(window, board):
    left, none = Qt.MouseButton.LeftButton, Qt.MouseButton.NoButton
    start = place(board, peg(window, "point").at)
    mouse(board, QMouseEvent.Type.MouseButtonPress, start, left)
    mouse(board, QMouseEvent.Type.MouseButtonRelease, start, none)
    mouse(board, QMouseEvent.Type.MouseButtonDblClick, start, left)
    mouse(board, QMouseEvent.Type.MouseMove, start + QPoint(30, 0), left)
    mouse(board, QMouseEvent.Type.MouseButtonRelease, start + QPoint(30, 0), none)
    assert [words_of(step)[:19] for step in window.workspace.session.steps] == ["Petty: Blade length"]
    assert not board.fitted
    mouse(board, QMouseEvent.Type.MouseButtonDblClick, QPoint(20, 20), left)
    assert board.fitted


def double(board, at):
    for kind, held in (
        (QMouseEvent.Type.MouseButtonPress, Qt.MouseButton.LeftButton),
        (QMouseEvent.Type.MouseButtonRelease, Qt.MouseButton.NoButton),
        (QMouseEvent.Type.MouseButtonDblClick, Qt.MouseButton.LeftButton),
        (QMouseEvent.Type.MouseButtonRelease, Qt.MouseButton.NoButton),
    ):
        mouse(board, kind, at, held)


def on_the_edge(window, share):
    curves = window.workspace.blank.curves
    x = curves.heel[0] + share * (curves.point[0] - curves.heel[0])
    return x, height_at(curves.edge, x)


def test_a_curve_touched_twice_gets_a_free_point_that_is_pulled_and_taken_out(qtbot, window, board):
    space, before = window.workspace, template_of(window.workspace, "Petty")
    at = on_the_edge(window, 0.3)
    double(board, place(board, at))
    (point,) = free_of(template_of(space, "Petty"))
    assert (point.run, point.x, point.y) == (OutlineRun.EDGE, 0.0, 0.0)
    assert window.draw.scene.held == "free point 1, edge"
    assert [words_of(step) for step in space.session.steps] == ["Petty: control point on the edge"]
    start = place(board, peg(window, "free point 1, edge").at)
    drag(board, start, start + QPoint(0, 10))
    (pulled,) = free_of(template_of(space, "Petty"))
    assert pulled.y < -1.0 and pulled.y / (INCH / 64) == pytest.approx(round(pulled.y / (INCH / 64)))
    lowest = bounds(space.blank.outline)[1]
    assert lowest < place_of(space, pulled)[1] + 0.5
    assert len(space.session.steps) == 2
    qtbot.keyClick(board, Qt.Key.Key_Down)
    assert free_of(template_of(space, "Petty"))[0].y == pytest.approx(pulled.y - INCH / 64)
    space.edit("blade.length", 152.4)  # kept when a number changes
    assert len(free_of(template_of(space, "Petty"))) == 1
    board.setFocus()
    qtbot.keyClick(board, Qt.Key.Key_Delete)
    assert not free_of(template_of(space, "Petty"))
    while space.session.done:
        space.undo()
    assert template_of(space, "Petty") == before
    double(board, QPoint(5, 5))  # on the paper: fits, and nothing else
    assert not space.session.done


def place_of(space, point):
    return next(p for p in pegs(space.blank) if p.name == "free point 1, edge").at


def menu_of(board, at, *, choose=False):
    """The words of the menu at a place; its only action done, if wished."""
    QApplication.sendEvent(board, QContextMenuEvent(QContextMenuEvent.Reason.Mouse, at, board.mapToGlobal(at)))
    found = next((m for m in board.findChildren(QMenu) if m.isVisible()), None)
    if found is None:
        return []
    actions = found.actions()
    words = [action.text() for action in actions]
    if choose:
        actions[0].trigger()
    found.close()
    return words


def test_the_menu_of_a_place_offers_what_can_be_done_there(window, board):
    space = window.workspace
    assert menu_of(board, QPoint(5, 5)) == []
    words = menu_of(board, place(board, on_the_edge(window, 0.3)), choose=True)
    assert words == ["Add a control point here: edge"]
    words = menu_of(board, place(board, peg(window, "free point 1, edge").at), choose=True)
    assert words == ["Remove “control point 1, edge”"]
    assert not free_of(template_of(space, "Petty"))
    count = len(space.blank.holes)
    assert menu_of(board, place(board, space.blank.holes[0].centre), choose=True) == ["Remove “hole B1”"]
    assert len(space.blank.holes) == count - 1
    assert menu_of(board, place(board, peg(window, "point").at)) == []  # it is as the family has it
    space.edit("blade.length", 152.4)
    board.fit()
    words = menu_of(board, place(board, peg(window, "point").at), choose=True)
    assert words == ["Reset: Blade length"]
    assert template_of(space, "Petty").blade.length == family("petty").blade.length


def test_delete_says_why_a_place_of_the_numbers_stays(qtbot, window, board):
    said = []
    window.workspace.said.connect(said.append)
    window.draw._peg_chosen("point")
    qtbot.keyClick(board, Qt.Key.Key_Delete)
    assert said == ["This point is set by the template's numbers and cannot be removed."]
    assert not window.workspace.session.steps


def test_free_points_come_from_the_menu_where_there_is_room_and_not_on_an_outline(window, board):
    space, touching = window.workspace, window.draw.touching
    for run in OutlineRun:
        touching.add_on(run)
    assert [point.run for point in free_of(template_of(space, "Petty"))] == list(OutlineRun)
    assert [point.at for point in free_of(template_of(space, "Petty"))] == [0.5, 0.5, 0.5, 0.5, 0.25]
    said = []
    space.said.connect(said.append)
    for _ in range(MOST):
        touching.add_on(OutlineRun.BACK)
    assert len(template_of(space, "Petty").handle.free) == MOST
    assert "at most" in said[-1]
    board.grab()


def test_a_customer_with_a_broad_hand_is_told_of_on_the_page(window):
    space, document = window.workspace, window.workspace.session.document
    record = template_named(document, "Paring")
    customer = CustomerRecord(id="c", place=1.0, name="R. Lund", hand_breadth=110.0)
    order = OrderRecord(id="o", place=1.0, number=7, customer="c", status=Status.AGREED)
    line = OrderLine(id="l", place=90.0, of=record.id, steel="O1", quantity=1, order="o")
    space.do(replacing(document, said("an order"), [customer, order, line]))
    space.choose(key_of(space, "Paring"))
    (problem,) = list(for_hands(space))
    shown = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(window.draw.checks, "show_problems", lambda problems, *rest: shown.append(problems))
        space.do(change_customer(space.session.document, replace(customer, hand_breadth=111.0)))
    assert [p.cause for p in shown[-1]].count(problem.cause) == 1  # that changes no blank, and is judged all the same
    space.undo()
    assert (problem.what, problem.wanted) == ("the handle is short for R. Lund’s hand", 120.0)
    window.draw._problem_picked(problem)
    assert window.draw.fix_button.isVisibleTo(window.draw)
    window.draw.panel.groups["handle"].head.set_open(True)
    assert "R. Lund’s hand is 4 21/64 in wide. The handle is too short." in window.draw.panel.hand.text()
    space.edit("handle.length", 125.0)
    assert not list(for_hands(space))
    assert "The handle is long enough." in window.draw.panel.hand.text()


def test_another_look_goes_on_where_the_page_was(window, board):
    window.draw._peg_chosen("palm")
    window.draw.panel.groups["handle"].head.set_open(True)
    window.draw.panel.groups["blade"].head.set_open(False)
    window.draw.points_button.click()
    window.workspace.keep_revision(key_of(window.workspace, "Petty"), "kept")
    (kept,) = window.workspace.revisions()
    window.draw.compare(kept, GhostAt.BELOW)
    window.use_look(Look("dark", 1.25))
    draw = window.draw
    assert draw.scene.held == "palm"
    assert open_groups(draw.panel.groups) == ("handle",)
    assert draw.points.isVisibleTo(draw)
    assert (draw.scene.ghost.outline, draw.scene.ghost_at) == (window.workspace.blank.outline, GhostAt.BELOW)
    assert draw._compare.button.text() == "Below revision 1"


def trouble_of(draw):
    """What is said to be wrong with what is typed."""
    return draw.trouble.text() if draw.trouble.isVisibleTo(draw) else ""


def opened(qtbot, table, row, column):
    """A cell opened by a double click."""
    item = table.item(row, column)
    table.scrollToItem(item)
    spot = table.visualItemRect(item).center()
    qtbot.mouseClick(table.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    qtbot.mouseDClick(table.viewport(), Qt.MouseButton.LeftButton, pos=spot)
    return table.findChildren(QLineEdit)[-1]  # one before it may not be gone yet


def typed_in(qtbot, table, row, column, text):
    """A cell opened and typed over: all of it is chosen."""
    editor = opened(qtbot, table, row, column)
    qtbot.keyClicks(editor, text)
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: table.state() is not QTableWidget.State.EditingState)  # a cell is taken a moment later


def test_the_place_of_a_point_is_typed_in_its_table(qtbot, window, board):
    space, draw = window.workspace, window.draw
    draw.points_button.click()
    names = [p.name for p in pegs(space.blank)]
    typed_in(qtbot, draw.points, names.index("point"), 1, "5 3/8")
    assert template_of(space, "Petty").blade.length == pytest.approx(5.375 * INCH)
    assert len(space.session.steps) == 1
    assert draw.points.item(names.index("point"), 1).text() == "5\u20093\u20448"
    row = names.index("bevel")
    stands = draw.points.item(row, 2).text().replace("\u2009", " ").replace("\u2044", "/")  # rounded, as it is shown
    typed_in(qtbot, draw.points, row, 2, stands)
    assert len(space.session.steps) == 1
    editor = opened(qtbot, draw.points, names.index("point"), 1)
    qtbot.keyClicks(editor, "five")
    qtbot.keyClick(editor, Qt.Key.Key_Return)  # it stays open, marked, with the reason
    assert draw.points.state() is QTableWidget.State.EditingState
    assert editor.property("wrong") and editor.text() == "five"
    assert trouble_of(draw).startswith("“five”: ")
    qtbot.keyClick(editor, Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: draw.points.state() is not QTableWidget.State.EditingState)
    assert trouble_of(draw) == ""
    assert draw.points.item(names.index("point"), 1).text() == "5\u20093\u20448"
    draw.touching.add_on(OutlineRun.EDGE)
    row = [p.name for p in pegs(space.blank) if p.name not in {h.mark for h in space.blank.holes}].index("free point 1, edge")
    before = peg(window, "free point 1, edge").at
    typed_in(qtbot, draw.points, row, 2, f"{(before[1] - 1.0):.3f} mm")
    assert peg(window, "free point 1, edge").at == pytest.approx((before[0], before[1] - 1.0), abs=0.002)
    assert not draw.points.item(0, 0).flags() & Qt.ItemFlag.ItemIsEditable


def test_a_hole_is_typed_in_its_table_as_it_is_measured(qtbot, window, board):
    space, table = window.workspace, window.draw.table
    rules = replace(space.session.document.settings.rules, along=Along.POINT, across=Across.UNDERSIDE)
    space.change_settings("rules.along", Along.POINT, rules=rules)
    heads = [table.horizontalHeaderItem(c).text() for c in range(table.columnCount())]
    assert heads[2:4] == ["From tip", "From underside"]
    before, steps = space.blank.holes, len(space.session.steps)
    mark, point = before[0].mark, space.blank.extent()[2]
    typed_in(qtbot, table, 0, 2, "6 1/4")
    hole = space.blank.holes[0]
    assert (hole.mark, point - hole.centre[0]) == (mark, pytest.approx(6.25 * INCH))
    assert window.draw.scene.held == mark  # it is the one that is chosen everywhere
    typed_in(qtbot, table, 0, 3, "7/16")
    typed_in(qtbot, table, 0, 5, "1/4")
    typed_in(qtbot, table, 0, 1, "pin")
    hole = space.blank.holes[0]
    assert (hole.purpose, hole.size, hole.mark) == (Purpose.PIN, pytest.approx(INCH / 4), "P1")
    assert hole.centre[1] - height_at(handle_belly(template_of(space, "Petty").handle), hole.centre[0]) == pytest.approx(
        7 / 16 * INCH
    )
    assert len(space.session.steps) == steps + 4
    assert [words_of(step) for step in space.session.steps[steps:]] == [
        "Petty: hole B1: 6 1/4 in from the tip",
        "Petty: hole B1: 7/16 in from the underside",
        "Petty: hole B1: pin or bolt 1/4 in",
        "Petty: hole P1: pin",
    ]


def test_a_wrong_cell_of_a_hole_says_why_and_stays_open(qtbot, window, board):
    space, draw = window.workspace, window.draw
    for column, text, why in (
        (1, "rivet", "“rivet” is not a kind of hole. Allowed: pin"),
        (2, "x", "“x”: "),
        (5, "3", "Allowed: "),
    ):
        editor = opened(qtbot, draw.table, 0, column)
        qtbot.keyClicks(editor, text)
        qtbot.keyClick(editor, Qt.Key.Key_Tab)
        assert editor.property("wrong")
        assert trouble_of(draw).startswith(why)
        draw.panel.findChild(ValueField, "blade.length").setFocus()  # it stays while another field has the keyboard
        assert (editor.text(), editor.property("wrong")) == (text, True)
        assert trouble_of(draw).startswith(why)
        editor.setFocus()
        qtbot.keyClick(editor, Qt.Key.Key_Escape)
        qtbot.waitUntil(lambda: draw.table.state() is not QTableWidget.State.EditingState)
    assert not space.session.steps
    assert not draw.table.item(0, 0).flags() & Qt.ItemFlag.ItemIsEditable  # its mark is not typed


def test_a_hole_is_added_by_typing_copied_mirrored_and_spread(qtbot, window, board):
    space, group = window.workspace, window.draw.panel.holes
    group.head.set_open(True)
    line = group.findChild(QLineEdit, "hole-line")
    count, butt = len(space.blank.holes), space.blank.extent()[0]
    typed(qtbot, line, "rivet 1/8 at 2")
    assert trouble_of(window.draw).startswith("“rivet” is not a pin")
    assert (line.text(), len(space.blank.holes)) == ("rivet 1/8 at 2", count)
    typed(qtbot, line, "pin 3/32 at 7/8")
    assert line.text() == ""
    new = next(h for h in space.blank.holes if h.mark == window.draw.scene.held)
    assert (new.purpose, new.size, new.centre[0] - butt) == (
        Purpose.PIN, pytest.approx(3 / 32 * INCH), pytest.approx(7 / 8 * INCH)
    )  # fmt: skip
    handle = template_of(space, "Petty").handle
    assert new.centre[1] == pytest.approx(middle(handle, new.centre[0]))
    arranged(group, "Mirror end to end")
    far = next(h for h in space.blank.holes if h.mark == window.draw.scene.held)
    assert -far.centre[0] == pytest.approx(handle.length + new.centre[0])
    arranged(group, "Copy")
    assert len(space.blank.holes) == count + 3
    arranged(group, "Space evenly")
    pins = [h.centre[0] for h in space.blank.holes if h.purpose is Purpose.PIN]
    gaps = [a - b for a, b in itertools.pairwise(pins)]
    assert len(pins) == 4 and gaps == pytest.approx([gaps[0]] * 3)
    assert [words_of(step) for step in space.session.steps[-2:]] == [
        f"Petty: hole {far.mark} copied",
        "Petty: holes spaced evenly: pin",
    ]


def test_a_cell_that_is_open_gives_way_to_an_undo(qtbot, window, board):
    space, table = window.workspace, window.draw.table
    typed_in(qtbot, table, 0, 5, "1/4")
    shown = table.item(0, 2).text()
    editor = opened(qtbot, table, 0, 2)
    qtbot.keyClicks(editor, "1")
    space.undo()
    assert table.state() is not QTableWidget.State.EditingState
    assert (table.item(0, 2).text(), space.session.done) == (shown, 0)


def test_an_unchanged_cell_ends_whatever_stands_in_it(qtbot, window, board):
    row = next(n for n, hole in enumerate(window.workspace.blank.holes) if hole.purpose is Purpose.EPOXY)
    editor = opened(qtbot, window.draw.table, row, 5)
    assert editor.text() == "-"
    qtbot.keyClick(editor, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: window.draw.table.state() is not QTableWidget.State.EditingState)
    assert not window.workspace.session.steps


def test_a_refused_hole_stays_in_its_line(qtbot, window, board, monkeypatch):
    group = window.draw.panel.holes
    group.head.set_open(True)
    line = group.findChild(QLineEdit, "hole-line")
    monkeypatch.setattr(window.workspace, "do", lambda edit, **more: False)
    typed(qtbot, line, "pin 1/8 at 2")
    assert line.text() == "pin 1/8 at 2"


def test_a_hole_chosen_anywhere_is_shown_everywhere(qtbot, window, board):
    space, draw = window.workspace, window.draw
    window.resize(1280, 720)
    last = space.blank.holes[-1]
    for choose in (
        lambda: draw.table.selectRow(len(space.blank.holes) - 1),
        lambda: board.peg_chosen.emit(last.mark),
    ):
        draw.table.clearSelection()
        board.peg_chosen.emit("")
        choose()
        assert draw.scene.held == draw.scene.chosen == last.mark
        assert draw.table.currentRow() == len(space.blank.holes) - 1
        field = draw.panel.holes.form.field("across")
        area = draw.panel.findChild(QScrollArea)
        qtbot.waitUntil(lambda field=field, area=area: area.viewport().rect().contains(
            QRect(field.mapTo(area.viewport(), QPoint(0, 0)), field.size())))  # fmt: skip


def test_delete_in_the_table_takes_out_what_is_held(qtbot, window, board):
    space, draw = window.workspace, window.draw
    count = len(space.blank.holes)
    draw.table.selectRow(0)
    qtbot.keyClick(draw.table, Qt.Key.Key_Delete)
    assert len(space.blank.holes) == count - 1
    draw.points_button.click()
    draw.touching.add_on(OutlineRun.BACK)
    qtbot.keyClick(draw.points, Qt.Key.Key_Delete)
    assert not free_of(template_of(space, "Petty"))


def test_a_right_click_in_a_drag_only_puts_back(window, board):
    start = place(board, peg(window, "point").at)
    drag(board, start, start + QPoint(20, 0), let_go=False)
    press = QMouseEvent(QMouseEvent.Type.MouseButtonPress, QPointF(start), board.mapToGlobal(QPointF(start)),
                        Qt.MouseButton.RightButton, Qt.MouseButton.RightButton, Qt.KeyboardModifier.NoModifier)  # fmt: skip
    QApplication.sendEvent(board, press)
    assert menu_of(board, start) == []
    assert not window.workspace.session.steps
    window.workspace.edit("blade.length", 152.4)
    board.fit()
    assert menu_of(board, place(board, peg(window, "point").at)) == ["Reset: Blade length"]


def test_what_is_compared_goes_with_its_template(window):
    space, draw = window.workspace, window.draw
    space.keep_revision(key_of(space, "Petty"), "kept")
    draw.compare(space.revisions()[0])
    space.choose(key_of(space, "Paring"))
    said = []
    draw.hint.connect(said.append)
    space.edit("blade.length", 90.0)
    assert not [words for words in said if words.startswith("Since then")]
    assert draw.showing().compared[0] is None


@pytest.mark.parametrize("name", ["point", "heel", "palm", "butt", "B1"])
def test_a_drag_to_and_fro_leaves_no_step(window, board, name):
    start = place(board, peg(window, name).at)
    drag(board, start, start + QPoint(25, 10), let_go=False)
    mouse(board, QMouseEvent.Type.MouseMove, start, Qt.MouseButton.LeftButton)
    mouse(board, QMouseEvent.Type.MouseButtonRelease, start, Qt.MouseButton.NoButton)
    assert not window.workspace.session.steps
    assert template_of(window.workspace, "Petty").holes is None


def test_a_place_typed_as_it_is_changes_nothing(window, board):
    space = window.workspace
    for own in pegs(space.blank):
        window.draw._moving.put(own.name, *own.at)
    assert not space.session.steps


def test_the_words_at_a_peg_go_when_something_else_is_done(qtbot, window, board):
    window.draw._peg_chosen("palm")
    qtbot.keyClick(board, Qt.Key.Key_Down)
    assert window.draw.scene.tag
    window.workspace.edit("blade.length", 150.0)
    assert not window.draw.scene.tag
