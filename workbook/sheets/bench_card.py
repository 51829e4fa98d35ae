"""The bench card: one page with the settings for a template on its bar, and caliper readings before hardening and finished."""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from workbook.geometry.drawing import Drawing, Mark, Text, stroke
from workbook.geometry.path import Placement
from workbook.grind.bench import Bench, Reading
from workbook.grind.heat import Lost
from workbook.grind.mass import Masses
from workbook.grind.section import CrossSection
from workbook.sheets.bench_words import bar_words, first_rows, mass_rows, over_words, rest_rows
from workbook.sheets.cautions import GRIND
from workbook.sheets.furniture import FOOT_HEIGHT, SMALL, TITLE_HEIGHT, page_foot, title_block, told
from workbook.sheets.ground_views import Words, edge_up_marks, sections_beside, side_marks
from workbook.sheets.paper import PrintRun, SheetPage
from workbook.sheets.table import pairs, paragraph, row_height, table
from workbook.shop.in_hand import InHand
from workbook.template.shape import Shape
from workbook.texts import _
from workbook.units import built, reading

_LEFT = 92.0  # mm of the column of numbers
_LEADINGS = (1.38, 1.26, 1.15, 1.04)  # of its rows; the largest at which they all fit is used
_ASSUMED = _("Some densities are assumed. The Grind page says which.")
_GAP = 9.0


class Card(Struct, frozen=True, kw_only=True):
    """The content of a card."""

    blank: Shape
    made: Bench
    weighed: Masses
    assumed: Sequence[str]  # what was assumed for the weights, in words
    piece: float | None  # mm3 of bar the blank takes, if the bar is known
    warned: Sequence[str]  # its problems, in words
    bar: InHand
    lost: Lost
    soak: str  # the temperature and minutes for `lost`, in words
    sections: Sequence[CrossSection]  # as cut, before hardening and finished, at the heel
    stations: Sequence[tuple[str, Sequence[Reading]]]  # label of a position along the blade, and its readings


def card_page(run: PrintRun, card: Card) -> SheetPage:
    """Build the page, in landscape."""
    w, h = run.wide
    template = card.blank.template
    assert template is not None
    facts = (
        run.job,
        _("revision {revision}", revision=template.revision),
        run.date,
        card.bar.steel,
        bar_words(card.bar, run.unit),
    )
    under = ", ".join(part for part in facts if part)
    marks: list[Mark] = list(
        title_block(run, (w, h), card.blank.name, under, _("Bench card"), _("Not to scale"), told(run, card.blank))
    )
    top, floor = h - run.margin - TITLE_HEIGHT - 3.0, run.margin + FOOT_HEIGHT
    over_cautions = floor + 2 * row_height(SMALL) + 3.0
    for leading in _LEADINGS:
        numbers, low = _numbers(run, card, run.margin, top, leading)
        if low >= over_cautions:
            break
    marks += numbers
    marks += _pictures(run, card, run.margin + _LEFT + _GAP, top, w - 2 * run.margin - _LEFT - _GAP)
    marks += paragraph(run.margin, floor + 2 * row_height(SMALL) + 1.0, w - 2 * run.margin, GRIND, run.measure)[0]
    marks += page_foot(run, (w, h), _("{name}: bench card", name=card.blank.name), 1, 1)
    return SheetPage(w, h, tuple(marks))


def _numbers(run: PrintRun, card: Card, x: float, y: float, leading: float) -> tuple[Drawing, float]:
    """The first numbers large, then the rest, then mass and balance; and the y of their lower edge."""
    marks: list[Mark] = []
    for words, value in first_rows(card.made, run.unit):
        y -= 9.5
        marks += [Text((x, y), value, 19, bold=True), Text((x + _LEFT, y + 0.4), words, 10.5, "end")]
        marks.append(stroke(((x, y - 2.5), (x + _LEFT, y - 2.5)), "extension"))
        y -= 2.5
    rest = [(w, built(v)) for w, v in rest_rows(card.made, run.unit)]
    more, y = pairs(x, y - 2.5, _LEFT, rest, run.measure, leading=leading)
    marks += more
    marks.append(Text((x, y - 5.5), _("Mass and balance"), 10, bold=True))
    rows = [(w, built(v)) for w, v in mass_rows(card.weighed, run.unit, card.piece)]
    more, y = pairs(x, y - 7.0, _LEFT, rows, run.measure, leading=leading)
    advice = _(
        "Decarb on bare faces in air, {soak}: {least}–{most} {unit} (estimate by Fick's law).",
        least=run.reading(card.lost.least),
        most=run.reading(card.lost.most),
        unit=run.unit,
        soak=card.soak,
    )
    for words in (*([_ASSUMED] if card.assumed else []), advice):
        lines, y = paragraph(x, y - 1.5, _LEFT, words, run.measure, leading=leading)
        more = (*more, *lines)
    return (*marks, *more), y


