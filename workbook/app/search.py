"""The window's side of the nesting worker: starts it warm, passes orders and reports, replaces it when it dies."""

from collections.abc import Callable
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess

from PySide6.QtCore import QObject, QTimer, Signal

from workbook.nesting.model import NestingJob
from workbook.tasks.worker import Answer, Errand, Order, Report, start_worker

_TICK = 50  # ms between looks at the pipe


class Search(QObject):
    """One search at a time."""

    reported = Signal(object)  # tasks.worker.Report, one with progress
    answered = Signal(object)  # what an errand came to
    stopped = Signal()
    failed = Signal(str)

    def __init__(self) -> None:
        super().__init__()
        self._process: BaseProcess | None = None
        self._pipe: Connection | None = None
        self._number = 0
        self.running = False
        self.asking = False  # an errand is under way
        self._timer = QTimer(self)
        self._timer.setInterval(_TICK)
        self._timer.timeout.connect(self._look)

    def warm(self) -> None:
        """Starts the worker, so that the first search need not wait for it."""
        if self._process is None:
            self._process, self._pipe = start_worker()

    def begin(self, nesting: NestingJob, seed: int = 0) -> None:
        """Begins a search; the one before, if any, is dropped."""
        self.warm()
        self._number += 1
        assert self._pipe is not None
        try:
            self._pipe.send(Order(self._number, nesting, seed))
        except OSError:
            self._dead()
            return
        self.running = True
        self._timer.start()

    def ask(self, run: Callable[..., object], *arguments: object) -> None:
        """Has something short computed, in place of the search that runs; `answered` tells what it came to."""
        self.stop()
        self.warm()
        self._number += 1
        assert self._pipe is not None
        try:
            self._pipe.send(Errand(self._number, run, arguments))
        except OSError:
            self._dead()
            return
        self.asking = True
        self._timer.start()

    def stop(self) -> None:
        """Stops; the best so far stands."""
        if not self.running:
            return
        self.running = False
        self._timer.stop()
        if self._pipe is not None:
            try:
                self._pipe.send(None)
            except OSError:
                self._forget()
        self.stopped.emit()

    def close(self) -> None:
        """Ends the worker."""
        self._timer.stop()
        self.running = False
        self._forget()

    def _look(self) -> None:
        """Passes on the newest report of this search."""
        newest: Report | Answer | None = None
        try:
            while self._pipe is not None and self._pipe.poll():
                report: Report | Answer = self._pipe.recv()
                newest = report if report.number == self._number else newest
        except (EOFError, OSError):
            self._dead()
            return
        if newest is None:
            if self._process is not None and not self._process.is_alive():
                self._dead()
        elif newest.fault:
            self._end(newest.fault)
        elif isinstance(newest, Answer):
            self.asking = False
            self._timer.stop()
            self.answered.emit(newest.found)
        else:
            self.reported.emit(newest)
            if newest.progress is not None and newest.progress.done:
                self.stop()

    def _dead(self) -> None:
        """The worker has ended unasked: another is made at once."""
        self._forget()
        self.warm()
        self._end("The search stopped unexpectedly and was made anew: Search on begins again.")

    def _end(self, why: str) -> None:
        self.running = self.asking = False
        self._timer.stop()
        self.failed.emit(why)

    def _forget(self) -> None:
        if self._pipe is not None:
            self._pipe.close()
        if self._process is not None:
            self._process.terminate()
            self._process.join(1)
        self._process = self._pipe = None
