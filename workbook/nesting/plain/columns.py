"""Interval tables: where two blanks in given orientations must not lie, for every shift along the bar.

Each outline is grown by half the separation and cut into columns of `STEP`; in each column it fills one interval
(hollows across the bar are filled: safe, if wasteful for shapes that are not x-monotone). Two blanks clash at a shift
exactly when the height of one above the other lies in one interval, the hull over their common columns.
"""

from collections.abc import Sequence
from math import ceil

import numpy as np
from msgspec import Struct
from numpy.lib.stride_tricks import sliding_window_view

from workbook.geometry.path import Placement, Points
from workbook.geometry.polygon import corners, grown, hull, of_points
from workbook.nesting.fits import STEP, orientations
from workbook.nesting.model import NestingJob

PAD = 0.004  # mm, more than the error of rounding to written decimals and of the grown corners' chords
NOTHING = 1e9
WIDE = 8  # columns per stretch


class Pose(Struct, frozen=True, eq=False):
    """A part in one orientation: lowest and highest y of its grown columns, and its finished outline's extent, in mm."""

    part: int
    angle: float
    mirrored: bool
    low: Points
    high: Points
    extent: tuple[float, float, float, float]

    @property
    def reach(self) -> float:
        """The length along the bar of the finished outline, in mm."""
        return self.extent[2] - self.extent[0]


Family = tuple[Pose, ...]  # of one part, all with the same reach and number of columns


def pose(job: NestingJob, part: int, angle: float, mirrored: bool, before: float = 0.0) -> Pose:
    """A part turned and perhaps mirrored about its origin, in columns; the first column begins `before` mm earlier."""
    placed = Placement(0.0, 0.0, angle, mirrored).points(job.parts[part].outline)
    shape = hull(of_points(placed)) if job.hulls else of_points(placed)
    clear = corners(grown(shape, job.separation / 2 + PAD))
    low, high = columns(clear, float(placed[:, 0].min()) - job.separation / 2 - PAD - before)
    (x0, y0), (x1, y1) = placed.min(axis=0), placed.max(axis=0)
    return Pose(part, angle, mirrored, low, high, (float(x0), float(y0), float(x1), float(y1)))


def columns(points: Points, start: float) -> tuple[Points, Points]:
    """The lowest and highest y of a closed outline in each column of `STEP` from `start` on; exact for its straight sides."""
    count = max(1, ceil((float(points[:, 0].max()) - start) / STEP))
    ends = np.roll(points, -1, axis=0)
    backward = points[:, 0] > ends[:, 0]
    a, b = np.where(backward[:, None], ends, points), np.where(backward[:, None], points, ends)
    first = np.floor((a[:, 0] - start) / STEP).astype(int)
    pieces = np.floor((b[:, 0] - start) / STEP).astype(int) - first + 1
    side = np.repeat(np.arange(len(a)), pieces)
    column = first[side] + np.arange(len(side)) - np.repeat(np.cumsum(pieces) - pieces, pieces)
    run = b[side, 0] - a[side, 0]
    slope = np.divide(b[side, 1] - a[side, 1], run, out=np.zeros(len(side)), where=run > 0)
    left = np.maximum(start + column * STEP, a[side, 0]) - a[side, 0]
    right = np.minimum(start + (column + 1) * STEP, b[side, 0]) - a[side, 0]
    begin = a[side, 1] + slope * left
    finish = np.where(run > 0, a[side, 1] + slope * right, b[side, 1])
    low, high = np.full(count, NOTHING), np.full(count, -NOTHING)
    at = np.clip(column, 0, count - 1)
    np.minimum.at(low, at, np.minimum(begin, finish))
    np.maximum.at(high, at, np.maximum(begin, finish))
    return low, high


class Clash(Struct, frozen=True, eq=False):
    """Where poses of a family clash with a blank: open intervals of heights (poses, shifts), and those common to a stretch.

    Shifts are of the moving blank, from -(its columns - 1) on; a stretch begins at every shift but the last few.
    """

    under: Points
    over: Points
    wide_under: Points
    wide_over: Points


class ColumnTables:
    """The poses of every part, in families of one reach, and their clashes, which are computed when first needed."""

    def __init__(self, job: NestingJob) -> None:
        self.poses = [[pose(job, part, *lying) for lying in orientations(job, part)] for part in range(len(job.parts))]
        self.families = [_families(poses) for poses in self.poses]
        self._clashes: dict[tuple[int, int], Clash] = {}
        self._rows: dict[tuple[int, int], tuple[Points, Points]] = {}

    def against(self, fixed: Pose, family: Family) -> Clash:
        """Where the poses of a family clash with a blank."""
        key = (id(fixed), id(family))
        if key not in self._clashes:
            under, over = (np.array(rows) for rows in zip(*(self.clash(fixed, moving) for moving in family), strict=True))
            self._clashes[key] = Clash(under, over, *_wide(under, over))
            for n, moving in enumerate(family):
                self._rows[id(fixed), id(moving)] = under[n], over[n]
        return self._clashes[key]

    def clash(self, fixed: Pose, moving: Pose) -> tuple[Points, Points]:
        """For each shift of `moving` against `fixed`, from -(its columns - 1) on: the open interval of heights that clash."""
        cached = self._rows.get((id(moving), id(fixed)))  # the same pair, seen from the other
        return _clash(fixed, moving) if cached is None else (-cached[1][::-1], -cached[0][::-1])


def _families(poses: Sequence[Pose]) -> list[Family]:
    families: dict[tuple[int, float], list[Pose]] = {}
    for each in poses:
        families.setdefault((len(each.low), round(each.reach, 6)), []).append(each)
    return [tuple(family) for family in families.values()]


def _clash(fixed: Pose, moving: Pose) -> tuple[Points, Points]:
    n = len(moving.low)
    low = np.pad(fixed.low, n - 1, constant_values=NOTHING)
    high = np.pad(fixed.high, n - 1, constant_values=-NOTHING)
    under = (sliding_window_view(low, n) - moving.high).min(axis=1)
    over = (sliding_window_view(high, n) - moving.low).max(axis=1)
    return under, over


def _wide(under: Points, over: Points) -> tuple[Points, Points]:
    if under.shape[1] < WIDE:
        return under[:, :0], over[:, :0]
    return sliding_window_view(under, WIDE, axis=1).max(axis=2), sliding_window_view(over, WIDE, axis=1).min(axis=2)
