"""The nesting search beside two general packers (spyrrow, packingsolver) and beside bounding boxes, on the program's families.

`python tests/bench/nesting.py --newer PYTHON` prints, for each order, how long a strip of the bar's width the search needs over
what the better of the packers needs in the same seconds on the same core; then the geometric means and the worst case; then
what several bars cost (costs.py). Every layout is verified. PYTHON: an interpreter of 3.12 or newer, for the second packer
(second_packer.py); without it only the first is run.
`--seconds 1,5,15 --seeds 5 --orders two-1,many-2 --core 0 --mode straight`: straight cuts, for which all pack the blanks' hulls;
`--mode edge`: with spines on the bar's edge, which the packers cannot have. `--draw 7`: orders of other outlines, drawn by this
number. `--command`: the command as it is typed, on all cores, from drawings; the packers have one core.
"""

import argparse
import json
import math
import os
import re
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import timedelta
from decimal import Decimal
from functools import cache
from pathlib import Path

import ezdxf
import numpy as np
import shapely
from second_packer import environment, packed  # beside this file
from shapely.geometry import Polygon
from shapely.geometry.polygon import orient

from workbook.formats.family import family
from workbook.formats.tables import facts
from workbook.geometry.path import Placement, Points, flatten
from workbook.geometry.polygon import grown, hull, of_points, simplified
from workbook.nesting.model import NestingJob, Part, Stock
from workbook.nesting.search import layouts
from workbook.nesting.verify import faults
from workbook.template.shape import shape
from workbook.template.tools import Tools

SEPARATION = 2.4  # mm: a saw's kerf and clean-up
EDGE = 1.6
PAD = 0.004  # single precision inside the packer

ORDERS = {  # bar width in mm, then blanks of each family
    "one-1": (38, {"drop-point-hunter": 4, "everyday-fixed-blade": 4}),
    "one-2": (57, {"chefs": 3, "santoku-type": 3}),
    "two-1": (51, {"petty": 6, "puukko-type": 6, "paring": 4}),
    "two-2": (76, {"drop-point-hunter": 6, "everyday-fixed-blade": 5, "petty": 4}),
    "two-3": (76, {"chefs": 4, "paring": 6, "petty": 4}),
    "many-1": (102, {"drop-point-hunter": 8, "petty": 8, "everyday-fixed-blade": 8}),
    "many-2": (152, {"chefs": 6, "santoku-type": 6, "petty": 12, "paring": 12}),
    "many-3": (152, {"drop-point-hunter": 30}),
    "many-4": (152, {"everyday-fixed-blade": 30, "puukko-type": 30, "petty": 20, "drop-point-hunter": 20}),
}


DRAWN_ON = {"one": (38, 3, 8), "two": (51, 3, 12), "two-wide": (76, 2, 14), "many": (102, 4, 24), "more": (152, 5, 40),
            "alike": (102, 1, 20), "alike-two": (76, 1, 12)}  # fmt: skip  # bar width, kinds, blanks


def drawn_orders(draw: int) -> dict[str, tuple[int, dict[str, int]]]:
    """Orders of an experiment's outlines, which kinds and how many of each drawn by this number."""
    chance, names, orders = np.random.default_rng(draw), sorted(smooth_outlines()), {}
    for key, (width, kinds, blanks) in DRAWN_ON.items():
        fitting = [name for name in names if np.ptp(smooth_outlines()[name][:, 1]) + 2 * EDGE <= width]
        chosen = chance.choice(fitting, min(kinds, len(fitting)), replace=False)
        counts = chance.multinomial(blanks - len(chosen), np.ones(len(chosen)) / len(chosen)) + 1
        orders[f"drawn{draw}-{key}"] = (width, {str(name): int(count) for name, count in zip(chosen, counts, strict=True)})
    return orders


@cache
def smooth_outlines() -> dict[str, Points]:
    """Outlines from elsewhere: those of costs.py."""
    data = json.loads((Path(__file__).parent / "cost_orders.json").read_text(encoding="utf-8"))["outlines"]
    return {name: np.array(points, np.float64) for name, points in data.items()}


@dataclass(frozen=True, slots=True)
class Run:
    """One strip: its length in mm from the first outline's start to the last one's end, and whether it verified."""

    length: float
    sound: bool


