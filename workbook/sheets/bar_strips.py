"""Bars at true size: strips to be cut out and joined, on as few pages as it takes."""

from collections.abc import Iterator, Sequence
from itertools import islice, permutations, product
from math import inf

from workbook.geometry.drawing import Drawing, Text
from workbook.sheets.bar import BarPlan, steel_marks
from workbook.sheets.bar_picture import BIG, hatch, ordinates, saw_lines
from workbook.sheets.bar_words import name_of
from workbook.sheets.dimensions import row_of_labels
from workbook.sheets.flow import Flow, PageBlock, PageRoom
from workbook.sheets.furniture import BESIDE, SMALL, fitting
from workbook.sheets.paper import PrintRun
from workbook.sheets.tiles import OVERLAP, Tile, tiles, windows_for
from workbook.sheets.views import View
from workbook.texts import _

_UNDER, _OVER = 6.3, 4.5  # mm for the ordinates and for the name
_EDGE = 1.2  # mm shown beyond the bar's lower edge
_ENDS = 3.5  # mm shown beyond either end of a bar
_TRIED = 5  # bars for which every way of filling pages is tried
_MOST = 1000  # parts of one bar


def size_for(run: PrintRun, plans: Sequence[BarPlan]) -> tuple[float, float]:
    """The paper upright; from a roll, as long as the longest bar."""
    if run.paper.height == inf:
        return run.wide_for(max((plan.longest for plan in plans), default=0.0) + 2 * _ENDS + BESIDE)
    return run.upright


def add_strips(run: PrintRun, plans: Sequence[BarPlan], flow: Flow, room: PageRoom) -> None:
    """Put the strips of all bars after what is on the pages, or where these leave room."""
    ways = list(_ways(len(plans)))
    best = min(ways, key=lambda way: _pages(flow, room, plans, way)) if len(ways) > 1 else ways[0]
    for number, begin in best:
        _add(run, plans[number], flow, room, begin)


Way = Sequence[tuple[int, str]]  # bars in the order in which they are placed, each with where its first strip may go


def _ways(count: int) -> Iterator[Way]:
    """Each bar on from the last page, on a new one, or on any with room; of a few bars every order too."""
    choices = ("on", "new", "any")
    for way in product(choices, repeat=count) if count <= _TRIED else [(way,) * count for way in choices]:
        yield list(enumerate(way))
    for order in permutations(range(count)) if count <= _TRIED else ():
        yield [(number, "any") for number in order]


def _begin(way: str, pages: int) -> int:
    return {"on": max(0, pages - 1), "new": pages, "any": 0}[way]


def _pages(flow: Flow, room: PageRoom, plans: Sequence[BarPlan], way: Way) -> int:
    """How many pages there are in the end."""
    tops = flow.tops()
    for number, begin in way:
        places = flow.places(min(_height(plans[number]), room.tallest), tops, _begin(begin, len(tops)))
        windows_for(_drawn(plans[number]) + 2 * _ENDS, (width for _page, width in places))
    return len(tops)


def _height(plan: BarPlan) -> float:
    return plan.size[1] + _EDGE + _UNDER + _OVER


def _drawn(plan: BarPlan) -> float:
    """How much of a bar is drawn: strips of nothing but offcut help nobody."""
    if plan.reaches_on or any(blank.span[1] > plan.size[2] for blank in plan.blanks):
        return plan.longest
    return min(plan.size[2], plan.used + 10.0)


def _add(run: PrintRun, plan: BarPlan, flow: Flow, room: PageRoom, way: str) -> None:
    """The bar in parts as wide as there is room where each comes to lie."""
    height, begin = min(_height(plan), room.tallest), _begin(way, len(flow.tops()))

    def places() -> Iterator[tuple[int, float]]:
        return islice(flow.places(height, flow.tops(), begin), _MOST)

    def count(end: float) -> int:
        return len(windows_for(end + 2 * _ENDS, (width for _page, width in places())))

    end = _drawn(plan)
    end = plan.size[2] if count(plan.size[2]) == count(end) else end
    view = View(marks=_marks(run, plan), x0=-_ENDS, y0=-_EDGE, x1=end + _ENDS, y1=plan.size[1] + _OVER)
    over = _OVER if _height(plan) > room.tallest else 0.0  # rows under the first have no room of their own for their names
    parts = tiles(view, (width for _page, width in places()), room.tallest - _UNDER - over, run.measure)
    closing = _(
        "Closing check: end A to the end of the last blank is {length}",
        length=run.length(max(x for blank in plan.blanks for x in blank.span), fine=True, unit=True),
    )
    for n, (tile, (page, _width)) in enumerate(zip(parts, places(), strict=False), 1):
        name = _("{bar}, true size, part {n} of {count}", bar=name_of(plan), n=n, count=len(parts))
        at = max(1.0, -tile.start - _ENDS) if n == 1 else OVERLAP
        text = _("{name}. {check}", name=name, check=closing) if n == 1 else name
        words = Text((at, -3.2), text, fitting(run, text, SMALL, True, tile.end - tile.start - at - 1.0), bold=True)
        inner = ((tile.marks, -tile.start, -tile.top - over), (_ordinates_under(run, plan, tile), 0.0, -over))
        flow.put(PageBlock(tile.end - tile.start, tile.height + _UNDER + over, (words,), inner), page)


def _marks(run: PrintRun, plan: BarPlan) -> Drawing:
    """Blanks and cuts at true size."""
    return (*steel_marks(plan, run.measure, text_size=BIG, holes=True), *saw_lines(plan), *hatch(plan))


def _ordinates_under(run: PrintRun, plan: BarPlan, tile: Tile) -> Drawing:
    """The ordinates of a part, each whole; one where two parts join is on both."""
    low = -tile.top  # where the bar's lower edge is
    if low < -tile.height:
        return ()
    places = [((x - tile.start, low - 0.8), run.length(x)) for x in ordinates(plan) if tile.start < x < tile.end]
    return row_of_labels(places, low - 6.6, run.measure, size=SMALL, limits=(0.3, tile.end - tile.start - 0.3))
