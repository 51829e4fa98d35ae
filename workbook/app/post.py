"""Messages to and from one worker process, carried by threads: the pipe to a busy or stopped process may be full, or hold half a
message, and the window must not wait.
"""

from multiprocessing.process import BaseProcess
from threading import Condition, Thread
from typing import Any

from workbook.system.pipes import Connection


class Post:
    """One worker, the messages queued for it, and its last message."""

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
        """Whether the worker runs and can be sent messages."""
        return not self._over and self.process.is_alive()

    def send(self, message: object, *, instead: bool = False) -> None:
        """Queue a message in place of any unsent one of its type; with `instead`, in place of all unsent ones."""
        with self._lock:
            self._going = [] if instead else [other for other in self._going if type(other) is not type(message)]
            self._going.append(message)
            self._lock.notify()

    def newest(self) -> Any:
        """The last message since the previous call; None if none came."""
        with self._lock:
            message, self._told = self._told, None
        return message

    def end(self) -> None:
        """Kill the worker, even a stopped one: it has nothing to save."""
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
                message = self._pipe.recv()
            except (EOFError, OSError):
                self._close()
                return
            with self._lock:
                self._told = message
