"""What reaches a window from outside: another start of the program, and the system's request to end."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSocketNotifier
from PySide6.QtGui import QGuiApplication, QSessionManager
from PySide6.QtWidgets import QApplication

from workbook.app.calling import Listener
from workbook.system.signals import EndAsked

if TYPE_CHECKING:
    from workbook.app.frame import Frame


class Presence(QObject):
    """Listens for one window until it is closed."""

    def __init__(self, window: Frame, finish: Callable[[], None]) -> None:
        super().__init__(window)
        self._window, self._finish = window, finish
        self.ear = Listener()
        self.ear.called.connect(window.come_forward)
        self._end = EndAsked()
        self._notifier = QSocketNotifier(self._end.socket.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._look)
        application = QGuiApplication.instance()
        if isinstance(application, QGuiApplication):
            application.commitDataRequest.connect(self.committed)

    def listen(self) -> None:
        """Bring this window to the front when another start or window asks for the same work."""
        self.ear.listen(self._window.workspace.session.file)

    def _look(self) -> None:
        """Close all windows without questions on a log-out, a shutdown or a kill request."""
        if self._end.asked():
            self._window.end_quietly()
            QApplication.closeAllWindows()  # closing the last one ends the program

    def committed(self, manager: QSessionManager | None) -> None:
        """Update the file when the desktop's session ends; the program may still go on."""
        self._finish()

    def close(self) -> None:
        """Stop listening."""
        self.ear.close()
        self._notifier.setEnabled(False)
        self._end.close()
