"""Separating lines: for two bodies near each other, the straight line that keeps them apart with most to spare.

A pair's clash region near its present relative place is sampled as vertical segments. Of all directions, the one in which
the place lies farthest outside the segments is chosen; crossing that line is then forbidden, which is linear in the places
of both. Sampling errs a little: what is missing is measured afterwards with the exact interval (`tighten`).
"""

from typing import NamedTuple

import numpy as np

from workbook.nesting.engine.intervals import TOUCH, ClashTables
from workbook.nesting.engine.kernel import Floats, Ints, kernel
from workbook.nesting.engine.slabs import Slabs, clash

_DIRECTIONS = 16
_REFINED = 12  # halvings of the step between directions
_MOST_SAMPLES = 2048
_FARTHEST = 8.0  # mm, the most an overlapping pair is pushed along the bar
_PUSH = 0.1  # mm, the step of that push


class Lines(NamedTuple):
    """Rows, in mm: blank b must keep (b - a) . (ux, uy) >= least, while its place from a is within `reach` of (px, py)."""

    a: Ints
    b: Ints
    ux: Floats
    uy: Floats
    least: Floats
    reach: Floats
    px: Floats
    py: Floats

    def head(self, count: int) -> "Lines":
        """The first `count` rows."""
        n = count
        return Lines(self.a[:n], self.b[:n], self.ux[:n], self.uy[:n], self.least[:n], self.reach[:n], self.px[:n], self.py[:n])


@kernel
def depth(shapes: Slabs, p: int, q: int, dx: float, dy: float) -> float:
    """How far, in mm, body q at (dx, dy) from body p is inside its clash interval, up or down; negative when clear."""
    low, high = clash(shapes, p, q, dx)
    return min(high - dy, dy - low)


@kernel
def deepest(shapes: Slabs, pose_a: int, pose_b: int, dx: float, dy: float) -> float:
    """The same for two blanks, over all their bodies; two fixed blanks count as clear."""
    worst = -1e9
    if pose_a >= shapes.free and pose_b >= shapes.free:
        return worst
    for p in range(shapes.body[pose_a], shapes.body[pose_a + 1]):
        for q in range(shapes.body[pose_b], shapes.body[pose_b + 1]):
            worst = max(worst, depth(shapes, p, q, dx, dy))
    return worst


@kernel
def worst(shapes: Slabs, pose: Ints, x: Floats, y: Floats) -> float:
    """The deepest clash of a layout in mm; above `TOUCH` the layout is not valid."""
    most = -1e9
    for a in range(len(pose)):
        for b in range(a + 1, len(pose)):
            most = max(most, deepest(shapes, pose[a], pose[b], x[b] - x[a], y[b] - y[a]))
    return most


@kernel
def pushed_out(shapes: Slabs, p: int, q: int, dx: float, dy: float) -> tuple[float, float, float]:
    """The nearest clear place of q from p, straight up, down or along the bar, and its distance, in mm."""
    low, high = clash(shapes, p, q, dx)
    if high <= dy or low >= dy:
        return dx, dy, 0.0
    far, x, y = high - dy, dx, high
    if dy - low < far:
        far, y = dy - low, low
    for sign in (-1.0, 1.0):
        s = _PUSH
        while s < far and s <= _FARTHEST:
            low, high = clash(shapes, p, q, dx + sign * s)
            if high <= dy or low >= dy:
                far, x, y = s, dx + sign * s, dy
                break
            s += _PUSH
    return x, y, far


@kernel
def farthest(sx: Floats, sy: Floats, count: int, ux: float, uy: float, limit: float) -> float:
    """The greatest reach of the samples in a direction; stops once above the limit."""
    most = -1e9
    for k in range(count):
        most = max(most, ux * sx[k] + uy * sy[k])
        if most > limit:
            break
    return most


@kernel
def keep(sx: Floats, sy: Floats, count: int, s: float, low: float, high: float) -> int:
    """Add both ends of a segment unless it is empty; returns the new number of samples."""
    if high <= low:
        return count
    sx[count], sx[count + 1], sy[count], sy[count + 1] = s, s, low, high
    return count + 2


