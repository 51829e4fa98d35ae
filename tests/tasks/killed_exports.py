"""Kills of every export: whatever moment it dies at, each file is the old one or the new one, whole, and nothing else is touched.

`python tests/tasks/killed_exports.py` kills every export at every 5 ms, while it is made and while it is written.
With `--calls` (Linux, strace) every call that writes, syncs or names a file kills it, or fails as on a full disk or one with
errors: then that is said in words, and all files are the old ones or all are the new ones.
`--step 100`, `--every 7` and `--only sheets,cards` take fewer.
"""

import argparse
import os
import pickle
import re
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from functools import cache, partial
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from workbook.cli.lay_out import layout_files
from workbook.model.laying import Laid, finish, start
from workbook.problems import JobError
from workbook.tasks.demo import write_demo
from workbook.tasks.exports import EXPORTS, OF_A_JOB, Wanted, exported
from workbook.tasks.job_files import job_files
from workbook.tasks.load import load_job
from workbook.tasks.outputs import write_outputs
from workbook.tasks.searching import search
from workbook.tasks.sheets import run_of

ROOT = Path(__file__).parents[2]
Files = dict[str, bytes]
CALLS = ("write", "fsync", "linkat", "rename", "unlink", "mkdir")
WAYS = ("signal=KILL", "error=ENOSPC", "error=EIO")
OWN, CONTENT = "a drawing of one's own.dxf", b"not the program's"
WRITE = """
import pickle, sys
from pathlib import Path
from workbook.problems import JobError
from workbook.tasks.outputs import write_outputs
files = pickle.loads(Path(sys.argv[1]).read_bytes())
try:
    write_outputs(Path(sys.argv[2]), files)
except JobError as trouble:
    sys.exit("\\n".join(trouble.lines()))
"""


def makers() -> dict[str, Callable[[], Files]]:
    """Everything that can be written of the demo, by name."""
    with tempfile.TemporaryDirectory() as folder:
        model = load_job(write_demo(Path(folder)))
    run = run_of(model.job, "a4", "1 June 2026")

    @cache
    def laid() -> Laid:
        nesting = start(model)
        *_, last = search(nesting, 0, lambda step: step >= 2, repeatable=True)
        return finish(model, nesting, last, 0)

    def made_of(key: str) -> Files:
        of_bars = EXPORTS[key].of == "bars"
        return exported(Wanted(model=model, run=run, keys=tuple(model.shapes), laid=laid() if of_bars else None), [key])

    made: dict[str, Callable[[], Files]] = {key: partial(made_of, key) for key in OF_A_JOB}
    made["lay-out"] = lambda: layout_files(laid(), "a4")[1]
    made["job"] = lambda: job_files(model, "job.toml")
    return made


def before(folder: Path, files: Files) -> None:
    """A folder as it may be: half of the files are there from the last time, and one of the maker's own."""
    write_outputs(folder, {name: b"as it was: " + content[:500] for name, content in [*files.items()][::2]})
    (folder / OWN).write_bytes(CONTENT)


def there(folder: Path) -> Files:
    """All files of a folder but those under passing names."""
    found = (path for path in folder.rglob("*") if path.is_file() and not path.name.startswith("."))
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in found}


def faults(folder: Path, old: Files, files: Files, *, together: bool) -> Iterator[str]:
    """What is wrong with the folder, and with the next run there. `together`: all files are old, or all are new."""
    now, new = there(folder), {**old, **files}
    if now.get(OWN) != CONTENT:
        yield "the maker's own file is another"
    for name in now.keys() | old.keys():
        if name not in now:
            yield f"{name} is gone"
        elif now[name] not in (old.get(name), new.get(name)):
            yield f"{name} is neither the old nor the new one"
    if together and now not in (old, new):
        yield "some files are old and some are new"
    try:
        write_outputs(folder, files)
    except JobError as trouble:
        yield f"the next run: {trouble}"
    if there(folder) != new:
        yield "the next run does not write what it should"