@cache
def outline(name: str) -> Points:
    """A family's outline as it comes, or one from elsewhere."""
    if name in smooth_outlines():
        return smooth_outlines()[name]
    return flatten(shape(family(name), Tools(drills=facts().drills)).outline)


def job(order: str) -> NestingJob:
    """An order on one bar as long as it may ever need; "straight:" before its name asks for straight cuts, "edge:" for spines on
    the bar's edge, which the packers cannot have."""
    mode, _, name = order.rpartition(":")
    drawn = re.match(r"drawn(\d+)-", name)
    width, wanted = (drawn_orders(int(drawn[1])) if drawn else ORDERS)[name]
    on_edge = mode == "edge"
    parts = tuple(Part(name=n, steel="s", outline=outline(n), quantity=q, on_edge=on_edge) for n, q in wanted.items())
    length = sum(float(np.ptp(p.outline[:, 0])) + SEPARATION for p in parts for _ in range(p.quantity)) + 50.0
    stock = (Stock(name="bar", width=float(width), length=length, price=Decimal(1), count=1, source="rack"),)
    suits = frozenset((i, 0) for i in range(len(parts)))
    return NestingJob(
        parts=parts, stock=stock, suits=suits, separation=SEPARATION, bar_end=EDGE, bar_edge=EDGE, hulls=mode == "straight"
    )


def ours(order: str, seconds: float, seed: int) -> Run:
    """The search for so many seconds, tables included."""
    asked = job(order)
    began = time.perf_counter()
    for progress in layouts(asked, seed):
        if time.perf_counter() - began >= seconds or progress.done:
            break
    found = progress.best
    reach = max(float(p.placement().points(asked.parts[p.part].outline)[:, 0].max()) for p in found.bars[0].pieces)
    return Run(reach - EDGE, not faults(asked, found) and not found.left_over)


def command(order: str, seconds: float, seed: int) -> Run:
    """The command `lay-out --seconds` as it is typed, its start within the seconds, on all cores, with outlines as drawings."""
    asked = job(order)
    with tempfile.TemporaryDirectory() as folder:
        file, out = write_job(Path(folder), asked), Path(folder) / "out"
        typed = [sys.executable, "-m", "workbook", "lay-out", str(file), "--out", str(out), "--seed", str(seed), "--quiet"]
        subprocess.run([*typed, "--seconds", f"{seconds:g}"], check=True, cwd=Path(__file__).parents[2])
        bars = json.loads((out / "layout.json").read_text(encoding="utf-8"))["bars"]
    shapes = [of_points(piece["outline"]) for piece in bars[0]["pieces"]]
    whole = len(bars) == 1 and len(shapes) == sum(part.quantity for part in asked.parts)
    return Run(max(s.bounds[2] for s in shapes) - EDGE, whole and apart_enough(shapes, SEPARATION))


def write_job(folder: Path, asked: NestingJob) -> Path:
    """A job file of an order, and its outlines as drawings."""
    bar, lines = asked.stock[0], ['[job]\nname = "order"\nunits = "mm"\n']
    clean_up = (SEPARATION - 1.0) / 2
    lines.append(f"[saw]\nkerf = 1.0\nclean_up = {clean_up}\nbar_end = {EDGE}\nbar_edge = {EDGE}\n")
    for n, part in enumerate(asked.parts):
        made = ezdxf.new("R2000", units=4)
        made.modelspace().add_lwpolyline(part.outline.tolist(), close=True)
        made.saveas(folder / f"t{n}.dxf")
        lines.append(f'[[template]]\nname = "T{n}"\noutline = "t{n}.dxf"\nblade.thickness = 3.0\n')
        lines.append(f'[[make]]\ntemplate = "T{n}"\nsteel = "O1"\nquantity = {part.quantity}\n')
    size = f"thickness = 3.0\nwidth = {bar.width}\nlength = {math.ceil(bar.length)}"
    lines.append(f'[[bar]]\nname = "bar"\nsteel = "O1"\n{size}\nprice = "1"\nhave = 1\n')
    file = folder / "order.toml"
    file.write_text("\n".join(lines), encoding="utf-8")
    return file


