"""A wrapper around shapely: polygons of outlines, growth, hulls, distances. Millimetres."""

from collections.abc import Sequence
from functools import lru_cache
from typing import Any, TypeAlias

from workbook.geometry.path import FINE, Path, Placement, Point, Points, flatten
from workbook.later import np, shapely

Polygon: TypeAlias = "shapely.Polygon"
Ring: TypeAlias = "shapely.LinearRing"
Shapes: TypeAlias = "Any"  # an array of shapely's shapes
ARC_STEPS = 16  # chords in a quarter turn of a grown corner


@lru_cache(maxsize=256)
def polygon(path: Path, tolerance: float = FINE) -> Polygon:
    """The area inside a closed path, flattened within the tolerance. May be invalid where the path crosses itself."""
    area = shapely.Polygon(flatten(path, tolerance))
    shapely.prepare(area.exterior)
    return area


def of_points(points: "Sequence[Point] | Points", openings: Sequence[Points] = ()) -> Polygon:
    """The area inside a ring of corners, less its openings."""
    return shapely.Polygon(points, openings)


def crossing(shape: Polygon) -> Point | None:
    """Where an outline crosses or touches itself, or None when it is simple."""
    if shape.is_valid:
        return None
    reason = shapely.is_valid_reason(shape)
    numbers = reason[reason.find("[") + 1 : reason.find("]")].split()
    return (float(numbers[0]), float(numbers[1])) if len(numbers) >= 2 else (0.0, 0.0)


def grown(shape: Polygon, by: float) -> Polygon:
    """The shape grown by at least a distance all round, and by little more.

    GEOS draws corners with chords inside the true round and simplifies what it grows by up to a hundredth of the distance;
    the shortfall is measured and grown again.
    """
    reach = by
    for _ in range(4):
        outer = shapely.buffer(shape, reach, quad_segs=ARC_STEPS)
        missing = by - float(outer.exterior.distance(shape.exterior))
        if missing <= 1e-9:
            break
        reach += missing + 1e-9
    return outer


def simplified(shape: Polygon, tolerance: float) -> Polygon:
    """The shape with fewer corners; its boundary moves by less than the tolerance, either way."""
    return shapely.simplify(shape, tolerance)


def covers(outer: Polygon, inner: Polygon) -> bool:
    """Whether nothing of the inner shape lies outside the outer."""
    return bool(shapely.covers(outer, inner))


def turned(shape: Polygon, angle: float) -> Polygon:
    """The shape turned about the origin, counter-clockwise in radians."""
    return placed(shape, Placement(0.0, 0.0, angle, mirrored=False)) if angle else shape


def placed(shape: Polygon, where: Placement) -> Polygon:
    """The shape, openings included, moved by a placement."""
    outline, *openings = (where.points(ring) for ring in rings(shape))
    return of_points(outline, openings)


def hull(shape: Polygon) -> Polygon:
    """The convex hull of a shape."""
    convex: Polygon = shapely.convex_hull(shape)  # type: ignore[assignment]
    return convex


def long_axis(shape: Polygon) -> float:
    """Direction of the longer side of the smallest rectangle around a shape, radians in (-pi/2, pi/2]."""
    ring = shapely.get_coordinates(shapely.minimum_rotated_rectangle(shape))
    sides = np.diff(ring, axis=0)[:2]
    x, y = sides[int(np.argmax(np.hypot(*sides.T)))]
    angle = float(np.arctan2(y, x))
    return angle - np.pi if angle > np.pi / 2 else angle + np.pi if angle <= -np.pi / 2 else angle


def corners(shape: Polygon) -> Points:
    """Outer corners, shape (n, 2), the first not repeated."""
    return np.asarray(shape.exterior.coords)[:-1]


def as_bytes(shape: Polygon) -> bytes:
    """A shape as bytes: a key for results computed from it."""
    return bytes(shapely.to_wkb(shape))


def from_bytes(data: bytes) -> Polygon:
    """The shape that `as_bytes` encoded."""
    shape: Polygon = shapely.from_wkb(data)  # type: ignore[assignment]
    return shape


def rings(shape: Polygon) -> list[Points]:
    """Corners of the outline and of each opening, each of shape (n, 2)."""
    return [np.asarray(ring.coords)[:-1] for ring in (shape.exterior, *shape.interiors)]


