"""A planned bar at the saw: the order of its lines, and its time."""

from workbook.geometry.lines import length_left
from workbook.sheets.bar import BarPlan, Between
from workbook.sheets.bar_saw import SawTime, saw_order, saw_time


def in_saw_order(plan: BarPlan) -> tuple[tuple[Between, ...], int]:
    """The lines of a bar piece by piece, as they come off between its straight cuts, and how often the pieces are turned."""
    ordered, turns = list[Between](), 0
    stops, bar = plan.stops, (plan.longest, plan.size[1])
    for group in plan.cuts.groups:
        names = {plan.blanks[i].serial for i in group.pieces}
        lines = [line for line in plan.between if line.lower in names]
        order = saw_order([line.points for line in lines], stops, bar)
        ordered += [lines[n] for n in order.numbers]
        turns += order.turns
    return tuple(ordered), turns


def time_at_saw(plan: BarPlan, turns: int, feed: float) -> SawTime:
    """What a bar takes at a saw that cuts `feed` mm a minute in steel 1/8 in thick, with its pieces turned so often."""
    cuts, lines = [cut.points for cut in plan.straight], [line.points for line in plan.between]
    beside = plan.clean_up + plan.kerf / 2  # where the saw runs along an outline
    edges = [((0.0, y), (plan.longest, y)) for y in (0.0, plan.size[1])]
    near = max(plan.separation, plan.edge + beside)
    around = length_left([b.outline for b in plan.blanks], beside, [*cuts, *lines, *edges], near, (plan.longest, plan.size[1]))
    return saw_time(lines, cuts, around, turns, feed, plan.size[0])
