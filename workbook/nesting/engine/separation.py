"""Guided local search: blanks that overlap are moved to where they overlap least, until none does.

Every pair of blanks has a weight that grows while the pair keeps overlapping, so that stubborn pairs come apart in the
end (guided local search, Voudouris and Tsang 1999; for nesting, Egeblad, Nielsen and Odgaard 2007; from memory). The moves
are in moves.py.
"""

import numpy as np

from workbook.nesting.engine.intervals import BLOCK, ClashTables
from workbook.nesting.engine.kernel import Floats, Ints, copy_whole, draw, kernel
from workbook.nesting.engine.moves import EVEN, NONE, best_place
from workbook.nesting.engine.overlaps import Near, Places, Room, Scratch, pair_overlap

_LONG = 9  # lengths of a blank; on longer bars half the moves look only one length to either side


@kernel
def shuffle(order: Ints, chance: Ints) -> None:
    """Put the entries in random order (Fisher and Yates)."""
    for k in range(len(order) - 1, 0, -1):
        other = draw(chance, k + 1)
        order[k], order[other] = order[other], order[k]


@kernel
def sort_by_shift(order: Ints, x: Ints) -> None:
    """Sort blanks by shift, by insertion: they are nearly sorted."""
    for k in range(1, len(order)):
        i = order[k]
        q = k
        while q > 0 and x[order[q - 1]] > x[i]:
            order[q] = order[q - 1]
            q -= 1
        order[q] = i


@kernel
def reweigh(weights: Floats, overlaps: Floats, worst: float) -> None:
    """Raise the weights of overlapping pairs, by a fifth and up to double for the worst; the others decay slowly."""
    n = len(weights)
    for a in range(n):
        for b in range(a + 1, n):
            if overlaps[a, b] > 0.0:
                weights[a, b] *= 1.2 + 0.8 * overlaps[a, b] / worst
            else:
                weights[a, b] = max(1.0, weights[a, b] * 0.95)
            weights[b, a] = weights[a, b]


@kernel
def working_room(tables: ClashTables, room: Room, blanks: int) -> tuple[Near, Scratch]:
    """Arrays large enough for any move among so many blanks."""
    bars = room.shift.shape[1]
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
    size = blanks * bodies * bodies + 1
    ints, reals = np.empty((4, size), np.int64), np.empty((6, size))
    near = Near(
        ints[0], ints[1], ints[2], ints[3], reals[0], reals[1], reals[2], reals[3], reals[4], reals[5], np.empty(2 * size + 2)
    )
    wide = np.empty((3, poses * bars), np.int64)
    scratch = Scratch(wide[0], wide[1], wide[2], np.empty(wide.shape[1]), np.empty(most))
    return near, scratch


@kernel
def separate(
    tables: ClashTables,
    room: Room,
    part: Ints,
    free: Ints,
    places: Places,
    weights: Floats,
    sweeps: int,
    best: Places,
    chance: Ints,
) -> tuple[float, float]:
    """Move the free blanks, in place, until nothing overlaps or after `sweeps`; a sweep tries each overlapping blank once.

    Leaves the layout of least overlap in `best`. Returns its total overlap (0: done) and the work done: bodies examined,
    over blocks and shifts, which is nearly proportional to time.
    """
    n = len(part)
    near, scratch = working_room(tables, room, n)
    by_shift, order = np.arange(n), np.arange(n)
    sort_by_shift(by_shift, places.x)
    overlaps = np.zeros((n, n))
    for a in range(n):
        for b in range(a + 1, n):
            if free[a] or free[b]:
                overlaps[a, b] = overlaps[b, a] = pair_overlap(tables, places, a, b)
    work, least_met = np.zeros(1), NONE
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
            pose = places.pose[i]
            span = tables.stop[tables.body[pose]]
            if room.shift[pose, places.bar[i]] < _LONG * span or draw(chance, 2) == 0:
                span = 0
            move = best_place(tables, room, places, by_shift, weights, part[i], i, now, span, near, scratch, chance, work)
            if move[1] >= 0 and move[0] < now - EVEN:
                places.pose[i], places.bar[i], places.x[i], places.y[i] = move[1], move[2], move[3], move[4]
                sort_by_shift(by_shift, places.x)
                for j in range(n):
                    if j != i:
                        overlaps[i, j] = overlaps[j, i] = pair_overlap(tables, places, i, j)
    return least_met, work[0]
