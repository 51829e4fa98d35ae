"""The nesting worker: one warm process that searches on demand, reports each improvement and stops when asked.

Messages to it: `SearchOrder` begins a search (dropping the one before), `Better` passes on a layout found elsewhere, `Errand`
runs a short computation, `None` stops a search, closing the pipe ends the process. Messages from it: `Report` and `Answer`.
"""

import os
from collections.abc import Callable
from decimal import Decimal
from multiprocessing import get_context
from multiprocessing.process import BaseProcess

from msgspec import Struct

from workbook.nesting.model import Layout, NestingJob, Progress
from workbook.system.pipes import Connection
from workbook.tasks import compiling
from workbook.tasks.bounding import Bounding
from workbook.tasks.searching import search

_FAULTS = (AssertionError, ValueError, ArithmeticError, MemoryError)
_NICE = 5  # the window and the maker's other programs go first
_FOR_BOUND = 2.0  # s, for the longest piece of work on the bound
_QUIET_STEPS = 20  # steps after which a report goes out even without an improvement


class SearchOrder(Struct, frozen=True):
    """A request to search; its reports carry the same `number`."""

    number: int
    nesting: NestingJob
    seed: int
    bounded: bool = True  # whether a bound is wanted with it


class Better(Struct, frozen=True):
    """A layout that another worker found for the search with this number."""

    number: int
    layout: Layout


class Errand(Struct, frozen=True):
    """A module-level function and its arguments, to run for seconds at most; the answer carries the same `number`."""

    number: int
    run: Callable[..., object]
    arguments: tuple[object, ...]


class Answer(Struct, frozen=True):
    """The result of an errand; `fault` says what went wrong."""

    number: int
    found: object
    fault: str = ""


class Report(Struct, frozen=True):
    """The state of a search; `fault` says what went wrong if it could not continue."""

    number: int
    progress: Progress | None
    bound: tuple[Decimal, str] = (Decimal(0), "area")  # as `Bounding` gives it
    fault: str = ""


def start_worker() -> tuple[BaseProcess, Connection]:
    """Start a worker process; returns it and our end of its pipe. It is a daemon, so it ends with the window."""
    context = get_context("spawn")
    ours, theirs = context.Pipe()
    process = context.Process(target=serve, args=(theirs,), daemon=True, name="nesting")
    process.start()
    theirs.close()
    return process, ours


def serve(pipe: Connection) -> None:
    """Serve messages until the other end closes the pipe."""
    if hasattr(os, "nice"):
        os.nice(_NICE)
    order: SearchOrder | Errand | Better | None = None
    try:
        if compiling.possible() and compiling.ready():
            compiling.load()
        while True:
            if order is None:
                order = pipe.recv()
            elif isinstance(order, Errand):
                _run(pipe, order)
                order = None
            else:
                order = _search(pipe, order) if isinstance(order, SearchOrder) else None
    except (EOFError, OSError, KeyboardInterrupt):
        return


def _run(pipe: Connection, errand: Errand) -> None:
    """Run an errand and send its answer."""
    try:
        pipe.send(Answer(errand.number, errand.run(*errand.arguments)))
    except _FAULTS as trouble:
        pipe.send(Answer(errand.number, None, fault=f"{type(trouble).__name__}: {trouble}"))


def _search(pipe: Connection, order: SearchOrder) -> SearchOrder | Errand | None:
    """Search until a message stops it; returns the next order, or None when it was stopped or is done."""
    try:
        steps = search(order.nesting, order.seed, lambda step: False)
        better: Layout | None = None
        bounding, last_bound = Bounding(order.nesting, _FOR_BOUND), (Decimal(0), "")
        while True:
            progress = steps.send(better)
            better, bound = None, bounding.of(progress.best) if order.bounded else last_bound
            if progress.improved or progress.done or bound != last_bound or progress.step % _QUIET_STEPS == 0:
                pipe.send(Report(order.number, progress, bound))
                last_bound = bound
            if progress.done:
                return None
            if pipe.poll():
                following: SearchOrder | Errand | Better | None = pipe.recv()
                if not isinstance(following, Better):
                    return following
                better = following.layout if following.number == order.number else None
    except _FAULTS as trouble:
        pipe.send(Report(order.number, None, fault=f"{type(trouble).__name__}: {trouble}"))
    return None
