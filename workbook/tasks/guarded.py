"""Reading files from strangers in processes of their own, with a limit of memory and time: what harms one harms nothing else."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from contextvars import ContextVar
from functools import partial
from time import monotonic
from typing import TYPE_CHECKING, Any, ParamSpec, TypeVar

from workbook.later import library
from workbook.problems import JobError, Mistake
from workbook.system.memory import collect_seldom, limit_memory
from workbook.system.processes import cores
from workbook.texts import _

if TYPE_CHECKING:
    import multiprocessing
    from multiprocessing import connection
    from multiprocessing.context import SpawnContext
    from pathlib import Path
    from threading import Event

    from workbook.system.pipes import Connection
else:  # a file is read: not at every start
    multiprocessing, connection = library("multiprocessing"), library("multiprocessing.connection")

_Taken = ParamSpec("_Taken")
_Made = TypeVar("_Made")

SECONDS = 20.0  # for one file
_MEMORY = 2_000_000_000  # bytes of addresses, libraries included
_LOOK = 0.1  # s between looks whether what is read is still wanted
_given_up: ContextVar[Event | None] = ContextVar("given_up", default=None)


class GivenUp(Exception):
    """Who asked for it does not want it any more. Nothing has changed."""


@contextmanager
def given_up_by(event: Event) -> Iterator[None]:
    """Within it, in this thread, what is read is given up as soon as the event is set."""
    before = _given_up.set(event)
    try:
        yield
    finally:
        _given_up.reset(before)


def still_wanted() -> None:
    """GivenUp where it is not."""
    event = _given_up.get()
    if event is not None and event.is_set():
        raise GivenUp


def guarded(read: Callable[_Taken, _Made], *taken: _Taken.args, **named: _Taken.kwargs) -> _Made:
    """What a function of a module makes of its arguments, computed in another process.

    Raises the JobError it raised; JobError too when it took too long, too much memory, or died; GivenUp.
    """
    (found,) = guarded_all(partial(read, **named), [taken])
    if isinstance(found, JobError):
        raise found
    return found


def guarded_all(read: Callable[..., _Made], given: Sequence[tuple[Any, ...]]) -> list[_Made | JobError]:
    """The same of several, one after another in a process for each core; in place of what raises JobError the error itself."""
    numbered, found = list(enumerate(given)), dict[int, _Made | JobError]()
    most = min(cores(), len(numbered))
    readers = [_ReaderProcess(read, numbered[k::most]) for k in range(most)]
    try:
        while readers:
            for reader in _with_news(readers):
                number, result = reader.next()
                found[number] = result
                if reader.over or not reader.waiting:
                    reader.end()
                    readers.remove(reader)
                    readers += [_ReaderProcess(read, reader.waiting)] if reader.waiting else []
    finally:
        for reader in readers:
            reader.end()
    return [found[number] for number, _ in numbered]


def _context() -> SpawnContext:
    """How a reader is started: nothing of this process is in it."""
    return multiprocessing.get_context("spawn")


class _ReaderProcess:
    """A process that reads what it was given, one after another."""

    def __init__(self, read: Callable[..., Any], given: Sequence[tuple[int, tuple[Any, ...]]]) -> None:
        self.waiting, self.over = deque(given), False
        self.until = monotonic() + SECONDS
        context = _context()
        self.pipe, theirs = context.Pipe(duplex=False)
        self._process = context.Process(
            target=_serve, args=(theirs, read, [taken for _, taken in given]), daemon=True, name="reader"
        )
        self._process.start()
        theirs.close()

    def next(self) -> tuple[int, Any]:
        """The number of the next one and what came of it; `over` where nothing more will come."""
        number, _unused = self.waiting.popleft()
        try:
            if not self.pipe.poll():
                self.over = True
                return number, JobError([_gave_up(_("takes more than {seconds:.0f} s to read", seconds=SECONDS))])
            kind, found = self.pipe.recv()
        except EOFError:
            self.over = True
            return number, JobError([_gave_up(_("is more than this program can read"))])
        self.until = monotonic() + SECONDS
        if kind == "mistakes":
            return number, JobError(found)
        return number, JobError([_gave_up(found)]) if kind == "fault" else found

    def end(self) -> None:
        """Whatever it is doing."""
        self.pipe.close()
        self._process.kill()
        self._process.join(5)


def _with_news(readers: Sequence[_ReaderProcess]) -> list[_ReaderProcess]:
    """Those that have told something, ended, or taken too long; waits for one. GivenUp."""
    until, ready = min(reader.until for reader in readers), list[object]()
    while not ready and monotonic() < until:
        still_wanted()
        ready = list(connection.wait([reader.pipe for reader in readers], max(0.0, min(until - monotonic(), _LOOK))))
    return [reader for reader in readers if reader.pipe in ready or monotonic() >= reader.until]


def tried(read: Callable[[Path], object], path: Path) -> None:
    """Reads a file in another process and drops what came of it: JobError for one that takes too long, too much memory, or
    kills its reader. One that is merely wrong passes: what is wrong is said when it is read here.
    """
    guarded(_dropped, read, path)


def _dropped(read: Callable[[Path], object], path: Path) -> None:
    try:
        read(path)
    except MemoryError:
        raise
    except Exception:  # noqa: BLE001  # see tried
        return


def _gave_up(what: str) -> Mistake:
    right = _("Draw the outline alone in a new file, as lines, arcs or polylines.")
    return Mistake(place="file", what=f"{what}.", right=right)


def _serve(pipe: Connection, read: Callable[..., object], given: Sequence[tuple[object, ...]]) -> None:
    """Reads, and sends what came of each."""
    collect_seldom()
    limit_memory(_MEMORY)  # what a system has no limit for, the time limits
    for taken in given:
        try:
            pipe.send(("made", read(*taken)))
        except JobError as trouble:
            pipe.send(("mistakes", trouble.mistakes))
        except MemoryError:
            pipe.send(("fault", _("is more than this program can read")))
        except Exception as trouble:  # noqa: BLE001  # whatever a stranger's file did to a library
            pipe.send(("fault", _("cannot be read: {name}", name=type(trouble).__name__)))
