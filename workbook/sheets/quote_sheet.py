"""A printed quote: customer, items, quantities, the price and what it includes, deposit, validity and terms."""

from collections.abc import Iterator, Sequence

from msgspec import Struct

from workbook.geometry.drawing import Curve, Disc, Drawing, Mark, Text, shifted, stroke
from workbook.geometry.lettering import width
from workbook.geometry.path import Placement
from workbook.sheets.furniture import FOOT_HEIGHT, fitting, footed
from workbook.sheets.paper import Draft, PrintRun, SheetPage
from workbook.sheets.table import paragraph, row_height
from workbook.template.model import Purpose
from workbook.template.shape import Shape
from workbook.texts import _

_SIZE, _HEAD = 10.5, 8.0
_GAP = 6.0
_WIDE, _TALL = 62.0, 22.0  # mm, the most for a knife's picture


class SheetLine(Struct, frozen=True, kw_only=True):
    """A line of a quote: the item and its sizes, details under it, the knife to be drawn, quantity, price of one and of all."""

    words: str
    sizes: str
    details: str
    knife: Shape
    quantity: str
    each: str
    amount: str


class QuoteSheet(Struct, frozen=True, kw_only=True):
    """The content of a quote, in words. `sums`: words and amounts under the lines; `due` follows them in larger type."""

    shop: str
    address: str
    reached: str  # phone, e-mail
    number: str
    customer: str
    contact: str
    date: str
    lines: tuple[SheetLine, ...]
    sums: tuple[tuple[str, str], ...]
    due: tuple[str, str]
    after: tuple[tuple[str, str], ...]  # deposit and balance
    notes: tuple[str, ...]


def quote_pages(run: PrintRun, quote: QuoteSheet) -> list[SheetPage]:
    """Build the pages, in portrait; lines that do not fit go on to the next page."""
    w, h = run.upright
    drafts, marks, y = list[Draft](), list(_head(run, quote)), h - run.margin - 46.0
    columns = _columns(run, quote)
    floor = run.margin + FOOT_HEIGHT + 4.0
    marks += _heads(run, columns, y)
    y -= row_height(_HEAD)
    blocks = [*_lines(run, quote.lines, columns), *_sums(run, quote), *_notes(run, quote.notes)]
    for block, tall in blocks:
        if y - tall < floor:
            drafts.append(Draft(w, h, tuple(marks), _("Quote {number}", number=quote.number)))
            marks, y = [], h - run.margin - 4.0
        marks += shifted(block, 0.0, y)
        y -= tall
    drafts.append(Draft(w, h, tuple(marks), _("Quote {number}", number=quote.number)))
    return footed(run, drafts)


Block = tuple[Drawing, float]  # marks under y = 0, and how far down they reach


def _head(run: PrintRun, quote: QuoteSheet) -> Iterator[Mark]:
    w, h = run.upright
    left, right, top = run.margin, w - run.margin, h - run.margin
    shop, room = quote.shop or _("Quote"), (right - left) * 0.6
    yield Text((left, top - 7.0), shop, fitting(run, shop, 18, True, room), bold=True)
    where = ", ".join(part for part in (quote.address, quote.reached) if part)
    more, _unused = paragraph(left, top - 9.5, (w - 2 * run.margin) * 0.55, where, run.measure, size=9, tone="soft")
    yield from more
    yield Text((right, top - 7.0), _("Quote {number}", number=quote.number), 14, "end", True)
    yield Text((right, top - 12.5), quote.date, 9.5, "end")
    yield Text((left, top - 27.0), _("For"), 8.0, tone="soft")
    who = quote.customer or _("shop stock")
    yield Text((left, top - 32.0), who, fitting(run, who, 12, True, right - left), bold=True)
    if quote.contact:
        yield Text((left, top - 37.0), quote.contact, fitting(run, quote.contact, 9.0, False, right - left))
    yield stroke(((left, top - 41.5), (right, top - 41.5)), "dimension")


def _columns(run: PrintRun, quote: QuoteSheet) -> tuple[float, float, float]:
    """The right edges of quantity, price of one and amount."""
    right = run.upright[0] - run.margin
    amounts = [line.amount for line in quote.lines] + [amount for _, amount in (*quote.sums, quote.due, *quote.after)]
    widest = max((width(words, _SIZE + 3, True, run.measure) for words in amounts), default=0.0)
    each = max((width(line.each, _SIZE, False, run.measure) for line in quote.lines), default=0.0)
    at = right - max(widest, width(_("Amount"), _HEAD, False, run.measure)) - _GAP
    return at - max(each, width(_("Each"), _HEAD, False, run.measure)) - _GAP, at, right


