"""True-size drawings wider than the paper: cut into pages that overlap, with joining marks inside the printable area."""

from dataclasses import dataclass
from math import ceil

from workbook.geometry.drawing import Clip, Drawing, Mark, Text, extent, shifted, stroke
from workbook.sheets.paper import MARGIN
from workbook.sheets.views import View

OVERLAP = 14.0  # mm printed on both pages of a join
_LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


@dataclass(frozen=True, slots=True, kw_only=True)
class Tile:
    """One page's part of a drawing: its marks on the paper, and the stretch of the drawing it shows."""

    marks: Drawing
    start: float
    end: float
    dx: float  # drawing x + dx = paper x
    dy: float


def starts(x0: float, x1: float, window: float) -> list[float]:
    """Where each page's stretch begins: as few pages as can be; a drawing that fits one page stands in its middle."""
    if x1 - x0 <= window:
        return [x0 - (window - (x1 - x0)) / 2]
    count = ceil((x1 - x0 - OVERLAP) / (window - OVERLAP))
    return [x0 + i * (window - OVERLAP) for i in range(count)]


def tiles(view: View, top: float, window: float, first_page: int) -> list[Tile]:
    """The drawing cut along x into stretches of `window` mm, its upper edge at `top` on every page.

    `first_page` is the number printed on the page of the first stretch; marks say which page joins which.
    """
    begins = starts(view.x0, view.x1, window)
    found = []
    for n, begin in enumerate(begins):
        dx, dy = MARGIN - begin, top - view.y1
        low = top - (view.y1 - view.y0)
        marks: list[Mark] = [
            Clip((MARGIN, low - 1, MARGIN + window, top + 1), shifted(_seen(view, begin, begin + window), dx, dy))
        ]
        if n > 0:
            marks += _join(MARGIN + OVERLAP / 2, low, top, _LETTERS[n - 1], first_page + n - 1, "end")
        if n < len(begins) - 1:
            marks += _join(MARGIN + window - OVERLAP / 2, low, top, _LETTERS[n], first_page + n + 1, "start")
        found.append(Tile(marks=tuple(marks), start=begin, end=begin + window, dx=dx, dy=dy))
    return found


def _seen(view: View, start: float, end: float) -> Drawing:
    """The marks that show in a stretch: others would only make the file larger. Texts are kept, their width is not known."""
    boxes = ((mark, extent((mark,)) if not isinstance(mark, Text) else None) for mark in view.marks)
    return tuple(mark for mark, box in boxes if box is None or (box[2] >= start - 1 and box[0] <= end + 1))


def _join(x: float, low: float, top: float, letter: str, page: int, side: str) -> Drawing:
    """A joining line, printed on both pages at the same place of the drawing, with a cross at each end."""
    marks: list[Mark] = [stroke(((x, low), (x, top)), "saw")]
    for y in (low + 2.0, top - 2.0):
        marks.append(stroke(((x - 3.0, y), (x + 3.0, y)), "extension"))
    word = f"{letter}: page {page}"
    at = (x + 1.0, low - 2.4) if side == "end" else (x - 1.0, low - 2.4)
    return (*marks, Text(at, word, 8, "start" if side == "end" else "end", True))
