"""The best move of one blank: the exact place of least weighted overlap, with most places never examined.

Over heights the least lies at the end of a clash interval or at the bar's edge. Over shifts, blocks are bounded first by
the heights that clash throughout; only those that may beat the blank's present place are examined shift by shift.
"""

from workbook.nesting.engine.intervals import BLOCK, BLOCKS, TOUCH, ClashTables, Singles
from workbook.nesting.engine.kernel import Floats, Ints, draw, kernel
from workbook.nesting.engine.overlaps import STEP, Near, Places, Room, Scratch, gather

EVEN = 1e-9  # costs nearer than this are equal
NONE = 1e18  # a cost above that of any place


@kernel
def least(near: Near, count: int, top: float, limit: float) -> tuple[float, float]:
    """The least weighted overlap over heights 0..top with `count` intervals, and its height; gives up above the limit."""
    heights = near.height
    n = 2
    heights[0] = 0.0
    heights[1] = top
    for k in range(count):
        if 0.0 < near.low[k] < top:
            heights[n] = near.low[k]
            n += 1
        if 0.0 < near.high[k] < top:
            heights[n] = near.high[k]
            n += 1
    best, at = NONE, 0.0
    for c in range(n):
        total = 0.0
        for k in range(count):
            deep = min(heights[c] - near.low[k], near.high[k] - heights[c])
            if deep > TOUCH:
                total += near.cost[k] * (min(deep, near.depth[k]) + STEP)
                if total > limit:
                    break
        if total < best - EVEN and total <= limit:
            best, at = total, heights[c]
            limit = min(limit, total)
    return best, at


@kernel
def bound(
    window: Singles, near: Near, active: int, s: int, end: int, cell: float, top: float, limit: float
) -> float:  # fmt: skip
    """The least cost possible at any shift from s up to `end`, by heights that clash at all of them; gives up above the limit."""
    count, sure = 0, 0.0
    for k in range(active):
        j = near.active[k]
        if near.first[j] > s or near.last[j] < end - 1:
            continue
        row = near.row[j] + s
        low, high = near.y[j] + window[row, 0], near.y[j] + window[row, 1]
        if high <= low or high <= TOUCH or low >= top - TOUCH:
            continue
        along = cell * min(near.last[j] - end + 1, s - near.first[j])
        if low < 0.0 and high > top:
            sure += near.weight[j] * (min(-low, high, top - low, high - top, along) + STEP)
            if sure > limit:
                return NONE
        near.low[count], near.high[count], near.cost[count], near.depth[count] = low, high, near.weight[j], along
        count += 1
    cost, _ = least(near, count, top, limit)
    return cost


@kernel
def bound_blocks(
    tables: ClashTables, near: Near, n: int, begin: int, end: int, top: float, limit: float, bounds: Floats, at: int
) -> tuple[float, int]:  # fmt: skip
    """Write to bounds[at:] the least possible cost in each block begin..end-1 (a large number above the limit).

    Several blocks are bounded at once first; most need no closer look. Returns the least, and how many bounds were computed.
    """
    p, active, lowest, count = 0, 0, NONE, 0
    for group in range(begin, end, BLOCKS):
        s = group * BLOCK
        while p < n and near.first[p] <= s + (BLOCKS - 1) * BLOCK:
            near.active[active] = p
            active += 1
            p += 1
        k = 0
        while k < active:
            if near.last[near.active[k]] < s + BLOCK - 1:
                active -= 1
                near.active[k] = near.active[active]
            else:
                k += 1
        count += 1
        over = bound(tables.wide_window, near, active, s, s + BLOCKS * BLOCK, tables.cell, top, limit) > limit
        for block in range(group, min(group + BLOCKS, end)):
            cost = NONE
            if not over:
                count += 1
                at_block = block * BLOCK
                cost = bound(tables.window, near, active, at_block, at_block + BLOCK, tables.cell, top, limit)
            bounds[at + block - begin] = cost
            lowest = min(lowest, cost)
    return lowest, count


