"""Open lines: their length, what lies on them, and how much of some outlines they leave."""

from collections.abc import Sequence

from workbook.geometry.path import Point, Points
from workbook.later import np, shapely

Line = Sequence[Point]


def length_of(line: Line) -> float:
    """The length of a line, mm."""
    return float(shapely.LineString(line).length)


def touching(places: Sequence[Point], lines: Sequence[Line], near: float) -> list[frozenset[int]]:
    """For each place the numbers of the lines that it lies on, within `near` mm."""
    found: list[set[int]] = [set() for _ in places]
    if lines and places:
        strings = np.array([shapely.LineString(line) for line in lines], dtype=object)
        at, line = shapely.STRtree(strings).query(shapely.points(places), predicate="dwithin", distance=near)
        for place, number in zip(at.tolist(), line.tolist(), strict=True):
            found[place].add(number)
    return [frozenset(each) for each in found]


def length_left(outlines: Sequence[Points], by: float, lines: Sequence[Line], near: float, room: tuple[float, float]) -> float:
    """How much of some outlines, each grown by `by` mm, lies farther than `near` mm from all lines; mm.

    `room`: length and width of the rectangle from the origin that counts.
    """
    edges = shapely.boundary(shapely.buffer([shapely.Polygon(outline) for outline in outlines], by))
    covered = shapely.buffer(shapely.multilinestrings([shapely.LineString(line) for line in lines]), near)
    left = shapely.difference(shapely.intersection(edges, shapely.box(0.0, 0.0, *room)), covered)
    return float(shapely.length(left).sum())
