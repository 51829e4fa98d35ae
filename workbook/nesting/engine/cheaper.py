"""Trying a cheaper set of bars, which must hold all blanks that are placed now."""

from collections.abc import Generator, Sequence

import numpy as np

from workbook.nesting.engine.fill import NOWHERE
from workbook.nesting.engine.ground import EngineLayout, Ground
from workbook.nesting.engine.kernel import Ints
from workbook.nesting.engine.overlaps import Places, Room
from workbook.nesting.engine.sets import Proposals, classes, counts
from workbook.nesting.engine.strip import StripSearch

_SAMPLE, _SAMPLE_WORK = 16, 30_000.0  # blanks and work for estimating how full a width can be
_UNKNOWN = 0.5  # share of area filled where no blank fits


def proposals(ground: Ground, now: EngineLayout) -> Generator[None, None, Proposals]:
    """Estimate how full bars of each width can be, by short searches with a sample of the blanks."""
    full: dict[float, float] = {}
    for width in sorted(set(ground.kinds.width.tolist())):
        low = ground.field.poses.height[ground.field.tables.first[ground.part]] <= width
        fits = np.flatnonzero(low & (ground.free == 1))
        if not len(fits):
            full[width] = _UNKNOWN
            continue
        sample = ground.part[fits[np.linspace(0, len(fits) - 1, min(_SAMPLE, len(fits))).astype(int)]]
        search = StripSearch(ground.field, sample, width, ground.seed)
        for _ in search.steps():
            yield
            if search.work >= _SAMPLE_WORK:
                break
        ground.work += search.work
        area = sum(float(ground.area[np.flatnonzero(ground.part == p)[0]]) for p in sample)
        full[width] = area / (search.sure.length * width)
    usable = ground.kinds.area * np.array([full[w] for w in ground.kinds.width.tolist()])
    placed = now.bar != NOWHERE
    least = counts(ground.kinds.kept, len(ground.kinds.stock))
    return Proposals(usable, ground.kinds.cost, ground.kinds.count, classes(ground.able[placed], ground.area[placed]), least)


def moved_to(
    ground: Ground, now: EngineLayout, bars: Sequence[int], sweeps: int, *, warm: bool
) -> Generator[None, None, EngineLayout | None]:
    """Move all placed blanks to these bars (warm: they start where they are on bars in both sets); None when that fails.

    `bars` begin with the kept ones.
    """
    which = np.flatnonzero(now.bar != NOWHERE)
    room = ground.kinds.room(ground.field, bars)
    places = _begun(ground, now, bars, which, room, warm=warm)
    key = ground.area[which] * ground.choice.uniform(0.7, 1.3, len(which))
    todo = np.flatnonzero(places.bar == NOWHERE)
    ground.fill(room, which, todo[np.argsort(-key[todo], kind="stable")], places)
    yield
    if not ground.scatter(which, room, bars, places):
        return None
    solution = yield from ground.separated(which, room, places, sweeps)
    return None if solution is None else ground.standing(bars, which, solution)


def _begun(ground: Ground, now: EngineLayout, bars: Sequence[int], which: Ints, room: Room, *, warm: bool) -> Places:
    """Fixed blanks and, if warm, those on bars in both sets, where they are; the others nowhere."""
    new, free = {NOWHERE: NOWHERE}, list(range(len(bars)))
    for b, kind in enumerate(now.bars):
        match = next((f for f in free if bars[f] == kind), None)  # kept bars come first in both
        if match is not None:
            free.remove(match)
        new[b] = NOWHERE if match is None else match
    bar = np.array([new[int(b)] for b in now.bar[which]], np.int64)
    if not warm:
        bar[ground.free[which] == 1] = NOWHERE
    return ground.shifts(now, which, bar, room)
