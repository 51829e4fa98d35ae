"""Simulated power cuts: `python tests/storage/power.py --count 400`. Needs strace (Linux).

A process works on a workbook under strace. Then the disk is rebuilt as a power cut at a random moment may leave it: what was
synced is there, of what was written after the last sync of its file any part may be, also single sectors of it. Names (made,
renamed, removed) are taken to be kept in their order, as a journalling file system does. Nothing acknowledged may be missing.
The same with syncing switched off must lose something: else the test sees nothing.
"""

import argparse
import random
import re
import subprocess
import sys
import tempfile
from dataclasses import dataclass, field
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.storage.kills import replayed
from workbook.storage.file import read
from workbook.storage.opening import recover
from workbook.storage.trouble import StorageTrouble
from workbook.storage.unsaved import sessions

SCRIPT = """
import os, sys
sys.path.insert(0, sys.argv[3])
from pathlib import Path
from tests.storage.conftest import putting
from workbook.storage.opening import begin
session = begin(Path(sys.argv[1]) / "sessions")
if sys.argv[2] == "off":
    session._database._at.execute("PRAGMA synchronous=OFF")
for n in range(1, 31):
    session.edit(putting(session.document, n % 7, n + 100), "2026-11-27T10:00")
    os.write(9, b"e %d\\n" % session._changed)
    if n % 10 == 0:
        session.save_as(Path(sys.argv[1]) / "shop.shopbook")
        os.write(9, b"p %d\\n" % session._changed)
"""
SECTOR = 512
CALL = re.compile(r"^\d+ +(\w+)\((.*)\) += (-?\d+)")
TEXT = re.compile(r'"((?:\\x[0-9a-f]{2})*)"')


@dataclass
class Disk:
    """What is durable of every file, and what was written since its last sync."""

    durable: dict[str, bytearray] = field(default_factory=dict)
    waiting: dict[str, list[tuple[int, bytes | None]]] = field(default_factory=dict)  # offset and data; None: cut there

    def make(self, path: str) -> None:
        self.durable.setdefault(path, bytearray())
        self.waiting.setdefault(path, [])

    def sync(self, path: str) -> None:
        for change in self.waiting.get(path, []):
            put(self.durable[path], *change)
        self.waiting[path] = []

    def rename(self, old: str, new: str) -> None:
        self.durable[new], self.waiting[new] = self.durable.pop(old), self.waiting.pop(old)

    def link(self, old: str, new: str) -> None:
        self.durable[new], self.waiting[new] = self.durable[old], self.waiting[old]

    def remove(self, path: str) -> None:
        self.durable.pop(path, None)
        self.waiting.pop(path, None)

    def after_a_cut(self, chance: random.Random) -> dict[str, bytes]:
        """Every file, with a random part of what was waiting."""
        found = {}
        for path, durable in self.durable.items():
            made = bytearray(durable)
            for at, data in self.waiting.get(path, []):
                if chance.random() < 0.5:
                    continue
                if data is not None and len(data) > SECTOR and chance.random() < 0.3:
                    sector = chance.randrange(0, len(data), SECTOR)
                    at, data = at + sector, data[sector : sector + SECTOR]
                put(made, at, data)
            found[path] = bytes(made)
        return found


def put(made: bytearray, at: int, data: bytes | None) -> None:
    """Data at a place, or the end there."""
    if data is None:
        del made[at:]
        made.extend(bytes(max(0, at - len(made))))
        return
    made.extend(bytes(max(0, at - len(made))))
    made[at : at + len(data)] = data


def texts(words: str) -> list[bytes]:
    """The texts in a call's arguments."""
    return [bytes.fromhex(text.replace("\\x", "")) for text in TEXT.findall(words)]


def events(folder: Path, syncing: str) -> list[tuple]:
    """What a process did to the files of a folder, and what it acknowledged, in order."""
    log, root = folder / "trace", str(Path(__file__).parents[2])
    calls = "openat,pwrite64,write,fsync,fdatasync,ftruncate,unlink,rename,linkat,close"
    trace = f"strace -f --seccomp-bpf -xx -s 10000000 -o {log} -e trace={calls}"
    command = f"exec 9>/dev/null; exec {trace} {sys.executable} -c '{SCRIPT}' {folder} {syncing} {root}"
    subprocess.run(["bash", "-c", command], check=True)
    found: list[tuple] = []
    names: dict[int, str] = {}
    places: dict[int, int] = {}
    for line in log.read_text(errors="replace").splitlines():
        seen = CALL.match(line)
        if seen and int(seen[3]) >= 0:
            found += list(event(seen[1], seen[2], int(seen[3]), names, places, str(folder)))
    return found


