"""How wide the turns of a saw can be that follows a gap.

A line through the gap is moved sideways within its room so that its sharpest bend becomes as slight as can be: a linear
programme over the offsets of its points, the bend at a point being the second difference across the line. Offsets are
kept small, and the programme is set up anew from where the line then lies, until little more is gained.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import highspy
import numpy as np

from workbook.geometry.path import Point, Points

Clearance = Callable[[Points], Points]  # how far each of some points (n, 2) is from what must not be touched (n)

STEP = 1.0  # mm between points
_SMALL = 0.4  # mm a point is moved at a time
_MOST_ROUNDS, _PATIENCE = 80, 10  # and rounds without gain
_DRIFT = 0.05  # mm a line may come nearer than it was allowed
_STRAIGHT = 1e-6  # per mm; less bent than this is straight
_INFINITY = 1e30


def evenly(points: Sequence[Point] | Points, step: float) -> Points:
    """Points (n, 2) at equal distances, about a step, along an open polyline; its two ends when it is shorter than that."""
    line = np.asarray(points, np.float64)
    along = np.r_[0.0, np.cumsum(np.hypot(*np.diff(line, axis=0).T))]
    at = np.linspace(0.0, along[-1], max(2, round(float(along[-1]) / step) + 1))
    return np.column_stack([np.interp(at, along, line[:, 0]), np.interp(at, along, line[:, 1])])


def widest_turn(line: Sequence[Point] | Points, clearance: Clearance, enough: float = float("inf")) -> float:
    """The largest radius, mm, the sharpest turn of a line moved within its room may have; inf where it can be straight.

    Ends as soon as a radius of `enough` is reached.
    """
    points, widest, idle = evenly(line, STEP), 0.0, 0
    least = min(0.0, float(clearance(points).min())) - _DRIFT
    for _ in range(_MOST_ROUNDS):
        if len(points) < 3:
            return float("inf")
        across, bend = _bends(points)
        step = float(np.hypot(*(points[1] - points[0])))
        sharpest = float(np.abs(bend).max()) / step**2
        radius = 1 / sharpest if sharpest > _STRAIGHT else float("inf")
        if widest and float(clearance(points).min()) < least:  # drifted by its small steps: counts for nothing
            radius = 0.0
        widest, idle = max(widest, radius), 0 if radius > widest * 1.002 else idle + 1
        if widest >= enough or idle > _PATIENCE:
            break
        across = across[np.r_[0, 0 : len(across), len(across) - 1]]
        moved = _least_bend(bend, *_room(points, across, clearance))
        points = evenly(points + moved[:, None] * across, STEP)
    return widest


def _room(points: Points, across: Points, clearance: Clearance) -> tuple[Points, Points]:
    """Least and greatest offset of each point, up to a small step: where that is clear, or as far as the point is clear now.

    A point that is not clear must move to the side that is, as far as it is wanting.
    """
    now = clearance(points)
    ways = [clearance(points + way * _SMALL * across) >= 0 for way in (-1, 1)]
    held = np.clip(now, 0.0, _SMALL)
    low, high = -np.where(ways[0], _SMALL, held), np.where(ways[1], _SMALL, held)
    wanting = np.clip(-now, 0.0, _SMALL)
    up, down = ways[1] & ~ways[0], ways[0] & ~ways[1]
    return np.where(up, np.maximum(low, wanting), low), np.where(down, np.minimum(high, -wanting), high)


def _bends(points: Points) -> tuple[Points, Points]:
    """At every point but the ends: the direction across the line, and the second difference in it."""
    ahead = points[2:] - points[:-2]
    across = np.column_stack([-ahead[:, 1], ahead[:, 0]]) / np.maximum(np.hypot(*ahead.T), 1e-9)[:, None]
    return across, ((points[:-2] - 2 * points[1:-1] + points[2:]) * across).sum(axis=1)


def _least_bend(bend: Points, low: Points, high: Points) -> Points:
    """Offsets from low to high for the least greatest |bend + second difference of offsets|."""
    n, inner = len(low), len(bend)
    model = highspy.HighsLp()
    model.num_col_, model.num_row_ = n + 1, 2 * inner
    model.col_cost_ = np.r_[np.zeros(n), 1.0]
    model.col_lower_, model.col_upper_ = np.r_[low, 0.0], np.r_[high, _INFINITY]
    model.row_lower_, model.row_upper_ = np.r_[-bend, bend], np.full(2 * inner, _INFINITY)
    first = np.arange(inner)
    columns = np.column_stack([first, first + 1, first + 2, np.full(inner, n)])
    difference = np.array([1.0, -2.0, 1.0])
    matrix = model.a_matrix_
    matrix.format_ = highspy.MatrixFormat.kRowwise
    matrix.start_ = np.arange(0, 8 * inner + 1, 4).astype(np.int32)
    matrix.index_ = np.vstack([columns, columns]).ravel().astype(np.int32)
    matrix.value_ = np.r_[np.tile([*difference, 1.0], inner), np.tile([*-difference, 1.0], inner)]
    solver = highspy.Highs()
    for option, value in (("output_flag", False), ("threads", 1)):
        solver.setOptionValue(option, value)
    solver.passModel(model)
    solver.run()
    return np.array(solver.getSolution().col_value)[:n]
