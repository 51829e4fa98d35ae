"""What menus are made of: actions, and the parts of a window that they call."""

from collections.abc import Callable
from typing import NamedTuple

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu

from workbook.app.bringing import Bringing
from workbook.app.dialogs.matching import ALSO
from workbook.app.filing import Filing
from workbook.app.own_keys import give, name_of
from workbook.app.printing import Printing

Key = QKeySequence.StandardKey


class Parts(NamedTuple):
    """The parts of a window for files, imports, and printing."""

    filing: Filing
    bringing: Bringing
    printing: Printing


def action(
    menu: QMenu, words: str, run: Callable[[], object], key: QKeySequence | Key | None = None, *, also: str = ""
) -> QAction:
    """Add an action with its text and key to a menu. `also`: other words that people look for it by."""
    item = menu.addAction(words)
    item.triggered.connect(lambda checked=False: run())
    if words:
        give(item, name_of(menu.title(), words), QKeySequence() if key is None else QKeySequence(key))
    elif key is not None:
        item.setShortcut(QKeySequence(key))
    if also:
        item.setProperty(ALSO, also)
    return item