@kernel
def scan(
    tables: ClashTables, near: Near, n: int, begin: int, end: int, top: float, limit: float, chance: Ints
) -> tuple[float, int, float]:
    """The least weighted overlap over shifts begin..end: cost, shift (-1: none under the limit), height; ties at random."""
    at, height, ties = -1, 0.0, 1
    for s in range(begin, end + 1):
        count, sure = 0, 0.0
        for j in range(n):
            if near.first[j] > s or sure > limit:
                break
            if near.last[j] < s:
                continue
            row = near.row[j] + s
            low, high = near.y[j] + tables.interval[row, 0], near.y[j] + tables.interval[row, 1]
            if high > TOUCH and low < top - TOUCH:
                along = tables.cell * min(near.last[j] - s, s - near.first[j])
                if low < 0.0 and high > top:
                    sure += near.weight[j] * (min(-low, high, top - low, high - top, along) + STEP)
                near.low[count], near.high[count], near.cost[count], near.depth[count] = low, high, near.weight[j], along
                count += 1
        if sure > limit:
            continue
        cost, y = least(near, count, top, limit)
        if cost < limit - EVEN:
            limit, at, height, ties = cost, s, y, 1
        elif cost <= limit + EVEN:
            ties += 1
            if draw(chance, ties) == 0:
                at, height = s, y
    return limit, at, height


@kernel
def best_place(
    tables: ClashTables, room: Room, places: Places, order: Ints, weights: Floats, part: int, i: int, now: float, span: int,
    near: Near, scratch: Scratch, chance: Ints, work: Floats,
) -> tuple[float, int, int, int, float]:  # fmt: skip
    """Find a place of least weighted overlap for blank i over all bars, poses, shifts and heights, if cheaper than `now`.

    With a `span` (0: none) only its own bar, that many shifts to either side. Returns the place's cost, pose (-1: none), bar,
    shift and height. First every block of shifts is bounded, then those that may still win are examined, the most
    promising bar and pose first.
    """
    bars = room.shift.shape[1]
    first = tables.first[part]
    count = (tables.last[part] - first) * bars
    cost, pose, bar, shift, height = now, -1, -1, 0, 0.0
    at, start, lowest = 0, -1, NONE
    for g in range(count):
        t, b = first + g // bars, g % bars
        scratch.row[g] = at
        scratch.least[g] = NONE
        if room.shift[t, b] < 0 or (span > 0 and b != places.bar[i]):
            continue
        begin, end = 0, room.shift[t, b] // BLOCK + 1
        if span > 0:
            begin = min(max(0, (places.x[i] - span) // BLOCK), end - 1)
            end = min(end, max(begin, (places.x[i] + span) // BLOCK) + 1)
        scratch.begin[g], scratch.end[g] = begin, end
        n = gather(tables, places, order, weights, i, b, t, near)
        scratch.least[g], bound_count = bound_blocks(
            tables, near, n, begin, end, room.height[t, b], cost, scratch.bound, scratch.row[g]
        )
        if scratch.least[g] < lowest:
            lowest, start = scratch.least[g], g
        at += end - begin
        work[0] += (n + 8) * bound_count
    for k in range(count if start >= 0 else 0):
        g = (start + k) % count
        if scratch.least[g] > cost:
            continue
        t, b = first + g // bars, g % bars
        n = gather(tables, places, order, weights, i, b, t, near)
        blocks = scratch.end[g] - scratch.begin[g]
        begin = draw(chance, blocks)
        if k == 0:
            begin = 0
            while scratch.bound[scratch.row[g] + begin] > lowest:
                begin += 1
        for c in range(blocks):
            block = (begin + c) % blocks
            if scratch.bound[scratch.row[g] + block] > cost:
                continue
            s0 = (scratch.begin[g] + block) * BLOCK
            s1 = min(s0 + BLOCK - 1, room.shift[t, b])
            work[0] += (n + 8) * BLOCK
            candidate, s, y = scan(tables, near, n, s0, s1, room.height[t, b], cost, chance)
            if s >= 0 and (candidate < cost - EVEN or (pose >= 0 and draw(chance, 2) == 0)):
                cost, pose, bar, shift, height = candidate, t, b, s, y
                if cost <= 1e-12 and k > 0:
                    return cost, pose, bar, shift, height
    return cost, pose, bar, shift, height