def event(call: str, words: str, result: int, names: dict[int, str], places: dict[int, int], folder: str):
    """A call as an event, if it is about a file of the folder or an acknowledgement."""
    if call == "openat":
        path = texts(words)[0].decode(errors="replace")
        names.pop(result, None)
        if path.startswith(folder) and not path.endswith(("-shm", ".lock", "/trace")):
            names[result], places[result] = path, 0
            yield ("make", path) if "O_CREAT" in words else ("open", path)
            if "O_TRUNC" in words:
                yield "write", path, 0, None
        return
    if call in ("rename", "linkat", "unlink"):
        paths = [text.decode() for text in texts(words)]
        if paths[0].startswith(folder):
            yield (call, *paths)
        return
    handle = int(words.split(",")[0])
    if call == "write" and handle == 9:
        yield ("told", texts(words)[0])
    elif handle in names:
        path = names[handle]
        if call == "pwrite64":
            yield "write", path, int(words.rsplit(",", 1)[1]), texts(words)[0][:result]
        elif call == "write":
            yield "write", path, places[handle], texts(words)[0][:result]
            places[handle] += result
        elif call == "ftruncate":
            yield "write", path, int(words.split(",")[1]), None
        elif call in ("fsync", "fdatasync"):
            yield "sync", path
        else:
            names.pop(handle)


def cut(found: list[tuple], moment: int, chance: random.Random) -> tuple[dict[str, bytes], list[bytes]]:
    """The files after a power cut at a moment, and what had been acknowledged."""
    disk, told = Disk(), []
    for kind, *what in found[:moment]:
        match kind:
            case "make":
                disk.make(what[0])
            case "write":
                disk.make(what[0])
                disk.waiting[what[0]].append((what[1], what[2]))
            case "sync" if what[0] in disk.durable:  # not a folder
                disk.sync(what[0])
            case "rename":
                disk.rename(*what)
            case "linkat":
                disk.link(*what)
            case "unlink":
                disk.remove(what[0])
            case "told":
                told.append(what[0].strip())
    return disk.after_a_cut(chance), told


def lost(files: dict[str, bytes], told: list[bytes], before: Path) -> list[str]:
    """What is wrong after a cut."""
    acknowledged = max((int(line.split()[1]) for line in told if line[:1] == b"e"), default=0)
    saved = max((int(line.split()[1]) for line in told if line[:1] == b"p"), default=0)
    if not acknowledged:
        return []
    with tempfile.TemporaryDirectory() as folder:
        for path, data in files.items():
            there = Path(folder) / Path(path).relative_to(before)
            there.parent.mkdir(parents=True, exist_ok=True)
            there.write_bytes(data)
        try:
            (left,) = sessions(Path(folder) / "sessions")
            session = recover(left.file)
        except (ValueError, StorageTrouble) as trouble:
            return [f"no session: {trouble}"]
        found = [] if session._changed >= acknowledged else [f"{acknowledged} told, {session._changed} kept"]
        if replayed(session.steps, session.done)[-1].records != session.document.records:
            found.append("records are not what the history gives")
        session._database.close()
        session._lock.leave()
        if saved:
            try:
                body = read(Path(folder) / "shop.shopbook").body
                found += [] if len(body.steps) >= saved else [f"saved {saved} told, {len(body.steps)} in the file"]
            except StorageTrouble as trouble:
                found.append(str(trouble))
        return found


def run(count: int, syncing: str, seed: int = 5) -> int:
    """So many cuts; how many lost or damaged something."""
    chance, bad = random.Random(seed), 0
    with tempfile.TemporaryDirectory() as folder:
        found = events(Path(folder), syncing)
        for _ in range(count):
            files, told = cut(found, chance.randrange(5, len(found) + 1), chance)
            wrong = lost(files, told, Path(folder))
            bad += bool(wrong)
            if wrong and syncing == "full":
                print(wrong, flush=True)
    return bad


def main() -> None:
    """Runs both and prints the counts."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--count", type=int, default=400)
    given = options.parse_args()
    bad, unseen = run(given.count, "full"), run(given.count, "off")
    print(f"{given.count} power cuts: {bad} bad; with syncing off, to see that losses are seen: {unseen} bad")
    sys.exit(bool(bad) or not unseen)


if __name__ == "__main__":
    main()
