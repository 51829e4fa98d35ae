"""The compiled search's machine code: made once on a machine, by separate processes, and kept in the user's cache.

`python -m workbook.tasks.compiling` makes what is missing, only once even if several processes ask for it: it holds a lock and
starts a process for each half. The set-up runs it. A search that finds nothing compiled starts it and takes plain steps
meanwhile; it continues after the command or window that started it has ended.
"""

import importlib.util
import os
import subprocess
import sys
import time
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from workbook import machine_code
from workbook.later import modules
from workbook.system.locks import Lock
from workbook.system.processes import alone

if TYPE_CHECKING:
    from workbook.nesting.engine import warm
else:
    (warm,) = modules("nesting.engine.warm")

HALVES = ("separation", "the rest")  # as workbook.nesting.engine.warm has them; importing it takes a third of a second
_NAME = "workbook.tasks.compiling"
_LOOK = 0.1  # s between two looks at the lock
_begun: subprocess.Popen[bytes] | None = None  # by this process
_WITHOUT = "MAKERS_WORKBOOK_PLAIN_SEARCH"  # set to work as on a machine for which there is no compiler


def possible() -> bool:
    """Whether this machine has the compiler and this user a place to keep its output: compiling each time takes too long."""
    return not os.environ.get(_WITHOUT) and importlib.util.find_spec("numba") is not None and machine_code.has_place()


def ready() -> bool:
    """Whether all is compiled for this program, this Python and this machine."""
    return not missing()


def missing() -> list[str]:
    """Halves that are still to be compiled."""
    folder = _kept()
    return [half for half in HALVES if folder is None or not (folder / _mark(half)).is_file()]


def begin() -> None:
    """Start compiling what is missing, unless that is under way; it continues when this process ends."""
    global _begun
    if missing() and not under_way():
        quiet = subprocess.DEVNULL
        _begun = subprocess.Popen([sys.executable, "-m", _NAME], stdin=quiet, stdout=quiet, stderr=quiet, **alone())


def under_way() -> bool:
    """Whether any process is compiling for this user."""
    if _begun is not None and _begun.poll() is None:
        return True
    lock = _lock()
    try:
        return lock is not None and not lock.free()
    except OSError:
        return False


def wait() -> None:
    """Start compiling what is missing and wait until nothing is under way any more."""
    begin()
    while under_way():
        time.sleep(_LOOK)


def load() -> None:
    """Load what is compiled, so that a search begins at once; compile what is missing in this process."""
    warm.compile_all()


def _kept() -> Path | None:
    return machine_code.folder()


def _mark(half: str) -> str:
    return f"{half}.ready"


def compile_half(half: str) -> None:
    """Compile one half in this process and mark it as ready."""
    warm.compile_half(half)
    folder = _kept()
    if folder is not None:
        (folder / _mark(half)).touch()


def compile_missing() -> int:
    """Compile what is missing, the halves side by side; waits while another process does it. Returns the exit code."""
    lock = _lock()
    while lock is not None and missing():
        if not lock.take():
            time.sleep(_LOOK)
            continue
        try:
            halves = [subprocess.Popen([sys.executable, "-m", _NAME, half]) for half in missing()]
            exit_code = max((half.wait() for half in halves), default=0)
            machine_code.forget_old()
            return exit_code
        finally:
            lock.leave()
    return 0


def _lock() -> Lock | None:
    folder = _kept()
    return None if folder is None else Lock(folder / "compiling.lock")


def main(arguments: Sequence[str]) -> int:
    """Compile the half named, or all that is missing. Returns the exit code."""
    if arguments:
        os.umask(0o077)  # files that others could write are not used
        compile_half(arguments[0])
        return 0
    return compile_missing() if possible() else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
