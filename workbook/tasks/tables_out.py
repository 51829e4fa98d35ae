"""Tables of a job and its layout for a spreadsheet: holes, ordinates, cuts in order. Lengths in the job's unit."""

from collections.abc import Sequence

from workbook.model.model import Model
from workbook.sheets.bar import BarPlan
from workbook.template.hole_places import Across, end_of, reading
from workbook.template.holes import WORDS
from workbook.texts import _
from workbook.units import HABITS, Unit

Rows = list[list[str]]
_ACROSS = {Across.SPINE: "from spine", Across.CENTER: "above center", Across.UNDERSIDE: "from underside"}


def _plain(mm: float, unit: Unit) -> str:
    """A decimal number a spreadsheet reads."""
    return f"{mm / HABITS[unit].mm:.{HABITS[unit].column}f}"


def hole_rows(model: Model, keys: Sequence[str]) -> Rows:
    """A row for each hole of some templates, measured from the edges that calipers touch."""
    unit, datum = model.job.unit, model.job.settings.datum
    places = [f"from {datum.along} {unit}", f"{_ACROSS[datum.across]} {unit}"]
    rows = [["template", "hole", "purpose", *places, f"diameter {unit}", "tang drill", "scale drill"]]
    for key in keys:
        blank = model.shapes[key]
        for hole in blank.holes:
            along, across = (_plain(v, unit) for v in reading(blank, hole.centre, datum))
            along = along if end_of(blank, datum) is datum.along else ""  # an outline from a file has no handle front
            drills = [
                hole.drill.named(unit),
                hole.scale_drill.named(unit) if hole.scale_drill else "",
            ]  # a bare 1/4 would be read as a date
            purpose = WORDS[hole.purpose] if blank.template else "hole"
            rows.append([blank.name, hole.mark, purpose, along, across, _plain(hole.diameter, unit), *drills])
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
    """The saw's cuts in order: straight ones by position, those round an offcut with its size, lines by the blanks they part."""
    rows = [["bar", "cut", "kind", f"at {unit}", "between"]]
    for plan in plans:
        bar = f"{plan.number}: {plan.name}"
        straight = plan.straight
        for n, cut in enumerate(straight, 1):
            if cut.frees is None:
                rows.append([bar, str(n), "across", _plain(cut.at[0], unit), ""])
            else:
                sizes = " x ".join(_plain(v, unit) for v in (cut.frees.length, cut.frees.width))
                rows.append([bar, str(n), "round an offcut", _plain(cut.frees.x, unit), _("offcut {sizes}", sizes=sizes)])
        for n, line in enumerate(plan.between, 1 + len(straight)):
            rows.append([bar, str(n), "along a line", "", _("{lower} and {upper}", lower=line.lower, upper=line.upper)])
    return rows
