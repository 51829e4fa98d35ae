"""How near blanks can come to each other along a bar that takes one lane of them: the chain's part in the price bound.

Blanks ordered by where they begin follow each other by at least the least shift at which the second is clear of the first
at some height; the last ends in the bar. A bar's chain of blanks is then a path from blank to blank, and all bars' chains
together are a flow: the programme of `section_bound` requires that it fits the bars' lengths. Two blanks that can lie side by
side may begin at the same place, so for bars with more lanes the bound stays valid but gains nothing.

Shifts are tried on a grid. So that none between is missed, both outlines are shrunk by `_IN` first: what then clashes at
a shift clashes, at full size, at all shifts within twice that.
"""

from collections.abc import Sequence
from functools import lru_cache
from itertools import product

import numpy as np
from msgspec import Struct
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from workbook.geometry.path import Points
from workbook.geometry.polygon import as_bytes, from_bytes, hull, rings
from workbook.nesting.bounds import inner_room
from workbook.nesting.model import NestingJob, region
from workbook.nesting.sections import sections

Floats = NDArray[np.float64]

_IN = 0.25  # mm
_GRID = 4 * _IN
_NONE = 1e9  # mm, where there is no section
_MOST_PARTS = 6  # the flow grows with the square of the number of poses
TURNS = tuple(
    product((1.0, -1.0), repeat=2)
)  # signs along and across, each pose next to the one turned over; a blank may lie either end first, either face up


class Columns(Struct, frozen=True, eq=False):
    """A grown blank in one pose, in mm: its least section at every column of the grid; `low` above `high` where there is none."""

    length: float  # of the outline grown by half the separation
    height: float
    low: Floats
    high: Floats


class Chain(Struct, frozen=True, eq=False):
    """Poses of some parts on a kind of bar: their parts, lengths, and least shifts from one to the next (poses, poses), in mm."""

    part: tuple[int, ...]
    length: tuple[float, ...]
    shift: Floats


def chain(job: NestingJob, parts: Sequence[int], stock: int) -> Chain | None:
    """The poses of the parts in a chain on a kind of bar; None for a bar of more than one lane, too many parts or free angles."""
    width = inner_room(job, stock)[1]
    if not parts or len(parts) > _MOST_PARTS or job.tilt or any(job.parts[p].directions != (0.0,) for p in parts):
        return None
    poses = [(p, k, columns) for p in parts for k, columns in enumerate(_poses(job, p))]
    if 2 * min(columns.height for *_, columns in poses) <= width:
        return None
    reaches = {(p, q): _reaches(job, p, q) for p in parts for q in parts}
    shift = np.array([[least_shift(a, b, width, reaches[p, q][i][j]) for q, j, b in poses] for p, i, a in poses])
    return Chain(tuple(p for p, *_ in poses), tuple(columns.length for *_, columns in poses), shift)


def least_shift(a: Columns, b: Columns, width: float, reach: Floats) -> float:
    """A shift in mm below which pose b, beginning at or behind a, clashes with it at every height in a lane of this width.

    `reach`: `reach_of` the two, so that few columns are checked one by one.
    """
    lane = max(width, a.height, b.height)
    rises = a.height - lane, lane - b.height
    open_ = np.append(np.flatnonzero(reach <= lane), len(reach))
    steps = next(int(s) for s in open_ if s == len(reach) or not _always_clash(a, b, int(s), rises))
    return max(0.0, (steps - 0.5) * _GRID)


def reach_of(a: Columns, b: Columns) -> Floats:
    """For b 0, 1, 2... columns behind a, the lane width in mm below which one column alone makes them clash at every height."""
    beside = np.full(len(b.low) - 1, 1.0)
    low = sliding_window_view(np.r_[a.low, _NONE * beside], len(b.low)) - b.high
    high = sliding_window_view(np.r_[a.high, -_NONE * beside], len(b.low)) - b.low
    return np.asarray(np.minimum(a.height - low, b.height + high).max(axis=1))


def _always_clash(a: Columns, b: Columns, steps: int, rises: tuple[float, float]) -> bool:
    """Whether b, `steps` columns behind a, clashes with it at every rise in a range."""
    n = min(len(a.low) - steps, len(b.low))
    if n <= 0:
        return False
    low = a.low[steps : steps + n] - b.high[:n]
    high = a.high[steps : steps + n] - b.low[:n]
    present = low < high
    order = np.argsort(low[present])
    low, high = low[present][order], high[present][order]
    sure = rises[0]  # up to here every rise clashes
    for bottom, top in zip(low.tolist(), high.tolist(), strict=True):
        if bottom > sure or sure > rises[1]:
            break
        sure = max(sure, top)
    return bool(len(low) and low[0] < rises[0] and sure > rises[1])


def _reaches(job: NestingJob, p: int, q: int) -> list[list[Floats]]:
    """`reach_of` every pose of one part before every pose of another."""
    first, second = (as_bytes(region(job.parts[part])) for part in (p, q))
    return _reaches_of(first, second, job.separation, hulls=job.hulls)


@lru_cache(maxsize=1024)
def _reaches_of(first: bytes, second: bytes, separation: float, *, hulls: bool) -> list[list[Floats]]:
    a, b = (_poses_of(data, separation, hulls=hulls) for data in (first, second))
    reaches: dict[tuple[int, int], Floats] = {}
    for i, j in product(range(len(TURNS)), repeat=2):  # turned over together they come as near to each other as before
        reaches[i, j] = reaches[i ^ 1, j ^ 1] if (i ^ 1, j ^ 1) in reaches else reach_of(a[i], b[j])
    return [[reaches[i, j] for j in range(len(TURNS))] for i in range(len(TURNS))]


def _poses(job: NestingJob, part: int) -> list[Columns]:
    return _poses_of(as_bytes(region(job.parts[part])), job.separation, hulls=job.hulls)


@lru_cache(maxsize=64)
def _poses_of(data: bytes, separation: float, *, hulls: bool) -> list[Columns]:
    shape = from_bytes(data)
    shape = hull(shape) if hulls else shape
    x0, y0, x1, y1 = shape.bounds
    inside = shape.buffer(separation / 2 - _IN, quad_segs=8)  # chords inside the true round
    if inside.is_empty or inside.geom_type != "Polygon":
        return [Columns(x1 - x0 + separation, y1 - y0 + separation, np.full(1, _NONE), np.full(1, -_NONE)) for _ in TURNS]
    half = separation / 2
    middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
    reach = np.array([(x1 - x0) / 2 + half, (y1 - y0) / 2 + half])
    return [_columns([(ring - middle) * turn + reach for ring in rings(inside)], *(2 * reach).tolist()) for turn in TURNS]


def _columns(outlines: Sequence[Points], length: float, height: float) -> Columns:
    """The sections at whole columns; of several in one column only the largest, so that the bound never assumes too much."""
    borders, slabs = sections(*outlines)
    at = np.arange(0.0, length, _GRID)
    low, high = np.full(len(at), _NONE), np.full(len(at), -_NONE)
    for slab, section in enumerate(slabs):
        left, right = borders[slab], borders[slab + 1]
        for column in range(max(0, int(np.ceil(left / _GRID))), min(len(at), int(np.floor(right / _GRID)) + 1)):
            share = (at[column] - left) / (right - left)
            ends = [(l0 + (l1 - l0) * share, u0 + (u1 - u0) * share) for l0, l1, u0, u1 in section]
            low[column], high[column] = max(ends, key=lambda e: e[1] - e[0], default=(_NONE, -_NONE))
    return Columns(length, height, low, high)
