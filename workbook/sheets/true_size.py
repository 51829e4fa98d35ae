"""Pages at true size: a drawing over as many as it takes, turned along a diagonal where that saves one; words under it."""

from collections.abc import Callable, Sequence
from math import cos, radians, sin

from msgspec import Struct

from workbook.geometry.drawing import Clip, Drawing, Mark, Text, turned
from workbook.geometry.path import Placement, Point
from workbook.sheets.furniture import BESIDE, CHECK_ROOM, FOOT_HEIGHT, TITLE_HEIGHT, check_bars, title_block
from workbook.sheets.paper import Draft, PrintRun
from workbook.sheets.tiles import stretches_of, tiles
from workbook.sheets.views import View
from workbook.texts import _

Block = Callable[[float, float, float], tuple[Drawing, float]]  # x, y and span to marks and the y of their lower edge
_STEEPEST = 50  # degrees a drawing is turned at most


class Sheet(Struct, frozen=True, kw_only=True):
    """The content of the pages of one drawing."""

    view: View
    title: str
    under: str  # facts under the title
    what: str  # "Right face, true size"
    blocks: tuple[Block, ...] = ()  # words, under the drawing as far as there is room
    closing: str = ""  # what to measure when the pages are joined
    told: str = ""  # the text of the code


def true_size(run: PrintRun, sheet: Sheet, first: int) -> list[Draft]:
    """Build the pages, the first of them with this number."""
    straight = _Straight(run, sheet.view)
    if sheet.view.x1 - sheet.view.x0 > straight.window:
        diagonal = _on_a_diagonal(run, sheet)
        if diagonal:
            return diagonal
    return straight.drafts(sheet, first)


class _Straight:
    """The drawing along the page: at its top, with words under it as far as there is room, and check bars on each page."""

    def __init__(self, run: PrintRun, view: View) -> None:
        self.run = run
        self.size = w, h = run.wide_for(view.x1 - view.x0 + BESIDE)
        self.top, self.floor = h - run.margin - TITLE_HEIGHT, run.margin + FOOT_HEIGHT
        high = view.y1 - view.y0
        beside = self.top - high < self.floor + CHECK_ROOM[1]  # then the upright check bar stands beside the drawing
        self.window = w - 2 * run.margin - (BESIDE if beside else 0.0)
        self.tall = min(high, self.top - self.floor - 10.0)

    def drafts(self, sheet: Sheet, first: int) -> list[Draft]:
        """Build the pages."""
        run, (w, h), remaining = self.run, self.size, list(sheet.blocks)
        pieces = tiles(sheet.view, (run.margin, self.top), (self.window, self.tall), first, run.measure)
        pages = []
        for n, tile in enumerate(pieces):
            marks: list[Mark] = [*_head(run, sheet, (w, h), _page_words(n, len(pieces))), *tile.marks]
            marks += check_bars((w - run.margin - 3.5, self.floor + 3.0))
            y, span = self.top - self.tall - 5.0, w - 2 * run.margin - CHECK_ROOM[0] - 12
            if len(pieces) > 1 and sheet.closing:
                marks.append(Text((run.margin, y - 3.0), sheet.closing, 9, bold=True))
                y -= 7.0
            more, remaining = _flow(remaining, run.margin, y, span, self.floor)
            pages.append(Draft(w, h, (*marks, *more), f"{sheet.title}: {sheet.what.lower()}", run.mirrored))
        return [*pages, *_words_alone(run, sheet, (w, h), remaining)]


def _head(run: PrintRun, sheet: Sheet, size: tuple[float, float], words: str) -> Drawing:
    return title_block(run, size, sheet.title, sheet.under, sheet.what, words, sheet.told)


def _page_words(n: int, count: int) -> str:
    text = _("Print at 100 %, then measure both check bars")
    return text if count == 1 else f"Part {n + 1} of {count}. {text}"


def _flow(blocks: Sequence[Block], x: float, y: float, span: float, floor: float) -> tuple[list[Mark], list[Block]]:
    """Blocks one under the other as long as there is room, and the remaining blocks."""
    marks: list[Mark] = []
    for n, block in enumerate(blocks):
        more, low = block(x, y, span)
        if low < floor:
            return marks, list(blocks[n:])
        marks += more
        y = low - 3.0
    return marks, []


def _words_alone(run: PrintRun, sheet: Sheet, size: tuple[float, float], remaining: list[Block]) -> list[Draft]:
    """A page for the words that have no room elsewhere; anything larger than a page is cut off by it."""
    if not remaining:
        return []
    w, h = size
    caption = sheet.what.partition(",")[0]
    marks: list[Mark] = list(title_block(run, size, sheet.title, sheet.under, _("{what}: numbers", what=caption), "", sheet.told))
    y = h - run.margin - TITLE_HEIGHT - 3.0
    for block in remaining:
        more, y = block(run.margin, y, w - 2 * run.margin)
        marks += more
        y -= 3.0
    return [Draft(w, h, tuple(marks), _("{title}: {what}, numbers", title=sheet.title, what=caption.lower()), run.mirrored)]


def _on_a_diagonal(run: PrintRun, sheet: Sheet) -> list[Draft]:
    """One page with the drawing turned as little as possible; none if it does not fit."""
    view, (w, h) = sheet.view, run.wide
    wide, high = view.x1 - view.x0, view.y1 - view.y0
    top, floor = h - run.margin - TITLE_HEIGHT, run.margin + FOOT_HEIGHT
    room = (w - 2 * run.margin, top - floor)
    if any(isinstance(mark, Clip) for mark in view.marks):
        return []  # a window cannot be turned: what it hides would show
    for degrees in range(1, _STEEPEST):
        c, s = cos(radians(degrees)), sin(radians(degrees))
        box = (wide * c + high * s, wide * s + high * c)
        clear = wide * s > CHECK_ROOM[1] + 8 and wide * c > CHECK_ROOM[0] + 8  # the corner below it, for the check bars
        if box[0] <= room[0] and box[1] <= room[1] and clear:
            x, y = run.margin + high * s, floor + (room[1] - box[1]) / 2
            place = Placement(x - (view.x0 * c - view.y0 * s), y - (view.x0 * s + view.y0 * c), radians(degrees))
            marks = [*_head(run, sheet, (w, h), _page_words(0, 1)), *turned(view.marks, place)]
            marks += check_bars((w - run.margin - 3.5, floor + 3.0))
            more, remaining = _over_it(run, sheet.blocks, (run.margin, top - 3.0), y + high * c + 3.0, s / c)
            page = Draft(w, h, (*marks, *more), f"{sheet.title}: {sheet.what.lower()}", run.mirrored)
            return [page, *_words_alone(run, sheet, (w, h), remaining)]
    return []


def _over_it(run: PrintRun, blocks: Sequence[Block], corner: Point, low: float, rise: float) -> tuple[list[Mark], list[Block]]:
    """Blocks in the corner over a turned drawing, whose upper side rises from `low` at that corner; and the remaining blocks."""
    marks: list[Mark] = []
    x, y = corner
    for n, block in enumerate(blocks):
        span = (y - low) / rise
        more, under = block(x, y, 0.8 * span)
        right = max((end for _, end, _ in stretches_of(more, run.measure)), default=x)
        if under < low + (right - x) * rise:
            return marks, list(blocks[n:])
        marks += more
        y = under - 3.0
    return marks, []
