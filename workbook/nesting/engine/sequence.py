"""Layouts as sequences: blanks placed one after another, each as near to end A as it can lie; the order and poses are annealed.

Only the blanks near the end of the filled part can be in the way of the next, so a sequence of a dozen blanks takes some ten
microseconds and thousands are tried before the search by overlaps has made its first sweeps. It pays where a bar takes two
lanes: with more, the order says too little about where blanks lie.
"""

import numpy as np

from workbook.nesting.engine.fill import free_height, walls_at
from workbook.nesting.engine.intervals import BLOCK, ClashTables
from workbook.nesting.engine.kernel import Floats, Ints, copy_whole, draw, kernel
from workbook.nesting.engine.overlaps import Places

_BACK = 1.6  # lengths of the longest blank; from so far behind the end of the filled part on a place is looked for
_MOST = 1 << 30
_KINDS = 5  # of changes


@kernel
def mirrored_up(low: Floats, high: Floats, walls: int, top: float) -> None:
    """Turn the intervals upside down, in place."""
    for k in range(walls):
        low[k], high[k] = top - high[k], top - low[k]


@kernel
def lay(
    tables: ClashTables, top: Floats, right: Floats, order: Ints, up: Ints, begin: int, back: int, limit: float, places: Places,
    rows: Ints, heights: Floats,
) -> float:  # fmt: skip
    """Lay the blanks of `order` from number `begin` on behind those before them, each from below or, if `up`, from above.

    Returns where the last one ends in mm; gives up above the limit. `rows`, `heights`: work space.
    """
    end = 0.0
    above, low, high = heights[0], heights[1], heights[2]
    for k in range(len(order)):
        i = order[k]
        t = places.pose[i]
        if k >= begin:
            s, count = max(0, int(end / tables.cell) - back), 0
            for m in range(k):
                j = order[m]
                for p in range(tables.body[places.pose[j]], tables.body[places.pose[j] + 1]):
                    for q in range(tables.body[t], tables.body[t + 1]):
                        last = places.x[j] + tables.stop[p] - tables.start[q]
                        if last >= s:
                            rows[0, count], rows[1, count] = places.x[j] + tables.start[p] - tables.stop[q], last
                            rows[2, count] = tables.at[p, q] - rows[0, count]
                            above[count] = places.y[j]
                            count += 1
            y, stop = -1.0, s
            while y < 0.0:
                if s == stop:
                    stop = s + BLOCK
                    walls = walls_at(tables.window, rows, above, count, s, BLOCK, top[t], low, high)
                    if walls < 0 or free_height(low, high, walls, top[t]) < 0.0:
                        s = stop
                        continue
                walls = walls_at(tables.interval, rows, above, count, s, 1, top[t], low, high)
                if walls >= 0:
                    if up[i]:
                        mirrored_up(low, high, walls, top[t])
                    y = free_height(low, high, walls, top[t])
                s += y < 0.0
            places.x[i], places.y[i] = s, top[t] - y if up[i] else y
        end = max(end, places.x[i] * tables.cell + right[t])
        if end > limit:
            break
    return end


@kernel
def change(tables: ClashTables, top: Floats, part: Ints, order: Ints, pose: Ints, up: Ints, chance: Ints) -> int:
    """Exchange two blanks, move one, or give one another pose or side, in place. Returns the first number that differs."""
    n = len(order)
    kind, a, b = draw(chance, _KINDS), draw(chance, n), draw(chance, n)
    i = order[a]
    if kind == 0:
        order[a], order[b] = order[b], i
        return min(a, b)
    if kind == 1:
        step = 1 if a < b else -1
        for k in range(a, b, step):
            order[k] = order[k + step]
        order[b] = i
        return min(a, b)
    if kind == 2:
        up[i] = 1 - up[i]
        return a
    if kind == 3 and a + 1 < n:
        order[a], order[a + 1] = order[a + 1], i
        i = order[a]
    if kind == 4 or draw(chance, 2) == 0:
        other = tables.first[part[i]] + draw(chance, tables.last[part[i]] - tables.first[part[i]])
        if top[other] >= 0.0:
            pose[i] = other
    return a


@kernel
def copy_places(source: Places, to: Places) -> None:
    """Copy all places."""
    copy_whole(source.pose, to.pose)
    copy_whole(source.x, to.x)
    for k in range(len(source.y)):
        to.y[k] = source.y[k]


@kernel
def anneal_sequence(
    tables: ClashTables, top: Floats, right: Floats, part: Ints, order: Ints, up: Ints, places: Places, tries: int, hot: float,
    cold: float, chance: Ints,
) -> float:  # fmt: skip
    """Anneal a sequence that begins with `order`, `up` and the poses in `places`, where the shortest layout met is left.

    `top`: the greatest height of each pose, below 0 where it does not fit. Returns the length in mm; temperatures are in mm too.
    """
    n, bodies, back = len(part), 0, 0
    for t in range(len(tables.body) - 1):
        bodies = max(bodies, tables.body[t + 1] - tables.body[t])
    for q in range(len(tables.stop)):
        back = max(back, int(_BACK * tables.stop[q]))
    rows, heights = np.empty((3, n * bodies * bodies), np.int64), np.empty((3, n * bodies * bodies))
    now = Places(places.pose.copy(), places.bar.copy(), places.x.copy(), places.y.copy())
    new = Places(places.pose.copy(), places.bar.copy(), places.x.copy(), places.y.copy())
    length = lay(tables, top, right, order, up, 0, back, 1e18, now, rows, heights)
    copy_places(now, places)
    least, new_order, new_up = length, order.copy(), up.copy()
    for k in range(tries):
        heat = hot * (cold / hot) ** (k / tries)
        copy_whole(order, new_order)
        copy_whole(up, new_up)
        copy_places(now, new)
        begin = change(tables, top, part, new_order, new.pose, new_up, chance)
        limit = length - heat * np.log((draw(chance, _MOST) + 1) / _MOST)
        tried = lay(tables, top, right, new_order, new_up, begin, back, limit, new, rows, heights)
        if tried <= limit:
            length = tried
            copy_whole(new_order, order)
            copy_whole(new_up, up)
            copy_places(new, now)
            if length < least - 1e-9:
                least = length
                copy_places(now, places)
    return least