def _heads(run: PrintRun, columns: tuple[float, float, float], y: float) -> Iterator[Mark]:
    left, base = run.margin, y - row_height(_HEAD) + 1.4
    yield Text((left, base), _("Item"), _HEAD, tone="soft")
    for words, x in zip((_("Quantity"), _("Each"), _("Amount")), columns, strict=True):
        yield Text((x, base), words, _HEAD, "end", tone="soft")
    yield stroke(((left, y - row_height(_HEAD)), (run.upright[0] - run.margin, y - row_height(_HEAD))), "extension")


def _lines(run: PrintRun, lines: Sequence[SheetLine], columns: tuple[float, float, float]) -> Iterator[Block]:
    step = row_height(_SIZE) + 1.5
    span = columns[0] - run.margin - width(_("Quantity"), _HEAD, False, run.measure) - _GAP
    scale = _scale([line.knife for line in lines])
    for line in lines:
        size = fitting(run, line.words, _SIZE, True, span)
        marks: list[Mark] = [Text((run.margin, -step + 1.0), line.words, size, bold=True)]
        for words, x in zip((line.quantity, line.each, line.amount), columns, strict=True):
            marks.append(Text((x, -step + 1.0), words, _SIZE, "end"))
        x, beside = run.margin + _WIDE + _GAP, run.upright[0] - 2 * run.margin - _WIDE - _GAP
        under, low = paragraph(x, -step - 1.0, beside, line.sizes, run.measure, size=9.5)
        more, low = paragraph(x, low, beside, line.details, run.measure, size=9, tone="soft") if line.details else ((), low)
        knife, foot = _knife(line.knife, scale, (run.margin, -step - 2.5))
        yield (*marks, *under, *more, *knife), -min(low, foot) + 3.0


def _scale(knives: Sequence[Shape]) -> float:
    """The one scale at which all knives fit beside their words."""
    boxes = [knife.extent() for knife in knives]
    return min((min(_WIDE / (x1 - x0), _TALL / (y1 - y0)) for x0, y0, x1, y1 in boxes), default=1.0)


def _knife(knife: Shape, scale: float, corner: tuple[float, float]) -> tuple[Drawing, float]:
    """A knife from the side, its upper left corner at a place, and the y of its lower edge."""
    x0, y0, _x1, y1 = knife.extent()
    where = Placement(corner[0] - x0 * scale, corner[1] - y1 * scale, scale=scale)
    marks: list[Mark] = [Curve(where.path(knife.outline)), *(Curve(where.path(opening)) for opening in knife.openings)]
    marks += [Curve(where.path(knife.grip))] if knife.grip is not None else []
    seen = (hole for hole in knife.holes if hole.purpose is not Purpose.EPOXY)  # the scales hide those
    marks += [Disc(where.point(hole.centre), hole.size / 2 * scale) for hole in seen]
    return tuple(marks), where.point((x0, y0))[1]


def _sums(run: PrintRun, quote: QuoteSheet) -> Iterator[Block]:
    right = run.upright[0] - run.margin
    left = right - 75.0
    yield (stroke(((left, -1.5), (right, -1.5)), "extension"),), 2.5
    step = row_height(_SIZE)
    for words, amount in quote.sums:
        yield (Text((left, -step + 1.0), words, _SIZE), Text((right, -step + 1.0), amount, _SIZE, "end")), step
    big = row_height(_SIZE + 3)
    words, amount = quote.due
    yield (
        (Text((left, -big + 1.0), words, _SIZE + 3, bold=True), Text((right, -big + 1.0), amount, _SIZE + 3, "end", True)),
        big + 1.5,
    )
    for words, amount in quote.after:
        yield (Text((left, -step + 1.0), words, _SIZE), Text((right, -step + 1.0), amount, _SIZE, "end")), step


def _notes(run: PrintRun, notes: Sequence[str]) -> Iterator[Block]:
    yield (), 7.0
    for note in notes:
        marks, low = paragraph(run.margin, 0.0, run.upright[0] - 2 * run.margin, note, run.measure, size=9.5)
        yield marks, -low + 1.5
