"""One window for each piece of work: a second start, or opening the same workbook again, raises the existing window.

A window listens under a name derived from the path of its work. A caller that connects to that name and asks has the window
raised. Any other message is dropped, and both its length and the waiting time are limited.
"""

import hashlib
import os
import re
import stat
from contextlib import suppress
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtNetwork import QLocalServer, QLocalSocket

_PATIENCE = 2000  # ms for the other window to answer, and for a caller to ask
_ASKED, _ANSWER = b"raise\n", b"raised\n"
_MOST = 8  # callers at a time
_NAME = "makers-workbook-"
_SWEPT = 200  # sockets examined, at most
_AT_ONCE = 100  # ms for a dead socket to refuse


def name_of(work: Path) -> str:
    """The name under which a window with this work listens."""
    return f"{_NAME}{hashlib.sha256(os.fsencode(work.absolute())).hexdigest()[:24]}"


def call(work: Path) -> bool:
    """Raise the window that has this work open. Return False when none answers."""
    socket = QLocalSocket()
    socket.setReadBufferSize(len(_ANSWER))
    socket.connectToServer(name_of(work))
    if not socket.waitForConnected(_PATIENCE) or _is_anothers(Path(socket.fullServerName()), work):
        return False
    socket.write(_ASKED)
    socket.flush()
    answered = socket.waitForReadyRead(_PATIENCE) and bytes(socket.read(len(_ANSWER)).data()) == _ANSWER
    socket.abort()
    return answered


def _is_anothers(listened: Path, work: Path) -> bool:
    """Whether the socket and the work have different owners: every user can write to the folder of sockets."""
    try:
        return listened.lstat().st_uid != work.lstat().st_uid
    except OSError:  # no such work, or a system whose sockets are not files
        return False


class Listener(QObject):
    """Listens for calls to one window."""

    called = Signal()

    def __init__(self) -> None:
        super().__init__()
        self._callers: list[QLocalSocket] = []
        self._swept = False
        self._server = QLocalServer(self)
        self._server.setSocketOptions(QLocalServer.SocketOption.UserAccessOption)
        self._server.newConnection.connect(self._answer)

    def listen(self, work: Path | None) -> None:
        """Listen for calls to this work, or stop for None. The lock on the work ensures that no other window listens there."""
        self._server.close()
        if work is not None:
            QLocalServer.removeServer(name_of(work))  # left by a window that was killed
            self._server.listen(name_of(work))
            if not self._swept:
                self._swept = True
                sweep(Path(self._server.fullServerName()))

    def close(self) -> None:
        """Stop listening."""
        self._server.close()
        for caller in tuple(self._callers):
            self._drop(caller)

    def _answer(self) -> None:
        while self._server.hasPendingConnections():
            caller = self._server.nextPendingConnection()
            caller.setReadBufferSize(len(_ASKED) + 1)
            self._callers.append(caller)
            caller.readyRead.connect(lambda caller=caller: self._heard(caller))
            caller.disconnected.connect(lambda caller=caller: self._drop(caller))
            QTimer.singleShot(_PATIENCE, caller, lambda caller=caller: self._drop(caller))
            if len(self._callers) > _MOST:
                self._drop(self._callers[0])
            self._heard(caller)  # a request may have arrived with the connection

    def _heard(self, caller: QLocalSocket) -> None:
        """Answer a request to raise the window. Drop the caller after that or any other message."""
        if caller not in self._callers or caller.bytesAvailable() < len(_ASKED):
            return
        if bytes(caller.readAll().data()) == _ASKED:
            caller.write(_ANSWER)
            caller.flush()
            self.called.emit()
        self._drop(caller)

    def _drop(self, caller: QLocalSocket) -> None:
        if caller in self._callers:
            self._callers.remove(caller)
            caller.disconnectFromServer() if caller.bytesToWrite() else caller.abort()
            caller.deleteLater()


def sweep(own_socket: Path) -> None:
    """Remove the sockets that killed windows left beside ours: with our name and owner, and nobody listening."""
    for file in sorted(own_socket.parent.glob(f"{_NAME}*"))[:_SWEPT]:
        with suppress(OSError):
            status, suffix = file.lstat(), re.fullmatch(r"[0-9a-f]{24}", file.name[len(_NAME) :])
            ours = suffix and stat.S_ISSOCK(status.st_mode) and status.st_uid == own_socket.lstat().st_uid
            if ours and file != own_socket and _is_dead(file):
                file.unlink()


def _is_dead(file: Path) -> bool:
    """Whether nobody listens. Connecting without a request raises no window."""
    socket = QLocalSocket()
    socket.connectToServer(str(file))
    connected = socket.waitForConnected(_AT_ONCE)
    refused = socket.error() is QLocalSocket.LocalSocketError.ConnectionRefusedError
    socket.abort()
    return not connected and refused
