"""Which heights clash, for every shift along the bar: exact, because a body meets each vertical in one interval.

Body q at a shift s (cells) from body p clashes with it exactly when the height of q's frame above p's lies inside one open
interval. `ClashTables.interval` holds it for every shift at which the two meet; `window` holds the heights that clash at all
of the next `BLOCK` shifts, `wide_window` those of `BLOCKS` such blocks: no place there is free. Where two bodies do not
meet the interval is empty (low above high).
"""

from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from workbook.nesting.engine.kernel import Floats, Ints, kernel
from workbook.nesting.engine.poses import Poses, reach
from workbook.nesting.engine.slabs import Slabs, clash_near
from workbook.system.processes import cores

BLOCK = 16  # shifts that share one bound
BLOCKS = 8  # blocks that share one coarser bound
_SHARES = 16  # into which the bodies are divided, to be filled in parallel
TOUCH = 1e-6  # mm; a smaller overlap counts as touching


Singles = NDArray[np.float32]


class ClashTables(NamedTuple):
    """Clash intervals of every two bodies at whole shifts."""

    first: Ints  # poses of part i: first[i] .. last[i] - 1
    last: Ints
    body: Ints
    start: Ints  # cell borders between which a body lies in its frame
    stop: Ints
    at: Ints  # (p, q): row of the interval at shift start[p] - stop[q], the first at which they may meet
    interval: Singles
    window: Singles
    wide_window: Singles
    cell: float


def tables(poses: Poses, shapes: Slabs, *, lean: bool) -> ClashTables:
    """Build the tables of all poses; a search with them uses only the upright poses unless `lean` is set."""
    ends = [reach(body, poses.cell) for body in poses.shapes]
    start, stop = np.array([a for a, _ in ends], np.int64), np.array([b for _, b in ends], np.int64)
    lengths = (stop - start)[:, None] + (stop - start)[None, :] + 1
    free = poses.free_bodies
    lengths[free:, free:] = 0  # pairs of fixed blanks are never looked up
    at = np.zeros(lengths.shape, np.int64)
    at.flat[1:] = np.cumsum(lengths)[:-1]
    interval = np.empty((int(lengths.sum()), 2), np.float32)
    pose = np.repeat(np.arange(len(poses.part)), np.diff(poses.body))
    _side_by_side(lambda a, b: fill_intervals(shapes, pose, start, stop, at, interval, poses.cell, poses.free, a, b), len(start))
    _exchange(poses, start, stop, at, interval)
    _side_by_side(lambda a, b: fill_turned(poses.body, poses.height, start, stop, at, interval, poses.free, a, b), poses.free)
    window, wide_window = np.empty_like(interval), np.empty_like(interval)
    _side_by_side(lambda a, b: fill_windows(start, stop, at, interval, BLOCK, window, free, a, b), len(start))
    _side_by_side(lambda a, b: fill_windows(start, stop, at, interval, BLOCK * BLOCKS, wide_window, free, a, b), len(start))
    last = poses.first[1:] if lean else poses.upright
    return ClashTables(poses.first[:-1], last, poses.body, start, stop, at, interval, window, wide_window, poses.cell)


