"""Messages to and from one worker process, carried by threads: a pipe to a process that is busy or stopped may be full, or hold
half a message, and the window waits for neither.
"""

from multiprocessing.process import BaseProcess
from threading import Condition, Thread
from typing import Any

from workbook.system.pipes import Connection


class Post:
    """One worker, what is on its way to it, and the last it told."""

    def __init__(self, process: BaseProcess, pipe: Connection) -> None:
        self.process, self._pipe = process, pipe
        self._lock = Condition()
        self._going: list[object] = []
        self._told: Any = None
        self._over = False
        self._threads = [Thread(target=carry, daemon=True) for carry in (self._send, self._receive)]
        for thread in self._threads:
            thread.start()

    @property
    def alive(self) -> bool:
        """Whether the worker runs and can be told of things."""
        return not self._over and self.process.is_alive()

    def send(self, message: object, *, instead: bool = False) -> None:
        """Sends a message, soon, in place of one of its kind that has not gone yet; `instead`: in place of any."""
        with self._lock:
            self._going = [] if instead else [other for other in self._going if type(other) is not type(message)]
            self._going.append(message)
            self._lock.notify()

    def newest(self) -> Any:
        """The last message that came since the last look; None: none came."""
        with self._lock:
            told, self._told = self._told, None
        return told

    def end(self) -> None:
        """Ends the worker, also one that is stopped: it has nothing to keep."""
        self.process.kill()
        self.process.join(1)
        self._close()
        for thread in self._threads:
            thread.join(1)
        self._pipe.close()

    def _close(self) -> None:
        with self._lock:
            self._over = True
            self._lock.notify()

    def _send(self) -> None:
        while True:
            with self._lock:
                self._lock.wait_for(lambda: self._going or self._over)
                if self._over:
                    return
                message = self._going.pop(0)
            try:
                self._pipe.send(message)
            except OSError:
                self._close()

    def _receive(self) -> None:
        while not self._over:
            try:
                told = self._pipe.recv()
            except (EOFError, OSError):
                self._close()
                return
            with self._lock:
                self._told = told
