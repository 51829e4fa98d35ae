"""How wide the turns can be of a saw that follows a gap.

A line through the gap is moved sideways within its room to make its sharpest bend as slight as possible: a linear programme
over the offsets of its points, the bend at a point being the second difference across the line. Offsets are kept small, and
the programme is set up again from the line's new place until it gains little more.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import highspy
import numpy as np

from workbook.geometry.path import Point, Points

Clearance = Callable[[Points], Points]  # points (n, 2) -> distance of each from what must not be touched, (n,)

STEP = 1.0  # mm between points
_SMALL = 0.4  # mm a point is moved at a time
_MOST_ROUNDS, _PATIENCE = 80, 10  # rounds in all, and rounds without gain
_DRIFT = 0.05  # mm a line may come nearer than allowed
_STRAIGHT = 1e-6  # per mm; less bent than this is straight
_INFINITY = 1e30


def evenly(points: Sequence[Point] | Points, step: float) -> Points:
    """Equally spaced points (n, 2), about `step` mm apart, along an open polyline; its two ends when it is shorter than that."""
    line = np.asarray(points, np.float64)
    along = np.r_[0.0, np.cumsum(np.hypot(*np.diff(line, axis=0).T))]
    at = np.linspace(0.0, along[-1], max(2, round(float(along[-1]) / step) + 1))
    return np.column_stack([np.interp(at, along, line[:, 0]), np.interp(at, along, line[:, 1])])


def widest_turn(line: Sequence[Point] | Points, clearance: Clearance, enough: float = float("inf")) -> float:
    """The largest radius, mm, that the sharpest turn of a line moved within its room can have; inf where it can be straight.

    Stops as soon as a radius of `enough` is reached.
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
        if widest and float(clearance(points).min()) < least:  # drifted too near by small steps: does not count
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

    A point that is not clear must move by its shortfall to the side that is.
    """
    current = clearance(points)
    clear = [clearance(points + side * _SMALL * across) >= 0 for side in (-1, 1)]
    reach = np.clip(current, 0.0, _SMALL)
    low, high = -np.where(clear[0], _SMALL, reach), np.where(clear[1], _SMALL, reach)
    shortfall = np.clip(-current, 0.0, _SMALL)
    up, down = clear[1] & ~clear[0], clear[0] & ~clear[1]
    return np.where(up, np.maximum(low, shortfall), low), np.where(down, np.minimum(high, -shortfall), high)


def _bends(points: Points) -> tuple[Points, Points]:
    """At every point but the ends: the direction across the line, and the second difference in it."""
    ahead = points[2:] - points[:-2]
    across = np.column_stack([-ahead[:, 1], ahead[:, 0]]) / np.maximum(np.hypot(*ahead.T), 1e-9)[:, None]
    return across, ((points[:-2] - 2 * points[1:-1] + points[2:]) * across).sum(axis=1)


def _least_bend(bend: Points, low: Points, high: Points) -> Points:
    """Offsets between low and high that minimise the largest |bend + second difference of offsets|."""
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
