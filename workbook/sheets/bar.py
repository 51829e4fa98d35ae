"""One bar with its blanks as every bar sheet needs it: positions, serials and cuts in the bar's own frame (mm)."""

from collections.abc import Sequence
from functools import lru_cache
from math import ceil, cos, floor, hypot
from typing import NamedTuple

import numpy as np
from msgspec import Struct

from workbook.geometry.drawing import MM_PER_POINT, Copy, Curve, Drawing, Mark, Pattern, Text, stroke
from workbook.geometry.lettering import Measure, width
from workbook.geometry.lines import clear_stretch, obstacles, run_out
from workbook.geometry.path import Placement, Point, Points
from workbook.geometry.polygon import (
    Polygon,
    Ring,
    box,
    closest_pair,
    corners,
    distances,
    fewer,
    hull,
    nearest,
    nearest_on,
    of_points,
    ring_of,
    simpler,
)
from workbook.geometry.steering import evenly, widest_turn
from workbook.nesting.cuts import CutPlan
from workbook.nesting.offcuts import SideOffcut
from workbook.nesting.plain.columns import columns
from workbook.sheets.bar_cuts import SawnBar, StraightCut, straight_cuts
from workbook.sheets.bar_saw import SawTime
from workbook.sheets.furniture import crosshair
from workbook.shop.job import bar_corners
from workbook.template.shape import Shape, punch_marks
from workbook.texts import _

_ENDS = 4  # columns at either end of a shared stretch, where one blank may stand up beside the other
_FREE = 0.45  # fraction of the separation a saw line keeps from every blank: half a gap less the rounding of columns
_ON = 0.05  # mm from the bar's edge that count as on it
_FINE = 0.02  # mm a saw line may be drawn off the middle
_NEAR = 6.0  # mm; blanks this close are neighbours, however thin the saw
_SOME = 4  # one point of a line in this many is checked
_ARM = 4.0  # mm beyond a hole's edge that its mark and some room take


class Profile(Struct, frozen=True, eq=False):
    """A placed outline in columns of a millimetre from an integer `start` on: lowest and highest y in each."""

    start: int
    low: Points
    high: Points


