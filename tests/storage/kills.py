"""Kills a working process again and again: `python tests/storage/kills.py --count 200`. Nothing acknowledged may be lost.

After every kill: the session opens, its count of changes is the last acknowledged or one more, its records are what replaying its
history gives, and the file at its path is whole and holds at least what was acknowledged as saved.
"""

import argparse
import os
import random
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from workbook.document.document import Document
from workbook.storage.file import read
from workbook.storage.opening import recover
from workbook.storage.unsaved import sessions

_OF_ONE = 40  # kills of one workbook: its first steps are still kept then
WRITER = Path(__file__).with_name("writer.py")


def killed(folder: Path, file: Path, seed: int, after: float) -> list[bytes]:
    """What a process acknowledged before it was killed, so many seconds after it was ready."""
    get, put = os.pipe()
    command = [sys.executable, str(WRITER), str(folder), str(file), str(seed), "1000000", str(put)]
    process = subprocess.Popen(command, pass_fds=(put,), stderr=subprocess.PIPE)
    os.close(put)
    with os.fdopen(get, "rb") as told:
        first = told.readline()
        if not first:
            raise AssertionError(process.communicate()[1].decode())
        time.sleep(after)
        process.send_signal(signal.SIGKILL)
        process.wait()
        lines = [first, *told.read().splitlines(keepends=True)]
    assert process.stderr is not None
    process.stderr.close()
    return [line.strip() for line in lines if line.endswith(b"\n")]


def replayed(steps, done: int) -> list[Document]:
    """What a history gives from nothing, after each of its steps."""
    documents = [Document()]
    for step in steps[:done]:
        documents.append(documents[-1].applied(step.done_again(documents[-1])))
    return documents


def before(document: Document, steps) -> Document:
    """A document taken back through the steps that led to it: a file keeps only the last of a long history."""
    for step in reversed(steps):
        document = document.applied(step.undone(document))
    return document


def faults(folder: Path, file: Path, told: list[bytes]) -> list[str]:
    """What is wrong with what is left."""
    acknowledged = max((int(line.split()[1]) for line in told if line[:1] in b"er"), default=0)
    saved = max((int(line.split()[1]) for line in told if line[:1] == b"p"), default=None)
    left = [one for one in sessions(folder) if one.path in (file, None)]
    if len(left) != 1:
        return [f"{len(left)} sessions"]
    session = recover(left[0].file)
    found = [] if session._changed in (acknowledged, acknowledged + 1) else [f"{acknowledged} told, {session._changed} kept"]
    history = replayed(session.steps, session.done)
    if history[-1].records != session.document.records:
        found.append("records are not what the history gives")
    published = int(session._database.note("published", "-1"))
    session._database.close()
    session._lock.leave()
    if file.exists():
        body = read(file).body  # raises when it is damaged
        if before(body.document, body.steps[: body.done]) not in history:
            found.append("the file is not what its history gives")
    if saved is not None and (not file.exists() or published < saved):
        found.append(f"saved {saved} told, {published} kept")
    return found


def run(count: int, seed: int, folder: Path) -> Counter[str]:
    """So many kills, each workbook's history whole, with what was acknowledged and what was wrong counted."""
    chance, result = random.Random(seed), Counter[str]()
    for n in range(count):
        own = folder / str(n // _OF_ONE)
        file = own / "shop.shopbook"
        own.mkdir(exist_ok=True)
        told = killed(own / "sessions", file, chance.randrange(2**30), chance.uniform(0.0, 0.15))
        result["kills"] += 1
        result["edits"] += sum(line[:1] == b"e" for line in told)
        result["saves"] += sum(line[:1] == b"p" for line in told)
        for fault in faults(own / "sessions", file, told):
            result["bad"] += 1
            print(f"kill {n}: {fault}", flush=True)
    return result


def main() -> None:
    """Runs and prints the counts."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--count", type=int, default=200)
    options.add_argument("--seed", type=int, default=1)
    given = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        result = run(given.count, given.seed, Path(folder))
    print(f"{result['kills']} kills, {result['edits']} changes and {result['saves']} saves acknowledged, {result['bad']} bad")
    sys.exit(bool(result["bad"]))


if __name__ == "__main__":
    main()
