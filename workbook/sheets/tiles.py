"""True-size drawings wider than the paper: cut into pages that overlap where it harms least, with joining marks that print."""

from collections.abc import Iterator, Sequence
from math import ceil

import numpy as np
from msgspec import Struct
from numpy.lib.stride_tricks import sliding_window_view

from workbook.geometry.drawing import Anchor, Clip, Copy, Disc, Drawing, Mark, Text, placed, seen, shifted, stroke
from workbook.geometry.lettering import Measure, width
from workbook.geometry.path import Point
from workbook.sheets.views import View
from workbook.texts import _

OVERLAP = 14.0  # mm printed on both pages of a join, at least
_HALF = OVERLAP / 2
_STEP = 1.0  # mm between the positions at which a join is tried
_HOLE, _WORDS, _EVEN = 4.0, 1.0, 0.001  # penalty of a join through a hole or words; and per mm off even spacing
_NEAR = 2.0  # mm; a join this close counts as through it

Stretch = tuple[float, float, float]  # from x to x, and the penalty of a join there


class Tile(Struct, frozen=True, kw_only=True):
    """One page's part of a drawing: its marks on the paper, and the stretch of the drawing it shows."""

    marks: Drawing
    start: float
    end: float
    dx: float  # drawing x + dx = paper x
    dy: float


def stretches(low: float, high: float, window: float, harm: Sequence[Stretch] = ()) -> list[tuple[float, float]]:
    """The stretch on each page: as few pages as possible, joined where it harms least; what fits on one page is centred."""
    if high - low <= window:
        begin = low - (window - (high - low)) / 2
        return [(begin, begin + window)]
    count = pages_for(high - low, window)
    joins = _joins(low, high, window, count, harm)
    begins = [low, *(j - _HALF for j in joins)]
    return list(zip(begins, [*(j + _HALF for j in joins), begins[-1] + window], strict=True))


def pages_for(span: float, window: float) -> int:
    """How many pages a drawing takes."""
    return 1 if span <= window else ceil((span - OVERLAP) / (window - OVERLAP))


def _joins(low: float, high: float, window: float, count: int, harm: Sequence[Stretch]) -> list[float]:
    """Where `count` pages join: the least harm in all, found from the first join to the last (dynamic programming)."""
    most = window - OVERLAP  # from a join to the next
    places = np.arange(low + OVERLAP, high - OVERLAP + _STEP / 2, _STEP)
    cost = np.zeros(len(places))
    for begin, end, weight in harm:
        for line in (places, places - _HALF, places + _HALF):  # the joining line, and where either page ends
            cost += weight * ((line > begin - _NEAR) & (line < end + _NEAR))
    best = np.where(places <= low + window - _HALF, cost + _EVEN * abs(places - low - (high - low) / count), np.inf)
    previous: list[np.ndarray] = []
    back = int(most / _STEP + 1e-9)  # number of places before one from which it can be reached
    for k in range(2, count):
        before = sliding_window_view(np.r_[np.full(back, np.inf), best[:-1]], back)
        from_ = np.maximum(np.arange(len(places)) - back + before.argmin(axis=1), 0)
        off = _EVEN * abs(places - low - k * (high - low) / count)
        best = before.min(axis=1) + cost + off
        previous.append(from_)
    ends = np.where(places >= high - window + _HALF - 1e-9, best, np.inf)
    at = int(ends.argmin())
    if not np.isfinite(ends[at]):  # too little to spare for whole steps
        return [low + window - _HALF + k * most for k in range(count - 1)]
    indices = [at]
    for from_ in reversed(previous):
        indices.append(int(from_[indices[-1]]))
    return [float(places[n]) for n in reversed(indices)]


def harm_of(view: View, measure: Measure) -> list[Stretch]:
    """The stretches a join should not run through: holes, words, and those the view itself names."""
    return [*stretches_of(view.marks, measure), *((a, b, _HOLE) for a, b in view.whole)]


