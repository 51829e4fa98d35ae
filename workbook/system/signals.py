"""How the system asks this process to end: at log-out, at shutdown, by `kill`, when its terminal is closed."""

import signal
import socket

_NAMES = ("SIGTERM", "SIGHUP", "SIGBREAK")  # the last is Windows', whose console sends it
ENDING = tuple(signal.Signals[name] for name in _NAMES if name in signal.Signals.__members__)


class EndAsked:
    """Made in the main thread, once. From then on none of `ENDING` ends the process; `socket` becomes readable instead, which
    an event loop waits for. (Python's own handlers run only when Python runs, and an idle window runs none.)
    """

    def __init__(self) -> None:
        self.socket, self._told = socket.socketpair()
        for end in (self.socket, self._told):
            end.setblocking(False)
        self._before = signal.set_wakeup_fd(self._told.fileno(), warn_on_full_buffer=False)
        self._handlers = {one: signal.signal(one, lambda number, frame: None) for one in ENDING}

    def asked(self) -> bool:
        """Whether one of `ENDING` has come since this was last called."""
        try:
            return bool(set(self.socket.recv(4096)) & set(ENDING))
        except BlockingIOError:
            return False

    def close(self) -> None:
        """All as it was before."""
        for one, handler in self._handlers.items():
            signal.signal(one, handler)
        signal.set_wakeup_fd(self._before)
        self.socket.close()
        self._told.close()