class Between(Struct, frozen=True):
    """The line in the middle of the gap between two blanks, by their serials."""

    lower: str
    upper: str
    points: tuple[Point, ...]
    runs_out: tuple[bool, bool] = (False, False)  # whether its first and its last point are only its way to another cut

    @property
    def in_gap(self) -> tuple[Point, ...]:
        """The points in the gap itself."""
        before, after = self.runs_out
        return self.points[int(before) : len(self.points) - int(after)]

    @property
    def middle(self) -> Point:
        """The point half-way along, for its number."""
        points = self.in_gap
        a, b = points[(len(points) - 1) // 2], points[len(points) // 2]
        return (a[0] + b[0]) / 2, (a[1] + b[1]) / 2


class Blank(Struct, frozen=True, kw_only=True, eq=False):
    """A blank placed on its bar."""

    serial: str
    shape: Shape
    placement: Placement
    outline: Points  # finished, as written
    profile: Profile

    @property
    def spine_up(self) -> bool:
        """Whether the spine lies towards the bar's upper edge."""
        return cos(self.placement.angle) * (-1 if self.placement.mirrored else 1) > 0

    @property
    def face_up(self) -> str:
        """The face that is up, "left" or "right"."""
        return "left" if self.placement.mirrored else "right"

    @property
    def span(self) -> tuple[float, float]:
        """Lowest and highest x."""
        return float(self.outline[:, 0].min()), float(self.outline[:, 0].max())

    @property
    def butt_and_point(self) -> tuple[float, float]:
        """x of the butt and of the point."""
        low, high = self.span
        return (low, high) if cos(self.placement.angle) > 0 else (high, low)

    def punches(self) -> tuple[Point, ...]:
        """Positions on the bar of the first and the last hole or, without two, of the point and the butt."""
        return tuple(self.placement.point(p) for p in punch_marks(self.shape))

    @property
    def middle(self) -> Point:
        """A point inside the blank for its serial."""
        x = sum(self.span) / 2
        at = int(x) - self.profile.start
        return x, float(self.profile.low[at] + self.profile.high[at]) / 2


def profile_of(outline: Points) -> Profile:
    """The columns of a placed outline."""
    start = floor(float(outline[:, 0].min()))
    low, high = columns(outline, float(start))
    return Profile(start, low, high)


class TightTurn(Struct, frozen=True):
    """A line between two blanks that turns tighter than the saw can, even with all the room in the gap."""

    line: Between
    radius: float


class BarPlan(Struct, frozen=True, kw_only=True, eq=False):
    """A bar, the blanks on it and the cuts that part them."""

    number: int
    name: str
    steel: str
    nominal: tuple[float, float, float]  # thickness, width, length
    size: tuple[float, float, float]  # as measured, or nominal
    read: tuple[bool, bool, bool]  # which of these were measured
    source: str
    blanks: tuple[Blank, ...]
    cuts: CutPlan
    between: tuple[Between, ...]
    separation: float
    clean_up: float
    kerf: float
    service: bool  # cut by jet or laser: no saw
    edge: float  # least distance of an outline from a long edge
    end: float  # and from an end
    used: float
    keep: float  # least length of an offcut that goes back to the rack
    beside: tuple[SideOffcut, ...] = ()  # offcuts for the rack beside the blanks
    tight: tuple[TightTurn, ...] = ()
    at_saw: SawTime | None = None  # None: a service cuts, or the lines are not known
    beyond: tuple[float, float] = (0.0, 0.0)  # how far its lower edge goes on, and how wide the bar is there; 0: cut off slanting

    @property
    def sides(self) -> tuple[tuple[float, bool, str], ...]:
        """Thickness, width and length: each with whether it was measured, and its label."""
        beyond, tongue = self.beyond
        shorter = _("long at full width") if tongue else _("long at the shorter edge")
        long = shorter if beyond else _("long")
        return tuple(zip(self.size, self.read, (_("thick"), _("wide"), long), strict=True))

    @property
    def longest(self) -> float:
        """The length of its longer edge."""
        return self.size[2] + self.beyond[0]

    @property
    def edge_line(self) -> tuple[Point, ...]:
        """The corners of the bar, closed; from end A along its lower edge."""
        corners = bar_corners(self.size[2], self.size[1], *self.beyond)
        return (*corners, corners[0])

    @property
    def keeps_offcut(self) -> bool:
        """Whether the piece at end B goes back to the rack."""
        return self.offcut >= self.keep and self.offcut > 0

    @property
    def offcut(self) -> float:
        """Length left at end B."""
        return self.size[2] - self.used

    @property
    def lost(self) -> float:
        """The share of the bar that is neither in blanks nor in offcuts that are kept."""
        _unused, width, length = self.size
        tail = self.beyond[0] * (self.beyond[1] or width / 2)
        kept = (width * self.offcut + tail if self.keeps_offcut else 0.0) + sum(each.area for each in self.beside)
        return 1.0 - (sum(of_points(blank.outline).area for blank in self.blanks) + kept) / (width * length + tail)

    @property
    def straight(self) -> tuple[StraightCut, ...]:
        """The straight cuts in the order in which they are sawn; none where a service cuts."""
        length, width = self.size[2], self.size[1]
        sawn = SawnBar(length, width, self.kerf, self.used, self.keeps_offcut, self.cuts.across, self.beside)
        return () if self.service else straight_cuts(sawn)

    @property
    def stops(self) -> list[Sequence[Point]]:
        """Where a line between blanks may end besides the rectangle of the bar: straight cuts, and where steel is missing."""
        missing = [self.edge_line[1:-2]] if self.beyond[0] else []
        return [*(cut.points for cut in self.straight), *missing]

    @property
    def reaches_on(self) -> bool:
        """Whether an offcut beside blanks reaches on behind the last one."""
        return any(each.x + each.length > self.used for each in self.beside)

    def on_edge(self, blank: Blank) -> bool:
        """Whether a blank's spine lies on the bar's edge."""
        low, high = float(blank.outline[:, 1].min()), float(blank.outline[:, 1].max())
        return (self.size[1] - high if blank.spine_up else low) < min(_ON, self.edge / 2)


def between(plan: BarPlan, *, straight: bool) -> tuple[Between, ...]:
    """Build the lines that part neighbours of a bar not yet parted by its straight cuts, in order from end A.

    `straight`: each is a straight line between the two blanks' hulls. Otherwise it follows the middle of the gap where one
    blank lies over the other, and crosses it at its narrowest where they lie end to end. A line ends where it would come
    closer to any blank than the clean-up allows, enter an offcut that is kept, or leave the bar.
    """
    blanks, separation, bar = plan.blanks, plan.separation, (plan.longest, plan.size[1])
    shapes = [hull(of_points(b.outline)) if straight else simpler(of_points(b.outline), _FINE) for b in blanks]
    groups = {piece: n for n, group in enumerate(plan.cuts.groups) for piece in group.pieces}
    near = [(a, b) for a, b in closest_pair(shapes, max(3 * separation, _NEAR)) if groups[a] == groups[b]]
    room, lines = _FREE * separation, []
    beside = [box(each.x, each.y, each.x + each.length, each.y + each.width) for each in plan.beside]
    grown = obstacles(shapes, room, beside)
    facing = [] if straight else [_Facing(shape, ring_of(shape), *_sides(corners(shape))) for shape in shapes]
    for a, b in near:
        (x0, y0), (x1, y1) = nearest(shapes[a], shapes[b])
        if (x0, y0) == (x1, y1):
            continue  # they touch: no line lies between them
        line = None if straight else _middle_line(blanks, facing, a, b) or _middle_line(blanks, facing, b, a)
        line = line or _across_gap(blanks[a], blanks[b], shapes[a], shapes[b], None if straight else hypot(*bar))
        clear = clear_stretch(line.points, grown, 2 * room, ((x0 + x1) / 2, (y0 + y1) / 2), bar)
        if clear:
            lines.append(Between(line.lower, line.upper, tuple(clear)))
    whole = run_out([line.points for line in lines], plan.stops, grown, bar)
    lines = [
        Between(line.lower, line.upper, points, (points[0] != line.points[0], points[-1] != line.points[-1]))
        for line, points in zip(lines, whole, strict=True)
    ]
    return tuple(sorted(lines, key=lambda line: line.points[0]))


def tight_turns(lines: Sequence[Between], blanks: Sequence[Blank], kerf: float, least: float) -> tuple[TightTurn, ...]:
    """Find the lines that a saw with this kerf and least radius cannot follow without touching a finished outline."""
    shapes = [of_points(blank.outline) for blank in blanks]

    def room(points: Points) -> Points:
        return distances(points, shapes) - kerf / 2

    turns = []
    for line in lines:
        radius = widest_turn(line.in_gap, room, least)
        turns += [TightTurn(line, radius)] if radius < least else []
    return tuple(turns)


def _across_gap(a: Blank, b: Blank, shape_a: Polygon, shape_b: Polygon, far: float | None) -> Between:
    """The straight line midway between two blanks, square to their shortest distance: `far` either way, or as long as both."""
    (x0, y0), (x1, y1) = nearest(shape_a, shape_b)
    gap = hypot(x1 - x0, y1 - y0)
    along, middle = ((y0 - y1) / gap, (x1 - x0) / gap), ((x0 + x1) / 2, (y0 + y1) / 2)
    reach = [0.0]
    for shape in (shape_a, shape_b):
        reach += [float(t) for t in (corners(shape) - middle) @ along]
    low, high = (min(reach), max(reach)) if far is None else (-far, far)
    ends = ((middle[0] + t * along[0], middle[1] + t * along[1]) for t in (low, high))
    return Between(a.serial, b.serial, tuple(sorted(ends)))


class _Facing(NamedTuple):
    """A blank as its neighbours see it: its area, its outline, and the lower and the upper side of the outline."""

    shape: Polygon
    ring: Ring
    low: Points
    high: Points


def _middle_line(blanks: Sequence[Blank], facing: Sequence[_Facing], under: int, over: int) -> Between | None:
    """The middle of the gap along the stretch two blanks share; None if one is not under the other all along it."""
    lower, upper = blanks[under], blanks[over]
    a, b = lower.profile, upper.profile
    begin, end = max(a.start, b.start) + _ENDS, min(a.start + len(a.high), b.start + len(b.low)) - _ENDS
    if end - begin < 5:
        return None
    tops, bottoms = a.high[begin - a.start : end - a.start], b.low[begin - b.start : end - b.start]
    if (bottoms - tops).min() < 0:
        return None
    from_below = _mid_gap(_stretch(facing[under].high, begin, end), facing[over].ring)
    from_above = _mid_gap(_stretch(facing[over].low, begin, end), facing[under].ring)
    both = [facing[under].shape, facing[over].shape]
    middle = max(
        (from_below, from_above), key=lambda line: float(distances(line[::_SOME], both).min())
    )  # the one from the smoother side
    return Between(lower.serial, upper.serial, tuple(fewer(middle, _FINE)))


def _sides(outline: Points) -> tuple[Points, Points]:
    """The lower and the upper side of an outline, from left to right, one point per millimetre."""
    left, right = int(outline[:, 0].argmin()), int(outline[:, 0].argmax())
    ring = np.roll(outline, -left, axis=0)
    turn = (right - left) % len(outline)
    first, second = evenly(ring[: turn + 1], 1.0), evenly(np.vstack([ring[turn:], ring[:1]])[::-1], 1.0)
    return (second, first) if first[:, 1].mean() > second[:, 1].mean() else (first, second)


def _stretch(side: Points, begin: float, end: float) -> Points:
    """The part of a side between two positions along the bar."""
    return side[(side[:, 0] >= begin) & (side[:, 0] <= end)]


def _mid_gap(side: Points, other: Ring) -> Points:
    """Points half-way from each point of a side to the nearest of another outline; in small steps round a corner of the side."""
    half = (nearest_on(side, other) - side) / 2
    ends = side + half
    steps = np.maximum(1, np.rint(np.hypot(*np.diff(ends, axis=0).T))).astype(int)
    index = np.repeat(np.arange(len(steps)), steps)  # the step of the side that each new point belongs to
    t = ((np.arange(len(index)) - np.repeat(np.cumsum(steps) - steps, steps) + 1) / steps[index])[:, None]
    length, offset = np.hypot(*half.T)[:, None], half[index] * (1 - t) + half[index + 1] * t
    distance = length[index] * (1 - t) + length[index + 1] * t
    points = side[index] * (1 - t) + side[index + 1] * t + offset * (distance / np.maximum(np.hypot(*offset.T)[:, None], 1e-9))
    return np.vstack([ends[:1], points])


@lru_cache(maxsize=256)
def pattern_of(shape: Shape) -> Pattern:
    """The outline and openings of a shape, to be drawn at each of its blanks."""
    return Pattern(tuple(Curve(path) for path in (shape.outline, *shape.openings)))


def steel_marks(plan: BarPlan, measure: Measure, *, text_size: float, holes: bool, scale: float = 1.0) -> Drawing:
    """The bar's edges, the blanks' outlines, their holes as crosshairs, their serials, at true size; to be drawn to `scale`."""
    marks: list[Mark] = [stroke(plan.edge_line, "outline", layer="BAR")]
    for blank in plan.blanks:
        marks.append(Copy(pattern_of(blank.shape), blank.placement))
        if holes:
            for hole in blank.shape.holes:
                marks += crosshair(blank.placement.point(hole.centre), hole.diameter / 2)
    for blank, (x, y, _wide, high) in zip(plan.blanks, serial_boxes(plan, measure, text_size, scale), strict=True):
        marks.append(Text((x, y - high + 0.2 / scale), blank.serial, text_size, "middle", True))
    return tuple(marks)


@lru_cache(maxsize=64)
def serial_boxes(plan: BarPlan, measure: Measure, size: float, scale: float) -> list[tuple[float, float, float, float]]:
    """Where the serials stand on their blanks: the middle of each and half its width and height, mm of steel."""
    high = 0.36 * size * MM_PER_POINT / scale  # half a capital letter
    boxes = []
    for blank in plan.blanks:
        wide = width(blank.serial, size, True, measure) / 2 / scale
        boxes.append((*_spot(blank, wide, high), wide, high))
    return boxes


def _spot(blank: Blank, wide: float, high: float) -> Point:
    """The place nearest to the blank's middle where a box, of half this width and height, lies on it and over no hole."""
    profile, about = blank.profile, ceil(wide)
    holes = [(*blank.placement.point(hole.centre), hole.diameter / 2 + _ARM) for hole in blank.shape.holes if blank.shape]
    middle = sum(blank.span) / 2 - profile.start
    places = np.arange(about, len(profile.low) - about, 2)
    for i in places[np.argsort(np.abs(places - middle))].tolist():
        low, top = profile.low[i - about : i + about + 1].max(), profile.high[i - about : i + about + 1].min()
        x, y = float(profile.start + i), float(low + top) / 2
        if top - low >= 2 * high + 1.0 and not any(abs(a - x) < wide + r and abs(b - y) < high + r for a, b, r in holes):
            return x, y
    return blank.middle
