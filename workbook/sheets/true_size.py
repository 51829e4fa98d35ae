"""Drawings at true size packed on pages: beside and under each other, in parts where the paper is too small for them."""

from collections.abc import Callable, Sequence
from itertools import product, repeat
from math import cos, inf, radians, sin

from msgspec import Struct

from workbook.geometry.drawing import Clip, Drawing, Text, turned
from workbook.geometry.path import Placement
from workbook.sheets.flow import GAP, PageBlock, PageRoom, Spot, arranged, composed, pages_at_least, pages_of, room_on, stacked
from workbook.sheets.furniture import BESIDE, CHECK_FOOT, CHECK_ROOM, CORNER, TITLE_HEIGHT, check_bars, page_foot
from workbook.sheets.paper import PrintRun, SheetPage
from workbook.sheets.table import paragraph
from workbook.sheets.tiles import stretches_of, tiles, windows_for
from workbook.sheets.views import View
from workbook.texts import _

Block = Callable[[float, float, float], tuple[Drawing, float]]  # x, y and span to marks and the y of their lower edge
Head = Callable[[tuple[float, float]], Drawing]  # the title of a page of this size
_CAPTION = 5.5  # mm over a drawing for what it is
_WORDS = (104.0, 94.0)  # mm that words take at most; of both, what takes fewer pages
_BETWEEN = 6.0  # mm from a drawing to the words beside it
_STEEPEST = 50  # degrees a drawing is turned at most


class Sheet(Struct, frozen=True, kw_only=True):
    """One drawing, and what is said of it."""

    view: View
    what: str  # "Right face, true size"
    blocks: tuple[Block, ...] = ()  # beside the drawing where there is room
    named: str = ""  # what stands over its words where they stand elsewhere; else what it is itself
    closing: str = ""  # what to measure when its parts are joined, said once for all


def true_size(run: PrintRun, sheets: Sequence[Sheet], last: Sequence[Block], head: Head, foot: str) -> list[SheetPage]:
    """The pages of a set of drawings, with `last` once in it; `foot`: the words at the foot of each page."""
    longest = max((sheet.view.x1 - sheet.view.x0 for sheet in sheets), default=0.0)
    sizes = [run.wide_for(longest + BESIDE), *([] if run.paper.height == inf else [run.upright])]
    drawings = [_captioned(sheet) for sheet in sheets]
    joins = {size: sum(_joins(room_on(run, size), each) for each in drawings) for size in sizes}
    fewest = min(joins.values())  # a drawing in one piece is worth a page
    papers = [_on_paper(run, sheets, drawings, last, size) for size in sizes if joins[size] == fewest]
    paper, blocks, spots = _best(run, sheets, papers)
    pages = [*composed(paper.room, blocks, spots), *paper.whole]
    size = paper.size
    return [
        SheetPage(*size, (*head(size), *marks, *page_foot(run, size, foot, n, len(pages), checked=True)), run.mirrored)
        for n, marks in enumerate(pages, 1)
    ]


def _joins(room: PageRoom, drawing: PageBlock) -> int:
    """In how many places a drawing is parted, at most."""
    return 0 if room.holds(drawing.width, drawing.height) else len(windows_for(drawing.width, room.narrow)) - 1


def _best(run: PrintRun, sheets: Sequence[Sheet], papers: Sequence["_Paper"]) -> tuple["_Paper", list[PageBlock], list[Spot]]:
    """The arrangement on the fewest pages; the first that takes no more than the area of its blocks is taken at once."""
    best: tuple[int, _Paper, list[PageBlock], list[Spot]] | None = None
    told: dict[float, list[list[PageBlock]]] = {}
    for beside, span in product((True, False), _WORDS):
        if span not in told:
            told[span] = [[_words(run, block, span) for block in sheet.blocks] for sheet in sheets]
        for paper in papers:
            blocks = _blocks(paper, sheets, told[span], beside=beside)
            least = pages_at_least(paper.room, blocks)
            if best is not None and least + len(paper.whole) >= best[0]:
                continue
            spots = arranged(paper.room, blocks)
            count = pages_of(spots) + len(paper.whole)
            if best is None or count < best[0]:
                best = count, paper, blocks, spots
    assert best is not None
    return best[1:]


class _Paper(Struct, frozen=True, kw_only=True):
    """The drawings on paper of one size: each whole or in parts, those that take a page of their own, and the last words."""

    size: tuple[float, float]
    room: PageRoom
    drawn: list[list[PageBlock]]  # of each sheet
    whole: list[Drawing]  # pages
    last: list[PageBlock]


def _on_paper(
    run: PrintRun, sheets: Sequence[Sheet], drawings: Sequence[PageBlock], last: Sequence[Block], size: tuple[float, float]
) -> _Paper:
    room, drawn, whole, closings = room_on(run, size), list[list[PageBlock]](), list[Drawing](), list[str]()
    for sheet, drawing in zip(sheets, drawings, strict=True):
        fits = room.holds(drawing.width, drawing.height)
        page = () if fits else _on_a_diagonal(run, sheet, size)
        whole += [page] if page else []
        closings += [] if fits or page else [sheet.closing]
        drawn.append([drawing] if fits else [] if page else _parts(run, sheet, room))
    ends = [*last, *(_closing(run, closing) for closing in dict.fromkeys(closings) if closing)]
    words = [_words(run, block, room.narrow) for block in ends]
    return _Paper(size=size, room=room, drawn=drawn, whole=whole, last=words)


