"""Pages filled from the top, clear of the check bars that every page has: rows under each other, or blocks wherever they fit."""

from collections.abc import Callable, Iterator, Sequence
from math import ceil

from msgspec import Struct

from workbook.geometry.drawing import Drawing, Text, shifted
from workbook.sheets.furniture import BESIDE, CHECK_FOOT, CHECK_IN, CORNER, TITLE_HEIGHT, check_bars
from workbook.sheets.paper import PrintRun

GAP = 3.0  # mm between blocks under each other
_ASIDE = 6.0  # mm between blocks beside each other
_RUNNING = 6.0  # mm that the name of what goes on takes at the head of a page
_LABEL = 5.0  # mm over the upright check bar for its words
_HAIR = 1e-6

Free = tuple[float, float, float, float]  # x and y down of the upper left corner, width, height


class PageBlock(Struct, frozen=True):
    """A block: its width and height, mm, and its marks with the upper left corner on the origin."""

    width: float
    height: float
    marks: Drawing = ()
    inner: tuple[tuple["Drawing | PageBlock", float, float], ...] = ()  # what else is in it, each moved by x and y

    def at(self, x: float, y: float) -> Drawing:
        """Its marks with the corner at a place; nothing is moved more than once."""
        marks = list(shifted(self.marks, x, y))
        for part, dx, dy in self.inner:
            marks += part.at(x + dx, y + dy) if isinstance(part, PageBlock) else shifted(part, x + dx, y + dy)
        return tuple(marks)


class PageRoom(Struct, frozen=True, kw_only=True):
    """What of a page there is for blocks, mm: its upper part is as wide as the paper allows, the rest clear of the check bars."""

    left: float  # of the paper's edge
    top: float  # y of its upper edge from the paper's lower
    full: float
    narrow: float
    tallest: float
    band: float  # height of the upper part
    corner: tuple[float, float]  # of the check bars

    def width(self, down: float, height: float) -> float:
        """How wide a block of this height may be, `down` from the top."""
        return self.full if down + height <= self.band + _HAIR else self.narrow

    def holds(self, width: float, height: float) -> bool:
        """Whether a block fits on an empty page."""
        return height <= self.tallest + _HAIR and width <= self.width(0.0, height) + _HAIR

    def page(self, marks: Sequence[Drawing]) -> Drawing:
        """The marks of a page, with its check bars."""
        return (*(mark for part in marks for mark in part), *check_bars(self.corner))


def room_on(run: PrintRun, size: tuple[float, float]) -> PageRoom:
    """The room on a page of this width and height."""
    wide, high = size
    top, corner = high - run.margin - TITLE_HEIGHT, (wide - run.margin - 3.5, run.margin + CORNER)
    full = wide - 2 * run.margin
    return PageRoom(
        left=run.margin,
        top=top,
        full=full,
        narrow=full - BESIDE,
        tallest=top - run.margin - CHECK_FOOT,
        band=top - corner[1] - CHECK_IN - _LABEL,
        corner=corner,
    )


class Flow:
    """Rows under each other, one block in each, page after page."""

    def __init__(self, room: PageRoom) -> None:
        self._room = room
        self._pages: list[list[Drawing]] = []
        self._down: list[float] = []  # on each page, how far it is filled

    def tops(self) -> list[float]:
        """How far each page is filled, mm from its top."""
        return list(self._down)

    def places(self, height: float, filled: list[float], begin: int) -> Iterator[tuple[int, float]]:
        """Where rows of this height would come, one after another, without end: the number of the page, and the width there.

        Each comes on the first page from number `begin` on that has room under what fills it, which it adds to.
        """
        while True:
            roomy = (n for n in range(begin, len(filled)) if filled[n] + height <= self._room.tallest + _HAIR)
            page = next(roomy, len(filled))
            if page == len(filled):
                filled.append(0.0)
            width = self._room.width(filled[page], height)
            filled[page] += height + GAP
            yield page, width

    def put(self, item: PageBlock, page: int) -> None:
        """Place a block on a page, which may be the next new one."""
        if page == len(self._pages):
            self._pages.append([])
            self._down.append(0.0)
        self._pages[page].append(item.at(self._room.left, self._room.top - self._down[page]))
        self._down[page] += item.height + GAP

    def add(self, item: PageBlock, *, running: str = "") -> None:
        """Place a block on the last page, or on the next if there is no room; `running`: what is then said over it."""
        if self._pages and self._down[-1] + item.height <= self._room.tallest + _HAIR:
            self.put(item, len(self._pages) - 1)
            return
        if running and self._pages:
            self.put(PageBlock(0.0, _RUNNING - GAP, (Text((0.0, -4.2), running, 10, bold=True),)), len(self._pages))
            self.put(item, len(self._pages) - 1)
        else:
            self.put(item, len(self._pages))

    def pages(self) -> list[Drawing]:
        """The marks of each page."""
        return [self._room.page(marks) for marks in self._pages]