def lower_hull(points: Points) -> Points:
    """The lower side of the convex hull of points, shape (n, 2), from the least x to the largest (Andrew's monotone chain)."""
    chain: list[Points] = []
    for point in points[np.lexsort((points[:, 1], points[:, 0]))]:
        while len(chain) > 1:
            (ax, ay), (bx, by) = chain[-1] - chain[-2], point - chain[-2]
            if ax * by - ay * bx > 0:
                break
            chain.pop()
        chain.append(point)
    return np.array(chain)


@lru_cache(maxsize=256)  # used by the checks, then by the table of holes
def edge_distance(outline: Path, at: Point) -> float:
    """Distance from a point to an outline, mm; negative outside it."""
    shape = polygon(outline)
    place = shapely.Point(at)
    room = float(shape.exterior.distance(place))
    return room if shape.contains(place) else -room


def area_beyond(shape: Polygon, x: float) -> float:
    """Area of a shape to the right of a vertical line at x, mm2."""
    x0, y0, x1, y1 = shape.bounds
    return float(shape.intersection(shapely.box(max(x, x0), y0, max(x, x1), y1)).area)


def distance_outside(shape: Polygon, at: Point) -> float:
    """Distance from a place to a shape, mm; 0 inside it."""
    return float(shape.distance(shapely.Point(at)))


def closest_pair(shapes: Sequence[Polygon], reach: float) -> list[tuple[int, int]]:
    """Pairs of indices whose shapes come closer than the reach."""
    if len(shapes) < 2:
        return []
    tree = shapely.STRtree(shapes)
    first, second = tree.query(shapes, predicate="dwithin", distance=reach)
    return sorted({(int(a), int(b)) for a, b in zip(first, second, strict=True) if a < b})


def distances(points: Points, shapes: Sequence[Polygon]) -> Points:
    """Distance from each point (n, 2) to the nearest of the shapes, mm, shape (n,); 0 inside one."""
    places, targets = shapely.points(points[:, None]), np.array(shapes, dtype=object)
    shapely.prepare(targets)  # speeds up a shortest line, but not a distance
    return np.asarray(shapely.length(shapely.shortest_line(places, targets)).min(axis=1), np.float64)


def simpler(shape: Polygon, stray: float) -> Polygon:
    """A shape of fewer corners, nowhere farther from it than this."""
    return shapely.simplify(shape, stray)


def fewer(line: "Sequence[Point] | Points", tolerance: float) -> list[Point]:
    """An open polyline simplified to fewer of its points, within a tolerance, mm."""
    return [(float(x), float(y)) for x, y in shapely.LineString(line).simplify(tolerance).coords]


def ring_of(shape: Polygon) -> Ring:
    """The outer boundary of a shape, prepared for many queries."""
    ring = shape.exterior
    shapely.prepare(ring)
    return ring


def nearest_on(points: Points, ring: Ring) -> Points:
    """The place on a closed outline nearest to each of the points, both of shape (n, 2)."""
    return np.asarray(shapely.get_coordinates(shapely.shortest_line(shapely.points(points), ring))[1::2], np.float64)


def nearest(a: Polygon, b: Polygon) -> tuple[Point, Point]:
    """The place on a and the place on b that lie nearest to each other."""
    (x0, y0), (x1, y1) = shapely.shortest_line(a, b).coords
    return (float(x0), float(y0)), (float(x1), float(y1))


def box(x0: float, y0: float, x1: float, y1: float) -> Polygon:
    """The rectangle between two corners."""
    return shapely.box(x0, y0, x1, y1)


def apart(one: tuple[Points, bool], other: tuple[Points, bool]) -> float:
    """The largest distance between two lines of points, either way, mm (Hausdorff distance).

    Each line comes with whether it is closed.
    """
    first, second = (shapely.LineString(np.vstack((points, points[:1])) if closed else points) for points, closed in (one, other))
    shapely.prepare((first, second))
    return float(
        max(shapely.distance(shapely.points(shapely.get_coordinates(a)), b).max() for a, b in ((first, second), (second, first)))
    )


def distances_to(places: Points, line: Points, *, closed: bool) -> Points:
    """Distance from each place (n, 2) to a line of points, mm, shape (n,)."""
    target = shapely.LineString(np.vstack((line, line[:1])) if closed else line)
    return np.asarray(shapely.distance(shapely.points(places), target))


