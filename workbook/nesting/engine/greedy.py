"""A first set of bars: one after another, each time the kind that takes most blanks for its money."""

import numpy as np

from workbook.nesting.engine.ground import Ground, Standing
from workbook.nesting.engine.overlaps import Places

_FAVOUR = 1e6


def first_standing(ground: Ground, noise: float, favourite: int = -1) -> Standing:
    """Bar after bar the kind that takes most area for its money; the first of a favourite kind (-1: of any).

    `noise`: how much chance there is in the order of blanks and in the choice.
    """
    left, spare = np.arange(len(ground.part)), ground.kinds.count.copy()
    made = ground.nothing()
    while len(left):
        best: tuple[float, int, Places] | None = None
        for kind in np.flatnonzero(spare > 0).tolist():
            size = ground.area[left] * ground.noise(noise, len(left))
            places = ground.filled([kind], left, size)
            held = float(ground.area[left[places.bar == 0]].sum())
            worth = held / ground.kinds.cost[kind] * float(ground.noise(noise, 1)[0])
            worth *= _FAVOUR if kind == favourite and not made.bars else 1.0
            if held and (best is None or worth > best[0]):
                best = worth, kind, places
        if best is None:
            break
        _, kind, places = best
        own = places.bar == 0
        made = Standing((*made.bars, kind), made.pose, made.bar, made.x, made.y)
        made = made.with_blanks(left[own], len(made.bars) - 1, places.pose[own], ground.field.along(places.x[own]), places.y[own])
        left = left[~own]
        spare[kind] -= 1
    return made