def packer(order: str, seconds: float, seed: int) -> Run:
    """The general packer, with the same growth of outlines, 0 and 180 degrees."""
    import spyrrow

    asked = job(order)
    items = [
        spyrrow.Item(str(i), [tuple(point) for point in ring], demand=count, allowed_orientations=[0.0, 180.0])
        for i, (ring, count) in enumerate(grown_outlines(asked))
    ]
    height = asked.stock[0].width - 2 * EDGE + SEPARATION
    config = spyrrow.StripPackingConfig(
        early_termination=False, total_computation_time=max(1, int(seconds)), num_workers=1, seed=seed
    )
    config.exploration_time, config.compression_time = timedelta(seconds=seconds * 0.8), timedelta(seconds=seconds * 0.2)
    placed = spyrrow.StripPackingInstance("strip", strip_height=height, items=items).solve(config).placed_items
    shapes = [
        of_points(
            Placement(*item.translation, math.radians(item.rotation), mirrored=False).points(asked.parts[int(item.id)].outline)
        )
        for item in placed
    ]
    bounds = np.array([s.bounds for s in shapes])
    whole = len(placed) == sum(p.quantity for p in asked.parts)
    return Run(float(bounds[:, 2].max() - bounds[:, 0].min()), whole and apart_enough(shapes, SEPARATION))


def grown_outlines(asked: NestingJob) -> list[tuple[list[list[float]], int]]:
    """Each part's outline as both packers get it, anticlockwise, and the number wanted."""
    finished = [hull(of_points(p.outline)) if asked.hulls else of_points(p.outline) for p in asked.parts]
    shapes = [simplified(grown(shape, asked.separation / 2 + PAD + 0.02), 0.02) for shape in finished]
    rings = [np.asarray(orient(shape).exterior.coords)[:-1].tolist() for shape in shapes]
    return [(ring, part.quantity) for ring, part in zip(rings, asked.parts, strict=True)]


def at(part: Part, x: float, y: float, degrees: float, *, mirrored: bool) -> Polygon:
    """A part's outline where the second packer puts it: mirrored first, then turned, then moved."""
    turn = math.radians(degrees)
    points = part.outline * ([-1.0, 1.0] if mirrored else [1.0, 1.0])
    return of_points(points @ [[math.cos(turn), math.sin(turn)], [-math.sin(turn), math.cos(turn)]] + [x, y])


def apart_enough(shapes: list[Polygon], separation: float) -> bool:
    """Whether no two outlines are nearer to each other than that."""
    first, second = shapely.STRtree(shapes).query(shapes, predicate="dwithin", distance=separation - 1e-3)
    return bool((first == second).all())


def second(order: str, seconds: float, interpreter: str) -> Run:
    """The second general packer, with the same growth of outlines, also mirrored; it knows no seed."""
    asked = job(order)
    height = asked.stock[0].width - 2 * EDGE + SEPARATION
    bars = [(asked.stock[0].length, height, 1.0, 1)]
    given = {"parts": grown_outlines(asked), "bars": bars, "strip": True, "seconds": seconds}
    ((_, items),) = packed(interpreter, given)
    shapes = [at(asked.parts[part], x, y, angle, mirrored=mirrored) for part, x, y, angle, mirrored in items]
    bounds = np.array([shape.bounds for shape in shapes])
    whole = len(items) == sum(p.quantity for p in asked.parts) and float(np.ptp(bounds[:, [1, 3]])) <= height
    return Run(float(np.ptp(bounds[:, [0, 2]])), whole and apart_enough(shapes, SEPARATION))


def boxes(order: str) -> float:
    """Bounding boxes in rows of the bar's width, highest first, turned either way: a shelf packing."""
    asked = job(order)
    height = asked.stock[0].width - 2 * EDGE + SEPARATION
    sizes = sorted(
        ((np.ptp(p.outline, axis=0) + SEPARATION) for p in asked.parts for _ in range(p.quantity)), key=lambda s: -s[0]
    )
    columns: list[list[float]] = []  # free height, length
    for length, across in sizes:
        column = next((c for c in columns if c[0] >= across), None)
        if column is None:
            columns.append([height - across, length])
        else:
            column[0] -= across
    return sum(length for _, length in columns) - SEPARATION


