"""Blanks moved by hand: how one stands on a bar, what it comes too near to, and the shortest way clear of it. Millimetres."""

from collections.abc import Callable
from math import inf, pi

from msgspec import Struct

from workbook.geometry.polygon import Polygon, closest_pair, gaps, moved_by, overlap
from workbook.nesting.fits import ALLOWED, on_edges
from workbook.nesting.model import DECIMALS, BarUse, Layout, NestingJob, Piece, written
from workbook.nesting.verify import outline
from workbook.structs import replace
from workbook.texts import _

_STEPS = (*range(40), *range(40, 1200, 4))  # mm a blank is moved to come clear, as tried one after another
_HALVINGS = 16
_GRAIN = 10.0**-DECIMALS
_WAYS = ((0.0, 1.0), (0.0, -1.0), (1.0, 0.0), (-1.0, 0.0))

Free = Callable[[Polygon], bool]


class StandingBlank(Struct, frozen=True):
    """How a blank stands on its bar.

    `neighbour`: which of the bar's blanks is nearest (None: it lies alone) and `gap` how far it is; `edge`: in words, the edge
    or end of the bar it is nearest to and `room` how far. Both are negative where it overlaps or hangs over. `short`: by how
    much the worse of the two falls short of what is wanted; 0 where it may lie.
    """

    neighbour: int | None
    gap: float
    edge: str
    room: float
    short: float
    by_neighbour: bool  # whether it is the neighbour that is the worse

    @property
    def clear(self) -> bool:
        """Whether it may lie there."""
        return self.short <= ALLOWED


class Bed(Struct, frozen=True, eq=False):
    """A bar and what lies on it besides the blank in hand."""

    job: NestingJob
    stock: int
    others: tuple[Polygon, ...]
    places: tuple[int, ...]  # which of the bar's blanks each of them is

    def standing(self, piece: Piece) -> StandingBlank:
        """How the blank in hand would stand here."""
        own = outline(self.job, piece)
        room, edge, short = self._edge(piece, own)
        found = gaps(own, self.others)
        gap, at = min(zip(found, range(len(found)), strict=True), default=(inf, -1))
        if at < 0:
            return StandingBlank(None, inf, edge, room, max(short, 0.0), by_neighbour=False)
        if gap == 0.0:
            gap, at = min((-overlap(own, self.others[i]), i) for i, each in enumerate(found) if each == 0.0)
        lack = self.job.separation - gap
        return StandingBlank(self.places[at], gap, edge, room, max(lack, short, 0.0), by_neighbour=lack >= short)

    def clear_of(self, piece: Piece) -> Piece | None:
        """The blank moved the shortest straight way, along or across the bar, to where it may lie; None: none is near."""
        own, far, best = outline(self.job, piece), inf, None
        for dx, dy in _WAYS:
            found = _until(own, (dx, dy), lambda shape: self._free(piece, shape), min(far, self._room(own, (dx, dy))))
            if found is not None and found < far:
                moved = (self._written(piece, dx * by, dy * by) for by in (found, found + _GRAIN, found - _GRAIN))
                clear = next((one for one in moved if self.standing(one).clear), None)
                far, best = (found, clear) if clear else (far, best)
        for edge in self._at_edges(piece):  # steps go past a place that is hardly wider than the blank
            way = abs(edge.x - piece.x) + abs(edge.y - piece.y)
            if way < far and self.standing(edge).clear:
                far, best = way, edge
        return best

    def _at_edges(self, piece: Piece) -> tuple[Piece, ...]:
        """The blank moved straight to just the wanted distance from each end and edge."""
        bar, margin = self.job.stock[self.stock], self.job.edge(self.stock)
        x0, y0, x1, y1 = outline(self.job, piece).bounds
        below, above = self._trims(piece)
        ends = (self.job.bar_end - x0, bar.length - self.job.bar_end - x1)
        edges = (margin - below - y0, bar.width - margin + above - y1)
        return (*(self._written(piece, by, 0.0) for by in ends), *(self._written(piece, 0.0, by) for by in edges))

    def _written(self, piece: Piece, dx: float, dy: float) -> Piece:
        """The blank moved, in the decimals that are written."""
        return replace(piece, x=round(piece.x + dx, DECIMALS), y=round(piece.y + dy, DECIMALS))

    def _room(self, own: Polygon, way: tuple[float, float]) -> float:
        """How far a shape may be moved in a direction before it leaves the bar."""
        bar, (x0, y0, x1, y1) = self.job.stock[self.stock], own.bounds
        ahead = {(0.0, 1.0): bar.width - y1, (0.0, -1.0): y0, (1.0, 0.0): bar.length - x1, (-1.0, 0.0): x0}[way]
        return max(ahead, 0.0)

    def against(self, piece: Piece, reach: float) -> Piece:
        """The blank moved to just the wanted distance from the bar's edges and ends, where it is within reach of that."""
        low, high, below, above = self._at_edges(piece)
        x = min((low.x, high.x), key=lambda at: abs(at - piece.x))
        y = min((below.y, above.y), key=lambda at: abs(at - piece.y))
        near_x, near_y = abs(x - piece.x) <= reach, abs(y - piece.y) <= reach
        return replace(piece, x=x if near_x else piece.x, y=y if near_y else piece.y)

    def _free(self, piece: Piece, shape: Polygon) -> bool:
        apart = self.job.separation - ALLOWED
        return self._edge(piece, shape)[2] <= ALLOWED and min(gaps(shape, self.others), default=inf) >= apart

    def _trims(self, piece: Piece) -> tuple[float, float]:
        """By how much less than the margin its lower and its upper side may keep."""
        below, above = on_edges(self.job, piece.part, piece.angle, mirrored=piece.mirrored)
        return self.job.bar_edge * below, self.job.bar_edge * above

    def _edge(self, piece: Piece, own: Polygon) -> tuple[float, str, float]:
        """How far the worst edge or end of the bar is, which that is, and by how much it falls short."""
        bar, margin = self.job.stock[self.stock], self.job.edge(self.stock)
        x0, y0, x1, y1 = own.bounds
        below, above = self._trims(piece)
        rooms = (
            (x0, "end A", self.job.bar_end),
            (bar.length - x1, "end B", self.job.bar_end),
            (y0, _("the lower edge"), margin - below),
            (bar.width - y1, _("the upper edge"), margin - above),
        )
        room, edge, wanted = min(rooms, key=lambda one: one[0] - one[2])
        return room, edge, wanted - room


