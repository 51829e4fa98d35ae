"""First layouts of many blanks alike: in each lane they follow one another in one pose at one period, lane above lane.

Lanes of the same period nest alike everywhere, so what matters of two neighbouring lanes is only their poses and the offset
between them along the bar. The stack of least height is a shortest path from lane to lane. The search then only
has to improve the ends.
"""

from collections.abc import Iterator
from itertools import count

import numpy as np

from workbook.nesting.engine.compaction import Strip
from workbook.nesting.engine.field import PartTables
from workbook.nesting.engine.intervals import TOUCH, ClashTables
from workbook.nesting.engine.kernel import Floats, Ints
from workbook.nesting.engine.lines import worst

_STRETCHED, _STEP = 0.12, 0.02  # longest period, as a share over the shortest, and the step between two
_OFFSETS = 32  # tried for a lane
_OVER = 1e-5  # mm added to a rise, for single precision


def stacked(field: PartTables, part: int, blanks: int, width: float) -> list[Strip]:
    """The shortest layout found for each number of lanes, shortest first. None of it clashes."""
    tables = field.tables
    poses = np.arange(tables.first[part], tables.last[part])
    shortest = _shortest_period(tables, poses)
    best: dict[int, Strip] = {}
    for period in np.unique((shortest * np.arange(1.0, 1.0 + _STRETCHED, _STEP)).astype(np.int64)).tolist():
        rises = _rises(tables, poses, period)
        for lanes, stack in _stacks(field, poses, rises, width):
            strip = _repeated(field, stack, period, blanks)
            better = lanes not in best or strip.length < best[lanes].length
            if better and worst(field.shapes, *strip.places) <= TOUCH:  # lanes further apart than neighbours may clash
                best[lanes] = strip
    return sorted(best.values(), key=lambda strip: strip.length)


def _shortest_period(tables: ClashTables, poses: Ints) -> int:
    """The least whole number of cells at which a blank can follow itself at the same height, in any of the poses."""
    clashing = set[int]()
    for pose in poses.tolist():
        for first, low, high in _intervals(tables, pose, pose):
            clashing.update((first + np.flatnonzero((low < -TOUCH) & (high > TOUCH))).tolist())
    return next(p for p in count(1) if not any(k * p in clashing for k in range(1, max(clashing, default=0) // p + 1)))


def _intervals(tables: ClashTables, below: int, above: int) -> Iterator[tuple[int, Floats, Floats]]:
    """For every two bodies of two poses the first shift at which they meet, and the clash interval at that and all later ones."""
    for p in range(tables.body[below], tables.body[below + 1]):
        for q in range(tables.body[above], tables.body[above + 1]):
            first, last = int(tables.start[p] - tables.stop[q]), int(tables.stop[p] - tables.start[q])
            rows = tables.interval[tables.at[p, q] : tables.at[p, q] + last - first + 1]
            yield first, rows[:, 0].astype(np.float64), rows[:, 1].astype(np.float64)


def _rises(tables: ClashTables, poses: Ints, period: int) -> Floats:
    """How far a lane in the second pose must lie above one in the first at every offset, (poses, poses, period) in mm."""
    rises = np.zeros((len(poses), len(poses), period))
    for a, below in enumerate(poses.tolist()):
        for b, above in enumerate(poses.tolist()):
            for first, low, high in _intervals(tables, below, above):
                offset = (first + np.arange(len(low))) % period
                np.maximum.at(rises[a, b], offset, np.where(low < high, high, 0.0))
    return rises + _OVER


def _stacks(field: PartTables, poses: Ints, rises: Floats, width: float) -> Iterator[tuple[int, tuple[Ints, Ints, Floats]]]:
    """For each number of lanes that the width takes: poses, offsets in cells and heights in mm, the offsets spread least."""
    period = rises.shape[2]
    for lanes in range(1, int(width * period * field.cell / _area(field, int(poses[0]))) + 1):
        narrow, wide = -1, period - 1
        height, stack = _lowest(field, poses, rises, lanes, wide)
        if height > width:
            return
        while wide - narrow > max(1, period // 64):
            middle = (narrow + wide) // 2
            height, tried = _lowest(field, poses, rises, lanes, middle)
            if height <= width:
                wide, stack = middle, tried
            else:
                narrow = middle
        yield lanes, stack


def _area(field: PartTables, pose: int) -> float:
    """The area of a pose's bodies in mm²."""
    bodies = field.poses.shapes[field.poses.body[pose] : field.poses.body[pose + 1]]
    return sum(float((np.diff(body.x) * (body.y @ (-0.5, -0.5, 0.5, 0.5))).sum()) for body in bodies)


def _lowest(field: PartTables, poses: Ints, rises: Floats, lanes: int, spread: int) -> tuple[float, tuple[Ints, Ints, Floats]]:
    """The least height of so many lanes with offsets from 0 to `spread`, and their poses, offsets and heights."""
    offset = np.unique(np.linspace(0, spread, _OFFSETS).astype(np.int64))
    between = (offset[None, :] - offset[:, None]) % rises.shape[2]
    states = len(poses) * len(offset)
    rise = rises[:, :, between].transpose(0, 2, 1, 3).reshape(states, states)
    height, before = np.zeros(states), list[Ints]()
    for _ in range(lanes - 1):
        heights = height[:, None] + rise
        before.append(heights.argmin(axis=0))
        height = heights.min(axis=0)
    total = height + np.repeat(field.poses.height[poses], len(offset))
    path = [int(total.argmin())]
    for back in reversed(before):
        path.insert(0, int(back[path[0]]))
    state = np.array(path)
    y, pose = np.r_[0.0, np.cumsum(rise[state[:-1], state[1:]])], poses[state // len(offset)]
    return float((y + field.poses.height[pose]).max()), (pose, offset[state % len(offset)], y)


def _repeated(field: PartTables, stack: tuple[Ints, Ints, Floats], period: int, blanks: int) -> Strip:
    """So many blanks in these lanes, those that end first."""
    pose, offset, y = stack
    each = -(-blanks // len(pose)) + 1
    x = (field.along(offset)[:, None] + field.along(np.arange(each) * period)).ravel()
    pose, y = np.repeat(pose, each), np.repeat(y, each)
    end = x + field.poses.right[pose]
    chosen = np.sort(np.argsort(end, kind="stable")[:blanks])
    return Strip(pose[chosen], x[chosen], y[chosen], float(end[chosen].max()))
