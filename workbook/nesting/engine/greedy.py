"""A first set of bars, one after another, each of the kind that takes the most area of blanks for its price."""

import numpy as np

from workbook.nesting.engine.fill import NOWHERE
from workbook.nesting.engine.ground import EngineLayout, Ground
from workbook.nesting.engine.overlaps import Places
from workbook.nesting.engine.sets import counts

_FAVOUR = 1e6


def first_standing(ground: Ground, noise: float, favourite: int = -1) -> EngineLayout:
    """Add bar after bar of the kind that takes the most area for its price; the first of a favourite kind (-1: of any).

    `noise`: how random the order of blanks and the choice are.
    """
    standing = _kept_filled(ground, noise)
    kinds = ground.kinds
    unplaced, spare = np.flatnonzero(standing.bar == NOWHERE), kinds.count - counts(standing.bars, len(kinds.stock))
    while len(unplaced):
        # an upper limit of what blanks are worth on each kind
        hope = np.minimum(kinds.area, ground.area[unplaced].sum()) / kinds.cost * (1 + noise)
        best: tuple[float, int, Places] | None = None
        first = favourite >= 0 and len(standing.bars) == len(kinds.kept)
        for kind in sorted(np.flatnonzero(spare > 0).tolist(), key=lambda k: -hope[k]):
            if best is not None and best[0] >= hope[kind] and not first:
                break
            size = ground.area[unplaced] * ground.noise(noise, len(unplaced))
            places = ground.filled([kind], unplaced, size)
            area = float(ground.area[unplaced[places.bar == 0]].sum())
            worth = area / kinds.cost[kind] * float(ground.noise(noise, 1)[0])
            worth *= _FAVOUR if first and kind == favourite else 1.0
            if area and (best is None or worth > best[0]):
                best = worth, kind, places
        if best is None:
            break
        _, kind, places = best
        placed = places.bar == 0
        standing = EngineLayout((*standing.bars, kind), standing.pose, standing.bar, standing.x, standing.y)
        standing = standing.with_blanks(
            unplaced[placed], len(standing.bars) - 1, places.pose[placed], ground.field.along(places.x[placed]), places.y[placed]
        )
        unplaced = unplaced[~placed]
        spare[kind] -= 1
    return standing


def _kept_filled(ground: Ground, noise: float) -> EngineLayout:
    """The kept bars, with more blanks placed around the fixed ones."""
    standing = ground.nothing()
    if not standing.bars:
        return standing
    indices, room = np.arange(len(ground.part)), ground.kinds.room(ground.field, standing.bars)
    places = ground.shifts(standing, indices, standing.bar.copy(), room)
    size = ground.area * ground.noise(noise, len(indices))
    order = np.argsort(-size, kind="stable")
    ground.fill(room, indices, order[standing.bar[order] == NOWHERE], places)
    for b in range(len(standing.bars)):
        new = np.flatnonzero((places.bar == b) & (standing.bar == NOWHERE))
        standing = standing.with_blanks(new, b, places.pose[new], ground.field.along(places.x[new]), places.y[new])
    return standing