@kernel
def sample(
    shapes: Slabs, tables: ClashTables, p: int, q: int, px: float, py: float, reach: float, fine: float, sx: Floats, sy: Floats
) -> int:  # fmt: skip
    """Sample the ends of the vertical clash segments within `reach` of a place; returns their number.

    They come from the tables at whole cells while `fine` is no finer, else exactly; always exactly at the place itself.
    """
    x0, x1 = shapes.x[shapes.first[p]], shapes.x[shapes.first[p + 1] - 1]
    begin = max(px - reach, x0 - shapes.x[shapes.first[q + 1] - 1] + 1e-7)
    end = min(px + reach, x1 - shapes.x[shapes.first[q]] - 1e-7)
    if begin >= end:
        return 0
    bottom, top, count = py - reach, py + reach, 0
    if 2 * fine >= tables.cell:
        first, last = tables.start[p] - tables.stop[q], tables.stop[p] - tables.start[q]
        for k in range(max(first, int(np.ceil(begin / tables.cell))), min(last, int(np.floor(end / tables.cell))) + 1):
            row = tables.at[p, q] + k - first
            low, high = max(tables.interval[row, 0], bottom), min(tables.interval[row, 1], top)
            count = keep(sx, sy, count, k * tables.cell, low, high)
    else:
        steps = min(int((end - begin) / fine) + 2, _MOST_SAMPLES // 2 - 2)
        for k in range(steps + 1):
            s = begin + (end - begin) * k / steps
            low, high = clash(shapes, p, q, s)
            count = keep(sx, sy, count, s, max(low, bottom), min(high, top))
    s = min(max(px, begin), end)
    low, high = clash(shapes, p, q, s)
    return keep(sx, sy, count, s, max(low, bottom), min(high, top))


@kernel
def widest(sx: Floats, sy: Floats, count: int, px: float, py: float) -> tuple[float, float, float, float]:
    """The direction in which a place lies farthest outside the samples: margin, direction, and reach of the samples in it."""
    step = 2 * np.pi / _DIRECTIONS
    margin, angle, least = -1e9, 0.0, 0.0
    for d in range(_DIRECTIONS):
        ux, uy = np.cos(d * step), np.sin(d * step)
        projection = ux * px + uy * py
        far = farthest(sx, sy, count, ux, uy, projection - margin)
        if projection - far > margin:
            margin, angle, least = projection - far, d * step, far
    for _ in range(_REFINED):
        step *= 0.5
        for turn in (-step, step):
            ux, uy = np.cos(angle + turn), np.sin(angle + turn)
            projection = ux * px + uy * py
            far = farthest(sx, sy, count, ux, uy, projection - margin)
            if projection - far > margin:
                margin, least = projection - far, far
                angle += turn
                break
    return margin, np.cos(angle), np.sin(angle), least


@kernel
def near_lines(
    shapes: Slabs, tables: ClashTables, height: Floats, pose: Ints, x: Floats, y: Floats, reach: float, fine: float, lines: Lines
) -> int:  # fmt: skip
    """Write a line for every two bodies within `reach` of clashing, and return how many; overlaps are pushed out first."""
    sx, sy = np.empty(_MOST_SAMPLES), np.empty(_MOST_SAMPLES)
    n = 0
    for a in range(len(pose)):
        for b in range(a + 1, len(pose)):
            dx, dy = x[b] - x[a], y[b] - y[a]
            if dy > height[pose[a]] + reach or dy < -height[pose[b]] - reach:
                continue
            if pose[a] >= shapes.free and pose[b] >= shapes.free:
                continue
            for p in range(shapes.body[pose[a]], shapes.body[pose[a] + 1]):
                for q in range(shapes.body[pose[b]], shapes.body[pose[b] + 1]):
                    x0, x1 = shapes.x[shapes.first[p]], shapes.x[shapes.first[p + 1] - 1]
                    if dx > x1 - shapes.x[shapes.first[q]] + reach or dx < x0 - shapes.x[shapes.first[q + 1] - 1] - reach:
                        continue
                    px, py, pushed = pushed_out(shapes, p, q, dx, dy)
                    pair_reach = reach + pushed
                    for attempt in range(5):
                        count = sample(
                            shapes, tables, p, q, px, py, pair_reach, fine if pair_reach > 1.0 else fine * pair_reach, sx, sy
                        )
                        if count <= 0 or n == len(lines.a):
                            break
                        margin, ux, uy, least = widest(sx, sy, count, px, py)
                        if margin > -0.02 or attempt == 4:
                            lines.a[n], lines.b[n], lines.ux[n], lines.uy[n] = a, b, ux, uy
                            lines.least[n] = least if margin > 0 else ux * px + uy * py
                            lines.reach[n], lines.px[n], lines.py[n] = pair_reach, px, py
                            n += 1
                            break
                        pair_reach *= 0.4  # the region surrounds the place: a line is only valid nearer to it
    return n


@kernel
def tighten(shapes: Slabs, pose: Ints, x: Floats, y: Floats, lines: Lines, more: Floats) -> float:
    """Add to `more` what each line lacks, along its direction, for its pair to be clear. Returns the most added, in mm."""
    most = 0.0
    for k in range(len(lines.a)):
        a, b = lines.a[k], lines.b[k]
        dx, dy = x[b] - x[a], y[b] - y[a]
        if deepest(shapes, pose[a], pose[b], dx, dy) <= TOUCH:
            continue
        low, high = 0.0, 0.05
        while high < 12.0 and deepest(shapes, pose[a], pose[b], dx + high * lines.ux[k], dy + high * lines.uy[k]) > 0.0:
            high *= 2
        for _ in range(12):
            middle = 0.5 * (low + high)
            if deepest(shapes, pose[a], pose[b], dx + middle * lines.ux[k], dy + middle * lines.uy[k]) > 0.0:
                low = middle
            else:
                high = middle
        more[k] += high + 1e-5
        most = max(most, high)
    return most


@kernel
def closest_join(
    shapes: Slabs, pose: Ints, x: Floats, y: Floats, pose2: Ints, x2: Floats, y2: Floats, start: float, stop: float
) -> float:  # fmt: skip
    """The least offset along the bar at which a second layout, coming from `start`, is clear of a first; to half a mm."""
    s = start
    while s > stop:
        for i in range(len(pose)):
            for j in range(len(pose2)):
                if deepest(shapes, pose[i], pose2[j], x2[j] + s - 0.5 - x[i], y2[j] - y[i]) > TOUCH:
                    return s
        s -= 0.5
    return s
