"""A first set of bars: one after another, each time the kind that takes most blanks for its money."""

import numpy as np

from workbook.nesting.engine.fill import NOWHERE
from workbook.nesting.engine.ground import EngineLayout, Ground
from workbook.nesting.engine.overlaps import Places
from workbook.nesting.engine.sets import counts

_FAVOUR = 1e6


def first_standing(ground: Ground, noise: float, favourite: int = -1) -> EngineLayout:
    """Bar after bar the kind that takes most area for its money; the first of a favourite kind (-1: of any).

    `noise`: how much chance there is in the order of blanks and in the choice.
    """
    made = _kept_filled(ground, noise)
    kinds = ground.kinds
    left, spare = np.flatnonzero(made.bar == NOWHERE), kinds.count - counts(made.bars, len(kinds.stock))
    while len(left):
        hope = np.minimum(kinds.area, ground.area[left].sum()) / kinds.cost * (1 + noise)  # blanks are worth no more on any kind
        best: tuple[float, int, Places] | None = None
        first = favourite >= 0 and len(made.bars) == len(kinds.kept)
        for kind in sorted(np.flatnonzero(spare > 0).tolist(), key=lambda k: -hope[k]):
            if best is not None and best[0] >= hope[kind] and not first:
                break
            size = ground.area[left] * ground.noise(noise, len(left))
            places = ground.filled([kind], left, size)
            held = float(ground.area[left[places.bar == 0]].sum())
            worth = held / kinds.cost[kind] * float(ground.noise(noise, 1)[0])
            worth *= _FAVOUR if first and kind == favourite else 1.0
            if held and (best is None or worth > best[0]):
                best = worth, kind, places
        if best is None:
            break
        _, kind, places = best
        own = places.bar == 0
        made = EngineLayout((*made.bars, kind), made.pose, made.bar, made.x, made.y)
        made = made.with_blanks(left[own], len(made.bars) - 1, places.pose[own], ground.field.along(places.x[own]), places.y[own])
        left = left[~own]
        spare[kind] -= 1
    return made


def _kept_filled(ground: Ground, noise: float) -> EngineLayout:
    """The bars that are kept, with more blanks round those that stay there."""
    made = ground.nothing()
    if not made.bars:
        return made
    every, room = np.arange(len(ground.part)), ground.kinds.room(ground.field, made.bars)
    places = ground.shifts(made, every, made.bar.copy(), room)
    size = ground.area * ground.noise(noise, len(every))
    order = np.argsort(-size, kind="stable")
    ground.fill(room, every, order[made.bar[order] == NOWHERE], places)
    for b in range(len(made.bars)):
        new = np.flatnonzero((places.bar == b) & (made.bar == NOWHERE))
        made = made.with_blanks(new, b, places.pose[new], ground.field.along(places.x[new]), places.y[new])
    return made
