"""Distance of a point on a blade from its edge, square to it: to the nearest point of the edge, which is not the one directly
below where the edge is curved.
"""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from msgspec import Struct

from workbook.geometry.path import Path, Points, flatten
from workbook.later import np
from workbook.template.blade import BladeCurves, heights_along, upright_along

if TYPE_CHECKING:
    from numpy.typing import NDArray

_CHORD = 0.001  # mm by which an edge's chords may deviate
_FAR = 1000.0  # mm by which an edge runs straight on beyond its ends, as a plane or a wheel laid on it does
_KNOTS, _STEPS = 100, 20  # along the blade, and up it
_ONE, _FEW = 4, 10  # points of the chords, with the two beyond the ends, of a straight edge and of one with few corners
_TURNS = 12  # iterations; each gains about a digit
_FLAT = 1e-3  # mm of height below which a point counts as on the edge


class Square(Struct, frozen=True, kw_only=True, eq=False):
    """Distances from the edge at stations; arrays of shape (n,) or (n, m).

    Where the grind follows a curved edge, `shares` are given: the distance of a point at height `up` above the edge is up x its
    share, interpolated between steps of the blade's height. Where it follows an edge of a few straight lines, these are given as
    `chords`, with the edge's `places`. Otherwise the distance is from the edge's tangent below the point: up x `upright`.
    """

    upright: Points  # cosine of the edge's slope angle
    height: Points  # of the blade
    shares: Points | None = None  # (n, steps + 1), from the edge to the spine
    chords: Points | None = None  # (k, 2)
    places: Points | None = None  # (n, 2)

    @property
    def from_nearest(self) -> bool:
        """Whether distances are from the nearest point of the edge, and not from its tangent below."""
        return self.shares is not None or self.chords is not None

    def of(self, up: Points) -> Points:
        """Distances for heights above the edge along a vertical line: `up` (n,) or (n, m)."""
        rows = (slice(None), *(None,) * (up.ndim - 1))
        if self.chords is not None and self.places is not None:
            return _distances(np.broadcast_to(self.places[:, 0][rows], up.shape), self.places[:, 1][rows] + up, self.chords)
        if self.shares is None:
            distances: Points = up * self.upright[rows]
            return distances
        t = np.clip(up / self.height[rows], 0.0, 1.0) * _STEPS
        step = np.minimum(t.astype(np.intp), _STEPS - 1)
        at = step + (np.arange(len(step)) * (_STEPS + 1))[rows]
        flat = self.shares.ravel()
        low, high = flat[at], flat[at + 1]
        t -= step
        high -= low
        t *= high
        t += low
        t *= up
        return t

    def up_to(self, distance: Points) -> Points:
        """The height above the edge, along a vertical line, at which the distance is reached; shapes (n,) or (n, m)."""
        rows = (slice(None), *(None,) * (distance.ndim - 1))
        up: Points = distance / self.upright[rows]
        if self.from_nearest:
            for _ in range(_TURNS):  # the share changes slowly
                up = up * np.where(up > _FLAT, distance / np.maximum(self.of(up), _FLAT * _FLAT), 1.0)
        return up

    def some(self, where: NDArray[np.bool_] | slice) -> Square:
        """Select stations by a mask of shape (n,) or a slice."""
        shares, places = (None if array is None else array[where] for array in (self.shares, self.places))
        return Square(upright=self.upright[where], height=self.height[where], shares=shares, chords=self.chords, places=places)


def square(curves: BladeCurves, x: Points, upright: Points, height: Points, *, round_edge: bool) -> Square:
    """Build the distances at stations; `round_edge`: whether the bevel follows the nearest point of the edge."""
    chords = _chords(curves)
    if not round_edge or len(chords) <= _ONE:
        return Square(upright=upright, height=height)
    if len(chords) <= _FEW:  # sharp corners would be rounded between knots
        places = np.column_stack((x, heights_along(curves.edge, x)))
        return Square(upright=upright, height=height, chords=chords, places=places)
    knots, shares = _shares(curves)
    at_stations = np.column_stack([np.interp(x, knots, share) for share in shares.T])
    return Square(upright=upright, height=np.maximum(height, _FLAT), shares=at_stations)


@lru_cache(maxsize=16)
def _chords(curves: BladeCurves) -> Points:
    """The edge in chords, shape (k, 2), extended straight beyond its ends: four points if it is straight."""
    edge = flatten(Path(curves.edge, closed=False), _CHORD)
    ends = [edge[i] + _FAR * (edge[i] - edge[j]) / np.hypot(*(edge[i] - edge[j])) for i, j in ((0, 1), (-1, -2))]
    chords: Points = np.vstack((ends[0], edge, ends[1]))
    return chords


@lru_cache(maxsize=16)
def _shares(curves: BladeCurves) -> tuple[Points, Points]:
    """Positions along the blade (k,), denser towards the point, and `Square.shares` at them (k, steps + 1)."""
    chords = _chords(curves)
    first, last = curves.heel[0], curves.point[0]
    x = first + (last - first) * np.sin(np.linspace(0.0, np.pi / 2, _KNOTS))
    height = np.maximum(heights_along(curves.spine, x) - heights_along(curves.edge, x), _FLAT)
    up = height[:, None] * np.arange(1, _STEPS + 1) / _STEPS
    y = heights_along(curves.edge, x)[:, None] + up
    above = _distances(np.broadcast_to(x[:, None], y.shape), y, chords) / up
    return x, np.column_stack((upright_along(curves, x), above))


def _distances(x: Points, y: Points, chords: Points) -> Points:
    """Distance from each point to the nearest chord; arrays of one shape."""
    nearest = np.full(x.shape, np.inf)
    for (ax, ay), (dx, dy) in zip(chords[:-1], np.diff(chords, axis=0), strict=True):
        share = np.clip(((x - ax) * dx + (y - ay) * dy) / (dx * dx + dy * dy), 0.0, 1.0)
        np.minimum(nearest, (x - ax - share * dx) ** 2 + (y - ay - share * dy) ** 2, out=nearest)
    distances: Points = np.sqrt(nearest)
    return distances
