"""Where blanks are, how far two of them overlap, and which of them a moving blank may meet."""

from typing import NamedTuple

from workbook.nesting.engine.intervals import TOUCH, ClashTables
from workbook.nesting.engine.kernel import Floats, Ints, kernel

STEP = 0.5  # mm; the cost of any overlap besides its depth, so that few deep overlaps are preferred to many slight ones


class Places(NamedTuple):
    """Where each blank is: pose, bar, whole shift along it, height of its frame (mm)."""

    pose: Ints
    bar: Ints
    x: Ints
    y: Floats

    def copy(self) -> "Places":
        """A copy, to be changed independently."""
        return Places(self.pose.copy(), self.bar.copy(), self.x.copy(), self.y.copy())


class Room(NamedTuple):
    """For each pose and bar, the greatest shift and the greatest height (mm) it may have; -1 where it does not fit."""

    shift: Ints  # (poses, bars)
    height: Floats


class Near(NamedTuple):
    """Bodies on one bar that a body of a moving blank may meet, by first shift; and work space."""

    first: Ints
    last: Ints
    row: Ints  # of the interval table, less the shift
    active: Ints
    y: Floats
    weight: Floats
    low: Floats
    high: Floats
    cost: Floats
    depth: Floats
    height: Floats


class Scratch(NamedTuple):
    """For each pose and bar open to a blank: its blocks, the least bound among them, and where their bounds are stored."""

    begin: Ints
    end: Ints
    row: Ints
    least: Floats
    bound: Floats


@kernel
def overlap(low: float, high: float, dy: float, along: float) -> float:
    """The overlap of two bodies: the least move (mm) that parts them up, down or along the bar, plus a step; 0 without one."""
    deep = min(high - dy, dy - low)
    if deep <= TOUCH:
        return 0.0
    return min(deep, along) + STEP


@kernel
def pair_overlap(tables: ClashTables, places: Places, a: int, b: int) -> float:
    """The overlap of two blanks, summed over all their bodies."""
    if places.bar[a] != places.bar[b]:
        return 0.0
    shift = places.x[b] - places.x[a]
    dy = places.y[b] - places.y[a]
    total = 0.0
    for p in range(tables.body[places.pose[a]], tables.body[places.pose[a] + 1]):
        for q in range(tables.body[places.pose[b]], tables.body[places.pose[b] + 1]):
            first, last = tables.start[p] - tables.stop[q], tables.stop[p] - tables.start[q]
            if first <= shift <= last:
                row = tables.at[p, q] + shift - first
                along = tables.cell * min(last - shift, shift - first)
                total += overlap(tables.interval[row, 0], tables.interval[row, 1], dy, along)
    return total


@kernel
def gather(tables: ClashTables, places: Places, order: Ints, weights: Floats, i: int, bar: int, pose: int, near: Near) -> int:
    """Fill `near` with the bodies on a bar that blank i may meet in a pose, by first shift. Returns how many."""
    n = 0
    for j in order:
        if j == i or places.bar[j] != bar:
            continue
        for p in range(tables.body[places.pose[j]], tables.body[places.pose[j] + 1]):
            for q in range(tables.body[pose], tables.body[pose + 1]):
                first = places.x[j] + tables.start[p] - tables.stop[q]
                k = n
                while k > 0 and near.first[k - 1] > first:  # they are nearly sorted: `order` is by x
                    near.first[k], near.last[k], near.row[k] = near.first[k - 1], near.last[k - 1], near.row[k - 1]
                    near.y[k], near.weight[k] = near.y[k - 1], near.weight[k - 1]
                    k -= 1
                near.first[k] = first
                near.last[k] = places.x[j] + tables.stop[p] - tables.start[q]
                near.row[k] = tables.at[p, q] - first
                near.y[k] = places.y[j]
                near.weight[k] = weights[i, j]
                n += 1
    return n
