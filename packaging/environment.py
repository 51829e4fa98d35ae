"""The project's `.venv`: made when it is missing, filled from the lock, left alone while nothing has changed."""

import hashlib
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

from stages import ROOT, stage

VENV = ROOT / ".venv"
LOCK = ROOT / "packaging" / "lock"

NO_PACKAGES = (
    "The packages could not be fetched or did not match the lock. Check the network, the free disk space and "
    "pip's own settings (`python3 -m pip config list`), then start again."
)


def python_of(venv: Path) -> Path:
    """The interpreter of a virtual environment."""
    return venv / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


PYTHON = python_of(VENV)


def prepare(purpose: str) -> None:
    """Makes `.venv` ready to "run" or to "test"."""
    version = usable_version()
    if not version:
        make(VENV, ".venv")
        version = usable_version()
    wanted = fingerprint(version)
    covered = ("run", "test") if purpose == "test" else ("run",)
    if stamp(purpose).is_file() and stamp(purpose).read_text() == wanted:
        return
    for name in ("run", "test"):  # none may stand while the packages are being changed
        stamp(name).unlink(missing_ok=True)
    install(PYTHON, "Python packages", locks(purpose))
    editable = ["--no-deps", "--no-build-isolation", "--editable", str(ROOT)]
    stage("the program itself", pip(PYTHON, editable))
    stage("the search's machine code", [str(PYTHON), "-m", "workbook.tasks.compiling"])
    for name in covered:
        stamp(name).write_text(wanted)


def locks(purpose: str) -> list[Path]:
    """The lock files for a purpose. All are of one resolution, so they can be installed in any order and together."""
    names = {"run": ("runtime", "build"), "test": ("runtime", "test"), "wheel": ("runtime",)}[purpose]
    return [LOCK / f"{name}.txt" for name in names]


def make(venv: Path, name: str) -> None:
    """Makes a virtual environment, empty but for pip, in place of what may be there."""
    stage(name, [sys.executable, "-m", "venv", "--clear", str(venv)], advice="Is its folder writable, the disk full?")


def install(python: Path, name: str, requirements: Sequence[Path]) -> None:
    """Installs locked packages, each checked against its hash."""
    listed = [argument for file in requirements for argument in ("--requirement", str(file))]
    stage(name, pip(python, ["--require-hashes", *listed]), advice=NO_PACKAGES)


def pip(python: Path, arguments: Sequence[str]) -> list[str]:
    """A command line of `pip install`."""
    quiet = ["--quiet", "--no-input", "--disable-pip-version-check"]
    return [str(python), "-m", "pip", "install", *quiet, *arguments]


def usable_version() -> str:
    """Which Python `.venv` holds; nothing when it is absent, broken, too old or without pip."""
    question = "import sys, pip; print(sys.version if sys.version_info >= (3, 11) else '')"
    try:
        answer = subprocess.run([PYTHON, "-c", question], cwd=ROOT, capture_output=True, text=True)
    except OSError:
        return ""
    return answer.stdout.strip() if answer.returncode == 0 else ""


def fingerprint(version: str) -> str:
    """A hash of all that decides what `.venv` should hold, its place included: the program is linked by its path."""
    total = hashlib.sha256(f"{version}\n{ROOT}\n".encode())
    catalogues = (ROOT / "resources" / "languages").glob("*.po")  # what is read is made of them when it is installed
    for file in (ROOT / "pyproject.toml", *sorted(LOCK.glob("*.txt")), *sorted(catalogues)):
        total.update(file.read_bytes())
    return total.hexdigest()


def stamp(purpose: str) -> Path:
    """The file that says for which fingerprint `.venv` is ready."""
    return VENV / f"ready-to-{purpose}"
