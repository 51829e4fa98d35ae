"""What every menu is made of."""

from collections.abc import Callable

from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QMenu

Key = QKeySequence.StandardKey


def action(menu: QMenu, words: str, run: Callable[[], object], key: QKeySequence | Key | None = None) -> QAction:
    """An action with its words, and the platform's keys for it."""
    made = menu.addAction(words)
    made.triggered.connect(lambda checked=False: run())
    if key is not None:
        made.setShortcut(QKeySequence(key))
    return made
