"""One window for one piece of work: who starts the program again, or opens the same workbook, is shown the window there is.

A window listens under a name that follows from where its work lies on this computer; who calls that name has it raised.
"""

import hashlib
from pathlib import Path

from PySide6.QtCore import QObject, Signal
from PySide6.QtNetwork import QLocalServer, QLocalSocket

_PATIENCE = 2000  # ms for the other window to answer
_ANSWER = b"raised\n"


def name_of(work: Path) -> str:
    """The name a window with this work listens under."""
    return f"makers-workbook-{hashlib.sha256(str(work.absolute()).encode()).hexdigest()[:24]}"


def call(work: Path) -> bool:
    """Has the window that works there raised; False when none answers."""
    socket = QLocalSocket()
    socket.connectToServer(name_of(work))
    if not socket.waitForConnected(_PATIENCE):
        return False
    answered = socket.waitForReadyRead(_PATIENCE) and bytes(socket.readLine(len(_ANSWER) + 1).data()) == _ANSWER
    socket.disconnectFromServer()
    return answered


class Ear(QObject):
    """Listens for calls to one window."""

    called = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._server = QLocalServer(self)
        self._server.setSocketOptions(QLocalServer.SocketOption.UserAccessOption)
        self._server.newConnection.connect(self._answer)

    def listen(self, work: Path | None) -> None:
        """Listens for calls to some work; to none for None. The lock on the work says that nobody else listens there."""
        self._server.close()
        if work is not None:
            QLocalServer.removeServer(name_of(work))  # left by a window that was killed
            self._server.listen(name_of(work))

    def close(self) -> None:
        """Listens no more."""
        self._server.close()

    def _answer(self) -> None:
        while self._server.hasPendingConnections():
            caller = self._server.nextPendingConnection()
            caller.write(_ANSWER)
            caller.flush()
            caller.disconnected.connect(caller.deleteLater)
            self.called.emit()
