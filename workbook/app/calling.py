"""One window for one piece of work: who starts the program again, or opens the same workbook, is shown the window there is.

A window listens under a name that follows from where its work lies on this computer; who calls that name, and asks, has it
raised. Whatever else is said there is not listened to: not much of it, and not for long.
"""

import hashlib
import os
import re
import stat
from contextlib import suppress
from pathlib import Path

from PySide6.QtCore import QObject, QTimer, Signal
from PySide6.QtNetwork import QLocalServer, QLocalSocket

_PATIENCE = 2000  # ms for the other window to answer, and for a caller to say what he wants
_ASKED, _ANSWER = b"raise\n", b"raised\n"
_MOST = 8  # callers at a time
_NAME = "makers-workbook-"
_SWEPT = 200  # sockets looked at, at most
_AT_ONCE = 100  # ms for a socket nobody listens at to say so


def name_of(work: Path) -> str:
    """The name a window with this work listens under."""
    return f"{_NAME}{hashlib.sha256(os.fsencode(work.absolute())).hexdigest()[:24]}"


def call(work: Path) -> bool:
    """Has the window that works there raised; False when none answers."""
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
    """Whether a socket is of another user than the work: the folder of sockets is everyone's."""
    try:
        return listened.lstat().st_uid != work.lstat().st_uid
    except OSError:  # no such work; or a system whose sockets are no files
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
        """Listens for calls to some work; to none for None. The lock on the work says that nobody else listens there."""
        self._server.close()
        if work is not None:
            QLocalServer.removeServer(name_of(work))  # left by a window that was killed
            self._server.listen(name_of(work))
            if not self._swept:
                self._swept = True
                sweep(Path(self._server.fullServerName()))

    def close(self) -> None:
        """Listens no more."""
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
            self._heard(caller)  # what came with the call

    def _heard(self, caller: QLocalSocket) -> None:
        """He is answered when he has asked, and dropped when he says anything else."""
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


def sweep(own: Path) -> None:
    """Sockets that killed windows left beside one's own go: ours by name and owner, and nobody listens there."""
    for file in sorted(own.parent.glob(f"{_NAME}*"))[:_SWEPT]:
        with suppress(OSError):
            found, named = file.lstat(), re.fullmatch(r"[0-9a-f]{24}", file.name[len(_NAME) :])
            ours = named and stat.S_ISSOCK(found.st_mode) and found.st_uid == own.lstat().st_uid
            if ours and file != own and _is_dead(file):
                file.unlink()


def _is_dead(file: Path) -> bool:
    """Whether nobody listens: a caller who says nothing raises no window."""
    socket = QLocalSocket()
    socket.connectToServer(str(file))
    there = socket.waitForConnected(_AT_ONCE)
    refused = socket.error() is QLocalSocket.LocalSocketError.ConnectionRefusedError
    socket.abort()
    return not there and refused
