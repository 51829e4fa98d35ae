"""One command at a time: a short line with its seconds, and a plain statement when it fails."""

import os
import subprocess
import time
from collections.abc import Mapping, Sequence
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
