"""Interval tables: where two blanks in given orientations may not lie, for every shift along the bar.

Each outline is grown by half the separation and cut into columns of `STEP`; in each column it fills one interval
(hollows across the bar are filled: safe, if wasteful for shapes that are not x-monotone). Two blanks clash at a shift
exactly when the height of one above the other lies in one interval, the hull over their common columns.
"""

from dataclasses import dataclass
from math import ceil, pi

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from workbook.geometry.path import Placement, Points
from workbook.geometry.polygon import corners, grown, hull, of_points
from workbook.nesting.model import NestingJob

STEP = 1.0  # mm, width of a column; blanks start on column borders
PAD = 0.004  # mm, more than rounding to written decimals and the grown corners' chords can take
NOTHING = 1e9
SLACK = 1e-6  # mm, for sums of lengths that are equal on paper


@dataclass(frozen=True, slots=True, eq=False)
class Pose:
    """A part in one orientation: its columns' lowest and highest grown places, and its finished outline's extent."""

    part: int
    angle: float
    mirrored: bool
    low: Points
    high: Points
    extent: tuple[float, float, float, float]

    @property
    def reach(self) -> float:
        """Length along the bar of the finished outline."""
        return self.extent[2] - self.extent[0]


def pose(job: NestingJob, part: int, angle: float, mirrored: bool) -> Pose:
    """The columns of a part turned and perhaps mirrored about its origin."""
    placed = Placement(0.0, 0.0, angle, mirrored).points(job.parts[part].outline)
    shape = hull(of_points(placed)) if job.hulls else of_points(placed)
    clear = corners(grown(shape, job.separation / 2 + PAD))
    low, high = columns(clear, float(placed[:, 0].min()) - job.separation / 2 - PAD)
    (x0, y0), (x1, y1) = placed.min(axis=0), placed.max(axis=0)
    return Pose(part, angle, mirrored, low, high, (float(x0), float(y0), float(x1), float(y1)))


def columns(points: Points, start: float) -> tuple[Points, Points]:
    """Lowest and highest y of a closed outline in each column of `STEP` from `start` on; exact for its straight sides."""
    count = max(1, ceil((float(points[:, 0].max()) - start) / STEP))
    low, high = np.full(count, NOTHING), np.full(count, -NOTHING)
    ends = np.roll(points, -1, axis=0)
    for (x0, y0), (x1, y1) in zip(points, ends, strict=True):
        if x0 > x1:
            x0, y0, x1, y1 = x1, y1, x0, y0
        first, last = int((x0 - start) // STEP), int((x1 - start) // STEP)
        borders = start + STEP * np.arange(first + 1, last + 1)
        xs = np.concatenate(([x0], borders, [x1]))
        ys = np.interp(xs, (x0, x1), (y0, y1)) if x1 > x0 else np.array([y0, y1])
        bottoms, tops = np.minimum(ys[:-1], ys[1:]), np.maximum(ys[:-1], ys[1:])
        at = np.clip(np.arange(first, first + len(bottoms)), 0, count - 1)
        np.minimum.at(low, at, bottoms)
        np.maximum.at(high, at, tops)
    return low, high


def orientations(job: NestingJob) -> list[tuple[float, bool]]:
    """Angles and sides a blank may lie in: along the bar either way, either face up, leaning where the job allows it."""
    leans = (0.0, job.tilt, -job.tilt) if job.tilt else (0.0,)
    return [(turn + lean, mirrored) for mirrored in (False, True) for turn in (0.0, pi) for lean in leans]


def fits_alone(job: NestingJob, part: int, stock: int) -> bool:
    """Whether a blank of the part fits on an empty bar at all."""
    bar = job.stock[stock]
    for angle, mirrored in orientations(job):
        placed = Placement(0.0, 0.0, angle, mirrored).points(job.parts[part].outline)
        along, across = placed.max(axis=0) - placed.min(axis=0)
        if along <= bar.length - 2 * job.bar_end + SLACK and across <= bar.width - 2 * job.bar_edge + SLACK:
            return True
    return False


class Tables:
    """Poses of every part and, made when first asked for, the clash interval of every pair of poses."""

    def __init__(self, job: NestingJob) -> None:
        self.poses = [[pose(job, part, *lying) for lying in orientations(job)] for part in range(len(job.parts))]
        self._clashes: dict[tuple[int, int], tuple[Points, Points]] = {}

    def clash(self, fixed: Pose, moving: Pose) -> tuple[Points, Points]:
        """For each shift of `moving` against `fixed`, from -(its columns - 1) on: the open interval of heights that clash."""
        key = (id(fixed), id(moving))
        if key not in self._clashes:
            self._clashes[key] = _clash(fixed, moving)
        return self._clashes[key]


def _clash(fixed: Pose, moving: Pose) -> tuple[Points, Points]:
    n = len(moving.low)
    low = np.pad(fixed.low, n - 1, constant_values=NOTHING)
    high = np.pad(fixed.high, n - 1, constant_values=-NOTHING)
    under = (sliding_window_view(low, n) - moving.high).min(axis=1)
    over = (sliding_window_view(high, n) - moving.low).max(axis=1)
    return under, over
