"""Reading files from strangers in a process of their own, with a limit of memory and time: what harms it harms nothing else."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, ParamSpec, TypeVar

from workbook.problems import JobError, Mistake
from workbook.system.memory import limit_memory

if TYPE_CHECKING:
    from pathlib import Path

    from workbook.system.pipes import Connection

_Taken = ParamSpec("_Taken")
_Made = TypeVar("_Made")

SECONDS = 20.0
_MEMORY = 2_000_000_000  # bytes of addresses, libraries included


def guarded(read: Callable[_Taken, _Made], *taken: _Taken.args, **named: _Taken.kwargs) -> _Made:
    """What a function of a module makes of its arguments, computed in another process.

    Raises the JobError it raised; JobError too when it took too long, too much memory, or died.
    """
    from multiprocessing import get_context  # a file is read: not at every start

    context = get_context("spawn")
    ours, theirs = context.Pipe(duplex=False)
    process = context.Process(target=_serve, args=(theirs, read, taken, named), daemon=True, name="reader")
    process.start()
    theirs.close()
    try:
        if not ours.poll(SECONDS):
            raise JobError([_gave_up(f"takes more than {SECONDS:.0f} s to read")])
        kind, found = ours.recv()
    except EOFError:
        raise JobError([_gave_up("is more than this program can read")]) from None
    finally:
        ours.close()
        process.kill()
        process.join(5)
    if kind == "mistakes":
        raise JobError(found)
    if kind == "fault":
        raise JobError([_gave_up(found)])
    made: _Made = found
    return made


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
    right = "Draw the outline alone in a new file, as lines, arcs or polylines."
    return Mistake(place="file", what=f"{what}.", right=right)


def _serve(pipe: Connection, read: Callable[..., object], taken: tuple[object, ...], named: dict[str, object]) -> None:
    """Reads, and sends what came of it."""
    limit_memory(_MEMORY)  # what a system has no limit for, the time limits
    try:
        pipe.send(("made", read(*taken, **named)))
    except JobError as trouble:
        pipe.send(("mistakes", trouble.mistakes))
    except MemoryError:
        pipe.send(("fault", "is more than this program can read"))
    except Exception as trouble:  # noqa: BLE001  # whatever a stranger's file did to a library
        pipe.send(("fault", f"cannot be read: {type(trouble).__name__}"))
