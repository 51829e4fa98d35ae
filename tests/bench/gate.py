"""Whether this commit is slower than the one before, or its layouts longer: `python tests/bench/gate.py`.

Both programs are measured in turns, before and after, so that whatever else the machine does meets both alike. What seems worse
is measured again, with more turns, before it is called so: more than 5 % worse, and not by chance. Prints a table; the exit
code is 1 when anything is worse or fails.
`--before REV` for another commit, `--only start,drag` for some measures, `--turns 20` for so many turns of each.
"""

import argparse
import json
import os
import signal
import subprocess
import sys
import tempfile
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from threading import Timer
from typing import NamedTuple

ROOT = Path(__file__).parents[2]
sys.path.insert(0, str(ROOT))

from tests.bench.gate_judging import TITLE, Measure, Outcome, Pair, Row, rows, verdict  # noqa: E402

MEASURES = (
    Measure("start", turns=20),
    Measure("drag", turns=12),
    Measure("publish", turns=120),
    Measure("pages", turns=3, processes=6),
    Measure("making", turns=10, processes=3),
    Measure("grind", turns=100, processes=2),
    Measure("sheets", turns=10),
    Measure("first-layouts", turns=20),
    Measure("lengths", turns=3, exact=True),
)
MEASURING = Path(__file__).with_name("gate_measures.py")
LONGEST = 300  # s for one process


class Program(NamedTuple):
    """One of the two: its sources, a folder of its own for its data, and one for what it keeps compiled (None: the user's)."""

    tree: Path
    folder: Path
    cache: Path | None

    def environment(self, chance: int = 0) -> dict[str, str]:
        """In which Python runs these sources, with their folder. `chance`: of its hashes."""
        env = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
        env |= dict.fromkeys(("XDG_CACHE_HOME", "LOCALAPPDATA"), str(self.cache)) if self.cache else {}
        env |= {"MAKERS_WORKBOOK_DATA": str(self.folder / "data"), "QT_QPA_PLATFORM": "offscreen"}
        return env | {"PYTHONPATH": str(self.tree), "PYTHONHASHSEED": str(chance)}

    def make_ready(self) -> None:
        """Compiles the search, and all modules. CalledProcessError."""
        for part in (self.cache, self.folder / "data"):
            part.mkdir(parents=True)
        for module in (["workbook.tasks.compiling"], ["compileall", "-q", str(self.tree / "workbook")]):
            subprocess.run([sys.executable, "-m", *module], env=self.environment(), check=True, cwd=self.tree)  # -m looks there

    @contextmanager
    def measuring(self, name: str, chance: int) -> Iterator[Callable[[], Outcome]]:
        """A process that measures once at each call."""
        command = [sys.executable, str(MEASURING), name, str(self.folder / "data")]
        with (
            tempfile.TemporaryFile("w+") as errors,
            subprocess.Popen(
                command,
                env=self.environment(chance),
                bufsize=0,
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=errors,
                cwd=self.tree,  # what it starts with -c looks there first
            ) as process,
        ):
            late = Timer(LONGEST, process.kill)
            late.start()

            def measured() -> Outcome:
                with suppress(BrokenPipeError):
                    process.stdin.write(b"\n")
                if answer := process.stdout.readline():
                    return Outcome((json.loads(answer),))
                errors.seek(0)
                lines = [line.strip() for line in errors if line.strip()]
                return Outcome(error=lines[-1] if lines else f"ended with {process.wait()}")

            try:
                yield measured
                process.stdin.close()
                process.wait()
            finally:
                process.kill()  # after an error; else it has ended
                late.cancel()


Programs = tuple[Program, Program]  # before and after


def compared(measure: Measure, programs: Programs, processes: range) -> Pair:
    """What came of both, measured in turns until one fails."""
    pair = Outcome(), Outcome()
    for chance in processes:
        with programs[0].measuring(measure.name, chance) as before, programs[1].measuring(measure.name, chance) as after:
            for _ in range(measure.turns):
                found = before(), after()
                pair = (
                    Outcome(pair[0].turns + found[0].turns, found[0].error),
                    Outcome(pair[1].turns + found[1].turns, found[1].error),
                )
                if any(outcome.error for outcome in found):
                    return pair
    return pair


def judged(measure: Measure, programs: Programs, older: str) -> list[Row]:
    """The rows of one measure. What seems worse is measured again in twice as many processes, unless it is always the same."""
    once = measure.processes
    first = compared(measure, programs, range(once))
    table = rows(measure, older, first)
    if measure.exact or not any(row.ratio and row.bad for row in table):
        return table
    return rows(measure, older, first, compared(measure, programs, range(once, 3 * once)))


@contextmanager
def both(before: str) -> Iterator[Programs]:
    """The sources of a commit, checked out for as long as this lasts, and those here; each with its search compiled."""
    with tempfile.TemporaryDirectory(prefix="gate-", ignore_cleanup_errors=True) as name:
        folder, tree = Path(name), Path(name) / "tree"
        git("worktree", "add", "--detach", str(tree), before)
        try:
            programs = tuple(Program(at, folder / n, folder / n / "cache") for at, n in ((tree, "before"), (ROOT, "after")))
            for program in programs:
                program.make_ready()
            yield programs
        finally:
            git("worktree", "remove", "--force", str(tree))


def git(*command: str) -> str:
    """What git says. SystemExit with what it says when it fails."""
    done = subprocess.run(["git", *command], cwd=ROOT, capture_output=True, text=True)
    if done.returncode:
        raise SystemExit(done.stderr.strip())
    return done.stdout.strip()


def options() -> argparse.Namespace:
    """What was asked for."""
    names = [measure.name for measure in MEASURES]
    asked = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    asked.add_argument("--before", default="HEAD^", metavar="REV")
    asked.add_argument("--only", default=",".join(names), metavar="NAMES", help=", ".join(names))
    asked.add_argument("--turns", type=int)
    given = asked.parse_args()
    given.only = given.only.split(",")
    if unknown := set(given.only) - set(names):
        asked.error(f"no measure {', '.join(sorted(unknown))}; there are {', '.join(names)}")
    return given


def main() -> int:
    """Prints the table as it grows, and the verdict; 1 when anything is worse or fails."""
    signal.signal(signal.SIGTERM, lambda *_: sys.exit(1))  # so that the other sources go
    given, table = options(), []
    chosen = [m._replace(turns=given.turns or m.turns) for m in MEASURES if m.name in given.only]
    here = git("log", "-1", "--format=%h %s") + (", with what is not committed" if git("status", "--porcelain") else "")
    print(f"before: {git('log', '-1', '--format=%h %s', given.before)}\nafter:  {here}\n\n{TITLE}", flush=True)
    with both(given.before) as programs:
        for measure in chosen:
            for row in judged(measure, programs, given.before):
                table.append(row)
                print(row.line(), flush=True)
    print(f"\n{verdict(table)}")
    return int(any(row.bad for row in table))


if __name__ == "__main__":
    sys.exit(main())
