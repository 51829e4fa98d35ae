"""The end from outside: a log-out, a shutdown or a kill that asks. The file is brought up to date and the work let go."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSocketNotifier
from PySide6.QtGui import QGuiApplication, QSessionManager
from PySide6.QtWidgets import QApplication

from workbook.system.signals import EndAsked

if TYPE_CHECKING:
    from workbook.app.window import Window


class Ending(QObject):
    """Ends one window when the system asks for it; nobody is asked anything then."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._end = EndAsked()
        self._notifier = QSocketNotifier(self._end.socket.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._look)
        application = QGuiApplication.instance()
        if isinstance(application, QGuiApplication):
            application.commitDataRequest.connect(self._committed)

    def _look(self) -> None:
        if self._end.asked():
            self._window.end_quietly()
            QApplication.exit(0)

    def _committed(self, manager: QSessionManager) -> None:
        """The desktop's session ends: the file is brought up to date; the program may go on all the same."""
        self._window.filing.publish()

    def close(self) -> None:
        """Listens no more: the window is closed."""
        self._notifier.setEnabled(False)
        self._end.close()
