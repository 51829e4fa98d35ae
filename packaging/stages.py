"""Commands, one at a time or some side by side: a short line with the seconds of each, and a plain statement when one fails."""

import os
import subprocess
import time
from collections.abc import Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent


def clean_environment(**settings: str) -> dict[str, str]:
    """This process's environment with `settings`, less what would lead Python to modules from elsewhere, or keep it from writing
    down what it compiled: tests start hundreds of processes, and each would compile the program again.
    """
    dropped = ("PYTHONPATH", "PYTHONHOME", "PYTHONDONTWRITEBYTECODE")
    kept = {name: value for name, value in os.environ.items() if name not in dropped}
    return {**kept, **settings}


def attempt(
    name: str,
    command: Sequence[str],
    *,
    folder: Path = ROOT,
    surroundings: Mapping[str, str] | None = None,
    live: bool = False,
) -> int:
    """Runs `command`, quietly unless `live`, and prints its seconds; when it fails, all that it said. Its exit code."""
    print(f"{name} ...", end="\n" if live else " ", flush=True)
    begun = time.monotonic()
    done = subprocess.run(
        command,
        cwd=folder,
        env=clean_environment() if surroundings is None else surroundings,
        stdin=subprocess.DEVNULL,
        stdout=None if live else subprocess.PIPE,
        stderr=None if live else subprocess.STDOUT,
        text=True,
        errors="replace",
    )
    outcome = "failed, " if done.returncode else f"{name}: " if live else ""
    print(f"{outcome}{time.monotonic() - begun:.1f} s", flush=True)
    if done.returncode and done.stdout:
        print(done.stdout.rstrip(), flush=True)
    return done.returncode


def stage(
    name: str,
    command: Sequence[str],
    *,
    folder: Path = ROOT,
    surroundings: Mapping[str, str] | None = None,
    live: bool = False,
    advice: str = "",
) -> None:
    """Runs `command` as `attempt` does; when it fails, says so with `advice` and ends the program."""
    code = attempt(name, command, folder=folder, surroundings=surroundings, live=live)
    if code:
        raise SystemExit(f"Failed: {name} (exit code {code}). {advice}".rstrip())


def side_by_side(commands: Mapping[str, Sequence[str]], *, surroundings: Mapping[str, str] | None = None) -> None:
    """Runs commands by their names, as many at once as there are processors; when some fail, ends the program, naming them."""

    def run(command: Sequence[str]) -> tuple[subprocess.CompletedProcess[str], float]:
        begun = time.monotonic()
        settings = clean_environment() if surroundings is None else surroundings
        done = subprocess.run(
            command,
            cwd=ROOT,
            env=settings,
            stdin=subprocess.DEVNULL,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            errors="replace",
            check=False,
        )
        return done, time.monotonic() - begun

    failed = []
    with ThreadPoolExecutor(os.cpu_count() or 1) as pool:
        for name, (done, seconds) in zip(commands, pool.map(run, commands.values()), strict=True):
            print(f"{name} ... {'failed, ' if done.returncode else ''}{seconds:.1f} s", flush=True)
            if done.returncode:
                print(done.stdout.rstrip(), flush=True)
                failed.append(f"{name} (exit code {done.returncode})")
    if failed:
        raise SystemExit(f"Failed: {', '.join(failed)}.")