def bed(job: NestingJob, use: BarUse, without: int | None = None) -> Bed:
    """A bar with its blanks, less the one that is in hand."""
    places = tuple(i for i in range(len(use.pieces)) if i != without)
    return Bed(job, use.stock, tuple(outline(job, use.pieces[i]) for i in places), places)


def clashing(job: NestingJob, use: BarUse) -> frozenset[int]:
    """The blanks of a bar that come too near to others, or to an edge or end of it."""
    shapes = [outline(job, piece) for piece in use.pieces]
    near = {i for pair in closest_pair(shapes, job.separation - ALLOWED) for i in pair}
    alone = Bed(job, use.stock, (), ())
    over = (i for i, piece in enumerate(use.pieces) if not alone.standing(piece).clear)
    return frozenset(near).union(over)


def _until(own: Polygon, way: tuple[float, float], free: Free, reach: float) -> float | None:
    """How far a shape is moved in a direction until it is free, within 0.0001 mm; None when it is not within reach."""
    before, far = 0.0, None
    for step in (float(step) for step in _STEPS if step <= reach + 1):
        if free(moved_by(own, way[0] * step, way[1] * step)):
            far = step
            break
        before = step
    if far is None or far == 0.0:
        return far
    low, high = before, far
    for _unused in range(_HALVINGS):
        middle = (low + high) / 2
        low, high = (low, middle) if free(moved_by(own, way[0] * middle, way[1] * middle)) else (middle, high)
    return high


def by_steps(piece: Piece, dx: float, dy: float, step: float) -> Piece:
    """A blank moved by whole steps."""
    x, y = (round(move / step) * step for move in (dx, dy))
    return replace(piece, x=round(piece.x + x, DECIMALS), y=round(piece.y + y, DECIMALS))


def turned(job: NestingJob, piece: Piece) -> Piece:
    """The blank end for end, about the middle of where it lies."""
    return _about_middle(job, piece, replace(piece, angle=(piece.angle + pi) % (2 * pi)))


def flipped(job: NestingJob, piece: Piece) -> Piece:
    """The blank with its other face up, its point towards the same end."""
    return _about_middle(job, piece, replace(piece, angle=-piece.angle % (2 * pi), mirrored=not piece.mirrored))


def _about_middle(job: NestingJob, before: Piece, after: Piece) -> Piece:
    (x, y), (u, v) = (_middle(job, piece) for piece in (before, after))
    return replace(after, x=round(after.x + x - u, DECIMALS), y=round(after.y + y - v, DECIMALS))


def _middle(job: NestingJob, piece: Piece) -> tuple[float, float]:
    points = written(job, piece)
    low, high = points.min(axis=0), points.max(axis=0)
    return float(low[0] + high[0]) / 2, float(low[1] + high[1]) / 2


def put(layout: Layout, spot: tuple[int, int], piece: Piece, to: int) -> tuple[Layout, tuple[int, int]]:
    """The layout with a blank put elsewhere on its bar or on another, and its new spot. A bar left empty is not taken."""
    bar, index = spot
    uses = [list(use.pieces) for use in layout.bars]
    if to == bar:
        uses[bar][index] = piece
    else:
        uses[bar].pop(index)
        uses[to].append(piece)
        index = len(uses[to]) - 1
    at = to - sum(1 for pieces in uses[:to] if not pieces)
    bars = tuple(BarUse(use.stock, tuple(pieces)) for use, pieces in zip(layout.bars, uses, strict=True) if pieces)
    return Layout(bars, layout.left_over), (at, index)
