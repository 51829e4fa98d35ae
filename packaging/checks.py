"""The checks of `start.py test`: linters, types, tests, then the built package, installed and used as a maker would."""

import os
import shutil
import tempfile
import time
from pathlib import Path

import environment
from stages import ROOT, clean_environment, side_by_side, stage

DEMO_JOB = "harbour-kitchen-run.toml"
SHEETS = ("layout.json", "bars.pdf", "bars.dxf", "costs.csv", "buy.csv", "templates.pdf", "cut/*.dxf", "cut/*.svg")
# import-linter has no `python -m` form, and its script would break when the project's folder is moved.
LINT_IMPORTS = "from importlinter.cli import lint_imports_command; lint_imports_command()"
LINUX = ROOT / "packaging" / "linux"
MEMORY = Path("/dev/shm")  # a folder in memory, where the system has one
TESTS_WRITE = 2_000_000_000  # bytes that are to be free there: ten times what the tests leave


def run_all(*, full: bool) -> None:
    """Every check in turn; the first that fails ends the program."""
    begun = time.monotonic()
    python = str(environment.PYTHON)
    counts = {"MAKERS_WORKBOOK_FULL_TESTS": "1"} if full else {}  # tests/counts.py
    offscreen = clean_environment(QT_QPA_PLATFORM="offscreen", **counts)
    stage("ruff check", [python, "-m", "ruff", "check"])
    stage("ruff format", [python, "-m", "ruff", "format", "--check"])
    side_by_side(
        {
            # Once, so that the workers find the tests as pytest compiles them and do not each do it.
            "reading the tests": [python, "-m", "pytest", "--collect-only", "-qq"],
            **{f"mypy for {system}": mypy(system) for system in ("linux", "win32", "darwin")},
        },
        surroundings=offscreen,
    )
    stage("lint-imports", [python, "-c", LINT_IMPORTS])
    check_entries(LINUX)
    with tempfile.TemporaryDirectory(prefix="mw-", dir=None if full else memory()) as name:
        tests = [python, "-m", "pytest", "-n", "3", "--dist", "worksteal"]
        stage("pytest", tests, surroundings={**offscreen, "TMPDIR": name}, live=True)
    with tempfile.TemporaryDirectory(prefix="makers-workbook-") as name:
        try_package(Path(name).resolve())
    print(f"All checks passed, {time.monotonic() - begun:.0f} s.")


def check_entries(folder: Path) -> None:
    """Whether the entries for the desktop and for catalogues are as their standards have it, where that can be told."""
    commands = (["desktop-file-validate"], ["appstreamcli", "validate", "--no-net", "--pedantic"])
    for (tool, *words), kind in zip(commands, ("*.desktop", "*.metainfo.xml"), strict=True):
        if shutil.which(tool):
            stage(tool, [tool, *words, *(str(file) for file in sorted(folder.glob(kind)))])


def memory() -> Path | None:
    """A folder in memory with room for what tests write: they wait for a disk a tenth of their time. None where there is none."""
    try:
        roomy = os.access(MEMORY, os.W_OK) and shutil.disk_usage(MEMORY).free > TESTS_WRITE
    except OSError:
        return None
    return MEMORY if roomy else None


def mypy(system: str) -> list[str]:
    """The command that checks types as on a system, with notes of its own on what it has checked."""
    return [str(environment.PYTHON), "-m", "mypy", "--platform", system, "--cache-dir", f".mypy_cache/{system}"]


def try_package(folder: Path) -> None:
    """Builds the wheel, installs it away from the source, and does the main job with it."""
    build = [str(environment.PYTHON), "-m", "build", "--wheel", "--no-isolation", "--outdir", str(folder)]
    stage("wheel", build)
    wheel = next(folder.glob("*.whl"))
    venv = folder / "venv"
    python = environment.python_of(venv)
    environment.make(venv, "fresh environment")
    environment.install(python, "runtime packages", environment.locks("wheel"))
    stage("install the wheel", environment.pip(python, ["--no-deps", "--no-index", str(wheel)]))
    do_main_job(python.with_name("makers-workbook" + (".exe" if os.name == "nt" else "")), folder)


def do_main_job(program: Path, folder: Path) -> None:
    """Goes from the demo job to the sheets that a maker takes to the saw, and looks that each was written."""
    demo = folder / "demo"
    job, sheets = str(demo / DEMO_JOB), demo / "sheets"
    for arguments in (
        ["demo", str(demo)],
        ["check", job],
        ["lay-out", job, "--out", str(sheets), "--seconds", "1"],
        ["templates", job, "--out", str(sheets)],
    ):
        surroundings = clean_environment(QT_QPA_PLATFORM="offscreen")
        stage(f"makers-workbook {arguments[0]}", [str(program), *arguments], folder=folder, surroundings=surroundings)
    lacking = [pattern for pattern in SHEETS if not written(sheets, pattern)]
    if lacking:
        raise SystemExit(f"Failed: the installed program did not write {', '.join(lacking)}, or left it empty.")


def written(folder: Path, pattern: str) -> bool:
    """Whether there are files of this name, none of them empty."""
    files = list(folder.glob(pattern))
    return bool(files) and all(file.stat().st_size > 0 for file in files)
