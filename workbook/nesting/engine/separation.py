"""Guided local search: blanks that overlap are moved to where they overlap least, until none does.

Every pair of blanks has a weight that grows while the pair keeps overlapping, so what is hard to part gets its way in the
end (guided local search, Voudouris and Tsang 1999; for nesting, Egeblad, Nielsen and Odgaard 2007). A move looks at every
bar, pose, shift and height there is and takes a place of least weighted overlap, exactly: over heights it lies at the end
of a clash interval or at the bar's edge. Most shifts are never looked at: a bound over a block of them, from the heights
that clash throughout, already tells that they are no better than the place the blank has.
"""

from typing import NamedTuple

import numpy as np

from workbook.nesting.engine.intervals import BLOCK, BLOCKS, TOUCH, Singles, Tables
from workbook.nesting.engine.kernel import Floats, Ints, copy_whole, draw, kernel

STEP = 0.5  # mm; what any overlap costs besides its depth, so that few deep overlaps are preferred to many slight ones
_NONE = 1e18
_LONG = 9  # lengths of a blank; on longer bars every other move looks only one length to either side
_EVEN = 1e-9  # costs nearer than this are equal


class Places(NamedTuple):
    """Where each blank is: pose, bar, whole shift along it, height of its frame."""

    pose: Ints
    bar: Ints
    x: Ints
    y: Floats

    def copy(self) -> "Places":
        """The same, to be changed apart."""
        return Places(self.pose.copy(), self.bar.copy(), self.x.copy(), self.y.copy())


class Room(NamedTuple):
    """For each pose and bar: the greatest shift and the greatest height it may have; -1 where it does not fit."""

    shift: Ints  # (poses, bars)
    height: Floats


class Near(NamedTuple):
    """Bodies on one bar as they are met by one body of a moving blank, by first shift; and room to work in."""

    first: Ints
    last: Ints
    row: Ints  # of the interval table, less the shift
    active: Ints
    y: Floats
    weight: Floats
    low: Floats
    high: Floats
    cost: Floats
    depth: Floats
    height: Floats


class Scratch(NamedTuple):
    """For each pose and bar a blank may take: its blocks, the least bound among them, and where their bounds stand."""

    begin: Ints
    end: Ints
    row: Ints
    least: Floats
    bound: Floats


@kernel
def overlap(low: float, high: float, dy: float, along: float) -> float:
    """How far two bodies overlap: the least way to part them up, down or along the bar, and a step; 0 when they do not."""
    deep = min(high - dy, dy - low)
    if deep <= TOUCH:
        return 0.0
    return min(deep, along) + STEP


@kernel
def pair_overlap(tables: Tables, places: Places, a: int, b: int) -> float:
    """Overlap of two blanks, over all their bodies."""
    if places.bar[a] != places.bar[b]:
        return 0.0
    shift = places.x[b] - places.x[a]
    dy = places.y[b] - places.y[a]
    total = 0.0
    for p in range(tables.body[places.pose[a]], tables.body[places.pose[a] + 1]):
        for q in range(tables.body[places.pose[b]], tables.body[places.pose[b] + 1]):
            first, last = tables.start[p] - tables.stop[q], tables.stop[p] - tables.start[q]
            if first <= shift <= last:
                row = tables.at[p, q] + shift - first
                along = tables.cell * min(last - shift, shift - first)
                total += overlap(tables.interval[row, 0], tables.interval[row, 1], dy, along)
    return total


@kernel
def gather(tables: Tables, places: Places, order: Ints, weights: Floats, i: int, bar: int, pose: int, near: Near) -> int:
    """Fills `near` with the bodies on a bar that blank i may meet in a pose, by first shift. Returns how many."""
    n = 0
    for j in order:
        if j == i or places.bar[j] != bar:
            continue
        for p in range(tables.body[places.pose[j]], tables.body[places.pose[j] + 1]):
            for q in range(tables.body[pose], tables.body[pose + 1]):
                first = places.x[j] + tables.start[p] - tables.stop[q]
                k = n
                while k > 0 and near.first[k - 1] > first:  # nearly in order already: `order` is by x
                    near.first[k], near.last[k], near.row[k] = near.first[k - 1], near.last[k - 1], near.row[k - 1]
                    near.y[k], near.weight[k] = near.y[k - 1], near.weight[k - 1]
                    k -= 1
                near.first[k] = first
                near.last[k] = places.x[j] + tables.stop[p] - tables.start[q]
                near.row[k] = tables.at[p, q] - first
                near.y[k] = places.y[j]
                near.weight[k] = weights[i, j]
                n += 1
    return n


