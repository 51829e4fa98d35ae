"""Labels for blanks: serial, template, steel, revision and a code, on sheets of labels."""

from collections.abc import Sequence

from msgspec import Struct

from workbook.geometry.drawing import Drawing, Mark, Text
from workbook.geometry.lettering import width
from workbook.sheets.furniture import code_marks
from workbook.sheets.paper import PrintRun, SheetPage
from workbook.texts import _
from workbook.units import HABITS, INCH


class LabelSheet(Struct, frozen=True):
    """A sheet of labels: columns and rows, a label's size, the first label's position, and the step to the next. mm."""

    words: str
    paper: tuple[float, float]
    count: tuple[int, int]
    size: tuple[float, float]
    corner: tuple[float, float]  # of the first label, from the upper left
    step: tuple[float, float]


LABELS = {  # common practice, no source: print one on plain paper and hold it against a sheet first
    "letter": LabelSheet(
        _("30 labels of 1 × 2 5/8 in"), (8.5 * INCH, 11 * INCH), (3, 10), (2.625 * INCH, INCH), (0.1875 * INCH, 0.5 * INCH),
        (2.75 * INCH, INCH),
    ),
    "a4": LabelSheet(_("24 labels of 70 × 37 mm"), (210.0, 297.0), (3, 8), (70.0, 37.0), (0.0, 0.5), (70.0, 37.0)),
}  # fmt: skip
_PAD = 3.0  # mm kept clear inside a label's edge


class Label(Struct, frozen=True):
    """One label: a large line, smaller lines, and the text of its code."""

    head: str
    lines: tuple[str, ...]
    told: str


def label_pages(run: PrintRun, labels: Sequence[Label]) -> list[SheetPage]:
    """Build sheets of labels, filled row by row: letter paper for inches, A4 for millimetres."""
    sheet = LABELS[HABITS[run.unit].paper]
    per_page = sheet.count[0] * sheet.count[1]
    pages = []
    for first in range(0, len(labels), per_page):
        marks: list[Mark] = []
        for n, label in enumerate(labels[first : first + per_page]):
            x = sheet.corner[0] + n % sheet.count[0] * sheet.step[0]
            y = sheet.paper[1] - sheet.corner[1] - n // sheet.count[0] * sheet.step[1]
            marks += label_marks(run, label, (x, y), sheet.size)
        pages.append(SheetPage(*sheet.paper, tuple(marks)))
    return pages


def label_marks(run: PrintRun, label: Label, corner: tuple[float, float], size: tuple[float, float]) -> Drawing:
    """The marks of one label from its upper left corner."""
    (x, y), (wide, tall) = corner, size
    side = min(tall - 2 * _PAD, 16.0)
    room = wide - 3 * _PAD - side
    marks: list[Mark] = [*code_marks(run, label.told, (x + wide - _PAD, y - (tall - side) / 2), side)]
    head = min(18.0, 18.0 * room / max(width(label.head, 18.0, True, run.measure), 1e-9))
    base = y - _PAD - head * 0.3
    marks.append(Text((x + _PAD, base), label.head, head, bold=True))
    for n, words in enumerate(label.lines, 1):
        small = min(8.0, 8.0 * room / max(width(words, 8.0, False, run.measure), 1e-9))
        marks.append(Text((x + _PAD, base - 1.2 - n * 3.6), words, small))
    return tuple(marks)
