"""The first layout: each blank in turn goes where its far end comes nearest to end A, on the first bar that takes it."""

import numpy as np

from workbook.nesting.engine.intervals import BLOCK, TOUCH, ClashTables, Singles
from workbook.nesting.engine.kernel import Floats, Ints, kernel
from workbook.nesting.engine.overlaps import Places, Room

NOWHERE = -1


@kernel
def free_height(low: Floats, high: Floats, count: int, top: float) -> float:
    """A height in 0..top (mm) that lies in none of the intervals, trying the bar's edges first; -1 when there is none."""
    for c in range(-2, 2 * count):
        if c == -2:
            y = 0.0
        elif c == -1:
            y = top
        else:
            y = high[c // 2] if c % 2 == 0 else low[c // 2]
        clear = 0.0 <= y <= top
        for k in range(count):
            if not clear:
                break
            clear = not low[k] + TOUCH < y < high[k] - TOUCH
        if clear:
            return y
    return -1.0


@kernel
def walls_at(
    intervals: Singles, rows: Ints, above: Floats, count: int, s: int, size: int, top: float, low: Floats, high: Floats
) -> int:  # fmt: skip
    """Write to `low` and `high` what clashes at each of `size` shifts from s on. Returns how many; -1 where no height is left.

    `rows`: for each body that may be met the first and the last shift at which it is, and its row of `intervals` less the shift.
    """
    walls = 0
    for k in range(count):
        if rows[0, k] <= s and s + size - 1 <= rows[1, k]:
            bottom, roof = above[k] + intervals[rows[2, k] + s, 0], above[k] + intervals[rows[2, k] + s, 1]
            if roof > TOUCH and bottom < top - TOUCH and bottom < roof:
                if bottom < -TOUCH and roof > top + TOUCH:
                    return -1
                low[walls], high[walls] = bottom, roof
                walls += 1
    return walls


@kernel
def free_at(
    intervals: Singles, rows: Ints, above: Floats, count: int, s: int, size: int, top: float, low: Floats, high: Floats
) -> float:  # fmt: skip
    """A height free of all that clashes at each of `size` shifts from s on; -1 when there is none. `low`, `high`: work space."""
    walls = walls_at(intervals, rows, above, count, s, size, top, low, high)
    return free_height(low, high, walls, top) if walls >= 0 else -1.0


@kernel
def fill(tables: ClashTables, room: Room, part: Ints, order: Ints, places: Places) -> int:
    """Place the blanks in `order` on bars that may already hold others. Returns how many were placed.

    `part` holds the part of each blank; those without room keep bar -1, those with a bar are not touched.
    """
    n, bars = len(part), room.shift.shape[1]
    bodies = 0
    for t in range(len(tables.body) - 1):
        bodies = max(bodies, tables.body[t + 1] - tables.body[t])
    size = n * bodies * bodies
    rows = np.empty((3, size), np.int64)
    above, low, high = np.empty(size), np.empty(size), np.empty(size)
    full = np.zeros((len(tables.first), bars), np.int64)  # bars only get fuller: what did not fit never will
    tried = np.zeros((len(tables.body) - 1, bars), np.int64)  # so no place of a pose before this one becomes free
    placed = 0
    for i in order:
        for b in range(bars):
            if full[part[i], b]:
                continue
            end = 1 << 60
            pose, shift, height = -1, 0, 0.0
            for t in range(tables.first[part[i]], tables.last[part[i]]):
                if room.shift[t, b] < 0:
                    continue
                length = tables.stop[tables.body[t]]
                for q in range(tables.body[t], tables.body[t + 1]):
                    length = max(length, tables.stop[q])
                count = 0
                for j in range(n):
                    if places.bar[j] != b or j == i:
                        continue
                    for p in range(tables.body[places.pose[j]], tables.body[places.pose[j] + 1]):
                        for q in range(tables.body[t], tables.body[t + 1]):
                            rows[0, count] = places.x[j] + tables.start[p] - tables.stop[q]
                            rows[1, count] = places.x[j] + tables.stop[p] - tables.start[q]
                            rows[2, count] = tables.at[p, q] - rows[0, count]
                            above[count] = places.y[j]
                            count += 1
                top = room.height[t, b]
                s = tried[t, b]
                while s <= room.shift[t, b] and s + length < end:
                    if free_at(tables.window, rows, above, count, s, BLOCK, top, low, high) < 0.0:
                        s += BLOCK  # what clashes at all of these shifts leaves no room at any
                        continue
                    stop = s + BLOCK
                    y = -1.0
                    while y < 0.0 and s < stop and s <= room.shift[t, b] and s + length < end:
                        y = free_at(tables.interval, rows, above, count, s, 1, top, low, high)
                        s += y < 0.0
                    if y >= 0.0:
                        end, pose, shift, height = s + length, t, s, y
                        break
                tried[t, b] = s
            full[part[i], b] = pose < 0
            if pose >= 0:
                places.pose[i], places.bar[i], places.x[i], places.y[i] = pose, b, shift, height
                placed += 1
                break
    return placed
