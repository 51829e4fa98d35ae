"""The input and output of nesting. Millimetres; a bar's origin is its lower corner at end A, with x along the bar."""

from collections import Counter
from decimal import Decimal
from functools import lru_cache
from typing import Literal

import numpy as np
from msgspec import Struct, field

from workbook.geometry.path import Placement, Points
from workbook.geometry.polygon import Polygon, of_points

DECIMALS = 4  # of a millimetre in which outlines are written, verified and cut


class Part(Struct, frozen=True, kw_only=True, eq=False):
    """A kind of blank: its finished outline (n, 2), flattened, in its template's frame, and the number wanted."""

    name: str
    steel: str
    outline: Points
    quantity: int
    key: str = ""  # of its template
    directions: tuple[float, ...] = (0.0,)  # radians from the bar's length at which it may lie, either end first
    openings: tuple[Points, ...] = ()  # of the outline, in which other blanks may lie
    on_edge: bool = False  # its upper side, the spine, may lie on a long edge of the bar


class Stock(Struct, frozen=True, kw_only=True):
    """A kind of bar on the rack or for sale. `count` None: any number."""

    name: str
    width: float
    length: float
    price: Decimal
    count: int | None
    source: str  # "rack", "offcut" or "buy"
    edge: float | None = None  # least distance of a finished outline from its long edges; None: the job's
    beyond: float = 0.0  # its lower edge is this much longer than `length`, to which it is of full width
    tongue: float = 0.0  # the width of what is beyond; 0: it tapers to nothing, cut off slanting

    @property
    def tail(self) -> float:
        """The area in mm² of what goes on beyond its full width."""
        return self.beyond * (self.tongue or self.width / 2)

    @property
    def area(self) -> float:
        """Its whole area, mm²."""
        return self.length * self.width + self.tail


class Piece(Struct, frozen=True):
    """A blank placed on a bar: its part, and where its frame lies (mm, radians)."""

    part: int
    x: float
    y: float
    angle: float
    mirrored: bool

    def placement(self) -> Placement:
        """The same as a placement."""
        return Placement(self.x, self.y, self.angle, self.mirrored)


class BarUse(Struct, frozen=True):
    """One bar in use and the blanks on it, from end A on."""

    stock: int
    pieces: tuple[Piece, ...]


class NestingJob(Struct, frozen=True, kw_only=True):
    """Parts, bars and the rules between them."""

    parts: tuple[Part, ...]
    stock: tuple[Stock, ...]
    suits: frozenset[tuple[int, int]]  # part and stock that go together: steel and thickness
    separation: float  # least distance between two finished outlines
    bar_end: float
    bar_edge: float
    lost_at_end: float = 0.0  # clean-up and kerf beyond the last blank
    tilt: float = 0.0  # radians a blank may lean
    hulls: bool = False  # straight cuts only: convex hulls are kept apart
    offcuts_first: bool = False  # an offcut counts as free, so that it is used before a whole bar
    kept: tuple[BarUse, ...] = ()  # every layout begins with these bars and pieces, which count towards the quantities
    marks: tuple[tuple[str, ...], ...] = ()  # serials that kept pieces already have, bar by bar as in `kept`
    used: tuple[str, ...] = ()  # serials of blanks already cut: none is given twice

    def counts(self, stock: int) -> Decimal:
        """The price that using a rack bar counts when layouts are compared."""
        bar = self.stock[stock]
        return Decimal(0) if self.offcuts_first and bar.source == "offcut" else bar.price

    def edge(self, stock: int) -> float:
        """Least distance from a finished outline to either long edge of a bar."""
        distance = self.stock[stock].edge
        return self.bar_edge if distance is None else distance


class Layout(Struct, frozen=True):
    """Bars with blanks, and how many of each part found no room."""

    bars: tuple[BarUse, ...]
    left_over: tuple[tuple[int, int], ...] = ()  # part, how many


By = Literal["compiled", "plain", "waiting"]  # the compiled search; the plain one, for good or until the other is compiled


class Progress(Struct, frozen=True):
    """The state of a search after so many steps. `best` is verified; `done` when nothing better can be expected."""

    step: int
    best: Layout
    done: bool = False
    improved: bool = field(default=True)
    by: By = "compiled"


def bought_for(job: NestingJob, layout: Layout) -> Decimal:
    """The price of the bars of a layout that are bought."""
    return sum((job.stock[use.stock].price for use in layout.bars if job.stock[use.stock].source == "buy"), Decimal(0))


def laid_out(layout: Layout, parts: int) -> tuple[int, ...]:
    """The number of blanks of each part that lie on the layout's bars."""
    counts = Counter(piece.part for use in layout.bars for piece in use.pieces)
    return tuple(counts[part] for part in range(parts))


def written(job: NestingJob, piece: Piece) -> Points:
    """The finished outline of a piece on its bar, exactly as it is written: rounded to `DECIMALS`."""
    return outline_of(job.parts[piece.part], piece)


def outline_of(part: Part, piece: Piece) -> Points:
    """The same, for a piece of a given part."""
    return np.round(piece.placement().points(part.outline), DECIMALS)


def region(part: Part) -> Polygon:
    """The area that other blanks must keep clear of: the outline less the openings in which they may lie."""
    return of_points(part.outline, part.openings)


@lru_cache(maxsize=10_000)
def _reach(part: Part, piece: Piece) -> float:
    """How far along its bar a piece reaches, in mm; cached, since a blank moved by hand leaves a thousand others unchanged."""
    return float(outline_of(part, piece)[:, 0].max())


def used_length(job: NestingJob, use: BarUse) -> float:
    """The length of bar in mm that the blanks take: to the farthest outline, plus the clean-up and the saw's kerf."""
    reach = max(_reach(job.parts[piece.part], piece) for piece in use.pieces)
    return min(job.stock[use.stock].length, reach + job.lost_at_end)
