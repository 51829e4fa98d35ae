"""Offset closed outlines of lines and arcs, keeping the arcs: compensates for a jet's kerf. Lengths mm."""

from math import atan2, cos, hypot, pi, sin, tan

from workbook.geometry.path import Arc, Line, Path, Point, Segment, arc_circle, flatten, tangents
from workbook.later import shapely
from workbook.structs import replace
from workbook.texts import _

_SAME = 1e-7
_SHARP = 0.004  # mm a sharp corner may stand out beyond its rounding: shorter arcs are awkward to cut
_CLOSE = 0.01  # mm the result may differ from the same offset by a general library
_FINE = 0.001


def moved_out(path: Path, by: float) -> Path:
    """A counter-clockwise closed path of lines and arcs moved out everywhere by a distance (inwards where negative).

    Outer corners are rounded about the old corner unless they hardly turn; inner ones stay sharp. Raises ValueError, with a
    message for the user, where that is impossible: an inside arc or a slot narrower than the distance.
    """
    sides = [_moved(s, by) for s in path.segments]
    turns = [_turn(s, n) for s, n in zip(path.segments, path.segments[1:] + path.segments[:1], strict=True)]
    rounds = [_meet(sides, i, path.segments[i].end, by, turn) for i, turn in enumerate(turns)]
    offset = Path(tuple(_joined([s for pair in zip(sides, rounds, strict=True) for s in pair if s is not None])), closed=True)
    _prove(path, offset, by)
    return offset


def _moved(segment: Segment, by: float) -> Segment:
    """A line or arc moved to its right. Raises ValueError where an arc's radius would vanish."""
    if isinstance(segment, Line):
        (x0, y0), (x1, y1) = segment.start, segment.end
        length = hypot(x1 - x0, y1 - y0)
        dx, dy = by * (y1 - y0) / length, -by * (x1 - x0) / length
        return Line((x0 + dx, y0 + dy), (x1 + dx, y1 + dy))
    assert isinstance(segment, Arc)
    (cx, cy), radius = arc_circle(segment)
    share = (radius + (by if segment.bulge > 0 else -by)) / radius
    if share <= 1e-6:
        raise ValueError(_("an inside radius of {radius:.2f} mm is smaller than that", radius=radius))
    start, end = ((cx + share * (x - cx), cy + share * (y - cy)) for x, y in (segment.start, segment.end))
    return Arc(start, end, segment.bulge)


def _turn(before: Segment, after: Segment) -> float:
    return (tangents(after)[0] - tangents(before)[1] + pi) % (2 * pi) - pi


def _meet(sides: list[Segment], i: int, corner: Point, by: float, turn: float) -> Segment | None:
    """The arc that joins a side to the next where they come apart at a corner.

    Where they cross, or nearly, both are trimmed there and None is returned.
    """
    j = (i + 1) % len(sides)
    end, start = sides[i].end, sides[j].start
    if hypot(end[0] - start[0], end[1] - start[1]) < _SAME:
        return None
    at = _crossing(sides[i], sides[j], corner)
    if turn * by > 0 and (at is None or abs(by) * (1 / cos(turn / 2) - 1) > _SHARP):
        return Arc(end, start, tan(turn / 4))
    if at is None:
        raise ValueError(_("a corner is too tight for that"))
    sides[i], sides[j] = _ending(sides[i], at), _beginning(sides[j], at)
    return None


def _ending(segment: Segment, at: Point) -> Segment:
    return Line(segment.start, at) if isinstance(segment, Line) else _arc_between(segment, segment.start, at)


def _beginning(segment: Segment, at: Point) -> Segment:
    return Line(at, segment.end) if isinstance(segment, Line) else _arc_between(segment, at, segment.end)


def _arc_between(segment: Segment, start: Point, end: Point) -> Arc:
    """An arc of the same circle and sense between two of its points."""
    assert isinstance(segment, Arc)
    (cx, cy), _ = arc_circle(segment)
    swept = atan2(end[1] - cy, end[0] - cx) - atan2(start[1] - cy, start[0] - cx)
    swept %= 2 * pi
    return Arc(start, end, tan((swept if segment.bulge > 0 else swept - 2 * pi) / 4))


def _crossing(first: Segment, second: Segment, near: Point) -> Point | None:
    """Where the lines or circles of two segments meet, nearest to a place; None where they do not."""
    points = _meetings(first, second)
    return min(points, key=lambda p: hypot(p[0] - near[0], p[1] - near[1]), default=None)


def _meetings(first: Segment, second: Segment) -> list[Point]:
    if isinstance(first, Line) and isinstance(second, Line):
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = first.start, first.end, second.start, second.end
        cross = (x1 - x0) * (y3 - y2) - (y1 - y0) * (x3 - x2)
        if abs(cross) < 1e-12:
            return []
        t = ((x2 - x0) * (y3 - y2) - (y2 - y0) * (x3 - x2)) / cross
        return [(x0 + t * (x1 - x0), y0 + t * (y1 - y0))]
    if isinstance(first, Line) or isinstance(second, Line):
        line, arc = (first, second) if isinstance(first, Line) else (second, first)
        return _line_and_circle(line, *arc_circle(_as_arc(arc)))
    return _circles(*arc_circle(_as_arc(first)), *arc_circle(_as_arc(second)))


def _as_arc(segment: Segment) -> Arc:
    assert isinstance(segment, Arc)
    return segment


def _line_and_circle(line: Segment, centre: Point, radius: float) -> list[Point]:
    (x0, y0), (x1, y1), (cx, cy) = line.start, line.end, centre
    length = hypot(x1 - x0, y1 - y0)
    dx, dy = (x1 - x0) / length, (y1 - y0) / length
    along = (cx - x0) * dx + (cy - y0) * dy
    square = radius**2 - (cx - x0 - along * dx) ** 2 - (cy - y0 - along * dy) ** 2
    if square < 0:
        return []
    return [(x0 + t * dx, y0 + t * dy) for t in (along - square**0.5, along + square**0.5)]


def _circles(first: Point, r: float, second: Point, s: float) -> list[Point]:
    dx, dy = second[0] - first[0], second[1] - first[1]
    distance = hypot(dx, dy)
    if not abs(r - s) <= distance <= r + s or distance < _SAME:
        return []
    along = (distance**2 + r**2 - s**2) / (2 * distance)
    off = max(r**2 - along**2, 0.0) ** 0.5
    angle = atan2(dy, dx)
    x, y = first[0] + along * cos(angle), first[1] + along * sin(angle)
    return [(x - k * off * sin(angle), y + k * off * cos(angle)) for k in (1, -1)]


def _joined(segments: list[Segment]) -> list[Segment]:
    """Each side's end moved exactly onto the next one's start; slivers are left out."""
    sides = [s for s in segments if hypot(s.end[0] - s.start[0], s.end[1] - s.start[1]) > _SAME]
    return [replace(s, end=n.start) for s, n in zip(sides, sides[1:] + sides[:1], strict=True)]


def _prove(path: Path, offset: Path, by: float) -> None:
    """Compare with the same offset from a general library. Raises ValueError where they differ: sides swallowed each other."""
    expected = shapely.buffer(shapely.Polygon(flatten(path, _FINE)), by, quad_segs=64)
    actual = shapely.Polygon(flatten(offset, _FINE))
    single = isinstance(expected, shapely.Polygon) and not expected.is_empty
    if not (single and actual.is_valid and shapely.hausdorff_distance(expected.exterior, actual.exterior) <= _CLOSE):
        raise ValueError(_("a slot or a narrow gap would close up"))