def depths(shapes: Sequence[Polygon]) -> list[int]:
    """How many of the other shapes each shape lies in."""
    if not shapes:
        return []
    points = [shape.representative_point() for shape in shapes]
    inner, outer = shapely.STRtree(shapes).query(points, predicate="within")
    counts: list[int] = np.bincount(inner[inner != outer], minlength=len(shapes)).tolist()
    return counts


def overlapping(shapes: Sequence[Polygon]) -> list[tuple[int, int, Point]]:
    """Pairs of indices of shapes whose outlines cross, with a place where they do; touching is not crossing."""
    crossings = []
    pairs = shapely.STRtree(shapes).query(shapes, predicate="overlaps").tolist() if shapes else ((), ())
    for i, j in zip(*pairs, strict=True):
        if i < j:
            at = shapely.intersection(shapes[i].exterior, shapes[j].exterior).representative_point()
            crossings.append((i, j, (float(at.x), float(at.y))))
    return crossings


def near_edges(shapes: Sequence[Polygon], reach: float) -> list[tuple[float, Point]]:
    """Distance, mm, and place for each two outlines nearer than `reach` to each other; one shape may lie inside the other."""
    rings = [shape.exterior for shape in shapes]
    near = []
    pairs = shapely.STRtree(rings).query(rings, predicate="dwithin", distance=reach).tolist() if rings else ((), ())
    for i, j in zip(*pairs, strict=True):
        if i < j:
            gap = shapely.shortest_line(rings[i], rings[j])
            x, y = gap.coords[0]
            near.append((float(gap.length), (float(x), float(y))))
    return near


def joined(one: Polygon, other: Polygon) -> Polygon:
    """The union of two shapes that touch or overlap."""
    union: Polygon = shapely.union(one, other)  # type: ignore[assignment]
    return union


def lines_apart(one: tuple[Point, Point], other: tuple[Point, Point]) -> tuple[float, Point, Point]:
    """The distance between two straight lines, mm, and the nearest place on each."""
    near = shapely.shortest_line(shapely.LineString(one), shapely.LineString(other))
    (x0, y0), (x1, y1) = near.coords
    return float(near.length), (float(x0), float(y0)), (float(x1), float(y1))


def common(one: Polygon, other: Polygon) -> Points:
    """Corners of the largest part that two shapes have in common, shape (n, 2)."""
    shared = shapely.intersection(one, other)
    largest = max(shapely.get_parts(shared), key=lambda part: part.area)
    return np.asarray(largest.exterior.coords)[:-1]


def moved_by(shape: Polygon, dx: float, dy: float) -> Polygon:
    """The shape moved along x and y, mm."""
    moved: Polygon = shapely.transform(shape, lambda points: np.add(points, (dx, dy)))
    return moved


def gaps(shape: Polygon, others: Sequence[Polygon]) -> list[float]:
    """Distance from a shape to each of the others, mm; 0 where they touch or overlap."""
    clearances: list[float] = shapely.distance(shape, np.array(others, dtype=object)).tolist() if others else []
    return clearances


def distance(one: Polygon, other: Polygon) -> float:
    """How far two shapes are apart, mm; 0 where they touch or overlap."""
    return float(shapely.distance(one, other))


def gap_to(one: Polygon, other: Polygon) -> float:
    """How far two shapes are apart, mm; negative, by how deep they overlap, where they do."""
    return distance(one, other) or -overlap(one, other)


def overlap(one: Polygon, other: Polygon) -> float:
    """How deep two shapes overlap, mm: the shorter side of the bounds of what they share; 0 where they only touch."""
    x0, y0, x1, y1 = shapely.bounds(shapely.intersection(one, other)).tolist()
    return max(min(x1 - x0, y1 - y0), 0.0) if x0 == x0 else 0.0  # the bounds of an empty shape are NaN


def area_within(shapes: Sequence[Polygon], room: tuple[float, float], growths: Sequence[float]) -> tuple[float, ...]:
    """Area of all shapes together, grown by each amount, within a rectangle from the origin, mm2.

    The last number is the area that the largest growth leaves.
    """
    box = shapely.box(0.0, 0.0, *room)
    areas: list[float] = []
    grown_all: shapely.Geometry = box
    for by in growths:
        grown_all = shapely.intersection(shapely.union_all(shapely.buffer(np.array(shapes, dtype=object), by)), box)
        areas.append(float(grown_all.area))
    return (*areas, float(shapely.difference(box, grown_all).area))
