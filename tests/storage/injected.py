"""Every write, sync and rename of a working process fails or kills it, one at a time: `python tests/storage/injected.py`.

Needs strace (Linux). `--every 7` takes only every seventh of a call's number and a way to fail, `--first 3` from the third on.
What must hold is what kills.py says; and where a call fails, the process must have said so in words and gone on.
"""

import argparse
import os
import re
import subprocess
import sys
import tempfile
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.storage.kills import WRITER, faults

CALLS = ("pwrite64", "write", "fdatasync", "fsync", "rename", "linkat", "ftruncate")
WAYS = ("signal=KILL", "error=ENOSPC", "error=EIO")
CHANGES = "25"
SEED = "11"


def traced(folder: Path, *rules: str) -> tuple[list[bytes], str, str]:
    """What a process acknowledged under strace, what strace saw, and what went to its error output."""
    get, put = os.pipe()
    log = folder / "trace"
    command = ["strace", "-f", "--seccomp-bpf", "-qq", "-o", str(log), *rules, sys.executable, str(WRITER)]
    work = [str(folder / "sessions"), str(folder / "shop.shopbook"), SEED, CHANGES, str(put)]
    process = subprocess.Popen([*command, *work], pass_fds=(put,), stderr=subprocess.PIPE)
    os.close(put)
    with os.fdopen(get, "rb") as told:
        _, errors = process.communicate()
        lines = told.read().splitlines(keepends=True)
    return [line.strip() for line in lines if line.endswith(b"\n")], log.read_text(errors="replace"), errors.decode()


def counted() -> Counter[str]:
    """How often the process makes each call when nothing fails."""
    with tempfile.TemporaryDirectory() as folder:
        _, seen, errors = traced(Path(folder), "-e", f"trace={','.join(CALLS)}")
        assert not errors, errors
        return Counter(re.findall(r"^\d+ +(\w+)\(", seen, re.MULTILINE))


def run(every: int, first: int = 1) -> Counter[str]:
    """Every so many of all calls, all ways, from one on; how often each way, and how often it did harm ("bad")."""
    result, counts = Counter[str](), counted()
    all_of_them = [(call, n, way) for call in CALLS for n in range(1, counts[call] + 1) for way in WAYS]
    for call, n, way in all_of_them[first - 1 :: every]:
        with tempfile.TemporaryDirectory() as folder:
            told, _, errors = traced(Path(folder), "-e", f"trace={call}", "-e", f"inject={call}:{way}:when={n}")
            result[way] += 1
            found = faults(Path(folder) / "sessions", Path(folder) / "shop.shopbook", told) if told else []
            found += ["a crash"] if "Traceback" in errors and "BrokenPipe" not in errors and told else []
            for fault in found:
                result["bad"] += 1
                print(f"{call} {n} {way}: {fault}\n{errors[-800:]}", flush=True)
    return result


def main() -> None:
    """Runs and prints the counts."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--every", type=int, default=1)
    options.add_argument("--first", type=int, default=1, help="number of the call to begin with")
    given = options.parse_args()
    result = run(given.every, given.first)
    print(", ".join(f"{result[way]} {way}" for way in WAYS) + f": {result['bad']} bad")
    sys.exit(bool(result["bad"]))


if __name__ == "__main__":
    main()