@kernel
def least(near: Near, count: int, top: float, limit: float) -> tuple[float, float]:
    """Least weighted overlap over heights 0..top with `count` intervals, and its height; gives up above the limit."""
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
    best, at = _NONE, 0.0
    for c in range(n):
        total = 0.0
        for k in range(count):
            deep = min(heights[c] - near.low[k], near.high[k] - heights[c])
            if deep > TOUCH:
                total += near.cost[k] * (min(deep, near.depth[k]) + STEP)
                if total > limit:
                    break
        if total < best - _EVEN and total <= limit:
            best, at = total, heights[c]
            limit = min(limit, total)
    return best, at


@kernel
def bound(
    window: Singles, near: Near, active: int, s: int, end: int, cell: float, top: float, limit: float
) -> float:  # fmt: skip
    """Least that any shift from s up to `end` may cost, by heights that clash at all of them; gives up above the limit."""
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
                return _NONE
        near.low[count], near.high[count], near.cost[count], near.depth[count] = low, high, near.weight[j], along
        count += 1
    found, _ = least(near, count, top, limit)
    return found


@kernel
def bound_blocks(
    tables: Tables, near: Near, n: int, begin: int, end: int, top: float, limit: float, bounds: Floats, at: int
) -> tuple[float, int]:  # fmt: skip
    """Writes to bounds[at:] the least any shift of each block begin..end-1 may cost (a large number above the limit).

    Several blocks at once are tried first; most need no closer look. Returns the least, and how many bounds were made.
    """
    p, active, lowest, made = 0, 0, _NONE, 0
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
        made += 1
        over = bound(tables.wide_window, near, active, s, s + BLOCKS * BLOCK, tables.cell, top, limit) > limit
        for block in range(group, min(group + BLOCKS, end)):
            found = _NONE
            if not over:
                made += 1
                at_block = block * BLOCK
                found = bound(tables.window, near, active, at_block, at_block + BLOCK, tables.cell, top, limit)
            bounds[at + block - begin] = found
            lowest = min(lowest, found)
    return lowest, made


@kernel
def scan(
    tables: Tables, near: Near, n: int, begin: int, end: int, top: float, limit: float, chance: Ints
) -> tuple[float, int, float]:
    """Least weighted overlap over shifts begin..end: cost, shift (-1: none under the limit), height; equals by chance."""
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
        if cost < limit - _EVEN:
            limit, at, height, ties = cost, s, y, 1
        elif cost <= limit + _EVEN:
            ties += 1
            if draw(chance, ties) == 0:
                at, height = s, y
    return limit, at, height


