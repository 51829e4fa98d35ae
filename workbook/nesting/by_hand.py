"""Blanks moved by hand: how one lies on a bar, what it is too near to, and the shortest move clear of it. Millimetres."""

from collections.abc import Sequence
from math import cos, inf, pi, sin

from msgspec import Struct

from workbook.geometry.clearance import Surroundings
from workbook.geometry.polygon import Polygon, closest_pair, gap_to, gaps, moved_by, of_points, overlap
from workbook.nesting.fits import ALLOWED, margin_of_tail, missing, on_edges
from workbook.nesting.model import DECIMALS, BarUse, NestingJob, Piece, written
from workbook.nesting.verify import outline
from workbook.structs import replace
from workbook.texts import _

_STEPS = (*range(40), *range(40, 1200, 4))  # mm a blank is moved to come clear, tried in this order
_HALVINGS = 16
_GRAIN = 10.0**-DECIMALS
_WAYS = ((0.0, 1.0), (0.0, -1.0), (1.0, 0.0), (-1.0, 0.0))
_ROUND = 16  # directions of which the four above are part
_SLANTED = tuple((cos(2 * pi * k / _ROUND), sin(2 * pi * k / _ROUND)) for k in range(_ROUND) if k % (_ROUND // 4))
_SLANTED_REACH = 60.0  # mm a blank is moved in those


class StandingBlank(Struct, frozen=True):
    """How a blank lies on its bar; lengths in mm.

    `neighbour`: the index of the nearest blank on the bar (None: it lies alone), at a distance of `gap`; `edge`: in words, the
    nearest edge or end of the bar, at a distance of `room`. Both distances are negative where it overlaps or hangs over. `short`:
    by how much the worse of the two falls short of what is required; 0 where the blank may lie there.
    """

    neighbour: int | None
    gap: float
    edge: str
    room: float
    short: float
    by_neighbour: bool  # whether the neighbour is the worse of the two

    @property
    def clear(self) -> bool:
        """Whether it may lie there."""
        return self.short <= ALLOWED


class Bed(Struct, frozen=True, eq=False):
    """A bar and the blanks on it other than the one being moved."""

    job: NestingJob
    stock: int
    others: tuple[Polygon, ...]
    places: tuple[int, ...]  # their indices among the bar's blanks

    def standing(self, piece: Piece) -> StandingBlank:
        """How the moved blank would lie here."""
        shape = outline(self.job, piece)
        room, edge, short = self._edge(piece, shape)
        distances = gaps(shape, self.others)
        gap, at = min(zip(distances, range(len(distances)), strict=True), default=(inf, -1))
        if at < 0:
            return StandingBlank(None, inf, edge, room, max(short, 0.0), by_neighbour=False)
        if gap == 0.0:
            gap, at = min((-overlap(shape, self.others[i]), i) for i, each in enumerate(distances) if each == 0.0)
        lack = self.job.separation - gap
        return StandingBlank(self.places[at], gap, edge, room, max(lack, short, 0.0), by_neighbour=lack >= short)

    def clear_of(self, piece: Piece) -> Piece | None:
        """The blank after the shortest straight move to where it may lie; None without one near."""
        around = Surroundings(self.others, self.job.separation - ALLOWED)
        far, best = self._nearest(around, piece, _WAYS, inf)
        for edge in self._at_edges(piece):  # the steps miss a place hardly wider than the blank
            distance = abs(edge.x - piece.x) + abs(edge.y - piece.y)
            if distance < far and self._free(around, edge, outline(self.job, edge)):
                far, best = distance, edge
        _unused, slanted = self._nearest(around, piece, _SLANTED, min(far, _SLANTED_REACH))
        return slanted or best

    def at_end_a(self, piece: Piece) -> Piece:
        """The blank moved to end A, or beside what lies there; where it was along the bar if it finds no room."""
        first = self._at_edges(piece)[0]
        return self.clear_of(self.against(first, inf)) or first

    def _nearest(
        self, around: Surroundings, piece: Piece, ways: Sequence[tuple[float, float]], far: float
    ) -> tuple[float, Piece | None]:
        """How long the shortest move in some directions is to where the blank may lie, if below `far`, and the blank there."""
        blank, best = outline(self.job, piece), None
        for dx, dy in ways:
            shift = self._until(around, piece, blank, (dx, dy), min(far, self._room(blank, (dx, dy))))
            if shift is not None and shift < far:
                moved = (shifted(piece, dx * by, dy * by) for by in (shift, shift + _GRAIN, shift - _GRAIN))
                clear = next((each for each in moved if self._free(around, each, outline(self.job, each))), None)
                far, best = (shift, clear) if clear else (far, best)
        return far, best

    def _until(
        self, around: Surroundings, piece: Piece, blank: Polygon, direction: tuple[float, float], reach: float
    ) -> float | None:
        """How far to move a blank in a direction until it is free, to 0.0001 mm; None when that is not within reach."""

        def free(step: float) -> bool:
            return self._free(around, piece, moved_by(blank, direction[0] * step, direction[1] * step))

        if free(0.0):
            return 0.0
        steps = [float(step) for step in _STEPS if step <= reach + 1]
        clear = around.maybe_clear(blank, direction, steps)
        first = next((k for k, may in enumerate(clear) if may and k > 0 and free(steps[k])), None)
        if first is None:
            return None
        low, high = steps[first - 1], steps[first]
        for _unused in range(_HALVINGS):
            middle = (low + high) / 2
            low, high = (low, middle) if free(middle) else (middle, high)
        return high

    def _at_edges(self, piece: Piece) -> tuple[Piece, ...]:
        """The blank moved straight to exactly the required distance from each end and edge."""
        bar, margin = self.job.stock[self.stock], self.job.edge(self.stock)
        x0, y0, x1, y1 = outline(self.job, piece).bounds
        below, above = self._trims(piece)
        ends = (self.job.bar_end - x0, bar.length + bar.beyond - self.job.bar_end - x1)
        edges = (margin - below - y0, bar.width - margin + above - y1)
        return (*(shifted(piece, by, 0.0) for by in ends), *(shifted(piece, 0.0, by) for by in edges))

    def _room(self, shape: Polygon, direction: tuple[float, float]) -> float:
        """How far a shape can be moved in a direction before it leaves the bar, in mm."""
        bar, (x0, y0, x1, y1) = self.job.stock[self.stock], shape.bounds
        dx, dy = direction
        along = inf if dx == 0.0 else max(bar.length + bar.beyond - x1 if dx > 0 else x0, 0.0) / abs(dx)
        across = inf if dy == 0.0 else max(bar.width - y1 if dy > 0 else y0, 0.0) / abs(dy)
        return min(along, across)

    def against(self, piece: Piece, reach: float) -> Piece:
        """Move the blank to exactly the required distance from the bar's edges and ends, where that is within `reach` mm."""
        low, high, below, above = self._at_edges(piece)
        x = min((low.x, high.x), key=lambda at: abs(at - piece.x))
        y = min((below.y, above.y), key=lambda at: abs(at - piece.y))
        near_x, near_y = abs(x - piece.x) <= reach, abs(y - piece.y) <= reach
        return replace(piece, x=x if near_x else piece.x, y=y if near_y else piece.y)

    def _free(self, around: Surroundings, piece: Piece, shape: Polygon) -> bool:
        return self._edge(piece, shape)[2] <= ALLOWED and around.clear(shape)

    def _trims(self, piece: Piece) -> tuple[float, float]:
        """How far its lower and its upper side may come inside the margin, in mm."""
        below, above = on_edges(self.job, piece.part, piece.angle, mirrored=piece.mirrored)
        return self.job.bar_edge * below, self.job.bar_edge * above

    def _edge(self, piece: Piece, shape: Polygon) -> tuple[float, str, float]:
        """The distance to the worst edge or end of the bar, its name, and by how much it falls short."""
        bar, margin = self.job.stock[self.stock], self.job.edge(self.stock)
        x0, y0, x1, y1 = shape.bounds
        below, above = self._trims(piece)
        rooms = [
            (x0, _("end A"), self.job.bar_end),
            (bar.length + bar.beyond - x1, _("end B"), self.job.bar_end),
            (y0, _("the lower edge"), margin - below),
            (bar.width - y1, _("the upper edge"), margin - above),
        ]
        if bar.beyond:
            words = _("the missing corner") if bar.tongue else _("the slanting end")
            apart = gap_to(shape, of_points(missing(bar)))
            rooms.append((apart, words, margin_of_tail(self.job, self.stock)))
        room, edge, minimum = min(rooms, key=lambda row: row[0] - row[2])
        return room, edge, minimum - room


def bed(job: NestingJob, use: BarUse, without: int | None = None) -> Bed:
    """A bar with its blanks, without the one being moved."""
    places = tuple(i for i in range(len(use.pieces)) if i != without)
    return Bed(job, use.stock, tuple(outline(job, use.pieces[i]) for i in places), places)


def clashing(job: NestingJob, use: BarUse) -> frozenset[int]:
    """The blanks of a bar that come too near to others, or to an edge or end of it."""
    shapes = [outline(job, piece) for piece in use.pieces]
    near = {i for pair in closest_pair(shapes, job.separation - ALLOWED) for i in pair}
    alone = Bed(job, use.stock, (), ())
    over = (i for i, piece in enumerate(use.pieces) if not alone.standing(piece).clear)
    return frozenset(near).union(over)


def shifted(piece: Piece, dx: float, dy: float) -> Piece:
    """The blank moved by (dx, dy) mm, rounded to the decimals that are written."""
    return replace(piece, x=round(piece.x + dx, DECIMALS), y=round(piece.y + dy, DECIMALS))


def by_steps(piece: Piece, dx: float, dy: float, step: float) -> Piece:
    """Move a blank by whole steps (mm)."""
    return shifted(piece, round(dx / step) * step, round(dy / step) * step)


def turned(job: NestingJob, piece: Piece) -> Piece:
    """Turn the blank end for end about its middle."""
    return _about_middle(job, piece, replace(piece, angle=(piece.angle + pi) % (2 * pi)))


def flipped(job: NestingJob, piece: Piece) -> Piece:
    """Turn the blank over, with its point towards the same end."""
    return _about_middle(job, piece, replace(piece, angle=-piece.angle % (2 * pi), mirrored=not piece.mirrored))


def _about_middle(job: NestingJob, before: Piece, after: Piece) -> Piece:
    (x, y), (u, v) = (_middle(job, piece) for piece in (before, after))
    return shifted(after, x - u, y - v)


def _middle(job: NestingJob, piece: Piece) -> tuple[float, float]:
    points = written(job, piece)
    low, high = points.min(axis=0), points.max(axis=0)
    return float(low[0] + high[0]) / 2, float(low[1] + high[1]) / 2
