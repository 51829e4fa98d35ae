"""What a screen reader meets on a canvas: pegs, blanks and bars with their names, places, states and what can be done."""

import gc

from PySide6.QtCore import QEvent, QPoint, Qt
from PySide6.QtGui import QAccessible, QAccessibleActionInterface
from PySide6.QtWidgets import QApplication

from workbook.app.look import Look
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.records import BarRecord
from workbook.tasks.demo import demo_job
from workbook.tasks.work import work_on
from workbook.template.holes import WORDS

PRESS, TOGGLE, MENU = (getattr(QAccessibleActionInterface, f"{name}Action")() for name in ("press", "toggle", "showMenu"))
NAME, MORE = QAccessible.Text.Name, QAccessible.Text.Description


def parts_of(canvas):
    """The parts of a canvas, as Qt hands them to a reader."""
    read = QAccessible.queryAccessibleInterface(canvas)
    assert read.role() == QAccessible.Role.List
    assert read.text(NAME) == canvas.accessibleName()
    return [read.child(number) for number in range(read.childCount())]


def on_screen(part, canvas):
    """Whether a part's place is on its canvas."""
    return canvas.rect().translated(canvas.mapToGlobal(QPoint())).contains(part.rect().center())


def test_pegs_and_holes_of_the_board(window):
    board, blank = window.draw.board, window.workspace.blank
    parts = parts_of(board)
    assert len(parts) == len(board.scene.pegs) > len(blank.holes) > 0
    assert len({part.text(NAME) for part in parts}) == len(parts)
    assert all(part.role() == QAccessible.Role.ListItem and on_screen(part, board) for part in parts)
    hole = blank.holes[0]
    (own,) = [part for part in parts if part.text(NAME) == f"hole {hole.mark}"]
    assert WORDS[hole.purpose] in own.text(MORE)
    assert not own.state().selected
    own.actionInterface().doAction(PRESS)
    assert own.state().selected
    assert [part.text(NAME) for part in parts if part.state().selected] == [f"hole {hole.mark}"]
    board.setFocus()
    assert QAccessible.queryAccessibleInterface(board).focusChild().text(NAME) == f"hole {hole.mark}"


def test_the_board_is_where_its_pegs_are(qtbot, window):
    """The part under a peg on the screen is that peg, however far the board is zoomed."""
    board = window.draw.board
    for key in (Qt.Key.Key_0, Qt.Key.Key_1):  # the whole knife, and its true size
        qtbot.keyClick(board, key)
        read = QAccessible.queryAccessibleInterface(board)
        hits = [read.childAt(part.rect().center().x(), part.rect().center().y()) for part in parts_of(board)]
        assert all(hit is not None for hit in hits)
        names = [part.text(NAME) for part in parts_of(board)]
        assert sum(hit.text(NAME) == name for hit, name in zip(hits, names, strict=True)) >= 0.8 * len(names)  # some overlap


def test_a_peg_has_its_menu(window):
    board, asked = window.draw.board, []
    board.asked.connect(lambda at, peg, x, y: asked.append((board.mapFromGlobal(at), peg)))
    part = parts_of(board)[0]
    assert part.actionInterface().actionNames() == [PRESS, MENU]
    peg = board.scene.pegs[0]
    window.draw.touching.menu = lambda *_: None
    part.actionInterface().doAction(MENU)
    QApplication.activePopupWidget() and QApplication.activePopupWidget().close()
    ((at, name),) = asked
    assert name == peg.name
    assert board.peg_at(at.toPointF()) == peg.name


def test_blanks_and_bars_of_a_layout(page):
    bars, plans = page.bars, page.bars.plans
    parts = parts_of(bars)
    assert len(parts) == sum(1 + len(plan.blanks) for plan in plans)
    plan, blank = plans[0], plans[0].blanks[0]
    assert parts[0].text(NAME) == f"Bar 1: {plan.name}"
    assert parts[0].text(MORE).startswith(f"{len(plan.blanks)} blank")
    assert parts[1].text(NAME) == f"{blank.serial} on bar 1"
    assert blank.shape.name in parts[1].text(MORE)
    parts[1].actionInterface().doAction(PRESS)
    assert bars.chosen == (0, 0)
    assert parts[1].state().selected and not parts[2].state().selected
    read = QAccessible.queryAccessibleInterface(bars)
    inside = parts[1].rect().center()
    assert read.childAt(inside.x(), inside.y()) in parts
    assert parts[0].rect().contains(parts[1].rect())
    assert read.indexOfChild(parts[1]) == 1


def test_a_blank_is_pinned_by_a_reader(page):
    part = parts_of(page.bars)[1]
    assert part.state().checkable and not part.state().checked
    part.actionInterface().doAction(TOGGLE)
    assert parts_of(page.bars)[1].state().checked
    assert parts_of(page.bars)[1].text(MORE).endswith("pinned")


def test_a_blank_that_is_there_no_more_is_not_valid(page):
    parts = parts_of(page.bars)
    page.bars.show_plans((), (), "in")
    assert QAccessible.queryAccessibleInterface(page.bars).childCount() == 0
    assert not any(part.isValid() for part in parts)
    assert parts[1].text(NAME) == "" and parts[1].rect().isEmpty() and parts[1].state().invalid
    assert parts[1].actionInterface().actionNames() == []


def test_bars_of_the_rack(window):
    window.show_page("stock")
    page = window.stock_page()
    there = [record for record in window.workspace.session.document.all(BarRecord) if record.bar.have]
    parts = parts_of(page.rack)
    assert len(parts) == len(there) > 1
    assert {part.text(NAME).split("  ")[0] for part in parts} == {record.bar.steel for record in there}
    parts[1].actionInterface().doAction(PRESS)
    assert [part.state().selected for part in parts_of(page.rack)] == [number == 1 for number in range(len(parts))]
    read = QAccessible.queryAccessibleInterface(page.rack)
    for part in parts:
        at = part.rect().center()
        assert read.childAt(at.x(), at.y()) is part


def test_windows_come_and_go_while_something_reads(qtbot, tmp_path, monkeypatch):
    """Every part that was asked for is known to Qt by a number until the program ends, also when its canvas has gone."""
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    QAccessible.setActive(True)
    kept = []
    try:
        for theme in ("light", "dark"):
            window = Window(Workspace(work_on(demo_job().job), Look("light")))
            with qtbot.waitExposed(window):
                window.show()
            window.show_page("stock")
            window.use_look(Look(theme))
            for canvas in (window.draw.board, window.stock_page().rack):
                parts = parts_of(canvas)
                assert all(QAccessible.uniqueId(part) for part in parts)
                kept.append((len(parts), parts[0], QAccessible.queryAccessibleInterface(canvas)))
            window.end_pages()
            window.close()
            window.deleteLater()
            QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
            del window, canvas
            gc.collect()
    finally:
        QAccessible.setActive(False)
    assert [count > 1 for count, _, _ in kept] == [True] * 4
    assert not any(part.isValid() or part.rect().isValid() for _, part, _ in kept)


def test_another_look_has_canvases_of_its_own(window):
    """Another look makes other canvases: what is read is the one that shows."""
    before = window.draw.board
    assert parts_of(before)
    window.use_look(Look("dark"))
    assert window.draw.board is not before
    assert len(parts_of(window.draw.board)) == len(window.draw.board.scene.pegs)
