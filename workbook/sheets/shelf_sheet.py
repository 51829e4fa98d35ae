"""A contact sheet: every template of a shelf to one scale, with its name and sizes. Not true size, and it says so."""

from collections.abc import Sequence

from workbook.geometry.drawing import Curve, Drawing, Mark, Text
from workbook.geometry.path import Placement
from workbook.sheets.furniture import FOOT_HEIGHT, TITLE_HEIGHT, page_foot, title_block
from workbook.sheets.paper import PrintRun, SheetPage
from workbook.sheets.views import disc_marks
from workbook.template.shape import Shape
from workbook.texts import _, ngettext

_COLUMNS, _ROWS = 2, 6
_GAP = 6.0  # mm round a knife in its cell
_WORDS = 9.0  # mm for the words under it


def shelf_pages(run: PrintRun, blanks: Sequence[Shape]) -> list[SheetPage]:
    """Build portrait pages of two columns; all knives to the scale at which the largest fits."""
    w, h = run.upright
    wide, tall = (w - 2 * run.margin) / _COLUMNS, (h - 2 * run.margin - TITLE_HEIGHT - FOOT_HEIGHT) / _ROWS
    room = (wide - 2 * _GAP, tall - _WORDS - _GAP)
    sizes = [_size(blank) for blank in blanks]
    scale = min(min(room[0] / x, room[1] / y) for x, y in sizes)
    groups = list(_batches(blanks, _COLUMNS * _ROWS))
    pages = []
    for n, group in enumerate(groups, 1):
        under = ngettext(
            "{count} template, {scale:.0%} of true size", "{count} templates, {scale:.0%} of true size", len(blanks), scale=scale
        )
        marks: list[Mark] = [*title_block(run, (w, h), _("Shelf"), under, run.job, run.date)]
        for i, blank in enumerate(group):
            left = run.margin + i % _COLUMNS * wide + _GAP
            top = h - run.margin - TITLE_HEIGHT - i // _COLUMNS * tall
            marks += _cell(run, blank, left, top, scale, room)
        marks += page_foot(run, (w, h), _("contact sheet, not true size"), n, len(groups))
        pages.append(SheetPage(w, h, tuple(marks)))
    return pages


def _batches(blanks: Sequence[Shape], count: int) -> list[Sequence[Shape]]:
    return [blanks[i : i + count] for i in range(0, len(blanks), count)]


def _size(blank: Shape) -> tuple[float, float]:
    x0, y0, x1, y1 = blank.extent()
    return x1 - x0, y1 - y0


def _cell(run: PrintRun, blank: Shape, left: float, top: float, scale: float, room: tuple[float, float]) -> Drawing:
    """One knife with its name and sizes under it."""
    x0, y0, _unused, y1 = blank.extent()
    where = Placement(left - x0 * scale, top - _GAP / 2 - room[1] / 2 - (y0 + y1) / 2 * scale, scale=scale)
    marks: list[Mark] = [Curve(where.path(blank.outline), fill="blank")]
    marks += [Curve(where.path(opening), fill="paper") for opening in blank.openings]
    marks += disc_marks(blank, where)
    words = top - room[1] - _GAP / 2 - 5.0
    if blank.template is not None:
        long, high = run.length(blank.template.blade.length), run.length(blank.template.blade.height, unit=True)
        sizes = _("blade {long} × {high}", long=long, high=high)
    else:
        sizes = f"{run.length(_size(blank)[0])} × {run.length(_size(blank)[1], unit=True)}"
    right = left + room[0]
    return (*marks, Text((left, words), blank.name, 10, bold=True), Text((right, words), sizes, 9, "end", tone="soft"))
