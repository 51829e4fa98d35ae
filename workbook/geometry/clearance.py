"""Whether a shape that moves is clear of others, fast: those whose bounds are far away are not measured. Millimetres."""

from collections.abc import Sequence

from workbook.geometry.polygon import Polygon
from workbook.later import np, shapely

_ROUGH = 0.2  # mm by which outlines are simplified for a first look


class Surroundings:
    """Shapes that stay, among which another moves."""

    def __init__(self, others: Sequence[Polygon], distance: float) -> None:
        """`distance`: the least that is clear."""
        self._distance = distance
        self._exact = np.array(others, dtype=object)
        self._simple = shapely.simplify(self._exact, _ROUGH)
        shapely.prepare(self._simple)
        self._bounds = shapely.bounds(self._exact).reshape(-1, 4)

    def clear(self, shape: Polygon) -> bool:
        """Whether a shape is clear of all."""
        beside = self._exact[self._beside(shapely.bounds(shape)[None])[0]]
        return not bool((shapely.distance(shape, beside) < self._distance).any())

    def maybe_clear(self, shape: Polygon, direction: tuple[float, float], steps: Sequence[float]) -> list[bool]:
        """Whether a shape, moved by each of some steps in a direction, may be clear of all.

        Where it says no that is certain; a yes is measured on outlines simplified a little, and may be a little too near.
        """
        moved = np.repeat(shapely.simplify(np.array([shape], dtype=object), _ROUGH), len(steps))
        points = shapely.get_coordinates(moved)
        moves = np.repeat(np.array(steps)[:, None] * direction, len(points) // max(1, len(steps)), axis=0)
        moved = shapely.set_coordinates(moved, points + moves)
        step, other = np.nonzero(self._beside(shapely.bounds(moved)))
        near = shapely.dwithin(self._simple[other], moved[step], max(0.0, self._distance - 2 * _ROUGH))
        clear = np.ones(len(steps), bool)
        clear[step[near]] = False
        return [bool(each) for each in clear]

    def _beside(self, bounds: "np.ndarray") -> "np.ndarray":
        """Which bounds are within the distance of which of the others': (shapes, others), bool."""
        own, their = bounds[:, None, :], self._bounds[None]
        across = (own[..., :2] <= their[..., 2:] + self._distance) & (own[..., 2:] >= their[..., :2] - self._distance)
        return np.asarray(across.all(axis=2))
