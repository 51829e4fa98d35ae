"""The end from outside: a log-out, a shut-down or a kill that asks. The file is brought up to date and the work let go."""

from __future__ import annotations

import signal
import socket
from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, QSocketNotifier
from PySide6.QtGui import QGuiApplication, QSessionManager
from PySide6.QtWidgets import QApplication

if TYPE_CHECKING:
    from workbook.app.window import Window

_ASKED = [getattr(signal, name) for name in ("SIGTERM", "SIGINT", "SIGHUP") if hasattr(signal, name)]


class Ending(QObject):
    """Ends one window when the system asks for it; nobody is asked anything then."""

    def __init__(self, window: Window) -> None:
        super().__init__(window)
        self._window = window
        self._ours, self._theirs = socket.socketpair()
        for end in (self._ours, self._theirs):
            end.setblocking(False)
        signal.set_wakeup_fd(self._theirs.fileno(), warn_on_full_buffer=False)
        for number in _ASKED:
            signal.signal(number, lambda _number, _frame: None)
        self._notifier = QSocketNotifier(self._ours.fileno(), QSocketNotifier.Type.Read, self)
        self._notifier.activated.connect(self._asked)
        application = QGuiApplication.instance()
        if isinstance(application, QGuiApplication):
            application.commitDataRequest.connect(self._committed)

    def _asked(self) -> None:
        if self._ours.recv(16):
            self._window.end_quietly()
            QApplication.quit()

    def _committed(self, manager: QSessionManager) -> None:
        """The desktop's session ends: what is open is brought up to date; it may go on all the same."""
        self._window.filing.publish()

    def close(self) -> None:
        """Listens no more."""
        signal.set_wakeup_fd(-1)
        for number in _ASKED:
            signal.signal(number, signal.SIG_DFL)
        self._notifier.setEnabled(False)
        self._ours.close()
        self._theirs.close()
