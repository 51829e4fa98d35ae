"""The window's side of the nesting workers: starts them warm, passes orders and reports, replaces them when one dies."""

from collections.abc import Callable, Iterable
from multiprocessing.process import BaseProcess

from PySide6.QtCore import QObject, QTimer, Signal

from workbook.nesting.model import Layout, NestingJob
from workbook.structs import replace
from workbook.system.pipes import Connection
from workbook.tasks.pair import APART, Best, cores
from workbook.tasks.worker import Answer, Better, Errand, Order, Report, start_worker

_TICK = 50  # ms between looks at the pipes
_DIED = "The search stopped unexpectedly and was made anew: Search on begins again."

Worker = tuple[BaseProcess, Connection]


class Search(QObject):
    """One search at a time, on two cores where there are two; what one finds the other is told."""

    reported = Signal(object)  # tasks.worker.Report, one with progress
    answered = Signal(object)  # what an errand came to
    stopped = Signal()
    failed = Signal(str)

    def __init__(self, most: int = 2) -> None:
        super().__init__()
        self._most = most  # workers
        self.workers: list[Worker] = []
        self._number = 0
        self._steps: dict[int, int] = {}  # of each worker
        self._best: Best | None = None
        self.running = False
        self.asking = False  # an errand is under way
        self._timer = QTimer(self)
        self._timer.setInterval(_TICK)
        self._timer.timeout.connect(self._look)

    def warm(self) -> None:
        """Starts the workers, so that the first search need not wait for them."""
        if not self.workers:
            self.workers = [start_worker() for _ in range(min(self._most, cores()))]

    def begin(self, nesting: NestingJob, seed: int = 0) -> None:
        """Begins a search; the one before, if any, is dropped."""
        self.warm()
        self._number += 1
        self._steps, self._best = {}, Best(nesting)
        orders = [Order(self._number, nesting, seed + k * APART) for k in range(len(self.workers))]
        self.asking = False
        if self._sent(zip(self.workers, orders, strict=True)):
            self.running = True
            self._timer.start()

    def ask(self, run: Callable[..., object], *arguments: object) -> None:
        """Has something short computed, in place of the search that runs; `answered` tells what it came to."""
        self.stop()
        self.warm()
        self._number += 1
        if self._sent([(self.workers[0], Errand(self._number, run, arguments))]):
            self.asking = True
            self._timer.start()

    def stop(self) -> None:
        """Stops a search, whose best so far stands, or an errand, whose answer is not waited for."""
        if self.running or self.asking:
            self.running = self.asking = False
            self._number += 1  # what still comes is of no interest
            self._timer.stop()
            self._sent([(worker, None) for worker in self.workers])
            self.stopped.emit()

    def close(self) -> None:
        """Ends the workers."""
        self._timer.stop()
        self.running = self.asking = False
        self._forget()

    def _sent(self, messages: Iterable[tuple[Worker, object]]) -> bool:
        """Sends each worker its message; False, and new workers, when one has died."""
        try:
            for (_, pipe), message in messages:
                pipe.send(message)
        except OSError:
            self._dead()
            return False
        return True

    def _look(self) -> None:
        """Passes on what the workers have told since the last look."""
        try:
            news = [(k, message) for k, (_, pipe) in enumerate(self.workers) if (message := self._newest(pipe)) is not None]
        except (EOFError, OSError):
            self._dead()
            return
        if not all(process.is_alive() for process, _ in self.workers):
            self._dead()
            return
        for k, message in news:
            if not (self.running or self.asking):
                return
            if message.fault:
                self._end(message.fault)
            elif isinstance(message, Answer):
                self.asking = False
                self._timer.stop()
                self.answered.emit(message.found)
            else:
                self._report(k, message)

    def _newest(self, pipe: Connection) -> Report | Answer | None:
        """The last message of the present search or errand."""
        newest: Report | Answer | None = None
        while pipe.poll():
            message: Report | Answer = pipe.recv()
            newest = message if message.number == self._number else newest
        return newest

    def _report(self, worker: int, report: Report) -> None:
        """Tells the other worker of what is better, and the window of the best of both."""
        assert report.progress is not None
        assert self._best is not None
        if self._best.take(report.progress.best):
            others = [other for k, other in enumerate(self.workers) if k != worker]
            self._sent([(other, Better(self._number, report.progress.best)) for other in others])
        self._steps[worker] = report.progress.step
        best: Layout | None = self._best.layout
        assert best is not None
        self.reported.emit(replace(report, progress=replace(report.progress, step=sum(self._steps.values()), best=best)))
        if report.progress.done:
            self.stop()

    def _dead(self) -> None:
        """A worker has ended unasked: others are made at once."""
        self._forget()
        self.warm()
        self._end(_DIED)

    def _end(self, why: str) -> None:
        self.running = self.asking = False
        self._timer.stop()
        self.failed.emit(why)

    def _forget(self) -> None:
        for process, pipe in self.workers:
            pipe.close()
            process.terminate()
        for process, _ in self.workers:
            process.join(1)
        self.workers = []
