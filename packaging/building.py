"""The steps of `build.py`: an environment from the lock, the wheel, the program in one folder, then what this system is given."""

import argparse
import os
import shutil
import subprocess
import sys
import sysconfig
from collections.abc import Sequence
from pathlib import Path

import debian
import environment
from stages import ROOT, clean_environment, stage

HOME = ROOT / ".build"
VENV = HOME / "venv"
FOLDER = HOME / "dist" / "makers-workbook"  # the program, as PyInstaller leaves it
OUT = HOME / "out"
PYTHON = environment.python_of(VENV)
TO_BUILD = ["binutils", "dpkg-dev", "xz-utils", "desktop-file-utils", "appstream", f"libpython3.{sys.version_info.minor}"]
_DEBIANS_OWN = Path("/usr/bin/python3")
_NOT_SHARED = (
    "This Python was built without its library, and the packed program needs that. Start again with "
    "/usr/bin/python3 packaging/build.py, or with a Python built with --enable-shared."
)


def main(arguments: Sequence[str]) -> int:
    """Makes the packed program and what it is given as; the exit code."""
    options = _parser().parse_args(arguments)
    if not sysconfig.get_config_var("Py_ENABLE_SHARED") and sys.platform == "linux":
        return _again(arguments)
    if sys.platform == "linux":
        debian.require([*debian.TO_RUN, *TO_BUILD])
    _prepare()
    settings = clean_environment(SOURCE_DATE_EPOCH=str(_when()), PYTHONHASHSEED="1", PYTHONDONTWRITEBYTECODE="1")
    script = ROOT / "packaging" / "packing.py"
    given = ["--out", str(options.out.resolve()), "--pictures-at", options.pictures_at]
    stage("the packed program", [str(PYTHON), str(script), *given], surroundings=settings, live=True)
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(prog="python3 packaging/build.py", description=__doc__)
    parser.add_argument("--out", type=Path, default=OUT, metavar="DIR", help="where it goes; .build/out unless given")
    words = "the web address under which packaging/pictures can be seen; without one the catalogue entry has no pictures"
    parser.add_argument("--pictures-at", default="", metavar="ADDRESS", help=words)
    return parser


def _again(arguments: Sequence[str]) -> int:
    """The same with Debian's own Python, which has its library."""
    asked = "import sys, sysconfig; print(sys.version_info >= (3, 11) and bool(sysconfig.get_config_var('Py_ENABLE_SHARED')))"
    if not _DEBIANS_OWN.exists() or Path(sys.executable).resolve() == _DEBIANS_OWN.resolve():
        raise SystemExit(_NOT_SHARED)
    answer = subprocess.run([_DEBIANS_OWN, "-c", asked], capture_output=True, text=True, env=clean_environment())
    if answer.stdout.strip() != "True":
        raise SystemExit(_NOT_SHARED)
    return subprocess.call([_DEBIANS_OWN, str(ROOT / "packaging" / "build.py"), *arguments], env=clean_environment())


def _prepare() -> None:
    """The environment that is packed: the locked packages, and the program as a wheel of this source."""
    ready, wanted = VENV / "ready", environment.fingerprint(sys.version)
    if not ready.is_file() or ready.read_text() != wanted:
        environment.make(VENV, "environment to pack")
        environment.install(PYTHON, "Python packages", [environment.LOCK / "pack.txt"])
        ready.write_text(wanted)
    wheels = HOME / "wheel"
    shutil.rmtree(wheels, ignore_errors=True)
    stage("wheel", [str(PYTHON), "-m", "pip", "wheel", "-q", "--no-deps", "--no-build-isolation", "-w", str(wheels), str(ROOT)])
    (wheel,) = wheels.glob("*.whl")
    stage("the program itself", environment.pip(PYTHON, ["--no-deps", "--no-index", "--force-reinstall", str(wheel)]))


def _when() -> int:
    """The time that all files get, in seconds of 1970: that of the commit, so that the same commit gives the same bytes."""
    given = os.environ.get("SOURCE_DATE_EPOCH", "")
    if given.isdigit():
        return int(given)
    asked = ["git", "log", "-1", "--format=%ct"]
    try:
        answer = subprocess.run(asked, cwd=ROOT, capture_output=True, text=True)
    except OSError:
        answer = None
    told = answer.stdout.strip() if answer else ""
    return int(told) if told.isdigit() else int((ROOT / "pyproject.toml").stat().st_mtime)
