"""Where the search's machine code is kept: a folder for all that decides it, so that no program reads what another made.

What numba keeps names the classes of the code it was made of: of code in which one is called otherwise it cannot even be read.
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

_MOST = 3  # kept of other programs, or of this one as it was: several may be used by turns


@cache
def fingerprint() -> str:
    """A hash of all that decides the machine code and where it is kept."""
    engine = Path(__file__).parent / "nesting" / "engine"
    total = hashlib.sha256(f"{engine}\n".encode())
    for part in (version("numba"), version("llvmlite"), version("numpy"), sys.version, platform.machine(), platform.processor()):
        total.update(f"{part}\n".encode())
    for file in sorted(engine.glob("*.py")):
        total.update(file.read_bytes())
    return total.hexdigest()


def has_place() -> bool:
    """Whether this user has a place for machine code; asked often, so without what decides the folder."""
    return own_cache("kernels") is not None


def folder() -> Path | None:
    """The folder of this program's machine code, made where it lacks; None where the user has no such place."""
    return own_cache("kernels", fingerprint()[:16])


def forget_old() -> None:
    """Removes machine code of programs that were not compiled lately, and what older ones kept beside the folders."""
    place = own_cache("kernels")
    if place is None:
        return
    with suppress(OSError), os.scandir(place) as entries:
        found = list(entries)
        old = sorted((entry for entry in found if entry.is_dir(follow_symlinks=False)), key=lambda entry: entry.stat().st_mtime)
        for entry in old[: -(_MOST + 1)]:
            rmtree(entry.path, ignore_errors=True)
        for entry in found:
            if entry.is_file(follow_symlinks=False) and entry.name.endswith((".nbi", ".nbc", ".ready")):
                with suppress(OSError):
                    Path(entry.path).unlink()