def apart(what: str, order: str, seconds: float, seed: int, core: int) -> Run:
    """One run in a process of its own on one core; warm: what must be loaded is loaded before the clock runs."""
    command = [sys.executable, __file__, "--one", what, order, str(seconds), str(seed), "--core", str(core)]
    found = json.loads(subprocess.run(command, capture_output=True, text=True, check=True).stdout.splitlines()[-1])
    return Run(*found)


def one(what: str, order: str, seconds: float, seed: int) -> None:
    """A run as a process: prints its length and whether it verified."""
    if what == "ours":
        from workbook.nesting.engine.warm import compile_all

        compile_all()
    run = {"ours": ours, "packer": packer}[what](order, seconds, seed)
    print(json.dumps([run.length, run.sound]))


def mean(values: list[float]) -> float:
    """Geometric mean."""
    return math.exp(sum(map(math.log, values)) / len(values))


def better(order: str, seconds: float, seed: int, core: int, of_second: Run | None) -> tuple[Run, bool]:
    """The better of the packers, and whether that is the second."""
    first = apart("packer", order, seconds, seed, core)
    if of_second is None or not of_second.sound or of_second.length >= first.length:
        return first, False
    return of_second, True


def table(
    orders: list[str], seconds: float, seeds: int, core: int, interpreter: str | None, *, typed: bool = False
) -> Iterator[str]:
    """Lines of the comparison at one time; `typed`: of the command, not of the search alone."""
    ratios: dict[str, list[float]] = {}
    for order in orders:
        other = second(order, seconds, interpreter) if interpreter else None
        mine = [command(order, seconds, s) if typed else apart("ours", order, seconds, s, core) for s in range(seeds)]
        pairs = [(mine[s], *better(order, seconds, s, core, other)) for s in range(seeds)]
        ratios[order] = [a.length / b.length for a, b, _ in pairs]
        unsound = sum(not a.sound for a, *_ in pairs), sum(not b.sound for _, b, _ in pairs)
        box = mean([a.length / boxes(order) for a, *_ in pairs])
        told = f"  second packer better {sum(by for *_, by in pairs)}" if other else ""
        yield (
            f"{order:15} {seconds:4g} s  {line_of(ratios[order])}  best {min(ratios[order]):.4f}"
            f"  over boxes {box:.3f}  unsound {unsound[0]} and {unsound[1]} of {seeds}{told}"
        )
    for lanes in ("one", "two", "many"):
        own = [value for order, values in ratios.items() if f"-{lanes}" in f"-{order.rpartition(':')[2]}" for value in values]
        if own:
            yield f"{lanes:15} {seconds:4g} s  {line_of(own)}"
    yield f"all             {seconds:4g} s  {line_of([value for values in ratios.values() for value in values])}"


def line_of(values: list[float]) -> str:
    """Mean and worst of some ratios."""
    return f"mean {mean(values):.4f}  worst {max(values):.4f}"


def main() -> None:
    """Reads the options and prints the tables."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--seconds", default="1,5")
    options.add_argument("--seeds", type=int, default=5)
    options.add_argument("--orders", default=",".join(ORDERS))
    options.add_argument("--command", action="store_true")
    options.add_argument("--draw", type=int)
    options.add_argument("--mode", choices=("line", "straight", "edge"), default="line")
    options.add_argument("--core", type=int, default=0)
    options.add_argument("--newer", metavar="PYTHON")
    options.add_argument("--one", nargs=4, help=argparse.SUPPRESS)
    given = options.parse_args()
    if hasattr(os, "sched_setaffinity") and not given.command:
        os.sched_setaffinity(0, {given.core})
    if given.one:
        what, order, seconds, seed = given.one
        one(what, order, float(seconds), int(seed))
        return
    interpreter = environment(given.newer) if given.newer else None
    orders = given.orders.split(",") if given.draw is None else list(drawn_orders(given.draw))
    orders = orders if given.mode == "line" else [f"{given.mode}:{order}" for order in orders]
    for seconds in given.seconds.split(","):
        for line in table(orders, float(seconds), given.seeds, given.core, interpreter, typed=given.command):
            print(line, flush=True)
    if orders == list(ORDERS) and not given.command:
        from costs import table as costs  # beside this file

        for line in costs([5.0, 20.0], 0, interpreter):
            print(line, flush=True)


if __name__ == "__main__":
    main()
