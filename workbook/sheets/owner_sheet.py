"""A knife's history for its owner: what it is, what it is made of, how it was made."""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from workbook.geometry.drawing import Drawing, Text, stroke
from workbook.geometry.lettering import width
from workbook.sheets.letter_sheet import UNDER_HEAD, Block, Letter, flowing, knife_marks, letter_head, scale_within
from workbook.sheets.paper import PrintRun, SheetPage
from workbook.sheets.table import paragraph, row_height
from workbook.template.shape import Shape

_SIZE, _HEAD, _GAP = 10.0, 11.0, 6.0
_TALL = 60.0  # mm, the most for the knife's picture


class OwnerSheet(Struct, frozen=True, kw_only=True):
    """What it says. `parts`: each a head, and rows of words with what they tell."""

    letter: Letter  # whose work it is, and for whom
    knife: Shape | None
    parts: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]


def owner_pages(run: PrintRun, sheet: OwnerSheet) -> list[SheetPage]:
    """Build the pages, in portrait: the knife over the whole width, at most at true size, then the parts."""
    labels = [words for _head, rows in sheet.parts for words, _told in rows]
    beside = run.margin + max((width(words, _SIZE, False, run.measure) for words in labels), default=0.0) + _GAP
    parts = (block for head, rows in sheet.parts if rows for block in _part(run, head, rows, beside))
    blocks = [*_picture(run, sheet.knife), *parts]
    return flowing(run, sheet.letter.title, tuple(letter_head(run, sheet.letter)), UNDER_HEAD, [*blocks, *_notes(run, sheet)])


def _picture(run: PrintRun, knife: Shape | None) -> Iterator[Block]:
    if knife is None:
        return
    span = run.upright[0] - 2 * run.margin
    scale = min(scale_within([knife], (span, _TALL)), 1.0)
    x0, _y0, x1, _y1 = knife.extent()
    marks, low = knife_marks(knife, scale, (run.margin + (span - (x1 - x0) * scale) / 2, -2.0))
    yield marks, -low + 5.0


def _part(run: PrintRun, head: str, rows: Sequence[tuple[str, str]], beside: float) -> Iterator[Block]:
    left, right = run.margin, run.upright[0] - run.margin
    first: Drawing = (
        Text((left, -row_height(_HEAD) + 1.0), head, _HEAD, bold=True),
        stroke(((left, -row_height(_HEAD) - 0.6), (right, -row_height(_HEAD) - 0.6)), "extension"),
    )
    yield first, row_height(_HEAD) + 1.6
    for words, told in rows:
        marks, low = paragraph(beside, 0.0, right - beside, told, run.measure, size=_SIZE)
        yield (Text((left, -row_height(_SIZE) + 0.8), words, _SIZE, tone="soft"), *marks), -low
    yield (), 4.0


def _notes(run: PrintRun, sheet: OwnerSheet) -> Iterator[Block]:
    for note in sheet.letter.notes:
        marks, low = paragraph(run.margin, 0.0, run.upright[0] - 2 * run.margin, note, run.measure, size=9.5)
        yield marks, -low + 1.5
