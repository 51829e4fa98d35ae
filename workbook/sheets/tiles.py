"""True-size drawings wider than the paper: cut into pages that overlap, with joining marks inside the printable area."""

from dataclasses import dataclass
from math import ceil

from workbook.geometry.drawing import Anchor, Clip, Drawing, Mark, Text, extent, shifted, stroke
from workbook.geometry.path import Point
from workbook.sheets.paper import MARGIN
from workbook.sheets.views import View

OVERLAP = 14.0  # mm printed on both pages of a join


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """One page's part of a drawing: its marks on the paper, and the stretch of the drawing it shows."""

    marks: Drawing
    start: float
    end: float
    dx: float  # drawing x + dx = paper x
    dy: float


def starts(low: float, high: float, window: float) -> list[float]:
    """Where each page's stretch begins: as few pages as can be; a drawing that fits one page stands in its middle."""
    if high - low <= window:
        return [low - (window - (high - low)) / 2]
    count = ceil((high - low - OVERLAP) / (window - OVERLAP))
    return [low + i * (window - OVERLAP) for i in range(count)]


def tiles(view: View, top: float, window: tuple[float, float], first_page: int) -> list[Tile]:
    """The drawing cut into stretches of at most `window` mm (wide, high), row by row from its top; `top`: where rows begin.

    `first_page` is the number printed on the page of the first stretch; marks say which page joins which.
    """
    wide, whole = window[0], view.y1 - view.y0
    tall = min(window[1], whole)
    begins = starts(view.x0, view.x1, wide)
    rows = 1 if tall == whole else ceil((whole - OVERLAP) / (tall - OVERLAP))
    found = []
    for row in range(rows):
        for n, begin in enumerate(begins):
            page = first_page + row * len(begins) + n
            neighbours = (
                page - 1 if n else None,
                page + 1 if n < len(begins) - 1 else None,
                page - len(begins) if row else None,
                page + len(begins) if row < rows - 1 else None,
            )
            found.append(_tile(view, (begin, view.y1 - row * (tall - OVERLAP)), (wide, tall), top, neighbours))
    return found


def _tile(view: View, corner: Point, size: tuple[float, float], top: float, neighbours: tuple[int | None, ...]) -> Tile:
    """One page: the drawing from its upper left corner on, and joining lines to the pages left, right, above and below."""
    (begin, upper), (wide, tall) = corner, size
    dx, dy = MARGIN - begin, top - upper
    low, far, half = top - tall, MARGIN + wide, OVERLAP / 2
    left, right, above, below = neighbours
    marks: list[Mark] = [Clip((MARGIN, low - 1, far, top + 1), shifted(_seen(view, begin, begin + wide), dx, dy))]
    if left is not None:
        marks += _join(((MARGIN + half, low), (MARGIN + half, top)), left, "start")
    if right is not None:
        marks += _join(((far - half, low), (far - half, top)), right, "end")
    if above is not None:
        marks += _join(((MARGIN, top - half), (far, top - half)), above, "middle")
    if below is not None:
        marks += _join(((MARGIN, low + half), (far, low + half)), below, "middle")
    return Tile(marks=tuple(marks), start=begin, end=begin + wide, dx=dx, dy=dy)


def _seen(view: View, start: float, end: float) -> Drawing:
    """The marks that show in a stretch: others would only make the file larger. Texts are kept, their width is not known."""
    boxes = ((mark, extent((mark,)) if not isinstance(mark, Text) else None) for mark in view.marks)
    return tuple(mark for mark, box in boxes if box is None or (box[2] >= start - 1 and box[0] <= end + 1))


def _join(line: tuple[Point, Point], page: int, anchor: Anchor) -> Drawing:
    """A joining line, printed on both pages at the same place of the drawing, with a cross at each end and the other page."""
    (x0, y0), (x1, y1) = line
    if anchor == "middle":
        ends, arm, at = ((x0 + 2.0, y0), (x1 - 2.0, y1)), (0.0, 3.0), ((x0 + x1) / 2, y0 + 1.0)
    else:
        ends, arm, at = ((x0, y0 + 2.0), (x1, y1 - 2.0)), (3.0, 0.0), (x0 + (1.0 if anchor == "start" else -1.0), y0 - 2.4)
    crosses = (stroke(((x - arm[0], y - arm[1]), (x + arm[0], y + arm[1])), "extension") for x, y in ends)
    return (stroke(line, "saw"), *crosses, Text(at, f"joins page {page}", 8, anchor, True))
