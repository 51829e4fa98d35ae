"""Tags to tie on: the same as labels, on plain paper or card, to cut out, with a hole for the wire."""

from collections.abc import Sequence
from math import inf

from workbook.geometry.drawing import Disc, Drawing, Mark, stroke
from workbook.sheets.furniture import footed
from workbook.sheets.labels import Label, label_marks
from workbook.sheets.paper import Draft, PrintRun, SheetPage
from workbook.texts import _

_SIZE = (88.0, 32.0)  # mm of a tag
_HOLE = 5.0  # mm across
_STRIP = 12.0  # mm at the left for the hole
_FOOT = 8.0


def tag_pages(run: PrintRun, labels: Sequence[Label]) -> list[SheetPage]:
    """Build the pages, filled row by row."""
    wide, high = run.upright
    columns = max(1, int((wide - 2 * run.margin) / _SIZE[0]))
    rows = len(labels) if high == inf else max(1, int((high - 2 * run.margin - _FOOT) / _SIZE[1]))
    height = rows * _SIZE[1] + 2 * run.margin + _FOOT if high == inf else high
    drafts = []
    for first in range(0, len(labels), columns * rows):
        marks: list[Mark] = []
        for n, label in enumerate(labels[first : first + columns * rows]):
            corner = (run.margin + n % columns * _SIZE[0], height - run.margin - n // columns * _SIZE[1])
            marks += _tag(run, label, corner)
        drafts.append(Draft(wide, height, tuple(marks), _("Tags: cut along the lines. Keep them out of the furnace")))
    return list(footed(run, drafts))


def _tag(run: PrintRun, label: Label, corner: tuple[float, float]) -> Drawing:
    (x, y), (wide, tall) = corner, _SIZE
    edge = ((x, y), (x + wide, y), (x + wide, y - tall), (x, y - tall), (x, y))
    hole = Disc((x + _STRIP / 2, y - tall / 2), _HOLE / 2, line="hidden")
    inner = label_marks(run, label, (x + _STRIP, y), (wide - _STRIP, tall))
    return (stroke(edge, "hidden"), hole, *inner)
