"""Where the search's machine code is kept: one folder for each state of what it depends on, so that programs never share it.

Numba's files name the classes of the code they were compiled from: code in which a class has another name cannot read them.
"""

import hashlib
import os
import platform
import sys
from contextlib import suppress
from functools import cache
from importlib.metadata import version
from pathlib import Path
from shutil import rmtree

from workbook.paths import own_cache

_MOST = 3  # folders kept of other programs or older versions: several may be used in turn


@cache
def fingerprint() -> str:
    """A hash of all that the machine code and its place depend on."""
    engine = Path(__file__).parent / "nesting" / "engine"
    total = hashlib.sha256(f"{engine}\n".encode())
    for part in (version("numba"), version("llvmlite"), version("numpy"), sys.version, platform.machine(), platform.processor()):
        total.update(f"{part}\n".encode())
    for file in sorted(engine.glob("*.py")):
        total.update(file.read_bytes())
    return total.hexdigest()


def has_place() -> bool:
    """Whether this user has a place for machine code; called often, so without the fingerprint."""
    return own_cache("kernels") is not None


def folder() -> Path | None:
    """The folder of this program's machine code, created if missing; None where the user has no such place."""
    return own_cache("kernels", fingerprint()[:16])


def forget_old() -> None:
    """Remove machine code of programs that were not compiled lately, and the files that older ones kept beside the folders."""
    place = own_cache("kernels")
    if place is None:
        return
    with suppress(OSError), os.scandir(place) as entries:
        contents = list(entries)
        old = sorted(
            (entry for entry in contents if entry.is_dir(follow_symlinks=False)), key=lambda entry: entry.stat().st_mtime
        )
        for entry in old[: -(_MOST + 1)]:
            rmtree(entry.path, ignore_errors=True)
        for entry in contents:
            if entry.is_file(follow_symlinks=False) and entry.name.endswith((".nbi", ".nbc", ".ready")):
                with suppress(OSError):
                    Path(entry.path).unlink()
