"""How much material a sheath takes, from its room alone: in a third of the time that its pattern takes."""

from workbook.later import np
from workbook.sheath.belt_loop import loop_of
from workbook.sheath.room import SheathRoom
from workbook.sheath.rules import SheathForm, SheathRules

Rectangle = tuple[float, float]


def rectangles(room: SheathRoom, rules: SheathRules) -> list[Rectangle]:
    """The sizes that all pieces are cut from, mm, each piece as often as it is cut; the largest first."""
    long, margin, loop = room.side.bounds[2] - room.throat + rules.margin, rules.margin, loop_of(room, rules)
    if rules.form is SheathForm.FOLDED:
        sides = [2 * (float((room.high - room.low + room.extra).max()) + margin)]
        welt = room.top - float(room.low.min()) + margin
    else:
        across = float((room.high + room.extra / 2).max() - (room.low - room.extra / 2).min())
        sides, welt = [across + 2 * margin] * 2, float(np.ptp((room.low.min(), room.high.max()))) + 2 * margin
    strip = [(loop.length, loop.width)] if loop else []
    return [*((long, side) for side in sides), *[(long, welt)] * rules.welts(room.spine), *strip]


def sheet_area(room: SheathRoom, rules: SheathRules) -> float:
    """The area of all pieces, each as the rectangle it is cut from, mm2."""
    return sum(long * across for long, across in rectangles(room, rules))
