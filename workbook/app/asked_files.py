"""Files that macOS asks a running program to open: a double click there starts no second one."""

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import QEvent, QObject
from PySide6.QtGui import QFileOpenEvent


class AskedFiles(QObject):
    """A filter of the application's events that opens each file asked for."""

    def __init__(self, parent: QObject, open_file: Callable[[Path], None]) -> None:
        super().__init__(parent)
        self._open = open_file

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Open the file of an event that asks for one, and take the event; leave all others."""
        if not isinstance(event, QFileOpenEvent) or not event.file():
            return False
        self._open(Path(event.file()))
        return True
