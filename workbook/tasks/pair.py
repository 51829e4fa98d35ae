"""One search on two cores: two searches with different seeds that share the layouts they find."""

from collections.abc import Generator, Iterator
from contextlib import contextmanager, nullcontext, suppress

from workbook.nesting.aims import Score, aims
from workbook.nesting.model import Layout, NestingJob, Progress
from workbook.structs import replace
from workbook.system.pipes import Connection
from workbook.tasks.searching import Stop, search
from workbook.tasks.worker import Better, Report, SearchOrder, start_worker

APART = 500_000_003  # between the seeds of the two


class Best:
    """The best layout that several searches have reported."""

    def __init__(self, nesting: NestingJob) -> None:
        self._nesting = nesting
        self.layout: Layout | None = None
        self._score: Score | None = None

    def take(self, layout: Layout) -> bool:
        """Keep a layout if it is better than the best so far. True if it was."""
        if layout == self.layout:
            return False
        score = aims(self._nesting, layout)
        if self._score is not None and score >= self._score:
            return False
        self.layout, self._score = layout, score
        return True


@contextmanager
def partner() -> Iterator[Connection]:
    """A worker's pipe; the worker makes ready at once, and ends with the context."""
    process, pipe = start_worker()
    try:
        yield pipe
    finally:
        pipe.close()
        process.terminate()
        process.join(1)


def search_on_two(nesting: NestingJob, seed: int, stop: Stop, worker: Connection | None = None) -> Iterator[Progress]:
    """Progress as `search` yields it, helped by a worker on another core while that lives; results are not repeatable.

    `worker`: the pipe of one that was started before.
    """
    best = Best(nesting)
    steps = search(nesting, seed, stop)
    with partner() if worker is None else nullcontext(worker) as pipe:
        _send(pipe, SearchOrder(1, nesting, seed + APART, bounded=False))
        progress = next(steps, None)
        while progress is not None:
            if best.take(progress.best):
                _send(pipe, Better(1, progress.best))
            theirs = _newest(pipe)
            better = theirs if theirs is not None and best.take(theirs) else None
            assert best.layout is not None
            yield replace(progress, best=best.layout, improved=progress.improved or better is not None)
            progress = _next(steps, better)


def _next(steps: Generator[Progress, Layout | None, None], better: Layout | None) -> Progress | None:
    try:
        return steps.send(better)
    except StopIteration:
        return None


def _send(pipe: Connection, message: SearchOrder | Better) -> None:
    with suppress(OSError):  # a partner that died helps no more; nothing is lost
        pipe.send(message)


def _newest(pipe: Connection) -> Layout | None:
    """The layout reported last; None if there is none."""
    layout = None
    with suppress(EOFError, OSError):
        while pipe.poll():
            report = pipe.recv()
            layout = report.progress.best if isinstance(report, Report) and report.progress else layout
    return layout
