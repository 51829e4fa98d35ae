"""Every write on disks that are full at each size: a first start, edits, publishing. Needs Linux and the right to mount.

Run it for all: `python tests/storage/small_disks.py`. A disk has blocks of 1 KiB and from 0 to 128 KiB free. The work runs in a
process of its own, so that one that the system kills is seen. Then space is made, and the next start must find all that was
acknowledged.
"""

import argparse
import os
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

_SIZE = 3_000  # KiB of a disk
_WORK = """
import sys
from pathlib import Path
from workbook.storage.trouble import StorageTrouble
from workbook.tasks.starting import opening_ended, start_usual
from workbook.document.records import SettingsRecord
from workbook.document.action import said
from workbook.document.document import replacing
from workbook.structs import replace
kept = 0
try:
    session = start_usual().session
    opening_ended()
    for n in range(1, 60):
        document = session.document
        settings = replace(document.settings, name=f"name {n}", address="x" * (n * 97 % 900))
        session.edit(replacing(document, said("name"), [settings]), "2026-01-02")
        print("kept", n, flush=True)
        if n % 10 == 5:
            session.save_as(Path(sys.argv[1])) if session.path is None else session.publish()
            print("published", n, flush=True)
except StorageTrouble as trouble:
    print("told", trouble, flush=True)
"""
_NEXT = """
import sys
from workbook.tasks.starting import opening_ended, start_usual
start = start_usual()
opening_ended()
print(start.session.document.settings.name.split()[1], start.not_opened, len(start.unreadable))
"""


@contextmanager
def disk(place: Path, blocks: int) -> Iterator[None]:
    """A disk of its own at a place, with blocks of so many bytes."""
    image = place.with_name(f"{place.name}.img")
    with image.open("wb") as file:
        file.truncate(_SIZE * 1024)
    place.mkdir()
    subprocess.run(["mkfs.ext4", "-q", "-b", str(blocks), "-N", "128", "-m", "0", "-O", "^has_journal", image], check=True)
    subprocess.run(["mount", "-o", "loop", image, place], check=True, capture_output=True)
    try:
        yield
    finally:
        subprocess.run(["umount", "-l", place], check=True)


def leave(place: Path, free: int) -> Path:
    """Fills a disk until so many KiB are free; the file that does."""
    ballast = place / "ballast"
    status = os.statvfs(place)
    with ballast.open("wb", buffering=0) as file:
        left = status.f_bavail * status.f_frsize - free * 1024
        while left > 0:
            try:
                left -= file.write(bytes(min(left, 65536)))
            except OSError:
                break
    return ballast


def worked(code: str, data: Path, *given: str) -> subprocess.CompletedProcess[str]:
    """A piece of work in a process of its own."""
    env = {**os.environ, "MAKERS_WORKBOOK_DATA": str(data), "PYTHONPATH": str(ROOT)}
    return subprocess.run([sys.executable, "-c", code, *given], env=env, capture_output=True, text=True, timeout=120)


def faults(place: Path, free: int, *, begun: bool) -> list[str]:
    """What goes wrong on a disk with so many KiB free; `begun`: work was begun on it while there was room."""
    data, found = place / "data", []
    if begun:
        worked(_NEXT, data)
    ballast = leave(place, free)
    done = worked(_WORK, data, str(place / "shop.shopbook"))
    lines = done.stdout.splitlines()
    if done.returncode:
        found.append(f"ended with {done.returncode}: {done.stderr.strip().splitlines()[-1:]}")
    told = [line for line in lines if line.startswith("told")]
    found += [f"told what is untrue: {line}" for line in told if "full" not in line]
    kept = max((int(line.split()[1]) for line in lines if line.startswith("kept")), default=0)
    ballast.unlink()
    after = worked(_NEXT, data)
    if after.returncode:
        return [*found, f"the next start: {after.stderr.strip().splitlines()[-1:]}"]
    name, not_opened, unreadable = after.stdout.split()
    if (not_opened, unreadable) != ("None", "0"):
        found.append(f"the next start: {after.stdout.strip()}")
    if kept and name != str(kept):
        found.append(f"{kept} kept, {name} found")
    return found


def run(sizes: list[int], blocks: int) -> list[str]:
    """All of it on disks with so many KiB free; what went wrong."""
    wrong = []
    for free in sizes:
        for begun in (False, True):
            with tempfile.TemporaryDirectory() as folder, disk(Path(folder) / "disk", blocks):
                what = f"{free} KiB, {'work begun' if begun else 'a first start'}"
                wrong += [f"{what}: {fault}" for fault in faults(Path(folder) / "disk", free, begun=begun)]
    return wrong


def main() -> None:
    """Tries so many sizes and tells."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--every", type=int, default=2, help="KiB between two sizes")
    given = options.parse_args()
    wrong = run(list(range(0, 129, given.every)), 1024)
    print("\n".join(wrong))
    print(f"{2 * len(range(0, 129, given.every))} pieces of work on full disks, {len(wrong)} faults")
    sys.exit(bool(wrong))


if __name__ == "__main__":
    main()
