"""What a window hears from outside: another start of the program, and the system that ends it."""

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
    """Hears for one window, until it is closed."""

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
        """Another start, or another window that wants the same work, brings this one to the front."""
        self.ear.listen(self._window.workspace.session.file)

    def _look(self) -> None:
        """A log-out, a shutdown or a kill that asks: nobody is asked anything then."""
        if self._end.asked():
            self._window.end_quietly()
            QApplication.closeAllWindows()  # the last one ends the program

    def committed(self, manager: QSessionManager | None) -> None:
        """The desktop's session ends: the file is brought up to date; the program may go on all the same."""
        self._finish()

    def close(self) -> None:
        """Hears no more."""
        self.ear.close()
        self._notifier.setEnabled(False)
        self._end.close()
