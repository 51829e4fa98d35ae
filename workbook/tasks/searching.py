"""The search for a layout: compiled where that is there, by plain steps until it is."""

from collections.abc import Callable, Generator

from workbook.nesting.aims import aims
from workbook.nesting.model import Layout, NestingJob, Progress
from workbook.nesting.search import layouts, plain_layouts
from workbook.structs import replace
from workbook.tasks import compiling

Stop = Callable[[int], bool]  # asked after every step, with its number


def search(nesting: NestingJob, seed: int, stop: Stop, *, repeatable: bool = False) -> Generator[Progress, Layout | None, None]:
    """Progress after every step until `stop` says so or nothing is left to gain. Layouts found elsewhere may be sent in.

    Where nothing is compiled yet, plain steps are taken until it is; with `repeatable` it is waited for, so that the steps
    are the same on every machine.
    """
    if repeatable and compiling.possible():
        compiling.wait()
    steps = _steps(nesting, seed)
    progress = next(steps)
    while True:
        sent = yield progress
        if progress.done or stop(progress.step):
            return
        progress = steps.send(sent)


def _steps(nesting: NestingJob, seed: int) -> Generator[Progress, Layout | None, None]:
    """Steps of the compiled search, with plain ones before them while it is being compiled."""
    if not compiling.possible():
        for progress in plain_layouts(nesting, seed):
            yield progress
        return
    plain: Progress | None = None
    if not compiling.ready():
        compiling.begin()
        for plain in plain_layouts(nesting, seed):
            going = compiling.under_way()
            there = not going and compiling.ready()
            yield replace(plain, by="waiting" if going or there else "plain")
            if plain.done:
                return
            if there:
                break
    step = plain.step if plain else 0
    searching = layouts(nesting, seed)
    progress = next(searching)
    while True:
        found = replace(progress, step=step + progress.step)
        if plain is not None and aims(nesting, progress.best) > aims(nesting, plain.best):
            found = replace(found, best=plain.best, improved=False)  # until it is better than the plain search was
        else:
            plain = None
        sent = yield found
        if found.done:
            return
        progress = searching.send(sent)