Spot = tuple[int, float, float]  # a page, and how far a block is from its left and from its top


def arranged(room: PageRoom, blocks: Sequence[PageBlock]) -> list[Spot]:
    """A spot for each block: where it fits first, from the top and the left; in the order given, or the largest, the highest or
    the widest first: whichever takes the fewest pages. The page with the first block comes first.
    """
    sizes: tuple[Callable[[PageBlock], float], ...] = (
        lambda block: 0.0,
        lambda block: block.width * block.height,
        lambda block: block.height,
        lambda block: block.width,
    )
    least, spots = pages_at_least(room, blocks), list[Spot]()
    for size in sizes:
        order = sorted(range(len(blocks)), key=lambda n: size(blocks[n]), reverse=True)
        found = _arranged(room, blocks, order)
        spots = found if not spots or pages_of(found) < pages_of(spots) else spots
        if pages_of(spots) == least:
            break
    numbers = {page: n for n, page in enumerate(dict.fromkeys(page for page, _x, _y in spots))}
    return [(numbers[page], x, y) for page, x, y in spots]


def pages_at_least(room: PageRoom, blocks: Sequence[PageBlock]) -> int:
    """How many pages the blocks take at least, by their area."""
    page = (room.narrow + _ASIDE) * (room.tallest + GAP) + (room.full - room.narrow) * (room.band + GAP)
    return max(1, ceil(sum((block.width + _ASIDE) * (block.height + GAP) for block in blocks) / page - _HAIR)) if blocks else 0


def pages_of(spots: Sequence[Spot]) -> int:
    """How many pages there are."""
    return 1 + max((page for page, _x, _y in spots), default=-1)


def composed(room: PageRoom, blocks: Sequence[PageBlock], spots: Sequence[Spot]) -> list[Drawing]:
    """The marks of each page with the blocks on their spots."""
    pages: list[list[Drawing]] = [[] for _ in range(pages_of(spots))]
    for block, (page, x, y) in zip(blocks, spots, strict=True):
        pages[page].append(block.at(room.left + x, room.top - y))
    return [room.page(marks) for marks in pages]


def _arranged(room: PageRoom, blocks: Sequence[PageBlock], order: Sequence[int]) -> list[Spot]:
    """Free rectangles, as large as they can be and overlapping (Jylänki, A Thousand Ways to Pack the Bin, 2010: MaxRects)."""
    pages: list[list[Free]] = []
    spots: list[Spot] = [(0, 0.0, 0.0)] * len(blocks)
    whole = [(0.0, 0.0, room.narrow + _ASIDE, room.tallest + GAP), (0.0, 0.0, room.full + _ASIDE, room.band + GAP)]
    for n in order:
        wide, high = blocks[n].width + _ASIDE, blocks[n].height + GAP
        for page in range(len(pages) + 1):
            free = pages[page] if page < len(pages) else whole
            places = [(y, x) for x, y, w, h in free if wide <= w + _HAIR and high <= h + _HAIR]
            if places or free is whole:
                y, x = min(places, default=(0.0, 0.0))
                pages[page:] = [_less(free, (x, y, wide, high)), *pages[page + 1 :]]
                spots[n] = (page, x, y)
                break
    return spots


def _less(free: Sequence[Free], taken: Free) -> list[Free]:
    """What is left free of rectangles, each as large as it can be."""
    x, y, w, h = taken
    parts: list[Free] = []
    for a, b, c, d in free:
        if a >= x + w - _HAIR or a + c <= x + _HAIR or b >= y + h - _HAIR or b + d <= y + _HAIR:
            parts.append((a, b, c, d))
            continue
        parts += [(a, b, x - a, d), (a, b, c, y - b), (x + w, b, a + c - x - w, d), (a, y + h, c, b + d - y - h)]
    parts = [part for part in dict.fromkeys(parts) if part[2] > 1.0 and part[3] > 1.0]
    return [part for part in parts if not any(other != part and _within(part, other) for other in parts)]


def _within(part: Free, other: Free) -> bool:
    (a, b, c, d), (x, y, w, h) = part, other
    return x <= a + _HAIR and y <= b + _HAIR and a + c <= x + w + _HAIR and b + d <= y + h + _HAIR


def stacked(items: Sequence[PageBlock], gap: float = GAP) -> PageBlock:
    """Blocks under each other as one."""
    inner, y = list[tuple[Drawing | PageBlock, float, float]](), 0.0
    for item in items:
        inner.append((item, 0.0, y))
        y -= item.height + gap
    return PageBlock(max(item.width for item in items), -y - gap, inner=tuple(inner))
