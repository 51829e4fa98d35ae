"""Moving single blanks between bars: one bar is emptied into the others, or a blank left over is squeezed in."""

from collections.abc import Generator

import numpy as np

from workbook.nesting.engine.compaction import Strip
from workbook.nesting.engine.fill import NOWHERE
from workbook.nesting.engine.ground import FULLEST, EngineLayout, Ground
from workbook.nesting.engine.kernel import Ints
from workbook.nesting.engine.sets import counts

_LEAST_FIRST = 0.8  # how often the bar with least on it is the one to be emptied
_EXCHANGED = 0.6  # how often a blank changes places with a smaller one
_INSERT_SWEEPS = 60


def emptied(ground: Ground, now: EngineLayout) -> Generator[None, None, EngineLayout | None]:
    """Moves a blank from one bar to another, or exchanges it for a smaller one; a cheaper bar for what stays, if one takes it.

    None when the blank finds no room there. Bars that are kept are not emptied.
    """
    choice, kept = ground.choice, len(ground.kinds.kept)
    held = np.array([ground.area[now.bar == b].sum() for b in range(kept, len(now.bars))])
    donor = kept + (int(np.argmin(held)) if choice.random() < _LEAST_FIRST else int(choice.integers(len(held))))
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
    found = _repacked(ground, changed, moved, other, {blank: back})
    yield
    return None if found is None else trimmed(ground, found, donor)


def _repacked(ground: Ground, now: EngineLayout, which: Ints, bar: int, moved: dict[int, int | None]) -> EngineLayout | None:
    """Blanks packed on one bar, from where they are; those moved start where the one they replace was, or anywhere."""
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
    """The same with a cheaper bar for what is left on one, or without it."""
    own = now.on(bar)
    if not len(own):
        return now.without_bar(bar)
    spare = ground.kinds.count - counts(now.bars, len(ground.kinds.stock))
    for kind in np.argsort(ground.kinds.cost, kind="stable").tolist():
        if ground.kinds.cost[kind] >= ground.kinds.cost[now.bars[bar]] - 1e-12:
            break
        if spare[kind] < 1 or ground.area[own].sum() > FULLEST * ground.kinds.area[kind] or not ground.able[own, kind].all():
            continue
        strip = _alone(ground, own, kind)
        if strip is not None:
            return now.exchanged(bar, kind).with_blanks(own, bar, *strip.places)
    return now


def _alone(ground: Ground, own: Ints, kind: int) -> Strip | None:
    """Blanks on an empty bar of a kind."""
    places = ground.filled([kind], own, ground.area[own])
    if (places.bar == 0).all():
        return Strip(places.pose, ground.field.along(places.x), places.y, 0.0)
    room = ground.kinds.room(ground.field, [kind])
    return ground.packed(own, kind, room, places) if ground.scatter(own, room, [kind], places) else None


def inserted(ground: Ground, now: EngineLayout) -> Generator[None, None, EngineLayout | None]:
    """One blank that is left over given room too, on all the bars there are; None when that is not found."""
    left = np.flatnonzero(now.bar == NOWHERE)
    spare = ground.kinds.count - counts(now.bars, len(ground.kinds.stock))
    bars = [*now.bars, *np.flatnonzero(spare > 0).tolist()]
    blank = int(ground.choice.choice(left))
    if not bars or not ground.able[blank, bars].any():
        return None
    which = np.r_[np.flatnonzero(now.bar != NOWHERE), blank]
    room = ground.kinds.room(ground.field, bars)
    places = ground.shifts(now, which, now.bar[which], room)
    if not ground.scatter(which, room, bars, places):
        return None
    found = yield from ground.separated(which, room, places, _INSERT_SWEEPS)
    return None if found is None else ground.standing(bars, which, found)