@kernel
def best_place(
    tables: Tables, room: Room, places: Places, order: Ints, weights: Floats, part: int, i: int, now: float, span: int,
    near: Near, scratch: Scratch, chance: Ints, work: Floats,
) -> tuple[float, int, int, int, float]:  # fmt: skip
    """A place of least weighted overlap for blank i over all bars, poses, shifts and heights, if cheaper than `now`.

    With a `span` (0: none) only its own bar, that many shifts to either side. Returns the place's cost, pose (-1: none), bar,
    shift and height. First every block of shifts is bounded, then those that may still win are looked at, the most
    promising bar and pose first.
    """
    bars = room.shift.shape[1]
    first = tables.first[part]
    count = (tables.last[part] - first) * bars
    cost, pose, bar, shift, height = now, -1, -1, 0, 0.0
    at, start, lowest = 0, -1, _NONE
    for g in range(count):
        t, b = first + g // bars, g % bars
        scratch.row[g] = at
        scratch.least[g] = _NONE
        if room.shift[t, b] < 0 or (span > 0 and b != places.bar[i]):
            continue
        begin, end = 0, room.shift[t, b] // BLOCK + 1
        if span > 0:
            begin = min(max(0, (places.x[i] - span) // BLOCK), end - 1)
            end = min(end, max(begin, (places.x[i] + span) // BLOCK) + 1)
        scratch.begin[g], scratch.end[g] = begin, end
        n = gather(tables, places, order, weights, i, b, t, near)
        scratch.least[g], made = bound_blocks(tables, near, n, begin, end, room.height[t, b], cost, scratch.bound, scratch.row[g])
        if scratch.least[g] < lowest:
            lowest, start = scratch.least[g], g
        at += end - begin
        work[0] += (n + 8) * made
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
            found, s, y = scan(tables, near, n, s0, s1, room.height[t, b], cost, chance)
            if s >= 0 and (found < cost - _EVEN or (pose >= 0 and draw(chance, 2) == 0)):
                cost, pose, bar, shift, height = found, t, b, s, y
                if cost <= 1e-12 and k > 0:
                    return cost, pose, bar, shift, height
    return cost, pose, bar, shift, height


@kernel
def shuffle(order: Ints, chance: Ints) -> None:
    """Puts the entries in an order by chance (Fisher and Yates)."""
    for k in range(len(order) - 1, 0, -1):
        other = draw(chance, k + 1)
        order[k], order[other] = order[other], order[k]


@kernel
def sort_by_shift(order: Ints, x: Ints) -> None:
    """Sorts blanks by shift; they are nearly sorted."""
    for k in range(1, len(order)):
        i = order[k]
        q = k
        while q > 0 and x[order[q - 1]] > x[i]:
            order[q] = order[q - 1]
            q -= 1
        order[q] = i


@kernel
def reweigh(weights: Floats, overlaps: Floats, worst: float) -> None:
    """Overlapping pairs weigh more, by a fifth and up to double for the worst; the others slowly forget."""
    n = len(weights)
    for a in range(n):
        for b in range(a + 1, n):
            if overlaps[a, b] > 0.0:
                weights[a, b] *= 1.2 + 0.8 * overlaps[a, b] / worst
            else:
                weights[a, b] = max(1.0, weights[a, b] * 0.95)
            weights[b, a] = weights[a, b]


@kernel
def separate(
    tables: Tables, room: Room, part: Ints, free: Ints, places: Places, weights: Floats, sweeps: int, best: Places, chance: Ints
) -> tuple[float, float]:
    """Moves the free blanks, in place, until nothing overlaps or `sweeps` were made; a sweep tries each that overlaps once.

    Leaves the layout of least overlap met in `best`. Returns its total overlap (0: done) and the work done: bodies looked
    at, over blocks and shifts, which is nearly proportional to time.
    """
    n, bars = len(part), room.shift.shape[1]
    most, poses = 0, 0
    for p in range(len(tables.first)):
        blocks = 0
        poses = max(poses, tables.last[p] - tables.first[p])
        for t in range(tables.first[p], tables.last[p]):
            for b in range(bars):
                blocks += max(0, room.shift[t, b]) // BLOCK + 1
        most = max(most, blocks)
    bodies = 0
    for t in range(len(tables.body) - 1):
        bodies = max(bodies, tables.body[t + 1] - tables.body[t])
    size = n * bodies * bodies + 1
    whole, real = np.empty((4, size), np.int64), np.empty((6, size))
    near = Near(
        whole[0], whole[1], whole[2], whole[3], real[0], real[1], real[2], real[3], real[4], real[5], np.empty(2 * size + 2)
    )
    wide = np.empty((3, poses * bars), np.int64)
    scratch = Scratch(wide[0], wide[1], wide[2], np.empty(wide.shape[1]), np.empty(most))
    by_shift, order = np.arange(n), np.arange(n)
    sort_by_shift(by_shift, places.x)
    overlaps = np.zeros((n, n))
    for a in range(n):
        for b in range(a + 1, n):
            if free[a] or free[b]:
                overlaps[a, b] = overlaps[b, a] = pair_overlap(tables, places, a, b)
    work, least_met = np.zeros(1), _NONE
    for sweep in range(sweeps + 1):
        total, worst = 0.0, 0.0
        for a in range(n):
            for b in range(a + 1, n):
                total += overlaps[a, b]
                worst = max(worst, overlaps[a, b])
        if total < least_met:
            least_met = total
            copy_whole(places.pose, best.pose)
            copy_whole(places.bar, best.bar)
            copy_whole(places.x, best.x)
            for k in range(n):
                best.y[k] = places.y[k]
        if total == 0.0 or sweep == sweeps:
            break
        reweigh(weights, overlaps, worst)
        shuffle(order, chance)
        for k in range(n):
            i = int(order[k])
            now = 0.0
            for j in range(n):
                now += weights[i, j] * overlaps[i, j]
            if now == 0.0 or not free[i]:
                continue
            own = places.pose[i]
            span = tables.stop[tables.body[own]]
            if room.shift[own, places.bar[i]] < _LONG * span or draw(chance, 2) == 0:
                span = 0
            found = best_place(tables, room, places, by_shift, weights, part[i], i, now, span, near, scratch, chance, work)
            if found[1] >= 0 and found[0] < now - _EVEN:
                places.pose[i], places.bar[i], places.x[i], places.y[i] = found[1], found[2], found[3], found[4]
                sort_by_shift(by_shift, places.x)
                for j in range(n):
                    if j != i:
                        overlaps[i, j] = overlaps[j, i] = pair_overlap(tables, places, i, j)
    return least_met, work[0]
