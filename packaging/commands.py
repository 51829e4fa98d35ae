"""The two commands of `start.py`: `run` opens the program on its demo, `test` checks everything."""

import io
import os
import subprocess
import sys
from collections.abc import Sequence
from pathlib import Path

import checks
import debian
import environment
from stages import clean_environment, stage

USAGE = """Usage: python3 packaging/start.py COMMAND
  run [ARGUMENT ...]   open the program, on its demo or with the arguments given
  test [--full]        run every check, then build, install and try the package; --full tries each count at full (hours)
Both first set up all they need, in .venv beside the project."""


def main(arguments: Sequence[str]) -> int:
    """Carries out the command line; the exit code."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")  # a tool's output may hold signs that a Windows pipe cannot
    try:
        match list(arguments):
            case ["run", *rest]:
                return run(rest)
            case ["test"] | ["test", "--full"]:
                return test(full="--full" in arguments)
            case ["-h" | "--help"]:
                print(USAGE)
                return 0
            case _:
                print(USAGE, file=sys.stderr)
                return 2
    except KeyboardInterrupt:
        print("\nStopped.", file=sys.stderr)
        return 130


def run(arguments: Sequence[str]) -> int:
    """Opens the program; where there is no screen to open it on, makes the demo's sheets."""
    debian.require(debian.TO_RUN)
    environment.prepare("run")
    if arguments or has_screen():
        return subprocess.call([str(environment.PYTHON), "-m", "workbook", *arguments], env=clean_environment())
    lay_out_demo(demo_folder())
    return 0


def test(*, full: bool) -> int:
    """Runs every check and tries the built package. `full`: what can be tried any number of times is, as often as it can."""
    debian.require(debian.TO_RUN + debian.TO_TEST)
    environment.prepare("test")
    checks.run_all(full=full)
    return 0


def has_screen() -> bool:
    """Whether a window can be opened; only Linux is asked, as macOS and Windows come with a screen."""
    return sys.platform != "linux" or any(os.environ.get(name) for name in ("DISPLAY", "WAYLAND_DISPLAY"))


def demo_folder() -> Path:
    """Where the demo job goes: the home folder, or .venv where the home cannot be written."""
    try:
        home = Path.home()
    except RuntimeError:
        home = environment.VENV
    writable = home.is_dir() and os.access(home, os.W_OK)
    return (home if writable else environment.VENV) / "makers-workbook-demo"


def lay_out_demo(folder: Path) -> None:
    """Makes the demo's sheets without a window; a demo job that is already there is kept as it is."""
    print("No screen here (DISPLAY and WAYLAND_DISPLAY are not set): making the demo's sheets instead.")
    job, sheets = folder / checks.DEMO_JOB, folder / "sheets"
    workbook = [str(environment.PYTHON), "-m", "workbook"]
    surroundings = clean_environment(QT_QPA_PLATFORM="offscreen")
    if not job.exists():
        stage("demo job", [*workbook, "demo", str(folder)], surroundings=surroundings)
    to_sheets = [str(job), "--out", str(sheets)]
    stage("layout", [*workbook, "lay-out", *to_sheets, "--seconds", "5"], surroundings=surroundings)
    stage("templates", [*workbook, "templates", *to_sheets], surroundings=surroundings)
    print(f"The job is {job}\nThe sheets are in {sheets}")
