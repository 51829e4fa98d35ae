"""What a screen reader and a keyboard meet: the accessibility tree of every page and dialog, and the way of the Tab key."""

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAccessible
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QAbstractSpinBox,
    QApplication,
    QComboBox,
    QLineEdit,
    QTextEdit,
    QWidget,
)

from workbook.app.dialogs.table import show_dialog
from workbook.app.pages.table import NAMES

CONTROLS = (QAbstractButton, QAbstractItemView, QAbstractSpinBox, QComboBox, QLineEdit, QTextEdit)
ROLES = QAccessible.Role
SPOKEN = {  # roles that do or hold something, and so are told by their names
    ROLES.Button, ROLES.PushButton, ROLES.CheckBox, ROLES.RadioButton, ROLES.EditableText, ROLES.ComboBox, ROLES.SpinBox,
    ROLES.Table, ROLES.List, ROLES.Tree, ROLES.MenuItem, ROLES.ButtonMenu,
}  # fmt: skip


def walked(root):
    """Every part of the tree under a widget, with the widget it belongs to if it is one."""
    found, waiting = [], [QAccessible.queryAccessibleInterface(root)]
    while waiting:
        part = waiting.pop()
        if part is None or not part.isValid():
            continue
        found.append(part)
        waiting += [part.child(n) for n in range(min(part.childCount(), 400))]
    return found


def own(widget):
    """Whether a widget is one of ours, not a part that Qt makes inside another."""
    inner = widget.objectName().startswith("qt_") or isinstance(widget.parent(), QAbstractSpinBox | QComboBox)
    return not inner and not isinstance(widget.parent(), QAbstractItemView)


def controls(root):
    """The controls that show and can be used."""
    found = [w for kind in CONTROLS for w in root.findChildren(kind) if own(w)]
    return [w for w in dict.fromkeys(found) if w.isVisible() and w.isEnabled()]


def reached(qtbot, root):
    """The widgets the Tab key comes to, until it comes round."""
    seen: list[QWidget] = []
    for _ in range(400):
        now = QApplication.focusWidget()
        if now in seen[:-1] and len(seen) > 2 and now is seen[0]:
            break
        seen.append(now)
        qtbot.keyClick(now or root, Qt.Key.Key_Tab)
    return set(seen)


@pytest.fixture
def opened(qtbot, window):
    """Shows a page or a dialog, and gives what is to be walked."""

    def show(name):
        window.activateWindow()
        qtbot.waitUntil(window.isActiveWindow)
        if name in NAMES:
            window.show_page(name)
            if name == "layout":
                window.bars_page().search.stop()
                window.bars_page().table_button.setChecked(True)
            if name == "stock":
                window.stock_page().bars.selectRow(0)
            return window
        before = set(QApplication.topLevelWidgets())
        show_dialog(window, name)
        (dialog,) = [w for w in QApplication.topLevelWidgets() if w not in before and w.isWindow() and w.isVisible()]
        dialog.activateWindow()
        qtbot.waitUntil(dialog.isActiveWindow)
        return dialog

    yield show
    if "layout" in window.early.there():
        window.bars_page().search.close()


PLACES = [*NAMES, "settings", "history", "finder", "help", "export"]


@pytest.mark.parametrize("place", PLACES)
def test_all_that_does_something_has_a_name_in_the_tree(opened, place):
    parts = walked(opened(place))
    spoken = [part for part in parts if part.role() in SPOKEN and not part.state().invisible]
    assert len(spoken) >= {"history": 1, "finder": 2, "help": 0, "export": 10}.get(place, 12)
    nameless = [part for part in spoken if not part.text(QAccessible.Text.Name) and _ours(part)]
    assert [(part.role(), part.object().objectName()) for part in nameless] == []


def _ours(part):
    widget = part.object()
    return isinstance(widget, QWidget) and own(widget)


@pytest.mark.parametrize("place", PLACES)
def test_every_control_is_reached_by_the_tab_key(qtbot, opened, place):
    root = opened(place)
    wanted = {w for w in controls(root) if not (isinstance(w, QAbstractButton) and w.group() and not w.isChecked())}
    assert wanted
    missed = wanted - reached(qtbot, root)
    assert [(type(w).__name__, w.objectName(), w.accessibleName()) for w in missed] == []


def test_what_the_canvas_shows_stands_in_tables(opened, window):
    """Holes of the board, blanks of the bars: as many rows as the picture has, each readable."""
    opened("draw")
    holes = window.workspace.blank.holes
    texts = [part.text(QAccessible.Text.Name) for part in walked(window.draw.table) if part.role() is ROLES.Cell]
    assert {hole.mark for hole in holes} <= set(texts)
    opened("layout")
    page = window.bars_page()
    if page.laid is not None:
        blanks = {blank.serial for plan in page.bars.plans for blank in plan.blanks}
        texts = [part.text(QAccessible.Text.Name) for part in walked(page.blanks.table) if part.role() is ROLES.Cell]
        assert blanks <= set(texts)
