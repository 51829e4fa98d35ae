"""Hard jobs by the command `lay-out --seconds S`, as a user types it: how long it took over S.

`python tests/bench/hard.py` runs all jobs with the compiled search, the plain one, and with nothing compiled yet.
`--seconds 5 --jobs many,fine --ways compiled,plain,fresh --keep FOLDER` take fewer, or keep the jobs. The jobs are outlines from
elsewhere: DXF files drawn from the program's families, stretched and told point by point.
"""

import argparse
import os
import random
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path
from typing import NamedTuple

import ezdxf
import numpy as np

from workbook.formats.family import family, family_ids
from workbook.formats.tables import facts
from workbook.geometry.path import Points, flatten
from workbook.template.shape import shape
from workbook.template.tools import Tools

ROOT = Path(__file__).parents[2]
THICK = ("2 mm", "2.5 mm", "3 mm")
OVER = {"compiled": 1.0, "plain": 2.0, "fresh": 2.0}  # s over what was asked for that are good


class Hard(NamedTuple):
    """A job: templates, blanks, kinds of bars, points of each outline, one thickness or three."""

    templates: int
    blanks: int
    bars: int
    points: int
    thicknesses: int = 1


JOBS = {
    "few": Hard(12, 12, 13, 400),
    "sixty": Hard(12, 60, 13, 400),
    "kinds": Hard(6, 24, 30, 400),
    "fine": Hard(8, 24, 6, 2000),
    "one": Hard(1, 300, 4, 400),
    "many": Hard(30, 300, 40, 2000, 3),
    "all": Hard(30, 300, 40, 2000),
}


def outline(chance: random.Random, points: int) -> Points:
    """A family's outline, stretched a little, told by so many points."""
    at = flatten(shape(family(chance.choice(family_ids())), Tools(drills=facts().drills)).outline)
    at = at * [chance.uniform(0.85, 1.15), chance.uniform(0.9, 1.1)]
    ring = np.vstack([at, at[:1]])
    along = np.r_[0.0, np.cumsum(np.hypot(*np.diff(ring, axis=0).T))]
    wanted = np.linspace(0.0, along[-1], points, endpoint=False)
    return np.column_stack([np.interp(wanted, along, ring[:, k]) for k in range(2)])


def write_job(folder: Path, hard: Hard) -> Path:
    """A job file and its drawings."""
    chance, lines = random.Random(7), ['[job]\nname = "Hard"\nunits = "mm"\n']
    for n in range(hard.templates):
        made = ezdxf.new("R2000", units=4)
        made.modelspace().add_lwpolyline(outline(chance, hard.points).tolist(), close=True)
        made.saveas(folder / f"t{n}.dxf")
        thick = THICK[n % hard.thicknesses]
        lines.append(f'[[template]]\nname = "T{n}"\noutline = "t{n}.dxf"\nblade.thickness = "{thick}"\n')
    for n in range(hard.bars):
        width, length = chance.choice((60, 70, 80, 90, 100, 120, 150)), chance.choice((450, 600, 900, 1000, 1500))
        price, thick = round(width * length * chance.uniform(3.5, 5.5) / 10_000, 2), THICK[n % hard.thicknesses]
        stands = "have = 1" if n % 4 == 0 else "buy = true"
        size = f'thickness = "{thick}"\nwidth = "{width} mm"\nlength = "{length} mm"'
        lines.append(f'[[bar]]\nname = "B{n}"\nsteel = "O1"\n{size}\nprice = {price}\n{stands}\n')
    for n in range(hard.templates):
        count = hard.blanks // hard.templates + (n < hard.blanks % hard.templates)
        lines.append(f'[[make]]\ntemplate = "T{n}"\nsteel = "O1"\nquantity = {count}\n')
    file = folder / "hard.toml"
    file.write_text("\n".join(lines), encoding="utf-8")
    return file


def environment(way: str, folder: Path) -> dict[str, str]:
    """For a way of searching: compiled, plain, or with an empty cache."""
    more = {
        "compiled": {},
        "plain": {"MAKERS_WORKBOOK_PLAIN_SEARCH": "1"},
        "fresh": {"XDG_CACHE_HOME": str(folder / "cache"), "NUMBA_CACHE_DIR": str(folder / "cache" / "numba")},
    }[way]
    return {**os.environ, "PYTHONPATH": str(ROOT), **more}


def timed(job: Path, seconds: float, way: str) -> tuple[float, str]:
    """Seconds the command took, and its words on the price."""
    command = [sys.executable, "-m", "workbook", "lay-out", str(job), "--out", str(job.parent / f"out {way}")]
    began = time.monotonic()
    done = subprocess.run(
        [*command, "--seconds", f"{seconds:g}", "--force"], env=environment(way, job.parent), capture_output=True, text=True
    )
    took = time.monotonic() - began
    words = [line for line in (done.stdout + done.stderr).splitlines() if "cost less" in line or "rror" in line]
    return took, " ".join(words)[:110] if done.returncode in (0, 3) else (done.stderr or done.stdout)[-300:]


def main() -> int:
    """Prints a row for each job and way; 1 where one took too long."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--seconds", type=float, default=5.0)
    asked.add_argument("--jobs", default=",".join(JOBS))
    asked.add_argument("--ways", default="compiled,plain,fresh")
    asked.add_argument("--keep", type=Path)
    given, late = asked.parse_args(), 0
    for name in given.jobs.split(","):
        folder = (given.keep or Path(tempfile.mkdtemp(prefix="hard-"))) / name
        folder.mkdir(parents=True, exist_ok=True)
        job = write_job(folder, JOBS[name])
        for way in given.ways.split(","):
            took, words = timed(job, given.seconds, way)
            over = took - given.seconds
            late += over > OVER[way]
            print(f"{name:8} {way:9} {over:+7.2f} s over {given.seconds:g}   {words}", flush=True)
        if given.keep is None:
            shutil.rmtree(folder, ignore_errors=True)  # a compiler begun in it may still write
    return 1 if late else 0


if __name__ == "__main__":
    sys.exit(main())
