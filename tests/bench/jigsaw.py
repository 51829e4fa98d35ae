"""Orders whose best layout is known: a full bar sawn into blanks along slanted lines, then mixed up.

`python tests/bench/jigsaw.py --seconds 30 --orders 8` prints how much longer than that bar the search's strip is.
"""

import argparse
import time
from decimal import Decimal

import numpy as np
from shapely.geometry import LineString, Polygon, box
from shapely.ops import split

from workbook.nesting.model import NestingJob, Part, Stock, used_length
from workbook.nesting.search import layouts
from workbook.nesting.verify import faults

WIDTH, SEPARATION = 76.0, 2.0


def sawn(seed: int, blanks: int) -> tuple[float, list[Polygon]]:
    """Length of a bar and the blanks it was sawn into, each line `SEPARATION` wide."""
    chance = np.random.default_rng(seed)
    length = 55.0 * blanks
    pieces = [box(0.0, 0.0, length, WIDTH)]
    while len(pieces) < blanks:
        largest = max(pieces, key=lambda p: p.area)
        x0, y0, x1, y1 = largest.bounds
        middle = np.array([largest.centroid.x, largest.centroid.y]) + chance.uniform(-0.15, 0.15, 2) * (x1 - x0, y1 - y0)
        turn = chance.uniform(-0.25, 0.25) + (0.0 if x1 - x0 < 3 * (y1 - y0) and chance.random() < 0.6 else np.pi / 2)
        reach = np.array([np.cos(turn), np.sin(turn)]) * 2 * length
        parts = [p.buffer(0) for p in split(largest, LineString([middle - reach, middle + reach])).geoms]
        if min(p.buffer(-SEPARATION).area for p in parts) > 100.0:
            pieces = [p for p in pieces if p is not largest] + parts
    return length, [p.buffer(-SEPARATION / 2, join_style="mitre") for p in pieces]


def job(seed: int, blanks: int) -> tuple[float, NestingJob]:
    """The known length, and the order on a bar half as long again; margins are half the separation, as the sawing was."""
    length, pieces = sawn(seed, blanks)
    outlines = [np.asarray(p.exterior.coords)[:-1] - p.representative_point().coords[0] for p in pieces]
    parts = tuple(Part(name=f"blank {i}", steel="s", outline=o, quantity=1) for i, o in enumerate(outlines))
    stock = (Stock(name="bar", width=WIDTH, length=1.5 * length, price=Decimal(1), count=1, source="rack"),)
    suits = frozenset((i, 0) for i in range(blanks))
    half = SEPARATION / 2
    return length, NestingJob(parts=parts, stock=stock, suits=suits, separation=SEPARATION, bar_end=half, bar_edge=half)


def main() -> None:
    """Reads the options and prints one line for each order."""
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--seconds", type=float, default=30.0)
    options.add_argument("--orders", type=int, default=8)
    given = options.parse_args()
    for seed in range(given.orders):
        blanks = 6 + seed % 7
        known, wanted = job(seed, blanks)
        began = time.perf_counter()
        for progress in layouts(wanted, seed):
            found = used_length(wanted, progress.best.bars[0]) + wanted.bar_end
            if time.perf_counter() - began >= given.seconds or found <= known * 1.0005:
                break
        took = time.perf_counter() - began
        sound = not faults(wanted, progress.best) and not progress.best.left_over
        print(f"{blanks:2} blanks: {found / known - 1:+.2%} of the known best in {took:.1f} s, sound {sound}", flush=True)


if __name__ == "__main__":
    main()
