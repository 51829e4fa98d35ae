"""Bars that take one lane only: the blanks form a chain with an annealed order and exact poses and heights.

For every two states (pose and one of a few heights) of neighbours the least offset along the bar is tabulated. The length
of an order of blanks is then a shortest path through its states, microseconds for a dozen blanks, and simulated annealing
over orders does the rest. Only neighbours are checked: compaction afterwards repairs or confirms the others.
"""

import numpy as np
from msgspec import Struct

from workbook.nesting.engine.kernel import Floats, Ints, copy_whole, draw, kernel
from workbook.nesting.engine.lines import depth
from workbook.nesting.engine.poses import Poses
from workbook.nesting.engine.slabs import Slabs

LEVELS = 5  # heights a blank may have in its lane
_HOTTEST, _COLDEST = 8.0, 1e-3  # mm
_HALVINGS = 8
_MOST = 1 << 30


@kernel
def offsets(shapes: Slabs, pose: Ints, top: Floats, cells: Ints, cell: float, levels: int) -> Floats:
    """The least offset along the bar, in mm, from which the second state stays clear of the first, for every two states."""
    n = len(pose)
    offset = np.zeros((n * levels, n * levels))
    for a in range(n):
        for b in range(n):
            for u in range(levels):
                for v in range(levels):
                    rise = top[b] * v / (levels - 1) - top[a] * u / (levels - 1)
                    most = 0.0
                    for p in range(shapes.body[pose[a]], shapes.body[pose[a] + 1]):
                        for q in range(shapes.body[pose[b]], shapes.body[pose[b] + 1]):
                            s = cells[a] + 1
                            while s * cell > most and depth(shapes, p, q, s * cell, rise) <= 0.0:
                                s -= 1
                            low, high = s * cell, (s + 1) * cell
                            for _ in range(_HALVINGS):
                                middle = 0.5 * (low + high)
                                if depth(shapes, p, q, middle, rise) <= 0.0:
                                    high = middle
                                else:
                                    low = middle
                            if s * cell > most:
                                most = high
                    offset[a * levels + u, b * levels + v] = most
    return offset


@kernel
def chain_length(
    order: Ints, first: Ints, last: Ints, offset: Floats, head: Floats, tail: Floats, cost: Floats, back: Ints
) -> tuple[float, int]:
    """The length in mm of the shortest chain of these parts in this order, and its last state; `back` records the path to it."""
    for state in range(first[order[0]], last[order[0]]):
        cost[0, state] = head[state]
    n = len(order)
    for i in range(1, n):
        for b in range(first[order[i]], last[order[i]]):
            best, previous = 1e18, 0
            for a in range(first[order[i - 1]], last[order[i - 1]]):
                if cost[i - 1, a] + offset[a, b] < best:
                    best, previous = cost[i - 1, a] + offset[a, b], a
            cost[i, b], back[i, b] = best, previous
    length, end = 1e18, 0
    for state in range(first[order[n - 1]], last[order[n - 1]]):
        if cost[n - 1, state] + tail[state] < length:
            length, end = cost[n - 1, state] + tail[state], state
    return length, end


@kernel
def rearrange(order: Ints, new: Ints, chance: Ints) -> None:
    """Write another order to `new`: two blanks exchanged, one moved, or a run reversed."""
    n = len(order)
    i, j, kind = draw(chance, n), draw(chance, n), draw(chance, 3)
    copy_whole(order, new)
    if kind == 0:
        new[i], new[j] = order[j], order[i]
    elif kind == 1:
        step = 1 if i < j else -1
        for k in range(i, j, step):
            new[k] = order[k + step]
        new[j] = order[i]
    else:
        low, high = min(i, j), max(i, j)
        for k in range(low, high + 1):
            new[k] = order[low + high - k]


@kernel
def anneal(
    order: Ints, first: Ints, last: Ints, offset: Floats, head: Floats, tail: Floats, tries: int, states: Ints, chance: Ints
) -> float:  # fmt: skip
    """Anneal the order of the blanks: leaves the best in `order` and its states in `states`; returns its length in mm."""
    n = len(order)
    cost, back = np.zeros((n, len(head))), np.zeros((n, len(head)), np.int64)
    now, _ = chain_length(order, first, last, offset, head, tail, cost, back)
    best, best_order, new = now, order.copy(), order.copy()
    for k in range(tries):
        heat = _HOTTEST * (1.0 - k / tries) ** 2 + _COLDEST
        rearrange(order, new, chance)
        length, _ = chain_length(new, first, last, offset, head, tail, cost, back)
        if length <= now or draw(chance, _MOST) < _MOST * np.exp((now - length) / heat):
            now = length
            copy_whole(new, order)
            if now < best - 1e-9:
                best = now
                copy_whole(new, best_order)
    best, state = chain_length(best_order, first, last, offset, head, tail, cost, back)
    copy_whole(best_order, order)
    for i in range(n - 1, -1, -1):
        states[i] = state
        state = back[i, state]
    return best


class Lane(Struct, frozen=True, eq=False):
    """The states of some parts in a lane of one width and the offsets between them (states, states), in mm."""

    pose: Ints  # of each state
    y: Floats
    first: Ints  # states of part i: first[i] .. last[i] - 1
    last: Ints
    offset: Floats
    head: Floats
    tail: Floats


def lane(poses: Poses, shapes: Slabs, parts: Ints, last: Ints, width: float) -> Lane:
    """The states of the parts (numbers within `poses`), with poses up to `last` of each, in a lane as wide as the bar's room."""
    chosen = [(p, t) for p in parts for t in range(poses.first[p], last[p])]
    pose = np.array([t for _, t in chosen], np.int64)
    top = np.maximum(0.0, width - poses.height[pose])
    offset = offsets(shapes, pose, top, poses.cells[pose], poses.cell, LEVELS)
    begin, end = np.zeros(len(poses.first) - 1, np.int64), np.zeros(len(poses.first) - 1, np.int64)
    for p in parts:
        rows = [k for k, (q, _) in enumerate(chosen) if q == p]
        begin[p], end[p] = rows[0] * LEVELS, (rows[-1] + 1) * LEVELS
    y = (top[:, None] * np.linspace(0.0, 1.0, LEVELS)).ravel()
    each = np.repeat(pose, LEVELS)
    return Lane(each, y, begin, end, offset, -poses.left[each], poses.right[each])


def best_chain(lane: Lane, part: Ints, tries: int, chance: Ints) -> tuple[Ints, Floats, Floats]:
    """Poses, x and y (mm) of the blanks (parts in `part`) as the best chain."""
    order, states = part.copy(), np.zeros(len(part), np.int64)
    for k in range(len(order) - 1, 0, -1):
        other = draw(chance, k + 1)
        order[k], order[other] = order[other], order[k]
    anneal(order, lane.first, lane.last, lane.offset, lane.head, lane.tail, tries, states, chance)
    x = np.zeros(len(part))
    x[0] = lane.head[states[0]]
    x[1:] = x[0] + np.cumsum(lane.offset[states[:-1], states[1:]])
    by_part, in_chain = np.argsort(part, kind="stable"), np.argsort(order, kind="stable")
    pose, at, y = np.zeros(len(part), np.int64), np.zeros(len(part)), np.zeros(len(part))
    pose[by_part], at[by_part], y[by_part] = lane.pose[states][in_chain], x[in_chain], lane.y[states][in_chain]
    return pose, at, y
