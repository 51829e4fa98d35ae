"""The traveller of a batch on paper: a row a blade, a column a stage, as on the screen, large enough to write in with gloves."""

from collections.abc import Iterator, Sequence
from math import ceil

from msgspec import Struct

from workbook.geometry.drawing import MM_PER_POINT, Mark, Text, box, stroke
from workbook.making.cautions import DEFER
from workbook.making.readings import where_words
from workbook.sheets.furniture import SMALL, TITLE_HEIGHT, fitting, title_block
from workbook.sheets.paper import Draft, PrintRun
from workbook.sheets.table import broken, paragraph, row_height
from workbook.texts import _

ROW = 10.0  # mm of a blade
SERIAL = 16.0  # points
_SERIAL_WIDE, _WORDS_WIDE, _SCALES_WIDE = 24.0, 46.0, 18.0
_STAGE = 25.0  # mm, the least of a stage: a date and initials written by hand
_HEAD = 13.0  # mm, names of the stages
_FOOT = 6.0
_APART = 5.0  # mm between tables on one page
_BOLD = 0.7  # mm, a hold point


class TravellerRow(Struct, frozen=True, kw_only=True):
    """A blade: what stands in its cells already, by stage; None where a stage is not for it."""

    serial: str
    words: str
    scales: str
    cells: tuple[str | None, ...]


class TravellerColumn(Struct, frozen=True, kw_only=True):
    """A stage."""

    name: str
    planned: str  # minutes for the batch
    hold: bool = False
    asks: tuple[str, ...] = ()  # places that are measured: a box for each
    caution: str = ""


class TravellerSheet(Struct, frozen=True, kw_only=True):
    """All that stands on it."""

    name: str
    under: str
    rows: tuple[TravellerRow, ...]
    columns: tuple[TravellerColumn, ...]
    notes: tuple[str, ...] = ()  # of the maker's own, under the tables


