"""All families of the starting library on one page: to judge them beside each other."""

from workbook.formats.family import family, family_ids
from workbook.formats.tables import facts
from workbook.geometry.drawing import Curve, Drawing, Mark, Text
from workbook.geometry.path import Placement
from workbook.sheets.paper import SheetPage
from workbook.sheets.views import disc_marks
from workbook.template.shape import Shape, shape
from workbook.template.tools import Tools, drills_for
from workbook.units import built, show

_WIDE, _TALL, _COLUMNS = 430.0, 104.0, 2
_FRONT = 150.0  # mm from a cell's left edge to the handle front


def contact_page() -> SheetPage:
    """One page, true size, every family with its name and sizes."""
    tools = Tools(drills=drills_for(facts().drills, "in"))
    shapes = [(family(name), shape(family(name), tools)) for name in family_ids()]
    rows = -(-len(shapes) // _COLUMNS)
    width, height = _WIDE * _COLUMNS, _TALL * rows
    marks: list[Mark] = []
    for n, (template, blank) in enumerate(shapes):
        x, y = n % _COLUMNS * _WIDE + _FRONT, height - (n // _COLUMNS) * _TALL - 24
        marks += _knife(blank, Placement(x, y))
        size = built(f"{show(template.blade.length, 'in')} × {show(template.blade.height, 'in')} in")
        marks.append(Text((x - _FRONT + 8, y - 74), template.name, 26, bold=True))
        marks.append(Text((x + 30, y - 74), size, 22, tone="soft"))
    return SheetPage(width, height, tuple(marks))


def _knife(blank: Shape, where: Placement) -> Drawing:
    marks: list[Mark] = [Curve(where.path(blank.outline), fill="blank")]
    marks += [Curve(where.path(opening), fill="paper") for opening in blank.openings]
    if blank.grip is not None:
        marks.append(Curve(where.path(blank.grip), line="hidden"))
    return (*marks, *disc_marks(blank, where))