def stretches_of(marks: Drawing, measure: Measure) -> Iterator[Stretch]:
    """The extents of holes and words, and the penalty of a join through them."""
    for mark in marks:
        match mark:
            case Disc():
                yield mark.centre[0] - mark.radius, mark.centre[0] + mark.radius, _HOLE
            case Text():
                wide = width(mark.text, mark.size, mark.bold, measure)
                left = mark.at[0] - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor]
                yield left, left + wide, _WORDS
            case Clip():
                yield from stretches_of(mark.marks, measure)
            case Copy():
                discs = (part for part in mark.pattern.marks if isinstance(part, Disc))
                yield from stretches_of(placed(discs, mark.where), measure)


def tiles(view: View, corner: Point, window: tuple[float, float], first_page: int, measure: Measure) -> list[Tile]:
    """The drawing cut into stretches of at most `window` mm (wide, high), row by row from its top; `corner`: upper left of each.

    `first_page` is the number printed on the page of the first stretch; marks say which page joins which.
    """
    wide, height = window[0], view.y1 - view.y0
    tall = min(window[1], height)
    columns = stretches(view.x0, view.x1, wide, harm_of(view, measure))
    rows = 1 if tall == height else ceil((height - OVERLAP) / (tall - OVERLAP))
    pages = []
    for row in range(rows):
        for n, stretch in enumerate(columns):
            page = first_page + row * len(columns) + n
            neighbours = (
                page - 1 if n else None,
                page + 1 if n < len(columns) - 1 else None,
                page - len(columns) if row else None,
                page + len(columns) if row < rows - 1 else None,
            )
            pages.append(_tile(view, stretch, (view.y1 - row * (tall - OVERLAP), tall), corner, neighbours))
    return pages


def _tile(
    view: View, stretch: tuple[float, float], row: tuple[float, float], corner: Point, neighbours: tuple[int | None, ...]
) -> Tile:
    """One page: the drawing's stretch and row, and joining lines to the pages left, right, above and below."""
    (begin, end), (upper, tall), (at, top) = stretch, row, corner
    dx, dy = at - begin, top - upper
    low, far = top - tall, at + end - begin
    left, right, above, below = neighbours
    window = (begin - 1, upper - tall - 2, end + 1, upper + 2)
    marks: list[Mark] = [Clip((at, low - 1, far, top + 1), shifted(seen(view.marks, window), dx, dy))]
    if left is not None:
        marks += _join(((at + _HALF, low), (at + _HALF, top)), left, "start")
    if right is not None:
        marks += _join(((far - _HALF, low), (far - _HALF, top)), right, "end")
    if above is not None:
        marks += _join(((at, top - _HALF), (far, top - _HALF)), above, "middle")
    if below is not None:
        marks += _join(((at, low + _HALF), (far, low + _HALF)), below, "middle")
    return Tile(marks=tuple(marks), start=begin, end=end, dx=dx, dy=dy)


def _join(line: tuple[Point, Point], page: int, anchor: Anchor) -> Drawing:
    """A joining line, printed on both pages at the same place of the drawing, with a cross at each end and the other page."""
    (x0, y0), (x1, y1) = line
    if anchor == "middle":
        ends, arm, at = ((x0 + 2.0, y0), (x1 - 2.0, y1)), (0.0, 3.0), ((x0 + x1) / 2, y0 + 1.0)
    else:
        ends, arm, at = ((x0, y0 + 2.0), (x1, y1 - 2.0)), (3.0, 0.0), (x0 + (1.0 if anchor == "start" else -1.0), y0 - 2.4)
    crosses = (stroke(((x - arm[0], y - arm[1]), (x + arm[0], y + arm[1])), "extension") for x, y in ends)
    return (stroke(line, "saw"), *crosses, Text(at, _("joins page {page}", page=page), 8, anchor, True))