def traveller_drafts(run: PrintRun, sheet: TravellerSheet) -> Iterator[Draft]:
    """The pages, in landscape: a table of as many stages as are wide enough, under it the next ones where there is room."""
    groups, room = _groups(run, sheet), run.wide[1] - 2 * run.margin - TITLE_HEIGHT - _FOOT
    tall = _HEAD + ROW * (len(sheet.rows) + 1) + _APART
    fits = [n for n in range(1, len(groups) + 1) if n * tall + _caution_height(run, sheet, groups[:n]) <= room]
    if fits:
        for first in range(0, len(groups), fits[-1]):
            yield _page(run, sheet, groups[first : first + fits[-1]], sheet.rows)
        return
    for group in groups:
        down = max(1, int((room - _caution_height(run, sheet, [group]) - _HEAD - ROW) // ROW))
        for begin in range(0, len(sheet.rows), down):
            yield _page(run, sheet, [group], sheet.rows[begin : begin + down])


def _groups(run: PrintRun, sheet: TravellerSheet) -> list[range]:
    """The stages of each table."""
    room = run.wide[0] - 2 * run.margin - _SERIAL_WIDE - _WORDS_WIDE - _SCALES_WIDE
    across = ceil(len(sheet.columns) / max(1, int(room // _STAGE)))
    each = max(1, ceil(len(sheet.columns) / max(across, 1)))
    return [range(first, min(first + each, len(sheet.columns))) for first in range(0, len(sheet.columns), each)]


def _caution_height(run: PrintRun, sheet: TravellerSheet, groups: Sequence[range]) -> float:
    _marks, low = _cautions(run, sheet, groups, 0.0)
    return 2.0 - low


def _cautions(run: PrintRun, sheet: TravellerSheet, groups: Sequence[range], top: float) -> tuple[list[Mark], float]:
    """What the letters of boxes stand for, and the cautions of all stages on a page, each once."""
    letters = dict.fromkeys(sheet.columns[at].asks for group in groups for at in group if len(sheet.columns[at].asks) > 1)
    keys = [", ".join(f"{where_words(place)[:1]} {where_words(place)}" for place in places) for places in letters]
    cautions = [text for text in dict.fromkeys(sheet.columns[at].caution for group in groups for at in group) if text]
    marks: list[Mark] = []
    for text in (*sheet.notes, *keys, *cautions, *([DEFER] if cautions else [])):
        more, top = paragraph(run.margin, top, run.wide[0] - 2 * run.margin, text, run.measure)
        marks += more
    return marks, top


def _page(run: PrintRun, sheet: TravellerSheet, groups: Sequence[range], rows: Sequence[TravellerRow]) -> Draft:
    w, h = run.wide
    top = h - run.margin - TITLE_HEIGHT
    right = (_("Traveler"), _("Type it as it is written here: stage, minutes, Enter"))
    marks: list[Mark] = [*title_block(run, (w, h), sheet.name, sheet.under, *right)]
    for columns in groups:
        marks += _table(run, sheet, columns, rows, top)
        top -= _HEAD + ROW * (len(rows) + 1) + _APART
    more, _low = _cautions(run, sheet, groups, top + _APART - 1.5)
    return Draft(w, h, (*marks, *more), _("{name}: traveler", name=sheet.name))


def _table(run: PrintRun, sheet: TravellerSheet, columns: range, rows: Sequence[TravellerRow], top: float) -> Iterator[Mark]:
    left, far = run.margin, run.wide[0] - run.margin
    begin = left + _SERIAL_WIDE + _WORDS_WIDE + _SCALES_WIDE
    wide = (far - begin) / len(columns)
    low = top - _HEAD - ROW * (len(rows) + 1)
    yield from _heads(run, sheet, columns, (begin, top), wide)
    for n, row in enumerate(rows):
        yield from _row(run, row, sheet, columns, (left, top - _HEAD - ROW * (n + 1)), wide)
    yield from _foot(run, sheet, columns, (left, low), wide)
    yield from _lines(sheet, columns, (left, begin, far), (low, top), len(rows), wide)


def _heads(run: PrintRun, sheet: TravellerSheet, columns: range, corner: tuple[float, float], wide: float) -> Iterator[Mark]:
    x0, top = corner
    heads = ((_("Serial"), run.margin), (_("Template, for"), run.margin + _SERIAL_WIDE), (_("Scales"), x0 - _SCALES_WIDE))
    yield from (Text((x + 1.0, top - _HEAD + 1.6), words, SMALL, tone="soft") for words, x in heads)
    for n, at in enumerate(columns):
        lines = broken(sheet.columns[at].name, wide - 2.0, SMALL, run.measure, bold=True)
        for k, line in enumerate(lines):
            y = top - 3.6 - k * row_height(SMALL)
            yield Text((x0 + n * wide + 1.0, y), line, SMALL, bold=True)


def _row(
    run: PrintRun, row: TravellerRow, sheet: TravellerSheet, columns: range, corner: tuple[float, float], wide: float
) -> Iterator[Mark]:
    x, y = corner
    base = y + (ROW - SERIAL * MM_PER_POINT * 0.7) / 2
    yield Text((x + 1.0, base), row.serial, fitting(run, row.serial, SERIAL, True, _SERIAL_WIDE - 2.0), bold=True)
    for k, line in enumerate(broken(row.words, _WORDS_WIDE - 2.0, SMALL, run.measure)[:2]):
        yield Text((x + _SERIAL_WIDE + 1.0, y + ROW - 4.0 - k * row_height(SMALL)), line, SMALL)
    yield Text((x + _SERIAL_WIDE + _WORDS_WIDE + 1.0, y + 3.4), row.scales, SMALL)
    begin = x + _SERIAL_WIDE + _WORDS_WIDE + _SCALES_WIDE
    for n, at in enumerate(columns):
        cell, places, left = row.cells[at], sheet.columns[at].asks, begin + n * wide
        if cell is None:
            yield Text((left + wide / 2, y + 3.4), "–", 11, "middle", tone="soft")
        elif cell:
            yield Text((left + wide / 2, y + 3.4), cell, fitting(run, cell, 11, False, wide - 2.0), "middle")
        elif places:
            yield from _boxes(places, left, y, wide)


def _boxes(places: Sequence[str], left: float, y: float, wide: float) -> Iterator[Mark]:
    """A box for each place that is measured, with its first letter where there are several."""
    each = (wide - 2.0) / len(places)
    for k, place in enumerate(places):
        x = left + 1.0 + k * each
        yield box(x, y + 1.0, x + each - 0.8, y + ROW - 4.2, line="extension")
        called = where_words(place)
        yield Text((x, y + ROW - 3.4), called[:1] if len(places) > 1 else called, SMALL, tone="soft")


def _foot(run: PrintRun, sheet: TravellerSheet, columns: range, corner: tuple[float, float], wide: float) -> Iterator[Mark]:
    """The row for the minutes of each stage, with what was planned."""
    x, y = corner
    yield Text((x + 1.0, y + 3.4), _("Date and minutes for all blades (planned)"), SMALL, tone="soft")
    begin = x + _SERIAL_WIDE + _WORDS_WIDE + _SCALES_WIDE
    for n, at in enumerate(columns):
        yield Text((begin + (n + 1) * wide - 1.5, y + 1.6), sheet.columns[at].planned, SMALL, "end", tone="soft")


def _lines(
    sheet: TravellerSheet, columns: range, across: tuple[float, float, float], up: tuple[float, float], rows: int, wide: float
) -> Iterator[Mark]:
    left, begin, right = across
    low, top = up
    for n in range(rows + 2):
        y = top - _HEAD - n * ROW
        yield stroke(((left, y), (right, y)), "dimension" if n in (0, rows) else "extension")
    for x in (left + _SERIAL_WIDE, begin - _SCALES_WIDE, begin):
        yield stroke(((x, low if x == begin else low + ROW), (x, top - _HEAD)), "extension")
    for n, at in enumerate(columns):
        x = begin + (n + 1) * wide
        if sheet.columns[at].hold:
            yield box(x - _BOLD, low, x, top, fill="ink")
        else:
            yield stroke(((x, low), (x, top)), "extension")
