"""Moves of single blanks between bars: one bar is emptied into the others, or a blank left over is squeezed in."""

from collections.abc import Generator

import numpy as np

from workbook.nesting.engine.compaction import Strip
from workbook.nesting.engine.fill import NOWHERE
from workbook.nesting.engine.ground import FULLEST, EngineLayout, Ground
from workbook.nesting.engine.kernel import Ints
from workbook.nesting.engine.sets import counts

_LEAST_FIRST = 0.8  # probability of emptying the bar with least on it
_EXCHANGED = 0.6  # probability of exchanging a blank for a smaller one
_INSERT_SWEEPS = 60


def emptied(ground: Ground, now: EngineLayout) -> Generator[None, None, EngineLayout | None]:
    """Move a blank to another bar, or exchange it for a smaller one; then use a cheaper bar for the rest, if one takes it.

    None when the blank finds no room there. Kept bars are not emptied.
    """
    choice, kept_count = ground.choice, len(ground.kinds.kept)
    areas = np.array([ground.area[now.bar == b].sum() for b in range(kept_count, len(now.bars))])
    donor = kept_count + (int(np.argmin(areas)) if choice.random() < _LEAST_FIRST else int(choice.integers(len(areas))))
    other = int(choice.choice([b for b in range(len(now.bars)) if b != donor]))
    mine, theirs = now.on(donor), now.on(other)
    if not len(mine):
        return trimmed(ground, now, donor)
    blank = int(choice.choice(mine))
    smaller = theirs[(ground.area[theirs] < ground.area[blank] * 0.98) & (ground.free[theirs] == 1)]
    back = int(choice.choice(smaller)) if len(smaller) and choice.random() < _EXCHANGED else None
    changed: EngineLayout | None = now
    if back is not None:
        changed = _repacked(ground, now, np.r_[mine[mine != blank], back], donor, {back: blank})
        yield
    if changed is None:
        return None
    moved = np.r_[theirs[theirs != back] if back is not None else theirs, blank]
    layout = _repacked(ground, changed, moved, other, {blank: back})
    yield
    return None if layout is None else trimmed(ground, layout, donor)


def _repacked(ground: Ground, now: EngineLayout, which: Ints, bar: int, moved: dict[int, int | None]) -> EngineLayout | None:
    """Pack blanks on one bar, from where they are; moved ones start where the one they replace was, or anywhere."""
    kind = now.bars[bar]
    if ground.area[which].sum() > FULLEST * ground.kinds.area[kind] or not ground.able[which, kind].all():
        return None
    room = ground.kinds.room(ground.field, [kind])
    pose, x, y = now.pose[which].copy(), now.x[which].copy(), now.y[which].copy()
    first = ground.field.tables.first[ground.part[which]]
    pose = np.where(room.shift[pose, 0] < 0, first, pose)
    for blank, place in moved.items():
        k = int(np.flatnonzero(which == blank)[0])
        if place is not None:
            x[k], y[k] = now.x[place], now.y[place]
        else:
            x[k] = ground.choice.uniform(0.0, float(ground.kinds.length[kind]))
            y[k] = ground.choice.uniform(0.0, float(ground.kinds.width[kind]))
    if (room.shift[pose, 0] < 0).any():
        return None
    strip = ground.packed(which, kind, room, ground.field.snapped(room, pose, np.zeros(len(which), np.int64), x, y))
    return None if strip is None else now.with_blanks(which, bar, *strip.places)


def trimmed(ground: Ground, now: EngineLayout, bar: int) -> EngineLayout:
    """Replace a bar by a cheaper one that takes its blanks, or drop it if it is empty."""
    blanks = now.on(bar)
    if not len(blanks):
        return now.without_bar(bar)
    spare = ground.kinds.count - counts(now.bars, len(ground.kinds.stock))
    for kind in np.argsort(ground.kinds.cost, kind="stable").tolist():
        if ground.kinds.cost[kind] >= ground.kinds.cost[now.bars[bar]] - 1e-12:
            break
        if (
            spare[kind] < 1
            or ground.area[blanks].sum() > FULLEST * ground.kinds.area[kind]
            or not ground.able[blanks, kind].all()
        ):
            continue
        strip = _alone(ground, blanks, kind)
        if strip is not None:
            return now.exchanged(bar, kind).with_blanks(blanks, bar, *strip.places)
    return now


def _alone(ground: Ground, blanks: Ints, kind: int) -> Strip | None:
    """Place blanks on an empty bar of a kind; None when that fails."""
    places = ground.filled([kind], blanks, ground.area[blanks])
    if (places.bar == 0).all():
        return Strip(places.pose, ground.field.along(places.x), places.y, 0.0)
    room = ground.kinds.room(ground.field, [kind])
    return ground.packed(blanks, kind, room, places) if ground.scatter(blanks, room, [kind], places) else None


def inserted(ground: Ground, now: EngineLayout) -> Generator[None, None, EngineLayout | None]:
    """Make room for one blank that is left over, using all available bars; None when that fails."""
    unplaced = np.flatnonzero(now.bar == NOWHERE)
    spare = ground.kinds.count - counts(now.bars, len(ground.kinds.stock))
    bars = [*now.bars, *np.flatnonzero(spare > 0).tolist()]
    blank = int(ground.choice.choice(unplaced))
    if not bars or not ground.able[blank, bars].any():
        return None
    which = np.r_[np.flatnonzero(now.bar != NOWHERE), blank]
    room = ground.kinds.room(ground.field, bars)
    places = ground.shifts(now, which, now.bar[which], room)
    if not ground.scatter(which, room, bars, places):
        return None
    solution = yield from ground.separated(which, room, places, _INSERT_SWEEPS)
    return None if solution is None else ground.standing(bars, which, solution)
