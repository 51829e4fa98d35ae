"""A paper that leaves the shop for a customer: a quote, an invoice, a receipt, a packing slip."""

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
UNDER_HEAD = 46.0  # mm from the margin to what comes under the head
_WIDE, _TALL = 62.0, 22.0  # mm, the most for a knife's picture


class LetterLine(Struct, frozen=True, kw_only=True):
    """A line: the item and its sizes, details under it, the knife to be drawn if any, and a cell for each column at the right."""

    words: str
    cells: tuple[str, ...]
    sizes: str = ""
    details: str = ""
    knife: Shape | None = None


class Letter(Struct, frozen=True, kw_only=True):
    """The content of such a paper, in words. `sums`: words and amounts under the lines; `due` follows them in larger type."""

    shop: str
    address: str
    reached: str  # phone, e-mail
    title: str  # "Quote 7"
    customer: str
    contact: str
    date: str
    heads: tuple[str, ...]  # of the columns at the right, the last of which is the widest
    lines: tuple[LetterLine, ...]
    sums: tuple[tuple[str, str], ...] = ()
    due: tuple[str, str] | None = None
    after: tuple[tuple[str, str], ...] = ()  # deposit, what was paid, balance
    notes: tuple[str, ...] = ()

    @property
    def totals(self) -> tuple[tuple[str, str], ...]:
        """All words and amounts under the lines."""
        return (*self.sums, *([self.due] if self.due else []), *self.after)


def letter_pages(run: PrintRun, letter: Letter) -> list[SheetPage]:
    """Build the pages, in portrait; lines that do not fit go on to the next page."""
    columns, top = _columns(run, letter), run.upright[1] - run.margin - UNDER_HEAD
    heads = tuple(_heads(run, letter.heads, columns, top))
    blocks = [*_lines(run, letter, columns), *_sums(run, letter), *_notes(run, letter.notes)]
    return flowing(run, letter.title, (*letter_head(run, letter), *heads), UNDER_HEAD + row_height(_HEAD), blocks)


def flowing(run: PrintRun, title: str, head: Drawing, down: float, blocks: Sequence["Block"]) -> list[SheetPage]:
    """Pages with a head on the first, and blocks under each other from `down` below the margin, on as many pages as it takes."""
    w, h = run.upright
    drafts, marks, y = list[Draft](), list(head), h - run.margin - down
    floor = run.margin + FOOT_HEIGHT + 4.0
    for block, tall in blocks:
        if y - tall < floor:
            drafts.append(Draft(w, h, tuple(marks), title))
            marks, y = [], h - run.margin - 4.0
        marks += shifted(block, 0.0, y)
        y -= tall
    drafts.append(Draft(w, h, tuple(marks), title))
    return footed(run, drafts)


Block = tuple[Drawing, float]  # marks under y = 0, and how far down they reach


def letter_head(run: PrintRun, letter: Letter) -> Iterator[Mark]:
    """The shop, the title, and whom it is for."""
    w, h = run.upright
    left, right, top = run.margin, w - run.margin, h - run.margin
    room = (right - left) * 0.6
    yield Text((left, top - 7.0), letter.shop, fitting(run, letter.shop, 18, True, room), bold=True)
    where = ", ".join(part for part in (letter.address, letter.reached) if part)
    more, _unused = paragraph(left, top - 9.5, (w - 2 * run.margin) * 0.55, where, run.measure, size=9, tone="soft")
    yield from more
    yield Text((right, top - 7.0), letter.title, fitting(run, letter.title, 14, True, (right - left) * 0.38), "end", True)
    yield Text((right, top - 12.5), letter.date, 9.5, "end")
    if letter.customer:
        yield Text((left, top - 27.0), _("For"), 8.0, tone="soft")
        who = letter.customer
        yield Text((left, top - 32.0), who, fitting(run, who, 12, True, right - left), bold=True)
    if letter.contact:
        yield Text((left, top - 37.0), letter.contact, fitting(run, letter.contact, 9.0, False, right - left))
    yield stroke(((left, top - 41.5), (right, top - 41.5)), "dimension")


def _amounts(letter: Letter) -> Iterator[str]:
    """All that stands in the last column, or under it."""
    yield from (line.cells[-1] for line in letter.lines if line.cells)
    yield from (amount for _words, amount in letter.totals)


def _columns(run: PrintRun, letter: Letter) -> tuple[float, ...]:
    """The right edges of the columns at the right."""
    last = max((width(words, _SIZE + 3, True, run.measure) for words in _amounts(letter)), default=0.0)
    edges, x = list[float](), run.upright[0] - run.margin
    for n in reversed(range(len(letter.heads))):
        cells = [width(line.cells[n], _SIZE, False, run.measure) for line in letter.lines]
        wide = max([width(letter.heads[n], _HEAD, False, run.measure), *cells, *([last] if n == len(letter.heads) - 1 else [])])
        edges.append(x)
        x -= wide + _GAP
    return tuple(reversed(edges))


