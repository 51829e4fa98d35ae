"""True-size drawings wider than the paper: cut into pages that overlap where it harms least, with joining marks that print."""

from collections.abc import Iterable, Iterator, Sequence
from itertools import islice, repeat
from math import ceil

import numpy as np
from msgspec import Struct
from numpy.lib.stride_tricks import sliding_window_view

from workbook.geometry.drawing import Clip, Copy, Disc, Drawing, Mark, Text, placed, seen, stroke
from workbook.geometry.lettering import Measure, width
from workbook.geometry.path import Point
from workbook.sheets.furniture import SMALL
from workbook.sheets.views import View
from workbook.texts import _

OVERLAP = 12.0  # mm printed on both parts at a join
_HALF = OVERLAP / 2
_STEP = 1.0  # mm between the positions at which a join is tried
_HOLE, _WORDS, _EVEN = 4.0, 1.0, 0.001  # penalty of a join through a hole or words; and per mm off even spacing
_NEAR = 2.0  # mm; a join this close counts as through it

_HAIR = 1e-9

Span = tuple[float, float]  # from x to x
Stretch = tuple[float, float, float]  # the same, and the penalty of a join there


class Tile(Struct, frozen=True, kw_only=True):
    """A part of a drawing: its marks where they are in that, the stretch it shows, its upper edge and its height."""

    marks: Drawing
    start: float
    end: float
    top: float  # y of its upper edge in the drawing
    height: float


def stretches(low: float, high: float, windows: float | Iterable[float], harm: Sequence[Stretch] = ()) -> list[Span]:
    """The stretch in each place: as few as possible, joined where it harms least.

    `windows`: the widths of the places in turn, or that of all of them.
    """
    wide = windows_for(high - low, windows)
    if len(wide) == 1:
        return [(low, high)]
    joins = _joins(low, high, wide, harm)
    begins = [low, *(j - _HALF for j in joins)]
    return list(zip(begins, [*(j + _HALF for j in joins), high], strict=True))


def windows_for(span: float, windows: float | Iterable[float]) -> list[float]:
    """The widths of the places that a drawing takes."""
    wide: list[float] = []
    remaining = span
    for width_ in repeat(windows) if isinstance(windows, float) else windows:
        wide.append(width_)
        if remaining <= width_ + _HAIR:
            break
        remaining -= width_ - OVERLAP
    return wide


def _joins(low: float, high: float, wide: Sequence[float], harm: Sequence[Stretch]) -> list[float]:
    """Where they join: the least harm in all, found from the first join to the last (dynamic programming)."""
    reach = np.cumsum([width_ - OVERLAP for width_ in wide])  # from the first join to each, at most
    even = low + (high - low) * reach / reach[-1]
    places = np.arange(low + OVERLAP, high - OVERLAP + _STEP / 2, _STEP)
    cost = np.zeros(len(places))
    for begin, end, weight in harm:
        for line in (places, places - _HALF, places + _HALF):  # the joining line, and where either page ends
            cost += weight * ((line > begin - _NEAR) & (line < end + _NEAR))
    best = np.where(places <= low + wide[0] - _HALF, cost + _EVEN * abs(places - even[0]), np.inf)
    previous: list[np.ndarray] = []
    for k in range(1, len(wide) - 1):
        back = int((wide[k] - OVERLAP) / _STEP + 1e-9)  # number of places before one from which it can be reached
        before = sliding_window_view(np.r_[np.full(back, np.inf), best[:-1]], back)
        previous.append(np.maximum(np.arange(len(places)) - back + before.argmin(axis=1), 0))
        best = before.min(axis=1) + cost + _EVEN * abs(places - even[k])
    ends = np.where(places >= high - wide[-1] + _HALF - 1e-9, best, np.inf)
    at = int(ends.argmin())
    if not np.isfinite(ends[at]):  # too little to spare for whole steps
        return [low + _HALF + float(along) for along in reach[:-1]]
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


def tiles(view: View, windows: Iterable[float], tall: float, measure: Measure) -> list[Tile]:
    """The drawing in parts to be laid over each other, row by row from its top.

    `windows`: the widths of the places for them, in turn; `tall`: the height of each, mm. Their marks say which part joins which.
    """
    height = view.y1 - view.y0
    if height <= tall + _HAIR:
        rows, columns = 1, stretches(view.x0, view.x1, windows, harm_of(view, measure))
    else:
        narrow = min(islice(windows, 2))  # those of several rows lie under each other
        rows, columns = ceil((height - OVERLAP) / (tall - OVERLAP)), stretches(view.x0, view.x1, narrow, harm_of(view, measure))
    parts = []
    for row in range(rows):
        for n, stretch in enumerate(columns):
            part = 1 + row * len(columns) + n
            neighbours = (
                part - 1 if n else None,
                part + 1 if n < len(columns) - 1 else None,
                part - len(columns) if row else None,
                part + len(columns) if row < rows - 1 else None,
            )
            parts.append(_tile(view, stretch, (view.y1 - row * (tall - OVERLAP), min(tall, height)), neighbours))
    return parts


def _tile(view: View, stretch: Span, row: tuple[float, float], neighbours: tuple[int | None, ...]) -> Tile:
    """One part: the drawing's stretch and row, and joining lines to the parts left, right, above and below."""
    (begin, end), (upper, tall), (left, right, above, below) = stretch, row, neighbours
    low = upper - tall
    window = (begin - 1, low - 2, end + 1, upper + 2)
    marks: list[Mark] = [Clip((begin, low - 1, end, upper + 1), seen(view.marks, window))]
    if left is not None:
        marks += _join(((begin + _HALF, low), (begin + _HALF, upper)))
    if right is not None:
        marks += _join(((end - _HALF, low), (end - _HALF, upper)))
    if above is not None:
        marks += _join(((begin, upper - _HALF), (end, upper - _HALF)), above)
    if below is not None:
        marks += _join(((begin, low + _HALF), (end, low + _HALF)), below)
    return Tile(marks=tuple(marks), start=begin, end=end, top=upper, height=tall)


def _join(line: tuple[Point, Point], part: int | None = None) -> Drawing:
    """A joining line, printed on both parts at one place of the drawing, with a cross at each end; of one across, the part."""
    (x0, y0), (x1, y1) = line
    across = y0 == y1
    ends, arm = (((x0 + 2.0, y0), (x1 - 2.0, y1)), (0.0, 3.0)) if across else (((x0, y0 + 2.0), (x1, y1 - 2.0)), (3.0, 0.0))
    crosses = (stroke(((x - arm[0], y - arm[1]), (x + arm[0], y + arm[1])), "extension") for x, y in ends)
    words = () if part is None else (Text(((x0 + x1) / 2, y0 + 1.0), _("joins part {part}", part=part), SMALL, "middle", True),)
    return (stroke(line, "saw"), *crosses, *words)