def _pictures(run: PrintRun, card: Card, x: float, y: float, span: float) -> Drawing:
    """The side view, the blade edge up, the sections at the heel, and the caliper readings."""
    words = Words(unit=run.unit, measure=run.measure)
    x0, y0, x1, y1 = card.blank.extent()
    scale = min(span / (x1 - x0), 28.0 / (y1 - y0))
    place = Placement(x + (span - (x1 - x0) * scale) / 2 - x0 * scale, y - 15.0 - y1 * scale, scale=scale)
    marks: list[Mark] = list(side_marks(card.blank, card.made, card.made.bar, place, words, (x, x + span)))
    y -= 15.0 + (y1 - y0) * scale + 9.0
    marks.append(Text((x, y), _("edge up, dyed and scribed"), SMALL, tone="soft"))
    strip = Placement(place.x, y - 3.0 - card.made.bar * scale / 2, scale=scale)
    marks += edge_up_marks(card.blank, card.made, strip)
    y -= 3.0 + card.made.bar * scale + 5.0
    marks.append(stroke(((x, y), (x + span, y)), "extension"))
    tall = 35.0
    drawing, wider = sections_beside(card.sections, (x, y - 1.0), span, tall, words, size=SMALL)
    marks += drawing
    y -= tall + 3.0
    note = _("sections at the heel")
    if wider > 1:
        note = _("sections at the heel, thickness drawn × {wider:.0f}", wider=wider)
    marks.append(Text((x + span, y), note, SMALL, "end", tone="soft"))
    return (*marks, *_readings(run, card, x, y - 4.0, span))


def _readings(run: PrintRun, card: Card, x: float, y: float, span: float) -> Drawing:
    """Caliper readings at each height and position, before hardening and finished; then the steps of the work."""
    marks: list[Mark] = [Text((x, y - 3.0), _("Calipers should read, before hardening / finished"), 10, bold=True)]
    heights = list(dict.fromkeys(r.up for _unused, readings in card.stations for r in readings))
    heads = (_("Above the edge"), *(place for place, _unused in card.stations))
    rows = [
        (run.length(up, unit=True), *(_at(run, readings, up) for _unused, readings in card.stations)) for up in sorted(heights)
    ]
    drawing, width, low = table(x, y - 5.0, heads, rows, run.measure, size=9.5, gap=9.0)
    if width > span:
        drawing, _unused, low = table(x, y - 5.0, heads, rows, run.measure, size=SMALL, gap=2.5)
    steps, low = _steps(run, card.made, x, low - 2.0, span)
    marks += [*drawing, *steps]
    low -= 2.0
    over = over_words(card.bar, card.made, run.unit)
    for words in (over, *card.warned) if over else card.warned:
        more, low = paragraph(x, low, span, _("Caution: {words}", words=words), run.measure)
        marks += more
    return tuple(marks)


def _in_order(bench: Bench) -> Iterator[str]:
    """The steps of the work, in order."""
    yield _dyed(tapered=bench.taper is not None, single=bench.faces == 1)
    if bench.hollow is not None and bench.faces == 1:
        yield _("2 Press the wheel on at the height given. Grind the one face to its line. The scribed edge decides.")
    elif bench.hollow is not None:
        yield _("2 Press the wheel on at the height given. Grind each side to its line. The scribed edge decides.")
    elif bench.faces == 1:
        yield _(
            "2 Set the jig to the angle, or shim the spine off the platen by its gap. Grind the one face to its "
            "line. The scribed edge decides."
        )
    else:
        yield _(
            "2 Set the jig to the angle, or shim the spine off the platen by its gap. Grind each side to its "
            "line. The scribed edge decides."
        )
    if bench.taper is not None:
        yield _("3 Grind the distal taper. Check with calipers against the first numbers.")
    else:
        yield _("3 Check with calipers against the first numbers.")
    yield _("4 Harden and temper. Take the allowance off each face, grind on to the second numbers, sharpen.")


def _dyed(*, tapered: bool, single: bool) -> str:
    """How the edge of the flat blank is scribed."""
    if tapered and single:
        return _("1 Dye the edge of the flat blank before its taper is ground. Scribe one line from the flat back.")
    if tapered:
        return _(
            "1 Dye the edge of the flat blank before its taper is ground. Scribe from one face, turn the blade "
            "over, scribe from the other."
        )
    if single:
        return _("1 Dye the edge of the flat blank. Scribe one line from the flat back.")
    return _("1 Dye the edge of the flat blank. Scribe from one face, turn the blade over, scribe from the other.")


def _steps(run: PrintRun, bench: Bench, x: float, y: float, span: float) -> tuple[Drawing, float]:
    """The steps, each a paragraph; and the y of their lower edge."""
    marks: list[Mark] = []
    for words in _in_order(bench):
        more, y = paragraph(x, y, span, words, run.measure)
        marks += more
    return tuple(marks), y


def _at(run: PrintRun, readings: Sequence[Reading], up: float) -> str:
    """Both readings at a height; a dash where the blade is not that high."""
    entry = next((r for r in readings if r.up == up), None)
    return "–" if entry is None else " / ".join(reading(value, run.unit, column=True) for value in (entry.before, entry.finished))
