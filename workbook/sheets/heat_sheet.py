"""The heat-treatment sheet of a load: cautions first, what is asked, boxes for what is read; or the load as it was kept."""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from workbook.geometry.drawing import Mark, Text, stroke
from workbook.sheets.form import FORM_ROW, FormColumn, form, form_head, form_rows
from workbook.sheets.furniture import TITLE_HEIGHT, title_block
from workbook.sheets.paper import Draft, PrintRun
from workbook.sheets.table import paragraph
from workbook.texts import _

HEAT_SERIAL = 16.0  # points
_GAP = 3.5  # mm between parts
_FOOT = 6.0
_RESULT, _LINES = 22.0, 2  # mm, room for a result, and lines to write it on


class HeatLine(Struct, frozen=True, kw_only=True):
    """One heat; "" is to be written in."""

    name: str
    asked: str
    minutes: str
    read: str


class HeatedBlade(Struct, frozen=True, kw_only=True):
    """A blade of the load; "" is to be written in."""

    serial: str
    words: str
    mass: str  # g before hardening
    before: str  # its bow, and after
    after: str
    hardness: str


class HeatSheet(Struct, frozen=True, kw_only=True):
    """All that stands on it."""

    title: str
    under: str
    purpose: str  # whether it is to be filled in
    caution: str
    stops: tuple[str, ...]  # why it must not be done so
    words: tuple[str, ...]
    steps: tuple[HeatLine, ...]
    quench: tuple[tuple[str, str], ...]  # heads and what is known
    read: tuple[tuple[str, str], ...]  # the same of what is read after it
    blades: tuple[HeatedBlade, ...]
    bow_unit: str
    result: str


def heat_drafts(run: PrintRun, sheet: HeatSheet) -> Iterator[Draft]:
    """The pages, in portrait: all about the load, then its blades on as many as they need, then its result."""
    marks, top = _upper(run, sheet)
    columns, rest = _columns(run, sheet), [_cells(blade, n) for n, blade in enumerate(sheet.blades, 1)]
    low, least = run.margin + _FOOT, 0
    while True:
        count = max(_fitting(run, columns, rest, top - low), min(least, len(rest)))
        if count:
            more, top = form(run, (run.margin, top), columns, rest[:count])
            marks += more
        rest = rest[count:]
        if not rest and top - low >= _result_height(run, sheet) + _GAP:
            yield _draft(run, sheet, [*marks, *_result(run, sheet, top - _GAP)])
            return
        yield _draft(run, sheet, marks)
        (marks, top), least = _title(run, sheet), 1


def _draft(run: PrintRun, sheet: HeatSheet, marks: Sequence[Mark]) -> Draft:
    return Draft(*run.upright, tuple(marks), _("{name}: heat treatment", name=sheet.title))


def _span(run: PrintRun) -> float:
    return run.upright[0] - 2 * run.margin


def _title(run: PrintRun, sheet: HeatSheet) -> tuple[list[Mark], float]:
    marks = title_block(run, run.upright, sheet.title, sheet.under, _("Heat treatment"), sheet.purpose)
    return list(marks), run.upright[1] - run.margin - TITLE_HEIGHT


def _upper(run: PrintRun, sheet: HeatSheet) -> tuple[list[Mark], float]:
    """Title, cautions, what stops it, what is known, the heats and the quench; the marks and the y under them."""
    marks, y = _title(run, sheet)
    said = [
        (sheet.caution, 10.0, "ink"),
        *((_("Stop: {why}", why=text), 10.0, "stop") for text in sheet.stops),
        *((text, 9.0, "ink") for text in sheet.words),
    ]
    for text, size, tone in said:
        more, y = paragraph(run.margin, y, _span(run), text, run.measure, size=size, tone=tone)
        marks += more
        y -= 1.2
    for columns, rows in _forms(run, sheet):
        more, y = form(run, (run.margin, y - _GAP / 2), columns, rows)
        marks += more
    return marks, y - _GAP / 2


def _forms(run: PrintRun, sheet: HeatSheet) -> Iterator[tuple[list[FormColumn], list[tuple[str, ...]]]]:
    heads = (_("Heat"), _("Target"), _("Minutes"), _("Set"), _("Read"), _("In at"), _("Out at"))
    columns = [FormColumn(head=head, wide=_span(run) / len(heads)) for head in heads]
    yield columns, [(step.name, step.asked, step.minutes, "", step.read, "", "") for step in sheet.steps]
    for known in (sheet.quench, sheet.read):
        wide = _span(run) / len(known)
        yield [FormColumn(head=head, wide=wide) for head, _value in known], [tuple(value for _head, value in known)]


def _columns(run: PrintRun, sheet: HeatSheet) -> list[FormColumn]:
    known = [(_("Order"), 11.0), (_("Serial"), 28.0), (_("Template, for"), 46.0), (_("Mass, g"), 16.0),
             (_("Bow before, {unit}", unit=sheet.bow_unit), 24.0), (_("Bow after, {unit}", unit=sheet.bow_unit), 24.0),
             (_("HRC"), 18.0)]  # fmt: skip
    columns = [FormColumn(head=head, wide=wide, size=HEAT_SERIAL if n == 1 else 9.0) for n, (head, wide) in enumerate(known)]
    return [*columns, FormColumn(head=_("Remarks"), wide=_span(run) - sum(wide for _head, wide in known))]


def _cells(blade: HeatedBlade, n: int) -> tuple[str, ...]:
    return str(n), blade.serial, blade.words, blade.mass, blade.before, blade.after, blade.hardness, ""


def _fitting(run: PrintRun, columns: Sequence[FormColumn], rows: Sequence[Sequence[str]], room: float) -> int:
    """How many rows fit under their heads."""
    heights, left, count = form_rows(run, columns, rows), room - form_head(run, columns), 0
    while count < len(heights) and heights[count] <= left:
        left -= heights[count]
        count += 1
    return count


def _result_height(run: PrintRun, sheet: HeatSheet) -> float:
    _marks, low = paragraph(0.0, 0.0, _span(run), sheet.result, run.measure)
    return max(_RESULT, FORM_ROW - low)


def _result(run: PrintRun, sheet: HeatSheet, top: float) -> Iterator[Mark]:
    yield Text((run.margin, top - 3.2), _("Result, note"), 9.0, tone="soft")
    yield from paragraph(run.margin, top - 4.6, _span(run), sheet.result, run.measure)[0]
    if not sheet.result:
        for n in range(1, _LINES + 1):
            y = top - 3.2 - n * (_RESULT - 4.0) / _LINES
            yield stroke(((run.margin, y), (run.margin + _span(run), y)), "extension")