def _heads(run: PrintRun, heads: Sequence[str], columns: Sequence[float], y: float) -> Iterator[Mark]:
    left, base = run.margin, y - row_height(_HEAD) + 1.4
    yield Text((left, base), _("Item"), _HEAD, tone="soft")
    for words, x in zip(heads, columns, strict=True):
        yield Text((x, base), words, _HEAD, "end", tone="soft")
    yield stroke(((left, y - row_height(_HEAD)), (run.upright[0] - run.margin, y - row_height(_HEAD))), "extension")


def _lines(run: PrintRun, letter: Letter, columns: Sequence[float]) -> Iterator[Block]:
    step = row_height(_SIZE) + 1.5
    first = max([width(letter.heads[0], _HEAD, False, run.measure), *(
        width(line.cells[0], _SIZE, False, run.measure) for line in letter.lines
    )]) if letter.heads else 0.0  # fmt: skip
    span = (columns[0] if columns else run.upright[0] - run.margin) - run.margin - first - _GAP
    scale = scale_within([line.knife for line in letter.lines if line.knife is not None], (_WIDE, _TALL))
    for line in letter.lines:
        size = fitting(run, line.words, _SIZE, True, span)
        marks: list[Mark] = [Text((run.margin, -step + 1.0), line.words, size, bold=True)]
        for words, x in zip(line.cells, columns, strict=True):
            marks.append(Text((x, -step + 1.0), words, _SIZE, "end"))
        beside, foot = 0.0, -step
        picture: Drawing = ()
        if line.knife is not None:
            beside = _WIDE + _GAP
            picture, foot = knife_marks(line.knife, scale, (run.margin, -step - 2.5))
        x, low = run.margin + beside, -step - 1.0
        for told, large, tone in ((line.sizes, 9.5, "ink"), (line.details, 9.0, "soft")):
            if told:
                more, low = paragraph(x, low, run.upright[0] - run.margin - x, told, run.measure, size=large, tone=tone)
                marks += more
        yield (*marks, *picture), -min(low, foot) + (3.0 if picture or line.sizes or line.details else 0.5)


def scale_within(knives: Sequence[Shape], room: tuple[float, float]) -> float:
    """The one scale at which all knives fit a width and a height, mm."""
    boxes = [knife.extent() for knife in knives]
    return min((min(room[0] / (x1 - x0), room[1] / (y1 - y0)) for x0, y0, x1, y1 in boxes), default=1.0)


def knife_marks(knife: Shape, scale: float, corner: tuple[float, float]) -> tuple[Drawing, float]:
    """A knife from the side, its upper left corner at a place, and the y of its lower edge."""
    x0, y0, _x1, y1 = knife.extent()
    where = Placement(corner[0] - x0 * scale, corner[1] - y1 * scale, scale=scale)
    marks: list[Mark] = [Curve(where.path(knife.outline)), *(Curve(where.path(opening)) for opening in knife.openings)]
    marks += [Curve(where.path(knife.grip))] if knife.grip is not None else []
    seen = (hole for hole in knife.holes if hole.purpose is not Purpose.EPOXY)  # the scales hide those
    marks += [Disc(where.point(hole.centre), hole.size / 2 * scale) for hole in seen]
    return tuple(marks), where.point((x0, y0))[1]


def _sums(run: PrintRun, letter: Letter) -> Iterator[Block]:
    right = run.upright[0] - run.margin
    left = right - 75.0
    step, big = row_height(_SIZE), row_height(_SIZE + 3)

    def row(words: str, amount: str) -> Block:
        return (Text((left, -step + 1.0), words, _SIZE), Text((right, -step + 1.0), amount, _SIZE, "end")), step

    if letter.sums or letter.due or letter.after:
        yield (stroke(((left, -1.5), (right, -1.5)), "extension"),), 2.5
    for words, amount in letter.sums:
        yield row(words, amount)
    if letter.due:
        words, amount = letter.due
        yield (
            (Text((left, -big + 1.0), words, _SIZE + 3, bold=True), Text((right, -big + 1.0), amount, _SIZE + 3, "end", True)),
            big + 1.5,
        )
    for words, amount in letter.after:
        yield row(words, amount)


def _notes(run: PrintRun, notes: Sequence[str]) -> Iterator[Block]:
    yield (), 7.0
    for note in notes:
        marks, low = paragraph(run.margin, 0.0, run.upright[0] - 2 * run.margin, note, run.measure, size=9.5)
        yield marks, -low + 1.5
