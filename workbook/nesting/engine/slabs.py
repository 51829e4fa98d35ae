"""Bodies as slabs between verticals, and the heights at which two of them clash at any shift.

Slabs are gathered in blocks with the least and greatest height in each: where a block cannot widen the interval found so far,
its slabs are not looked at. Most cannot, as the extremes lie at a few places of two blanks.
"""

from typing import NamedTuple

import numpy as np

from workbook.nesting.engine.bodies import Body
from workbook.nesting.engine.kernel import Floats, Ints, kernel
from workbook.nesting.engine.poses import Poses

NEVER = 1e9  # mm
_BLOCK = 8  # slabs
_SAME = 1e-9  # mm along the bar; less is nothing


class Slabs(NamedTuple):
    """Bodies as slabs in mm, for heights at any shift: body p has borders x[first[p]:first[p + 1]], and heights y likewise."""

    first: Ints
    x: Floats
    y: Floats  # (n, 4): lower at the left end and its slope, upper and its slope; the last row of a body is not used
    block: Ints  # blocks of body p: block[p] .. block[p + 1] - 1
    begin: Ints  # border at which a block begins
    end: Ints  # and at which it ends
    bottom: Floats  # least height in a block
    top: Floats  # greatest
    body: Ints  # bodies of pose t: body[t] .. body[t + 1] - 1
    free: int  # poses from this on are of fixed blanks; pairs of those are never checked


def slabs(poses: Poses) -> Slabs:
    """The bodies of all poses, one after another."""
    shapes = poses.shapes
    first = np.cumsum([0, *(len(body.x) for body in shapes)])
    starts = [np.arange(0, len(body.y), _BLOCK) for body in shapes]
    ends = [np.append(at[1:], len(body.y)) for at, body in zip(starts, shapes, strict=True)]
    lowest, highest = [body.y[:, :2].min(axis=1) for body in shapes], [body.y[:, 2:].max(axis=1) for body in shapes]
    return Slabs(
        first=first.astype(np.int64),
        x=np.concatenate([body.x for body in shapes]),
        y=np.concatenate([np.vstack([_sloped(body), np.zeros(4)]) for body in shapes]),
        block=np.cumsum([0, *map(len, starts)]).astype(np.int64),
        begin=np.concatenate([*map(np.add, first, starts)]).astype(np.int64),
        end=np.concatenate([*map(np.add, first, ends)]).astype(np.int64),
        bottom=np.concatenate([*map(np.minimum.reduceat, lowest, starts)]),
        top=np.concatenate([*map(np.maximum.reduceat, highest, starts)]),
        body=poses.body,
        free=poses.free,
    )


def _sloped(body: Body) -> Floats:
    width = np.diff(body.x)
    low, high = body.y[:, :2], body.y[:, 2:]
    return np.column_stack([low[:, 0], (low[:, 1] - low[:, 0]) / width, high[:, 0], (high[:, 1] - high[:, 0]) / width])


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
def block_at(shapes: Slabs, p: int, place: float) -> int:
    """The block of body p in which a place lies."""
    low, high = int(shapes.block[p]), int(shapes.block[p + 1])
    while high - low > 1:
        middle = (low + high) >> 1
        if shapes.x[shapes.begin[middle]] <= place:
            low = middle
        else:
            high = middle
    return low


@kernel
def clash(shapes: Slabs, p: int, q: int, shift: float) -> tuple[float, float]:
    """The open interval of heights in mm at which body q, `shift` mm along, clashes with body p; low above high when empty."""
    low, high, _, _ = clash_near(shapes, p, q, shift, -NEVER, -NEVER)
    return low, high


@kernel
def clash_near(shapes: Slabs, p: int, q: int, shift: float, x_low: float, x_high: float) -> tuple[float, float, float, float]:
    """The same interval, and where along body p its ends are met; `x_low` and `x_high`: where that is likely."""
    x, low, high = shapes.x, NEVER, -NEVER
    left = max(x[shapes.first[p]], x[shapes.first[q]] + shift)
    end = min(x[shapes.first[p + 1] - 1], x[shapes.first[q + 1] - 1] + shift)
    if left >= end - _SAME:
        return low, high, x_low, x_high
    if left < x_low < end:
        low = gap(shapes, p, q, shift, x_low)[0]
    if left < x_high < end:
        high = gap(shapes, p, q, shift, x_high)[1]
    a, b = block_at(shapes, p, left), block_at(shapes, q, left - shift)
    while left < end - _SAME and a < shapes.block[p + 1] and b < shapes.block[q + 1]:
        a_end, b_end = x[shapes.end[a]], x[shapes.end[b]] + shift
        right = min(a_end, b_end, end)
        if shapes.bottom[a] - shapes.top[b] < low or shapes.top[a] - shapes.bottom[b] > high:
            low, high, x_low, x_high = widened(shapes, a, b, shift, left, right, low, high, x_low, x_high)
        if a_end <= right + 1e-12:
            a += 1
        if b_end <= right + 1e-12:
            b += 1
        left = right
    return low, high, x_low, x_high


@kernel
def gap(shapes: Slabs, p: int, q: int, shift: float, place: float) -> tuple[float, float]:
    """The heights between which body q, `shift` along, clashes with body p at one place of that."""
    i = slab_at(shapes.x, shapes.first[p], shapes.first[p + 1] - 1, place)
    j = slab_at(shapes.x, shapes.first[q], shapes.first[q + 1] - 1, place - shift)
    y, a, b = shapes.y, place - shapes.x[i], place - shift - shapes.x[j]
    return y[i, 0] + y[i, 1] * a - y[j, 2] - y[j, 3] * b, y[i, 2] + y[i, 3] * a - y[j, 0] - y[j, 1] * b


@kernel
def widened(
    shapes: Slabs, a: int, b: int, shift: float, left: float, end: float, low: float, high: float, x_low: float, x_high: float
) -> tuple[float, float, float, float]:  # fmt: skip
    """An interval and the places of its ends, with what block b, `shift` along, forbids to block a from `left` to `end`."""
    x, y = shapes.x, shapes.y
    i_end, j_end = shapes.end[a], shapes.end[b]
    i, j = slab_at(x, shapes.begin[a], i_end, left), slab_at(x, shapes.begin[b], j_end, left - shift)
    while left < end - _SAME and i < i_end and j < j_end:
        right = min(x[i + 1], x[j + 1] + shift, end)
        c, d, step = left - x[i], left - shift - x[j], right - left
        under, over = y[i, 0] + y[i, 1] * c - y[j, 2] - y[j, 3] * d, y[i, 2] + y[i, 3] * c - y[j, 0] - y[j, 1] * d
        then_under, then_over = under + (y[i, 1] - y[j, 3]) * step, over + (y[i, 3] - y[j, 1]) * step
        if under < low or then_under < low:
            low, x_low = min(under, then_under), left if under < then_under else right
        if over > high or then_over > high:
            high, x_high = max(over, then_over), left if over > then_over else right
        if x[i + 1] <= right + 1e-12:
            i += 1
        if x[j + 1] + shift <= right + 1e-12:
            j += 1
        left = right
    return low, high, x_low, x_high
