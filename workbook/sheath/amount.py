"""How much material a sheath takes."""

from workbook.later import np
from workbook.sheath.belt_loop import loop_of
from workbook.sheath.room import SheathRoom
from workbook.sheath.rules import SheathForm, SheathRules


def sheet_area(room: SheathRoom, rules: SheathRules) -> float:
    """The area of all pieces, each as the rectangle it is cut from, mm2."""
    long, margin, loop = room.side.bounds[2] - room.throat + rules.margin, rules.margin, loop_of(room, rules)
    if rules.form is SheathForm.FOLDED:
        sides, welt = 2 * (float((room.high - room.low + room.extra).max()) + margin), room.top - float(room.low.min()) + margin
    else:
        across = float((room.high + room.extra / 2).max() - (room.low - room.extra / 2).min())
        sides, welt = 2 * (across + 2 * margin), float(np.ptp((room.low.min(), room.high.max()))) + 2 * margin
    strip = loop.length * loop.width if loop else 0.0
    return long * (sides + rules.welts(room.spine) * welt) + strip
