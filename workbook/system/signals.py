"""How the system asks this process to end: at log-out, at shutdown, by `kill`, when its terminal is closed."""

import signal
import socket

_NAMES = ("SIGTERM", "SIGHUP", "SIGBREAK")  # the last is sent by the Windows console
ENDING = tuple(signal.Signals[name] for name in _NAMES if name in signal.Signals.__members__)


class EndAsked:
    """Requests to end this process. Created once, in the main thread; from then on none of `ENDING` ends the process. Instead
    `socket` becomes readable, which an event loop can wait for. (Python's own handlers run only while Python code runs, and an
    idle window runs none.)
    """

    def __init__(self) -> None:
        self.socket, self._told = socket.socketpair()
        for end in (self.socket, self._told):
            end.setblocking(False)
        self._before = signal.set_wakeup_fd(self._told.fileno(), warn_on_full_buffer=False)
        self._handlers = {ending: signal.signal(ending, lambda number, frame: None) for ending in ENDING}

    def asked(self) -> bool:
        """Whether one of `ENDING` has arrived since the last call."""
        try:
            return bool(set(self.socket.recv(4096)) & set(ENDING))
        except BlockingIOError:
            return False

    def close(self) -> None:
        """Restore the previous handlers and close the sockets."""
        for ending, handler in self._handlers.items():
            signal.signal(ending, handler)
        signal.set_wakeup_fd(self._before)
        self.socket.close()
        self._told.close()
