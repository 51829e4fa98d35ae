"""Lines at a distance round a shape, as lines and arcs, and places evenly along them. Millimetres."""

from math import floor, hypot

from workbook.geometry.biarc import arcs_through
from workbook.geometry.path import Line, Path, Placement, Point, Points, reverse
from workbook.geometry.polygon import Polygon, of_points
from workbook.later import np, shapely

_STEPS = 24  # chords in a quarter turn
_STRAY = 0.05  # mm from arcs to the line they follow
_LEAST = 0.02  # mm between points of a line; nearer ones are one
_CLOSELY = 0.4  # mm between the points of a line


class Parted(ValueError):
    """A line that was to be one is in several parts."""


def rounded(shape: Polygon, out: float, radius: float) -> Polygon:
    """The shape grown by `out`, its inner corners filled to this radius."""
    return shapely.buffer(shapely.buffer(shape, out + radius, quad_segs=_STEPS), -radius, quad_segs=_STEPS)


def below(shape: Polygon, y: float) -> Polygon:
    """What of a shape lies below a level line."""
    x0, y0, x1, _y1 = shape.bounds
    part: Polygon = shapely.intersection(shape, shapely.box(x0, y0, x1, y))  # type: ignore[assignment]
    return part


def line_round(shape: Polygon, by: float, within: tuple[float, float, float, float]) -> Points:
    """The boundary of a shape grown by a distance, seen in a window: an open line of close points, (n, 2), counter-clockwise.

    Raises Parted where the window shows it in several parts, or not at all.
    """
    wide = shapely.buffer(shape, by, quad_segs=_STEPS) if by else shape
    seen = shapely.line_merge(shapely.intersection(wide.exterior, shapely.box(*within)))
    if seen.geom_type != "LineString" or seen.is_empty:
        raise Parted("the line is in several parts")
    points = np.asarray(shapely.segmentize(seen, _CLOSELY).coords)
    points = points[::-1] if not wide.exterior.is_ccw else points
    kept = np.concatenate(([True], np.hypot(*np.diff(points, axis=0).T) > _LEAST))
    kept[-1] = True
    return np.asarray(points[kept], np.float64)


def as_arcs(line: Points) -> Path:
    """An open line of points as lines and arcs that run smoothly into each other."""
    long = _along(line)[-1]
    return arcs_through(_at(line, np.linspace(0.0, long, max(2, round(long / _CLOSELY)) + 1)), _STRAY)


def _along(line: Points) -> Points:
    """How far along a line each of its points lies, mm."""
    return np.concatenate(([0.0], np.cumsum(np.hypot(*np.diff(line, axis=0).T))))


def _at(line: Points, places: Points) -> Points:
    """The points at distances along a line, (n, 2)."""
    along = _along(line)
    return np.column_stack([np.interp(places, along, line[:, axis]) for axis in (0, 1)])


def mirrored_at(path: Path, y: float) -> Path:
    """A path that ends on a level line, carried on by its image in that line: from its start to the start's image."""
    image = Placement(0.0, 2 * y, 0.0, mirrored=True).path(path)
    return Path((*path.segments, *reverse(image).segments), closed=False)


def closed_by_lines(path: Path) -> Path:
    """An open path closed by a straight line."""
    return Path((*path.segments, Line(path.segments[-1].end, path.segments[0].start)), closed=True)


def ring_of_two(inner: Path, outer: Path) -> Path:
    """Two open paths that run the same way as one ring: the outer, then back along the inner, joined by straight lines."""
    back = reverse(inner).segments
    first = [Line(outer.segments[-1].end, back[0].start)] if _apart(outer.segments[-1].end, back[0].start) else []
    last = [Line(back[-1].end, outer.segments[0].start)] if _apart(back[-1].end, outer.segments[0].start) else []
    return Path((*outer.segments, *first, *back, *last), closed=True)


def _apart(a: Point, b: Point) -> bool:
    return hypot(a[0] - b[0], a[1] - b[1]) > 1e-9


def evenly(line: Points, spacing: float, begin: float, end: float) -> list[Point]:
    """Places along a line, as near to the spacing as a whole number of steps comes; `begin` and `end` of it are left free.

    One in the middle where it is too short for two.
    """
    room = _room_on(line, begin, end)
    if room < spacing / 2:
        at = [begin + room / 2] if room >= 0 else []
    else:
        steps = max(1, floor(room / spacing + 0.5))
        at = [begin + room * n / steps for n in range(steps + 1)]
    return [(float(x), float(y)) for x, y in _at(line, np.array(at))]


def stepped(line: Points, spacing: float, begin: float, end: float, *, both: bool) -> list[Point]:
    """Places along a line at exactly this spacing, but for one step of half to one and a half of it; some of it is left free.

    The odd step is the last, or with `both`, where they are counted from both ends, the middle one.
    """
    room = _room_on(line, begin, end)
    steps = max(0, floor(room / spacing - 0.5))  # of the spacing; what is left is the odd one
    first = (steps + 1) // 2 if both else steps
    at = [spacing * n for n in range(first + 1)] + [room - spacing * n for n in reversed(range(steps - first + 1))]
    return [(float(x), float(y)) for x, y in _at(line, begin + np.array(at))] if room >= spacing / 2 else []


def _room_on(line: Points, begin: float, end: float) -> float:
    return float(_along(line)[-1]) - begin - end


def area_in(points: Points) -> Polygon:
    """The area inside a ring of points; of one that crosses itself, the largest part."""
    shape = of_points(points)
    if shape.is_valid:
        return shape
    parts = [part for part in shapely.get_parts(shapely.make_valid(shape)) if part.geom_type == "Polygon"]
    largest: Polygon = max(parts, key=lambda part: float(part.area))
    return largest
