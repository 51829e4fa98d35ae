"""A form: a table with lines, its rows high enough to write in with gloves; what is not known is left empty."""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from workbook.geometry.drawing import MM_PER_POINT, Drawing, Mark, Text, stroke
from workbook.geometry.path import Point
from workbook.sheets.furniture import SMALL, fitting
from workbook.sheets.paper import PrintRun
from workbook.sheets.table import paragraph, row_height

FORM_ROW = 10.0  # mm, the least of a row
_INSET = 1.0  # mm from a line to words
_CAPITAL = 0.7  # of a letter's size, how high capitals are


class FormColumn(Struct, frozen=True, kw_only=True):
    """A column: its head, its width in mm, and the letters in it."""

    head: str
    wide: float
    size: float = SMALL  # larger ones stand in one line, bold


def form_head(run: PrintRun, columns: Sequence[FormColumn]) -> float:
    """How high the heads of a form are, mm."""
    return max(_height(run, column, column.head, SMALL) for column in columns) + 2 * _INSET


def form_rows(run: PrintRun, columns: Sequence[FormColumn], rows: Sequence[Sequence[str]]) -> list[float]:
    """How high each row is, mm."""
    words = [max(_height(run, column, cell, column.size) for column, cell in zip(columns, row, strict=True)) for row in rows]
    return [max(FORM_ROW, high + _INSET) for high in words]


def form(run: PrintRun, corner: Point, columns: Sequence[FormColumn], rows: Sequence[Sequence[str]]) -> tuple[Drawing, float]:
    """A form under its upper left corner; its marks and the y of its lower edge."""
    left, top = corner
    heights, head = form_rows(run, columns, rows), form_head(run, columns)
    marks, y = list(_cells(run, (left, top), columns, [column.head for column in columns], head, heads=True)), top - head
    levels = [y]
    for row, high in zip(rows, heights, strict=True):
        marks += _cells(run, (left, y), columns, row, high)
        y -= high
        levels.append(y)
    right = left + sum(column.wide for column in columns)
    marks += [
        stroke(((left, level), (right, level)), "dimension" if level in (levels[0], y) else "extension") for level in levels
    ]
    x = left
    for column in columns[:-1]:
        x += column.wide
        marks.append(stroke(((x, y), (x, top - head)), "extension"))
    return tuple(marks), y


def _height(run: PrintRun, column: FormColumn, words: str, size: float) -> float:
    if size > SMALL:
        return row_height(size)
    _marks, low = paragraph(0.0, 0.0, column.wide - 2 * _INSET, words, run.measure, size=size)
    return -low


def _cells(
    run: PrintRun, corner: Point, columns: Sequence[FormColumn], row: Sequence[str], high: float, *, heads: bool = False
) -> Iterator[Mark]:
    """The words of a row, heads on their line, all else in the middle of its cell."""
    x, top = corner
    for column, words in zip(columns, row, strict=True):
        size, room = SMALL if heads else column.size, column.wide - 2 * _INSET
        tall = _height(run, column, words, size)
        if words and size > SMALL:
            fits = fitting(run, words, size, True, room)
            yield Text((x + _INSET, top - (high + _CAPITAL * size * MM_PER_POINT) / 2), words, fits, bold=True)
        elif words:
            under = high - tall - _INSET if heads else (high - tall) / 2
            tone = "soft" if heads else "ink"
            yield from paragraph(x + _INSET, top - under, room, words, run.measure, size=size, tone=tone)[0]
        x += column.wide
