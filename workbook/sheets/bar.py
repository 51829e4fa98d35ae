"""One bar with its blanks as every bar sheet needs it: places, serials, cuts, in the bar's own frame (mm)."""

from collections.abc import Iterator
from dataclasses import dataclass
from math import ceil, cos, floor

from workbook.geometry.drawing import Curve, Drawing, Mark, Text, stroke
from workbook.geometry.path import Placement, Point, Points
from workbook.nesting.cuts import CutPlan
from workbook.nesting.tables import columns
from workbook.sheets.furniture import crosshair
from workbook.template.shape import Shape, punch_marks


@dataclass(frozen=True, slots=True, eq=False)
class Profile:
    """A placed outline in columns of a millimetre from a whole `start` on: lowest and highest y in each."""

    start: int
    low: Points
    high: Points


@dataclass(frozen=True, slots=True)
class Between:
    """The line in the middle of the gap between two blanks, by their serials."""

    lower: str
    upper: str
    points: tuple[Point, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Blank:
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
        """The face that looks at you."""
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
        """Where the first and the last hole (or, without two, the point and the butt) come on the bar."""
        return tuple(self.placement.point(p) for p in punch_marks(self.shape))

    @property
    def middle(self) -> Point:
        """A place inside the blank for its serial."""
        x = sum(self.span) / 2
        at = int(x) - self.profile.start
        return x, float(self.profile.low[at] + self.profile.high[at]) / 2


def profile_of(outline: Points) -> Profile:
    """The columns of a placed outline."""
    start = floor(float(outline[:, 0].min()))
    low, high = columns(outline, float(start))
    return Profile(start, low, high)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class BarPlan:
    """A bar, what lies on it and how it comes apart."""

    number: int
    name: str
    steel: str
    nominal: tuple[float, float, float]  # thickness, width, length
    size: tuple[float, float, float]  # as measured, or nominal
    measured: bool
    source: str
    blanks: tuple[Blank, ...]
    cuts: CutPlan
    between: tuple[Between, ...]
    separation: float
    clean_up: float
    kerf: float
    edge: float  # least distance of an outline from a long edge
    end: float  # and from an end
    used: float
    keeps_offcut: bool

    @property
    def offcut(self) -> float:
        """Length left at end B."""
        return self.size[2] - self.used


def between(blanks: tuple[Blank, ...], separation: float) -> tuple[Between, ...]:
    """The lines along which blanks that lie over each other are parted, from end A on."""
    found = [
        line for lower in blanks for upper in blanks if lower is not upper for line in _middle_line(lower, upper, separation)
    ]
    return tuple(sorted(found, key=lambda line: line.points[0]))


def _middle_line(lower: Blank, upper: Blank, separation: float) -> Iterator[Between]:
    """The middle of the gap along the stretch both share, when `lower` is under `upper` all along it and near it somewhere."""
    a, b = lower.profile, upper.profile
    ends = ceil(separation)  # where one ends the other may stand up beside it; the line is drawn short of that
    begin, end = max(a.start, b.start) + ends, min(a.start + len(a.high), b.start + len(b.low)) - ends
    if end - begin < 5:
        return
    tops, bottoms = a.high[begin - a.start : end - a.start], b.low[begin - b.start : end - b.start]
    gaps = bottoms - tops
    if gaps.min() < 0 or gaps.min() > 4 * separation:
        return
    middle = (tops + bottoms) / 2
    yield Between(lower.serial, upper.serial, tuple((float(begin + i), float(middle[i])) for i in range(1, len(middle), 2)))


def steel_marks(plan: BarPlan, *, text_size: float, holes: bool) -> Drawing:
    """The bar's edges, the blanks' outlines, their holes as crosshairs and their serials, at true size."""
    _, width, length = plan.size
    marks: list[Mark] = [stroke(((0, 0), (length, 0), (length, width), (0, width), (0, 0)), "outline", layer="BAR")]
    for blank in plan.blanks:
        marks.append(Curve(blank.placement.path(blank.shape.outline), line="outline"))
        marks += [Curve(blank.placement.path(opening)) for opening in blank.shape.openings]
        if holes:
            for hole in blank.shape.holes:
                marks += crosshair(blank.placement.point(hole.centre), hole.diameter / 2)
        x, y = blank.middle
        marks.append(Text((x, y - text_size * 0.12), blank.serial, text_size, "middle", True))
    return tuple(marks)