def _blocks(paper: _Paper, sheets: Sequence[Sheet], told: Sequence[Sequence[PageBlock]], *, beside: bool) -> list[PageBlock]:
    """What is to be arranged; `beside`: with the words beside their drawings where there is room."""
    blocks: list[PageBlock] = []
    for sheet, drawn, words in zip(sheets, paper.drawn, told, strict=True):
        wide = _BETWEEN + max((word.width for word in words), default=0.0)
        if beside and words and len(drawn) == 1 and drawn[0].width + wide <= paper.room.narrow:
            blocks.append(_beside(drawn[0], words))
        else:
            blocks += [*drawn, *([_named(sheet, words[:1]), *words[1:]] if words else [])]
    return [*blocks, *paper.last]


def _beside(drawing: PageBlock, words: Sequence[PageBlock]) -> PageBlock:
    """A drawing with its words at the right of it."""
    column = stacked(words)
    inner = ((drawing, 0.0, 0.0), (column, drawing.width + _BETWEEN, -_CAPTION))
    return PageBlock(drawing.width + _BETWEEN + column.width, max(drawing.height, column.height + _CAPTION), inner=inner)


def _named(sheet: Sheet, words: Sequence[PageBlock]) -> PageBlock:
    """Words under the name of the drawing that they belong to."""
    name = PageBlock(0.0, _CAPTION - GAP, (Text((0.0, -3.9), sheet.named or sheet.what.partition(",")[0], 10, bold=True),))
    return stacked([name, *words])


def _closing(run: PrintRun, words: str) -> Block:
    """What to measure when parts are joined."""
    return lambda x, y, span: paragraph(x, y, span, words, run.measure)


def _captioned(sheet: Sheet) -> PageBlock:
    """The drawing under what it is."""
    view = sheet.view
    drawing = (Clip((view.x0, view.y0 - 1.0, view.x1, view.y1 + 1.0), view.marks),)
    caption = (Text((0.0, -3.9), sheet.what, 10, bold=True),)
    return PageBlock(view.x1 - view.x0, view.y1 - view.y0 + _CAPTION, caption, ((drawing, -view.x0, -view.y1 - _CAPTION),))


def _words(run: PrintRun, block: Block, span: float) -> PageBlock:
    """Words as a block as wide as they are."""
    marks, low = block(0.0, 0.0, span)
    return PageBlock(max((end for _begin, end, _harm in stretches_of(marks, run.measure)), default=0.0), -low, marks)


def _parts(run: PrintRun, sheet: Sheet, room: PageRoom) -> list[PageBlock]:
    """The drawing in parts to be joined."""
    tiles_ = tiles(sheet.view, repeat(room.narrow), room.tallest - _CAPTION, run.measure)
    items = []
    for n, tile in enumerate(tiles_, 1):
        name = _("{what}, part {n} of {count}", what=sheet.what, n=n, count=len(tiles_))
        caption, there = (Text((0.0, -3.9), name, 10, bold=True),), (tile.marks, -tile.start, -tile.top - _CAPTION)
        wide = max(tile.end - tile.start, run.measure(name, 10, True))
        items.append(PageBlock(wide, tile.height + _CAPTION, caption, (there,)))
    return items


def _on_a_diagonal(run: PrintRun, sheet: Sheet, size: tuple[float, float]) -> Drawing:
    """The marks of a page of its own with the drawing turned as little as possible; none if it does not fit."""
    view, (w, h) = sheet.view, size
    wide, high = view.x1 - view.x0, view.y1 - view.y0
    top, floor = h - run.margin - TITLE_HEIGHT - _CAPTION, run.margin + CHECK_FOOT
    room = (w - 2 * run.margin, top - floor)
    if any(isinstance(mark, Clip) for mark in view.marks):
        return ()  # a window cannot be turned: what it hides would show
    for degrees in range(1, _STEEPEST):
        c, s = cos(radians(degrees)), sin(radians(degrees))
        box = (wide * c + high * s, wide * s + high * c)
        clear = wide * s > CHECK_ROOM[1] + 8 and wide * c > CHECK_ROOM[0] + 8  # the corner below it, for the check bars
        if box[0] <= room[0] and box[1] <= room[1] and clear:
            x, y = run.margin + high * s, floor + (room[1] - box[1]) / 2
            place = Placement(x - (view.x0 * c - view.y0 * s), y - (view.x0 * s + view.y0 * c), radians(degrees))
            caption = Text((run.margin, top + _CAPTION - 3.9), sheet.what, 10, bold=True)
            return (caption, *turned(view.marks, place), *check_bars((w - run.margin - 3.5, run.margin + CORNER)))
    return ()
