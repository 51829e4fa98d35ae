"""Open lines: their length, what lies on them, how far they run out between shapes, how much of outlines they leave."""

from collections.abc import Sequence
from math import inf, radians
from typing import TYPE_CHECKING

from workbook.geometry.path import Point, Points
from workbook.geometry.polygon import Polygon, Shapes
from workbook.later import np, shapely

if TYPE_CHECKING:
    from numpy.typing import NDArray

Line = Sequence[Point]
_COARSE, _FEW = 0.1, 4  # mm that lines may stray, and chords in a quarter turn, where only a length is wanted
_TURNS = tuple(radians(angle) for angle in (0, 20, -20, 40, -40, 60, -60))  # of a line that runs out
_FARTHEST = 120.0  # mm that a line runs out at most, or the width of the rectangle
_NOTHING = 1e-6  # mm
_DEAR = radians(60)  # a turn by this makes a way count twice
_TANGENT = 5.0  # mm of a line from whose ends its direction there is taken


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
    """How much of some outlines, each grown by `by` mm, lies farther than `near` mm from all lines; mm, to a hundredth.

    `room`: length and width of the rectangle from the origin that counts.
    """
    shapes = shapely.simplify(
        np.array([shapely.Polygon(line) for line in outlines], dtype=object), _COARSE, preserve_topology=False
    )
    edges = shapely.boundary(shapely.buffer(shapes, by, quad_segs=_FEW))
    parts = shapely.simplify(
        np.array([shapely.LineString(line) for line in lines], dtype=object), _COARSE, preserve_topology=False
    )
    covered = shapely.union_all(shapely.buffer(parts, near, quad_segs=_FEW))
    left = shapely.difference(shapely.intersection(edges, shapely.box(0.0, 0.0, *room)), covered)
    return float(shapely.length(left).sum())


def obstacles(shapes: Sequence[Polygon], room: float, others: Sequence[Polygon] = ()) -> "shapely.STRtree":
    """A search tree of the shapes, each grown by `room` mm, and of others as they are, to find those near a line."""
    return shapely.STRtree([*shapely.buffer(np.array(shapes, dtype=object), room), *others])


def clear_stretch(
    points: Sequence[Point], grown: "shapely.STRtree", least: float, near: Point, within: tuple[float, float]
) -> list[Point]:
    """The stretch of a line outside all `obstacles`, longer than `least` mm, nearest to a place; empty where there is none.

    `within`: width and height of the rectangle from the origin that it must stay in.
    """
    inside = shapely.intersection(shapely.LineString(points), shapely.box(0.0, 0.0, *within))
    blocking = grown.geometries[grown.query(inside)]
    clear = shapely.get_parts(shapely.difference(inside, shapely.union_all(blocking)))
    stretches = [part for part in clear if part.length > least]
    if not stretches:
        return []
    best = min(stretches, key=lambda part: (round(part.distance(shapely.Point(near)), 3), -part.length))
    return [(float(x), float(y)) for x, y in best.coords]


def run_out(
    lines: Sequence[Sequence[Point]], cuts: Sequence[Sequence[Point]], grown: "shapely.STRtree", within: tuple[float, float]
) -> list[tuple[Point, ...]]:
    """Each line carried on from both its ends to the first of the others, of the `cuts`, or of the edges of the rectangle from
    the origin that all lie in; not where one of the `obstacles` lies before.

    It goes on straight, or turns where that makes its way much shorter.
    """
    if not lines:
        return []
    (wide, high), strings = within, [shapely.LineString(line) for line in lines]
    edge = shapely.box(0.0, 0.0, wide, high).exterior
    stops = np.array([*strings, edge, *(shapely.LineString(cut) for cut in cuts)], dtype=object)
    ends = np.array([(points[0], points[-1]) for points in lines]).reshape(-1, 2)  # first and last of each line
    inner = np.array([line.interpolate(at).coords[0] for line in strings for at in _inwards(line.length)])
    loose = np.ones(len(ends), bool)
    loose[grown.query(shapely.points(ends), predicate="dwithin", distance=_NOTHING)[0]] = False  # others end at a shape
    reached = _reached(ends[loose], inner[loose], stops, grown, max(high, _FARTHEST))
    beyond = np.full((len(ends), 2), np.nan)
    beyond[loose] = reached
    whole = []
    for n, line in enumerate(lines):
        before, after = ([(float(x), float(y))] if np.isfinite(x) else [] for x, y in beyond[2 * n : 2 * n + 2])
        whole.append((*before, *((float(x), float(y)) for x, y in line), *after))
    return whole


def _reached(ends: Points, inner: Points, stops: Shapes, grown: "shapely.STRtree", farthest: float) -> Points:
    """Where lines that come from `inner` come to beyond their ends, (n, 2); not a number where that is nowhere."""
    if not len(ends):
        return ends
    angles = np.arctan2(*(ends - inner).T[::-1])[:, None] + _TURNS
    far = ends[:, None] + farthest * np.stack([np.cos(angles), np.sin(angles)], axis=-1)  # (ends, turns, 2)
    starts = np.broadcast_to(ends[:, None], far.shape)
    rays = shapely.linestrings(np.stack([starts, far], axis=2).reshape(-1, 2, 2))
    hit = _first_met(rays, shapely.points(starts.reshape(-1, 2)), stops)
    ways = shapely.linestrings(np.stack([starts.reshape(-1, 2), shapely.get_coordinates(_along(rays, hit))], axis=1))
    free = np.isfinite(hit) & ~_blocked(ways, grown)
    dear = np.where(free, hit * np.tile(1.0 + np.abs(_TURNS) / _DEAR, len(ends)), inf).reshape(len(ends), -1)
    best = dear.argmin(axis=1)
    places = shapely.get_coordinates(ways).reshape(len(ends), -1, 2, 2)[np.arange(len(ends)), best, 1]
    return np.where(np.isfinite(dear.min(axis=1))[:, None], places, np.nan)


def _inwards(length: float) -> tuple[float, float]:
    """How far along a line the places are from which its direction at either end is taken."""
    back = min(_TANGENT, length)
    return back, length - back


def _first_met(rays: Shapes, starts: Shapes, stops: Shapes) -> Points:
    """How far along each ray the first of the stops is that it does not begin on, mm; endless where there is none."""
    ray, stop = shapely.STRtree(stops).query(rays, predicate="intersects")
    met = shapely.distance(starts[ray], shapely.intersection(rays[ray], stops[stop]))
    hit = np.full(len(rays), inf)
    later = met > _NOTHING
    np.minimum.at(hit, ray[later], met[later])
    return hit


def _along(rays: Shapes, far: Points) -> Shapes:
    """The point at a distance along each ray; its start where that is endless."""
    return shapely.line_interpolate_point(rays, np.where(np.isfinite(far), far, 0.0))


def _blocked(ways: Shapes, grown: "shapely.STRtree") -> "NDArray[np.bool_]":
    """Whether each of the lines meets any of the shapes."""
    way, shape = grown.query(ways)
    shapely.prepare(grown.geometries)
    meets = shapely.intersects(grown.geometries[shape], ways[way])
    blocked = np.zeros(len(ways), bool)
    blocked[way[meets]] = True
    return blocked
