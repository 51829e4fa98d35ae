"""Closed outlines of lines and arcs moved by a distance, arcs kept: what a jet's width is made up for with. Lengths mm."""

from math import atan2, cos, hypot, pi, sin, tan

from workbook.geometry.path import Arc, Line, Path, Point, Segment, arc_circle, flatten, tangents
from workbook.later import shapely
from workbook.structs import replace
from workbook.texts import _

_SAME = 1e-7
_SHARP = 0.004  # a corner may stand out of its rounding by so much: shorter arcs than that leaves are a trouble to cut
_CLOSE = 0.01  # how near the result must lie to what a general library makes of it
_FINE = 0.001


def moved_out(path: Path, by: float) -> Path:
    """A counter-clockwise closed path of lines and arcs, everywhere moved out by a distance (in, where negative).

    Outer corners are rounded about the old corner unless they hardly turn, inner ones stay sharp. ValueError, in words, where it
    cannot be: an inside arc or a slot narrower than the distance.
    """
    sides = [_moved(s, by) for s in path.segments]
    turns = [_turn(s, n) for s, n in zip(path.segments, path.segments[1:] + path.segments[:1], strict=True)]
    rounds = [_meet(sides, i, path.segments[i].end, by, turn) for i, turn in enumerate(turns)]
    made = Path(tuple(_joined([s for both in zip(sides, rounds, strict=True) for s in both if s is not None])), closed=True)
    _prove(path, made, by)
    return made


def _moved(segment: Segment, by: float) -> Segment:
    """A line or arc moved to its right."""
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
    """An arc where a side and the next come apart at a corner; where they cross, or nearly, both end where they do."""
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
    """The same circle, turned the same way, between two of its places."""
    assert isinstance(segment, Arc)
    (cx, cy), _ = arc_circle(segment)
    swept = atan2(end[1] - cy, end[0] - cx) - atan2(start[1] - cy, start[0] - cx)
    swept %= 2 * pi
    return Arc(start, end, tan((swept if segment.bulge > 0 else swept - 2 * pi) / 4))


def _crossing(one: Segment, other: Segment, near: Point) -> Point | None:
    """Where the lines or circles two segments lie on meet, nearest to a place; None where they do not."""
    found = _meetings(one, other)
    return min(found, key=lambda p: hypot(p[0] - near[0], p[1] - near[1]), default=None)


def _meetings(one: Segment, other: Segment) -> list[Point]:
    if isinstance(one, Line) and isinstance(other, Line):
        (x0, y0), (x1, y1), (x2, y2), (x3, y3) = one.start, one.end, other.start, other.end
        wide = (x1 - x0) * (y3 - y2) - (y1 - y0) * (x3 - x2)
        if abs(wide) < 1e-12:
            return []
        t = ((x2 - x0) * (y3 - y2) - (y2 - y0) * (x3 - x2)) / wide
        return [(x0 + t * (x1 - x0), y0 + t * (y1 - y0))]
    if isinstance(one, Line) or isinstance(other, Line):
        line, arc = (one, other) if isinstance(one, Line) else (other, one)
        return _line_and_circle(line, *arc_circle(_as_arc(arc)))
    return _circles(*arc_circle(_as_arc(one)), *arc_circle(_as_arc(other)))


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


def _circles(one: Point, r: float, other: Point, s: float) -> list[Point]:
    dx, dy = other[0] - one[0], other[1] - one[1]
    distance = hypot(dx, dy)
    if not abs(r - s) <= distance <= r + s or distance < _SAME:
        return []
    along = (distance**2 + r**2 - s**2) / (2 * distance)
    off = max(r**2 - along**2, 0.0) ** 0.5
    angle = atan2(dy, dx)
    x, y = one[0] + along * cos(angle), one[1] + along * sin(angle)
    return [(x - k * off * sin(angle), y + k * off * cos(angle)) for k in (1, -1)]


def _joined(segments: list[Segment]) -> list[Segment]:
    """Each side's end on the next one's start, exactly; hair-fine sides left out."""
    kept = [s for s in segments if hypot(s.end[0] - s.start[0], s.end[1] - s.start[1]) > _SAME]
    return [replace(s, end=n.start) for s, n in zip(kept, kept[1:] + kept[:1], strict=True)]


def _prove(path: Path, offset: Path, by: float) -> None:
    """Compares with what a general library makes of it. ValueError where they differ: sides swallowed each other."""
    wanted = shapely.buffer(shapely.Polygon(flatten(path, _FINE)), by, quad_segs=64)
    found = shapely.Polygon(flatten(offset, _FINE))
    one = isinstance(wanted, shapely.Polygon) and not wanted.is_empty
    if not (one and found.is_valid and shapely.hausdorff_distance(wanted.exterior, found.exterior) <= _CLOSE):
        raise ValueError(_("a slot or a narrow place would close up"))
