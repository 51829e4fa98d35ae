"""The window's side of the nesting workers: start them warm, pass orders and reports, replace them when one dies."""

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
_DIED = _("The search stopped unexpectedly and was restarted. Choose Keep searching to go on.")


class Search(QObject):
    """One search at a time, on two cores if available; each worker is told what the other finds."""

    reported = Signal(object)  # tasks.worker.Report, with progress
    answered = Signal(object)  # the result of an errand
    stopped = Signal()
    failed = Signal(str)

    def __init__(self, most: int = 2) -> None:
        super().__init__()
        self._most = most  # workers
        self.workers: list[Post] = []
        self._number = 0
        self._steps: dict[int, int] = {}  # by worker
        self._best: Best | None = None
        self.running = False
        self.asking = False  # an errand is running
        self._timer = QTimer(self)
        self._timer.setInterval(_TICK)
        self._timer.timeout.connect(self._look)

    def warm(self) -> None:
        """Start the workers, so that the first search need not wait for them; restart all if one has ended."""
        if not all(worker.alive for worker in self.workers):
            self._forget()
        if not self.workers:
            self.workers = [Post(*start_worker()) for _ in range(min(self._most, cores()))]

    def begin(self, nesting: NestingJob, seed: int = 0) -> None:
        """Start a search in place of any running one."""
        self.warm()
        self._number += 1
        self._steps, self._best = {}, Best(nesting)
        for k, worker in enumerate(self.workers):
            worker.send(SearchOrder(self._number, nesting, seed + k * APART), instead=True)
        self.asking, self.running = False, True
        self._timer.start()

    def ask(self, run: Callable[..., object], *arguments: object) -> None:
        """Run a short errand in a worker, in place of any search; `answered` carries its result."""
        self.stop()
        self.warm()
        self._number += 1
        self.workers[0].send(Errand(self._number, run, arguments), instead=True)
        self.asking = True
        self._timer.start()

    def stop(self) -> None:
        """Stop a search and keep its best layout so far, or stop waiting for an errand."""
        if self.running or self.asking:
            self.running = self.asking = False
            self._number += 1  # ignore reports still on their way
            self._timer.stop()
            for worker in self.workers:
                worker.send(None, instead=True)
            self.stopped.emit()

    def close(self) -> None:
        """End the workers."""
        self._timer.stop()
        self.running = self.asking = False
        self._forget()

    def _look(self) -> None:
        """Handle the messages since the last look."""
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
        """The worker's last message, if it belongs to the current search or errand."""
        message: Report | Answer | None = worker.newest()
        return message if message is not None and message.number == self._number else None

    def _report(self, worker: int, report: Report) -> None:
        """Tell the other worker of a better layout, and the window of the best of both."""
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
        """Replace the workers after one has ended unexpectedly."""
        self._forget()
        self.warm()
        self._end(_DIED)

    def _end(self, reason: str) -> None:
        self.running = self.asking = False
        self._timer.stop()
        self.failed.emit(reason)

    def _forget(self) -> None:
        for worker in self.workers:
            worker.end()
        self.workers = []
