"""Neutral drawings: marks that a screen, a PDF, a DXF and an SVG can each draw. No mark knows what a knife is.

Lengths are mm on the paper (y up); text sizes are points. `line` names a row of the line table (resources/data/look.json),
`fill` and `tone` name colours of its palette; a writer without colours ignores them. `layer` matters to DXF only.
"""

from collections.abc import Iterable, Iterator
from functools import lru_cache
from itertools import groupby
from typing import Literal

from msgspec import Struct

from workbook.geometry.path import Path, Placement, Point, Points, circle, flatten, polyline
from workbook.later import np
from workbook.structs import replace

Anchor = Literal["start", "middle", "end"]
Box = tuple[float, float, float, float]  # smallest x and y, largest x and y
MM_PER_POINT = 25.4 / 72
_FLAT = 0.05  # mm; fine enough to find an extent


class Curve(Struct, frozen=True):
    """A path, open or closed, drawn with a line and filled when a fill is named."""

    path: Path
    line: str = "outline"
    fill: str = ""
    layer: str = "OUTLINE"
    tone: str = "ink"


class Disc(Struct, frozen=True):
    """A true circle."""

    centre: Point
    radius: float
    line: str = "hole"
    fill: str = ""
    layer: str = "HOLES"
    tone: str = "ink"


class Text(Struct, frozen=True):
    """One line of text; `at` is on its baseline. Fractions written with U+2044 are built by the writer."""

    at: Point
    text: str
    size: float = 9.0
    anchor: Anchor = "start"
    bold: bool = False
    tone: str = "ink"
    angle: float = 0.0
    layer: str = "NOTES"


class Clip(Struct, frozen=True):
    """Marks seen through a window."""

    window: Box
    marks: tuple["Mark", ...]


class Cells(Struct, frozen=True):
    """A square of dark and light cells, as a two-dimensional bar code is: its lower left corner, its side, rows from the top."""

    at: Point
    side: float
    rows: tuple[tuple[bool, ...], ...]

    def dark(self) -> Iterator[tuple[float, float, float, float]]:
        """Each run of dark cells in a row as a rectangle: x, y, width, height."""
        step = self.side / max(len(self.rows), 1)
        for n, row in enumerate(self.rows):
            x, y = self.at[0], self.at[1] + self.side - (n + 1) * step
            for is_dark, run in groupby(row):
                width = sum(1 for _ in run) * step
                if is_dark:
                    yield x, y, width, step
                x += width


class Pattern(Struct, frozen=True, eq=False):
    """Curves and discs drawn in many places; compared by identity, not by content."""

    marks: tuple[Curve | Disc, ...]


class Copy(Struct, frozen=True):
    """A pattern in one of its places. A writer that can store a pattern once does so."""

    pattern: Pattern
    where: Placement

    @property
    def marks(self) -> "Drawing":
        """The pattern's marks in that place."""
        return placed(self.pattern.marks, self.where)


Mark = Curve | Disc | Text | Clip | Cells | Copy
Drawing = tuple[Mark, ...]


def stroke(points: Iterable[Point], line: str = "dimension", tone: str = "ink", layer: str = "NOTES") -> Curve:
    """A line through points."""
    return Curve(polyline(points), line=line, tone=tone, layer=layer)


def box(x0: float, y0: float, x1: float, y1: float, line: str = "dimension", fill: str = "", layer: str = "NOTES") -> Curve:
    """A rectangle."""
    return Curve(polyline(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), closed=True), line=line, fill=fill, layer=layer)


def placed(marks: Iterable[Mark], where: Placement) -> Drawing:
    """The marks moved, turned, mirrored or scaled. Text keeps its size and stays readable."""
    return tuple(_placed(mark, where) for mark in marks)


def _placed(mark: Mark, where: Placement) -> Mark:
    match mark:
        case Curve():
            return replace(mark, path=where.path(mark.path))
        case Disc():
            return replace(mark, centre=where.point(mark.centre), radius=mark.radius * where.scale)
        case Text():
            return replace(mark, at=where.point(mark.at))
        case Cells():
            return replace(mark, at=where.point(mark.at), side=mark.side * where.scale)
        case Clip():
            (x0, y0), (x1, y1) = where.point(mark.window[:2]), where.point(mark.window[2:])
            window = (min(x0, x1), min(y0, y1), max(x0, x1), max(y0, y1))
            return Clip(window, placed(mark.marks, where))
        case Copy():
            return Copy(mark.pattern, mark.where.then(where))


def turned(marks: Iterable[Mark], where: Placement) -> Drawing:
    """The marks moved and turned, text included. Clip windows are dropped: what they hid would show."""
    drawing: list[Mark] = []
    for mark in marks:
        if isinstance(mark, Clip):
            drawing += turned(mark.marks, where)
        elif isinstance(mark, Text):
            drawing.append(replace(mark, at=where.point(mark.at), angle=mark.angle + where.angle))
        else:
            drawing.append(_placed(mark, where))
    return tuple(drawing)


def shifted(marks: Iterable[Mark], dx: float, dy: float) -> Drawing:
    """The marks moved by dx and dy, mm."""
    return placed(marks, Placement(dx, dy))


def extent(marks: Iterable[Mark]) -> Box:
    """Smallest x and y, largest x and y of all marks but text, mm. Raises ValueError for a drawing without such marks."""
    boxes = [b for b in map(_extent, marks) if b]
    x0, y0, x1, y1 = zip(*boxes, strict=True)
    return min(x0), min(y0), max(x1), max(y1)


def seen(marks: Iterable[Mark], window: Box) -> Drawing:
    """The marks that may show in a window; others would only make a file larger. Text is kept, since its width is unknown."""
    boxes = ((mark, _extent(mark)) for mark in marks)
    return tuple(mark for mark, box in boxes if box is None or _meet(box, window))


def _meet(a: Box, b: Box) -> bool:
    return a[0] <= b[2] and b[0] <= a[2] and a[1] <= b[3] and b[1] <= a[3]


def _extent(mark: Mark) -> Box | None:
    match mark:
        case Curve(path=path):
            return _bounds(flatten(path, _FLAT))
        case Copy(pattern=pattern, where=where):
            return _bounds(where.points(_points(pattern)))
        case Disc(centre=(x, y), radius=r):
            return x - r, y - r, x + r, y + r
        case Cells(at=(x, y), side=side):
            return x, y, x + side, y + side
        case Clip(window=window):
            return window
        case Text():
            return None


@lru_cache(maxsize=256)
def _points(pattern: Pattern) -> Points:
    """Points on all curves and discs of a pattern, shape (n, 2)."""
    paths = [mark.path if isinstance(mark, Curve) else circle(mark.centre, mark.radius) for mark in pattern.marks]
    return np.concatenate([flatten(path, _FLAT) for path in paths])


def _bounds(points: Points) -> Box:
    (x0, y0), (x1, y1) = points.min(axis=0), points.max(axis=0)
    return float(x0), float(y0), float(x1), float(y1)