def _side_by_side(fill: Callable[[int, int], None], bodies: int) -> None:
    """Fill the rows of all bodies, a few at a time, on every core: kernels let other threads run."""
    few = max(1, bodies // _SHARES)
    with ThreadPoolExecutor(cores()) as threads:
        for task in [threads.submit(fill, a, min(a + few, bodies)) for a in range(0, bodies, few)]:
            task.result()


def _exchange(poses: Poses, start: Ints, stop: Ints, at: Ints, interval: Singles) -> None:
    """Fill the intervals of blanks of earlier directions seen from later ones: the pair turned and seen from the earlier blank.

    Fixed blanks see the others as these see them, from the other side.
    """
    for a in (*range(0, poses.free, 4), *range(poses.free, len(poses.part))):
        for b in range(min(a, poses.free)):
            turn = b % 4 if a < poses.free else 0
            rise = np.float32(poses.height[a] - poses.height[b])
            for p in range(poses.body[a + 1] - poses.body[a]):
                for q in range(poses.body[b + 1] - poses.body[b]):
                    rows = _rows(start, stop, at, poses.body[a] + p, poses.body[b] + q)
                    values = interval[_rows(start, stop, at, poses.body[b - turn] + q, poses.body[a ^ turn] + p)]
                    values = -(values if turn & 1 else values[::-1])[:, ::-1]
                    interval[rows] = rise - values[:, ::-1] if turn in (1, 2) else values


def _rows(start: Ints, stop: Ints, at: Ints, p: int, q: int) -> slice:
    length = int(stop[p] - start[p] + stop[q] - start[q]) + 1
    return slice(int(at[p, q]), int(at[p, q]) + length)


@kernel
def fill_intervals(
    shapes: Slabs, pose: Ints, start: Ints, stop: Ints, at: Ints, interval: Singles, cell: float, free: int, begin: int, end: int
) -> None:  # fmt: skip
    """Fill the intervals seen from bodies begin .. end - 1 of blanks as they are (poses 0, 4, 8...), of blanks of the same and of
    later directions.

    Fixed blanks (poses from `free` on) are seen from every pose.
    """
    for p in range(begin, end):
        if pose[p] >= free:
            break
        for q in range(len(start)):
            if pose[q] < free and (pose[p] % 4 != 0 or pose[q] < pose[p]):
                continue
            first = start[p] - stop[q]
            x_low = x_high = shapes.x[shapes.first[p]]
            for s in range(first, stop[p] - start[q] + 1):
                low, high, x_low, x_high = clash_near(shapes, p, q, s * cell, x_low, x_high)
                interval[at[p, q] + s - first, 0] = low
                interval[at[p, q] + s - first, 1] = high


@kernel
def fill_turned(
    body: Ints, height: Floats, start: Ints, stop: Ints, at: Ints, interval: Singles, free: int, begin: int, end: int
) -> None:  # fmt: skip
    """Fill the intervals seen from poses begin .. end - 1 that are turned or mirrored: those seen from the blank as it is, with
    the other turned likewise.
    """
    for a in range(begin, end):
        turn = a % 4
        if turn == 0:
            continue
        for b in range(free):
            rise = np.float32(height[a] - height[b])
            for p in range(body[a], body[a + 1]):
                for q in range(body[b], body[b + 1]):
                    rows = stop[p] - start[p] + stop[q] - start[q] + 1
                    same = at[p - body[a] + body[a - turn], q - body[b] + body[b ^ turn]]
                    for row in range(rows):
                        from_row = same + (rows - 1 - row if turn & 1 else row)
                        low, high = interval[from_row, 0], interval[from_row, 1]
                        reverse = turn == 1 or turn == 2
                        interval[at[p, q] + row, 0] = rise - high if reverse else low
                        interval[at[p, q] + row, 1] = rise - low if reverse else high


@kernel
def fill_windows(
    start: Ints, stop: Ints, at: Ints, interval: Singles, size: int, window: Singles, free: int, first: int, last: int
) -> None:  # fmt: skip
    """Fill, for every row of bodies first .. last - 1, what the intervals of the next `size` rows have in common; not for two
    bodies from `free` on.

    Uses extremes that run to the end of every `size` rows and from their start (van Herk 1992, from memory).
    """
    for p in range(first, last):
        for q in range(len(start) if p < free else free):
            begin = at[p, q]
            end = begin + stop[p] - start[p] + stop[q] - start[q] + 1
            for run in range(begin, end, size):  # from each row to the end of its run
                low, high = -1e9, 1e9
                for row in range(min(run + size, end) - 1, run - 1, -1):
                    low, high = max(low, interval[row, 0]), min(high, interval[row, 1])
                    window[row, 0], window[row, 1] = low, high
            for run in range(begin + size, end, size):  # and from the start of the next run on
                low, high = -1e9, 1e9
                for row in range(run, run + size - 1):
                    if row < end:
                        low, high = max(low, interval[row, 0]), min(high, interval[row, 1])
                    window[row - size + 1, 0] = max(window[row - size + 1, 0], low)
                    window[row - size + 1, 1] = min(window[row - size + 1, 1], high)
