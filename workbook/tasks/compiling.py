"""The compiled search's machine code: made once on a machine, by processes of their own, and kept in the user's cache.

`python -m workbook.tasks.compiling` makes what is missing; the set-up runs it, and a search that finds nothing compiled
starts it and works with the plain search meanwhile.
"""

import hashlib
import importlib.util
import os
import platform
import subprocess
import sys
from collections.abc import Sequence
from functools import cache
from importlib.metadata import version
from pathlib import Path

from workbook.paths import own_cache

HALVES = ("separation", "the rest")  # as workbook.nesting.engine.warm has them; importing it takes a third of a second
_NAME = "workbook.tasks.compiling"
_going: dict[str, subprocess.Popen[bytes]] = {}  # started by this process
_WITHOUT = "MAKERS_WORKBOOK_PLAIN_SEARCH"  # set to work as on a machine for which there is no compiler


def possible() -> bool:
    """Whether this machine has the compiler, and this user a place to keep what it makes: each time would take too long."""
    return not os.environ.get(_WITHOUT) and importlib.util.find_spec("numba") is not None and _kept() is not None


def ready() -> bool:
    """Whether all is compiled for this program, this Python and this machine."""
    return not missing()


def missing() -> list[str]:
    """Halves that are still to be compiled."""
    kept = _kept()
    return [half for half in HALVES if kept is None or not (kept / _mark(half)).is_file()]


def begin() -> list[subprocess.Popen[bytes]]:
    """Starts a process for each half that is missing, unless one is at it; they go on when this process ends."""
    quiet = subprocess.DEVNULL
    for half in missing():
        if half not in _going:
            command = [sys.executable, "-m", _NAME, half]
            _going[half] = subprocess.Popen(command, stdin=quiet, stdout=quiet, stderr=quiet)
    return list(_going.values())


def load() -> None:
    """Loads what is compiled, so that a search begins at once; compiles in this process what is missing."""
    from workbook.nesting.engine.warm import compile_all

    compile_all()


@cache
def fingerprint() -> str:
    """A hash of all that decides the machine code and where it is kept."""
    engine = Path(__file__).parents[1] / "nesting" / "engine"
    total = hashlib.sha256(f"{engine}\n".encode())
    for part in (version("numba"), version("llvmlite"), version("numpy"), sys.version, platform.machine(), platform.processor()):
        total.update(f"{part}\n".encode())
    for file in sorted(engine.glob("*.py")):
        total.update(file.read_bytes())
    return total.hexdigest()


def _kept() -> Path | None:
    return own_cache("kernels")


def _mark(half: str) -> str:
    return f"{half}-{fingerprint()[:16]}.ready"


def compile_half(half: str) -> None:
    """Compiles one half here and leaves word of it."""
    from workbook.nesting.engine import warm

    warm.compile_half(half)
    kept = _kept()
    if kept is not None:
        (kept / _mark(half)).touch()


def main(arguments: Sequence[str]) -> int:
    """Compiles the half named, or all that is missing side by side."""
    if arguments:
        os.umask(0o077)  # what others could write is not used
        compile_half(arguments[0])
        return 0
    return max((process.wait() for process in begin()), default=0) if possible() else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
