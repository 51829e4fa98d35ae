"""Kills of a first start, 5 ms apart: whatever moment it dies at, the next start comes with work and nothing half-made is left.

Run it for all of them: `python tests/storage/first_starts.py --count 200`. Half the moments count from the start of the process,
half from the first file it makes in its data folder.
"""

import argparse
import os
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

_NEXT = """
from workbook.tasks.starting import start_usual
start = start_usual()
assert start.session.document.settings.name, "no work"
print(len(list(start.session.document.records)), len(start.unreadable), start.not_opened)
start.session.close()
"""


def surroundings(data: Path) -> dict[str, str]:
    """The environment of a start with its own data folder, offscreen."""
    return {**os.environ, "MAKERS_WORKBOOK_DATA": str(data), "QT_QPA_PLATFORM": "offscreen", "PYTHONPATH": str(ROOT)}


def killed(data: Path, after: float, *, from_first_file: bool) -> bool:
    """A first start killed so many seconds after it began, or after its first file; whether it lived so long."""
    process = subprocess.Popen([sys.executable, "-m", "workbook"], env=surroundings(data), stderr=subprocess.DEVNULL)
    until = time.monotonic() + 30
    while from_first_file and not data.exists() and process.poll() is None and time.monotonic() < until:
        time.sleep(0.0005)
    time.sleep(after)
    lived = process.poll() is None
    process.send_signal(signal.SIGKILL)
    process.wait()
    return lived


def faults(data: Path) -> list[str]:
    """What is wrong with the next start; it must find work that can be read, and leave no half-made session."""
    done = subprocess.run([sys.executable, "-c", _NEXT], env=surroundings(data), capture_output=True, text=True, timeout=60)
    if done.returncode:
        return [done.stderr.strip().splitlines()[-1]]
    records, unreadable, not_opened = done.stdout.split(maxsplit=2)
    found = [] if int(records) > 10 or not_opened.strip() != "None" else [f"only {records} records"]
    found += [f"{unreadable} sessions cannot be read"] if unreadable != "0" else []
    return found + [f"{file.name} is left" for file in (data / "sessions").glob("*-begun*")]


def run(count: int, step: float = 0.005) -> list[str]:
    """So many first starts killed; what was wrong with the next."""
    wrong = []
    for n in range(count):
        with tempfile.TemporaryDirectory() as folder:
            data = Path(folder) / "data"
            killed(data, n // 2 * step, from_first_file=n % 2 == 1)
            wrong += [f"kill {n}: {fault}" for fault in faults(data)]
    return wrong


def main() -> None:
    """Kills so many and tells."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--count", type=int, default=200)
    given = options.parse_args()
    wrong = run(given.count)
    print("\n".join(wrong))
    print(f"{given.count} first starts killed, {len(wrong)} faults")
    sys.exit(bool(wrong))


if __name__ == "__main__":
    main()
