"""The window's side of the nesting workers: starts them warm, passes orders and reports, replaces them when one dies."""

from collections.abc import Callable

from PySide6.QtCore import QObject, QTimer, Signal

from workbook.app.post import Post
from workbook.nesting.model import Layout, NestingJob
from workbook.structs import replace
from workbook.system.processes import cores
from workbook.tasks.pair import APART, Best
from workbook.tasks.worker import Answer, Better, Errand, Report, SearchOrder, start_worker
from workbook.texts import _

_TICK = 50  # ms between looks at the pipes
_DIED = _("The search stopped unexpectedly and was made anew: Search on begins again.")


class Search(QObject):
    """One search at a time, on two cores where there are two; what one finds the other is told."""

    reported = Signal(object)  # tasks.worker.Report, one with progress
    answered = Signal(object)  # what an errand came to
    stopped = Signal()
    failed = Signal(str)

    def __init__(self, most: int = 2) -> None:
        super().__init__()
        self._most = most  # workers
        self.workers: list[Post] = []
        self._number = 0
        self._steps: dict[int, int] = {}  # of each worker
        self._best: Best | None = None
        self.running = False
        self.asking = False  # an errand is under way
        self._timer = QTimer(self)
        self._timer.setInterval(_TICK)
        self._timer.timeout.connect(self._look)

    def warm(self) -> None:
        """Starts the workers, so that the first search need not wait for them; anew, where one has ended."""
        if not all(worker.alive for worker in self.workers):
            self._forget()
        if not self.workers:
            self.workers = [Post(*start_worker()) for _ in range(min(self._most, cores()))]

    def begin(self, nesting: NestingJob, seed: int = 0) -> None:
        """Begins a search; the one before, if any, is dropped."""
        self.warm()
        self._number += 1
        self._steps, self._best = {}, Best(nesting)
        for k, worker in enumerate(self.workers):
            worker.send(SearchOrder(self._number, nesting, seed + k * APART), instead=True)
        self.asking, self.running = False, True
        self._timer.start()

    def ask(self, run: Callable[..., object], *arguments: object) -> None:
        """Has something short computed, in place of the search that runs; `answered` tells what it came to."""
        self.stop()
        self.warm()
        self._number += 1
        self.workers[0].send(Errand(self._number, run, arguments), instead=True)
        self.asking = True
        self._timer.start()

    def stop(self) -> None:
        """Stops a search, whose best so far stands, or an errand, whose answer is not waited for."""
        if self.running or self.asking:
            self.running = self.asking = False
            self._number += 1  # what still comes is of no interest
            self._timer.stop()
            for worker in self.workers:
                worker.send(None, instead=True)
            self.stopped.emit()

    def close(self) -> None:
        """Ends the workers."""
        self._timer.stop()
        self.running = self.asking = False
        self._forget()

    def _look(self) -> None:
        """Passes on what the workers have told since the last look."""
        if not all(worker.alive for worker in self.workers):
            self._dead()
            return
        news = [(k, message) for k, worker in enumerate(self.workers) if (message := self._newest(worker)) is not None]
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

    def _newest(self, worker: Post) -> Report | Answer | None:
        """The last message of the present search or errand."""
        message: Report | Answer | None = worker.newest()
        return message if message is not None and message.number == self._number else None

    def _report(self, worker: int, report: Report) -> None:
        """Tells the other worker of what is better, and the window of the best of both."""
        assert report.progress is not None
        assert self._best is not None
        if self._best.take(report.progress.best):
            for other in self.workers[:worker] + self.workers[worker + 1 :]:
                other.send(Better(self._number, report.progress.best))
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
        for worker in self.workers:
            worker.end()
        self.workers = []
