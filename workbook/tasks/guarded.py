"""Reading files from strangers in separate processes with limits on memory and time, so that a bad file harms nothing else."""

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
else:  # needed only when a file is read, not at every start
    multiprocessing, connection = library("multiprocessing"), library("multiprocessing.connection")

_Taken = ParamSpec("_Taken")
_Made = TypeVar("_Made")

SECONDS = 20.0  # for one file
_MEMORY = 2_000_000_000  # bytes of address space, libraries included
_LOOK = 0.1  # s between checks that the result is still wanted
_given_up: ContextVar[Event | None] = ContextVar("given_up", default=None)


class GivenUp(Exception):
    """The caller no longer wants the result. Nothing has changed."""


@contextmanager
def given_up_by(event: Event) -> Iterator[None]:
    """Give up reading in this thread, within this context, as soon as the event is set."""
    before = _given_up.set(event)
    try:
        yield
    finally:
        _given_up.reset(before)


def still_wanted() -> None:
    """Raise GivenUp if the result is no longer wanted."""
    event = _given_up.get()
    if event is not None and event.is_set():
        raise GivenUp


def guarded(read: Callable[_Taken, _Made], *taken: _Taken.args, **named: _Taken.kwargs) -> _Made:
    """Call a module-level function in another process and return its result.

    Raises the JobError that it raised; JobError also if it took too long, used too much memory or died; GivenUp.
    """
    (result,) = guarded_all(partial(read, **named), [taken])
    if isinstance(result, JobError):
        raise result
    return result


def guarded_all(read: Callable[..., _Made], calls: Sequence[tuple[Any, ...]], worth: int | None = None) -> list[_Made | JobError]:
    """The same for several calls; a JobError takes the place of the result of a failed call.

    With one process for each core, or for so many as are `worth` their start.
    """
    numbered, results = list(enumerate(calls)), dict[int, _Made | JobError]()
    most = min(cores(), len(numbered), len(numbered) if worth is None else worth)
    readers = [_ReaderProcess(read, numbered[k::most]) for k in range(most)]
    try:
        while readers:
            for reader in _with_news(readers):
                number, result = reader.next()
                results[number] = result
                if reader.over or not reader.waiting:
                    reader.end()
                    readers.remove(reader)
                    readers += [_ReaderProcess(read, reader.waiting)] if reader.waiting else []
    finally:
        for reader in readers:
            reader.end()
    return [results[number] for number, _ in numbered]


def _context() -> SpawnContext:
    """The start method for readers, which inherit nothing from this process."""
    return multiprocessing.get_context("spawn")


class _ReaderProcess:
    """A process that runs the calls it was given, one after another."""

    def __init__(self, read: Callable[..., Any], calls: Sequence[tuple[int, tuple[Any, ...]]]) -> None:
        self.waiting, self.over = deque(calls), False
        self.until = monotonic() + SECONDS
        context = _context()
        self.pipe, theirs = context.Pipe(duplex=False)
        self._process = context.Process(
            target=_serve, args=(theirs, read, [arguments for _, arguments in calls]), daemon=True, name="reader"
        )
        self._process.start()
        theirs.close()

    def next(self) -> tuple[int, Any]:
        """The number of the next call and its result; sets `over` if nothing more will come."""
        number, _unused = self.waiting.popleft()
        try:
            if not self.pipe.poll():
                self.over = True
                return number, JobError([_gave_up(_("takes more than {seconds:.0f} s to read", seconds=SECONDS))])
            kind, result = self.pipe.recv()
        except EOFError:
            self.over = True
            return number, JobError([_gave_up(_("is more than this program can read"))])
        self.until = monotonic() + SECONDS
        if kind == "mistakes":
            return number, JobError(result)
        return number, JobError([_gave_up(result)]) if kind == "fault" else result

    def end(self) -> None:
        """End the process, even in the middle of a call."""
        self.pipe.close()
        self._process.kill()
        self._process.join(5)


def _with_news(readers: Sequence[_ReaderProcess]) -> list[_ReaderProcess]:
    """Wait for readers that have sent something, ended or taken too long. Raises GivenUp."""
    until, ready = min(reader.until for reader in readers), list[object]()
    while not ready and monotonic() < until:
        still_wanted()
        ready = list(connection.wait([reader.pipe for reader in readers], max(0.0, min(until - monotonic(), _LOOK))))
    return [reader for reader in readers if reader.pipe in ready or monotonic() >= reader.until]


def tried(read: Callable[[Path], object], path: Path) -> None:
    """Read a file in another process and drop the result.

    Raises JobError for one that takes too long, uses too much memory or kills its reader. A file that is merely wrong passes:
    its mistakes are reported when it is read here.
    """
    guarded(_dropped, read, path)


def _dropped(read: Callable[[Path], object], path: Path) -> None:
    try:
        read(path)
    except MemoryError:
        raise
    except Exception:  # noqa: BLE001  # see tried
        return


def _gave_up(reason: str) -> Mistake:
    right = _("Draw only the outline in a new file, as lines, arcs or polylines.")
    return Mistake(place=_("file"), what=_("{finding}.", finding=reason), right=right)


def _serve(pipe: Connection, read: Callable[..., object], calls: Sequence[tuple[object, ...]]) -> None:
    """Run each call and send its result."""
    collect_seldom()
    limit_memory(_MEMORY)  # where a system has no such limit, the time limit has to do
    for arguments in calls:
        try:
            pipe.send(("made", read(*arguments)))
        except JobError as trouble:
            pipe.send(("mistakes", trouble.mistakes))
        except MemoryError:
            pipe.send(("fault", _("is more than this program can read")))
        except Exception as trouble:  # noqa: BLE001  # whatever a stranger's file did to a library
            pipe.send(("fault", _("cannot be read: {name}", name=type(trouble).__name__)))
