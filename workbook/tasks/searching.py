"""The search for a layout: compiled where that is ready, in plain steps until then."""

from collections.abc import Callable, Generator

from workbook.nesting.aims import aims
from workbook.nesting.model import Layout, NestingJob, Progress
from workbook.nesting.search import layouts, plain_layouts
from workbook.structs import replace
from workbook.tasks import compiling

Stop = Callable[[int], bool]  # called after every step with its number


def search(nesting: NestingJob, seed: int, stop: Stop, *, repeatable: bool = False) -> Generator[Progress, Layout | None, None]:
    """Yield progress after every step until `stop` returns true or nothing is left to gain. Better layouts may be sent in.

    Until the compiled search is ready, plain steps are taken; `repeatable` waits for it, so that the steps are the same on
    every machine.
    """
    if repeatable and compiling.possible():
        compiling.wait()
    steps = _steps(nesting, seed)
    progress = next(steps)
    while True:
        layout = yield progress
        if progress.done or stop(progress.step):
            return
        progress = steps.send(layout)


def _steps(nesting: NestingJob, seed: int) -> Generator[Progress, Layout | None, None]:
    """Steps of the compiled search, preceded by plain ones while it is being compiled."""
    if not compiling.possible():
        for progress in plain_layouts(nesting, seed):
            yield progress
        return
    plain: Progress | None = None
    if not compiling.ready():
        compiling.begin()
        for plain in plain_layouts(nesting, seed):
            busy = compiling.under_way()
            ready = not busy and compiling.ready()
            yield replace(plain, by="waiting" if busy or ready else "plain")
            if plain.done:
                return
            if ready:
                break
    step = plain.step if plain else 0
    searching = layouts(nesting, seed)
    progress = next(searching)
    while True:
        current = replace(progress, step=step + progress.step)
        if plain is not None and aims(nesting, progress.best) > aims(nesting, plain.best):
            current = replace(current, best=plain.best, improved=False)  # until it is better than the plain search was
        else:
            plain = None
        layout = yield current
        if current.done:
            return
        progress = searching.send(layout)
