"""What the search pays in bars for six orders, beside what an earlier experiment of this project paid.

`python tests/bench/costs.py --seconds 5,20 --core 0`; with `--plain`, the plain search's prices beside the compiled one's;
with `--newer PYTHON` also a general packer's that knows costs of bars (second_packer.py), in the same seconds.
Outlines and orders (cost_orders.json) were made for that experiment from smooth
curves, as were the bars' prices; its costs at 5 s were measured with it on one core of a machine like ours.
Every layout is verified.
"""

import argparse
import json
import os
import time
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path

import numpy as np

from workbook.nesting.model import NestingJob, Part, Stock
from workbook.nesting.search import layouts, plain_layouts
from workbook.nesting.verify import faults

DATA = json.loads((Path(__file__).parent / "cost_orders.json").read_text(encoding="utf-8"))
EXPERIMENT = {"8": 32.5, "16": 61.0, "20": 83.0, "30": 115.0, "60": 225.5, "100": 383.5}  # in 5 s
SIZES = {38: (305, 610, 1220), 51: (305, 610, 915), 76: (305, 610, 915), 102: (610, 915), 152: (610, 1220)}
COUNT = 8  # bars of each size
SEPARATION, EDGE = 2.0, 1.0


def stock() -> tuple[Stock, ...]:
    """Bars of thirteen sizes, dearer by their area, to the half."""

    def price(width: int, length: int) -> Decimal:
        return Decimal(round(2 * (4 + 0.00046 * width * length))) / 2

    sizes = [(width, length) for width, lengths in SIZES.items() for length in lengths]
    return tuple(
        Stock(name=f"{w} x {n}", width=float(w), length=float(n), price=price(w, n), count=COUNT, source="buy") for w, n in sizes
    )


def job(order: str) -> NestingJob:
    """An order on those bars."""
    outlines = {name: np.array(points, np.float64) for name, points in DATA["outlines"].items()}
    wanted = DATA["orders"][order]
    parts = tuple(Part(name=name, steel="s", outline=outlines[name], quantity=n) for name, n in wanted.items())
    bars = stock()
    suits = frozenset((p, s) for p in range(len(parts)) for s in range(len(bars)))
    return NestingJob(parts=parts, stock=bars, suits=suits, separation=SEPARATION, bar_end=EDGE, bar_edge=EDGE)


def costs(order: str, times: list[float], seed: int, *, plain: bool = False) -> Iterator[tuple[float, float, float, bool]]:
    """For each time the cost by then, with the seconds to the first layout, and whether it verified."""
    asked, began, first = job(order), time.perf_counter(), 0.0
    left = sorted(times)
    for progress in (plain_layouts if plain else layouts)(asked, seed):
        now = time.perf_counter() - began
        first = first or now
        while left and now >= left[0]:
            cost = float(sum(asked.stock[use.stock].price for use in progress.best.bars))
            yield left.pop(0), cost, first, not faults(asked, progress.best) and not progress.best.left_over
        if not left:
            return


def packers_cost(order: str, seconds: float, interpreter: str) -> float:
    """What the packer's bars cost; infinite where it does not lay all blanks out."""
    from nesting import grown_outlines  # beside this file, which tests import: these need a packer
    from second_packer import packed

    asked = job(order)
    inside = SEPARATION - 2 * EDGE
    bars = [(bar.length + inside, bar.width + inside, float(bar.price), COUNT) for bar in asked.stock]
    given = {"parts": grown_outlines(asked), "bars": bars, "strip": False, "seconds": seconds}
    used = packed(interpreter, given)
    whole = sum(len(items) for _, items in used) == sum(part.quantity for part in asked.parts)
    return sum(bars[kind][2] for kind, _ in used) if whole else float("inf")


def table(times: list[float], seed: int, interpreter: str | None = None) -> Iterator[str]:
    """A line an order and time."""
    from workbook.nesting.engine.warm import compile_all

    compile_all()
    for order, theirs in EXPERIMENT.items():
        for seconds, cost, first, sound in costs(order, times, seed):
            head = f"{order:>4} blanks {seconds:4g} s  cost {cost:6.1f}  experiment at 5 s {theirs:6.1f}"
            packer = f"  packer {packers_cost(order, seconds, interpreter):6.1f}" if interpreter else ""
            yield f"{head}{packer}  first in {first:.2f} s{'' if sound else '  NOT SOUND'}"


def beside(times: list[float], seed: int) -> Iterator[str]:
    """A line an order and time: what the plain search pays beside the compiled one."""
    from workbook.nesting.engine.warm import compile_all

    compile_all()
    for order in EXPERIMENT:
        rows = zip(costs(order, times, seed), costs(order, times, seed, plain=True), strict=True)
        for (seconds, cost, _, sound), (_, plain, first, also) in rows:
            head = f"{order:>4} blanks {seconds:4g} s  compiled {cost:6.1f}  plain {plain:6.1f}  {plain / cost:.3f} of it"
            yield f"{head}  first in {first:.2f} s{'' if sound and also else '  NOT SOUND'}"


def main() -> None:
    """Reads the options and prints the table."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--seconds", default="5,20")
    options.add_argument("--seed", type=int, default=0)
    options.add_argument("--core", type=int, default=0)
    options.add_argument("--plain", action="store_true")
    options.add_argument("--newer", metavar="PYTHON")
    given = options.parse_args()
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, {given.core})
    times = [float(s) for s in given.seconds.split(",")]
    interpreter = None
    if given.newer:
        from second_packer import environment

        interpreter = environment(given.newer)
    for line in beside(times, given.seed) if given.plain else table(times, given.seed, interpreter):
        print(line, flush=True)


if __name__ == "__main__":
    main()
