"""Tables of a job and its layout for a spreadsheet: holes, ordinates, cuts in order. Lengths in the job's unit."""

from collections.abc import Sequence

from workbook.model.model import Model
from workbook.sheets.bar import BarPlan
from workbook.template.holes import WORDS
from workbook.template.shape import from_spine
from workbook.texts import _
from workbook.units import HABITS, Unit

Rows = list[list[str]]


def _plain(mm: float, unit: Unit) -> str:
    """A decimal number a spreadsheet reads."""
    return f"{mm / HABITS[unit].mm:.{HABITS[unit].column}f}"


def hole_rows(model: Model, keys: Sequence[str]) -> Rows:
    """A row for each hole of some templates, measured from the edges that calipers touch."""
    unit = model.job.unit
    rows = [
        [
            "template",
            "hole",
            "purpose",
            f"from butt {unit}",
            f"from spine {unit}",
            f"diameter {unit}",
            "tang drill",
            "scale drill",
        ]
    ]
    for key in keys:
        blank = model.shapes[key]
        x0 = blank.extent()[0]
        for hole in blank.holes:
            places = [hole.centre[0] - x0, from_spine(blank, hole), hole.diameter]
            drills = [
                hole.drill.named(unit),
                hole.scale_drill.named(unit) if hole.scale_drill else "",
            ]  # a bare 1/4 would be read as a date
            purpose = WORDS[hole.purpose] if blank.template else "hole"
            rows.append([blank.name, hole.mark, purpose, *(_plain(v, unit) for v in places), *drills])
    return rows


def ordinate_rows(plans: Sequence[BarPlan], unit: Unit) -> Rows:
    """Where each blank lies on its bar: ends, faces, punch marks."""
    heads = ["bar", "serial", "template", "spine", "face up", f"butt {unit}", f"point {unit}"]
    rows = [[*heads, *(f"punch {n} {axis} {unit}" for n in (1, 2) for axis in ("x", "y"))]]
    for plan in plans:
        for blank in plan.blanks:
            places = [*blank.butt_and_point, *(v for punch in blank.punches() for v in punch)]
            facing = ["up" if blank.spine_up else "down", blank.face_up]
            rows.append(
                [f"{plan.number}: {plan.name}", blank.serial, blank.shape.name, *facing, *(_plain(v, unit) for v in places)]
            )
    return rows


def cut_rows(plans: Sequence[BarPlan], unit: Unit) -> Rows:
    """The saw's cuts in order: those straight across the bar by position, the others by the blanks they part."""
    rows = [["bar", "cut", "kind", f"at {unit}", "between"]]
    for plan in plans:
        bar = f"{plan.number}: {plan.name}"
        across = () if plan.service else plan.cuts.across
        rows += [[bar, str(n), "across", _plain(x, unit), ""] for n, x in enumerate(across, 1)]
        for n, line in enumerate(plan.between, 1 + len(across)):
            rows.append([bar, str(n), "along a line", "", _("{lower} and {upper}", lower=line.lower, upper=line.upper)])
    return rows
