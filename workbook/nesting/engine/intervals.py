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

from workbook.nesting.engine.bodies import Body
from workbook.nesting.engine.kernel import Floats, Ints, kernel
from workbook.nesting.engine.poses import Poses, reach
from workbook.system.processes import cores

BLOCK = 16  # shifts that share one bound
BLOCKS = 4  # blocks that share one coarser bound
NEVER = 1e9  # mm
_SHARES = 16  # into which the bodies are divided, to be filled in parallel
TOUCH = 1e-6  # mm; a smaller overlap counts as touching


Singles = NDArray[np.float32]


class Slabs(NamedTuple):
    """Bodies as slabs in mm, for heights at any shift: body p has borders x[first[p]:first[p + 1]], and heights y likewise."""

    first: Ints
    x: Floats
    y: Floats  # (n, 4): lower at the left end and its slope, upper and its slope; the last row of a body is not used
    body: Ints  # bodies of pose t: body[t] .. body[t + 1] - 1
    free: int  # poses from this on are of fixed blanks; pairs of those are never checked


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


def slabs(poses: Poses) -> Slabs:
    """The bodies of all poses, one after another."""
    counts = np.cumsum([0, *(len(body.x) for body in poses.shapes)])
    y = np.concatenate([np.vstack([_sloped(body), np.zeros(4)]) for body in poses.shapes])
    return Slabs(counts.astype(np.int64), np.concatenate([body.x for body in poses.shapes]), y, poses.body, poses.free)


def _sloped(body: Body) -> Floats:
    width = np.diff(body.x)
    low, high = body.y[:, :2], body.y[:, 2:]
    return np.column_stack([low[:, 0], (low[:, 1] - low[:, 0]) / width, high[:, 0], (high[:, 1] - high[:, 0]) / width])


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
    _turn(poses, start, stop, at, interval)
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


def _turn(poses: Poses, start: Ints, stop: Ints, at: Ints, interval: Singles) -> None:
    """Fill the intervals seen from a turned or mirrored blank: those seen from it as it is, with the other turned likewise."""
    for a in range(poses.free):
        turn = a % 4
        if turn == 0:
            continue
        for b in range(poses.free):
            rise = np.float32(poses.height[a] - poses.height[b])
            for p in range(poses.body[a + 1] - poses.body[a]):
                for q in range(poses.body[b + 1] - poses.body[b]):
                    rows = _rows(start, stop, at, poses.body[a] + p, poses.body[b] + q)
                    same = _rows(start, stop, at, poses.body[a - turn] + p, poses.body[b ^ turn] + q)
                    values = interval[same][::-1] if turn & 1 else interval[same]
                    interval[rows] = rise - values[:, ::-1] if turn in (1, 2) else values


def _rows(start: Ints, stop: Ints, at: Ints, p: int, q: int) -> slice:
    length = int(stop[p] - start[p] + stop[q] - start[q]) + 1
    return slice(int(at[p, q]), int(at[p, q]) + length)


@kernel
def slab_at(x: Floats, low: int, high: int, place: float) -> int:
    """The index of the slab of a body (borders x[low:high + 1]) in which a place lies."""
    while high - low > 1:
        middle = (low + high) >> 1
        if x[middle] <= place:
            low = middle
        else:
            high = middle
    return low


@kernel
def clash(shapes: Slabs, p: int, q: int, shift: float) -> tuple[float, float]:
    """The open interval of heights in mm at which body q, `shift` mm along, clashes with body p; low above high when empty."""
    x, y = shapes.x, shapes.y
    low, high = NEVER, -NEVER
    i, i_end = shapes.first[p], shapes.first[p + 1] - 1
    j, j_end = shapes.first[q], shapes.first[q + 1] - 1
    left, end = max(x[i], x[j] + shift), min(x[i_end], x[j_end] + shift)
    if left >= end - 1e-9:
        return low, high
    i, j = slab_at(x, i, i_end, left), slab_at(x, j, j_end, left - shift)
    while left < end - 1e-9 and i < i_end and j < j_end:
        right = min(x[i + 1], x[j + 1] + shift, end)
        a, b, step = left - x[i], left - shift - x[j], right - left
        under, over = y[i, 0] + y[i, 1] * a - y[j, 2] - y[j, 3] * b, y[i, 2] + y[i, 3] * a - y[j, 0] - y[j, 1] * b
        low = min(low, under, under + (y[i, 1] - y[j, 3]) * step)
        high = max(high, over, over + (y[i, 3] - y[j, 1]) * step)
        if x[i + 1] <= right + 1e-12:
            i += 1
        if x[j + 1] + shift <= right + 1e-12:
            j += 1
        left = right
    return low, high


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
            for s in range(first, stop[p] - start[q] + 1):
                low, high = clash(shapes, p, q, s * cell)
                interval[at[p, q] + s - first, 0] = low
                interval[at[p, q] + s - first, 1] = high


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