def killed_in_time(make: Callable[[], Files], folder: Path, after: float) -> int:
    """Makes and writes files in a process that is killed so many seconds later; how it ended."""
    began, child = time.monotonic(), os.fork()
    if not child:
        code = 1
        try:
            write_outputs(folder, make())
            code = 0
        finally:
            os._exit(code)
    time.sleep(max(0.0, began + after - time.monotonic()))
    os.kill(child, signal.SIGKILL)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def by_time(make: Callable[[], Files], step: float) -> Iterator[list[str]]:
    """The faults of each kill, from the beginning until it is through."""
    files, ended, n = make(), -signal.SIGKILL, 0
    while ended == -signal.SIGKILL:
        with tempfile.TemporaryDirectory() as place:
            folder = Path(place) / "out"
            before(folder, files)
            old = there(folder)
            ended = killed_in_time(make, folder, n * step)
            wrong = ["it does not end well by itself"] if ended > 0 or (not ended and there(folder) != {**old, **files}) else []
            yield [*wrong, *faults(folder, old, files, together=False)]
        n += 1


def _traced(
    files: Files, *rules: str
) -> tuple[Path, Files, subprocess.CompletedProcess[str], str, tempfile.TemporaryDirectory[str]]:
    """A process that writes files under strace: where, what was there before, how it ended, what strace saw."""
    place = tempfile.TemporaryDirectory()
    folder, made, log = Path(place.name) / "out", Path(place.name) / "files", Path(place.name) / "trace"
    made.write_bytes(pickle.dumps(files))
    before(folder, files)
    old = there(folder)
    strace = ["strace", "-f", "--seccomp-bpf", "-qq", "-o", str(log), *rules]
    command = [*strace, sys.executable, "-c", WRITE, str(made), str(folder)]
    surroundings = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONDONTWRITEBYTECODE": "1"}
    ended = subprocess.run(command, env=surroundings, capture_output=True, text=True, check=False)
    return folder, old, ended, log.read_text(errors="replace"), place


def counted(files: Files, call: str) -> int:
    """How often the writing process makes a call when nothing fails."""
    *_, ended, seen, place = _traced(files, "-e", f"trace={call}")
    with place:
        assert not ended.returncode, ended.stderr
        return len(re.findall(rf"^\d+ +{call}\(", seen, re.MULTILINE))


def by_call(files: Files, every: int) -> Iterator[tuple[str, list[str]]]:
    """The way and the faults of each call that kills or fails."""
    for call in CALLS:
        for n in range(1, counted(files, call) + 1, every):
            for way in WAYS:
                folder, old, ended, _, place = _traced(files, "-e", f"trace={call}", "-e", f"inject={call}:{way}:when={n}")
                failed = way != "signal=KILL"
                with place:
                    found = list(faults(folder, old, files, together=failed))
                if failed and ended.returncode and "cannot be written: " not in ended.stderr:
                    found.append(f"it is not said in words: {ended.stderr[-300:]}")
                yield way, [f"{call} {n} {way}: {fault}" for fault in found]


def main() -> None:
    """Kills, tells, and counts."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--step", type=float, default=5.0, help="ms between two kills")
    options.add_argument("--calls", action="store_true")
    options.add_argument("--every", type=int, default=1)
    options.add_argument("--only", default="")
    given = options.parse_args()
    counts, made = Counter[str](), makers()
    for key in given.only.split(",") if given.only else made:
        told = (
            by_call(made[key](), given.every)
            if given.calls
            else (("kill", found) for found in by_time(made[key], given.step / 1000))
        )
        for way, found in told:
            counts[way] += 1
            counts["faults"] += len(found)
            for fault in found:
                print(f"{key}: {fault}", flush=True)
    print(", ".join(f"{n} {way}" for way, n in counts.items()))
    sys.exit(bool(counts["faults"]))


if __name__ == "__main__":
    main()
