"""What menus are made of: actions, and the parts of a window that these call."""

from collections.abc import Callable
from typing import NamedTuple

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu

from workbook.app.bringing import Bringing
from workbook.app.filing import Filing
from workbook.app.printing import Printing

Key = QKeySequence.StandardKey


class Parts(NamedTuple):
    """What opens and saves, what brings files in, what prints and writes."""

    filing: Filing
    bringing: Bringing
    printing: Printing


def action(menu: QMenu, words: str, run: Callable[[], object], key: QKeySequence | Key | None = None) -> QAction:
    """An action with its words, and the platform's keys for it."""
    made = menu.addAction(words)
    made.triggered.connect(lambda checked=False: run())
    if key is not None:
        made.setShortcut(QKeySequence(key))
    return made
