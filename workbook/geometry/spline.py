"""A smooth curve through given points: clamped cubic spline, continuous in curvature, as Bezier segments."""

from collections.abc import Sequence

import numpy as np

from workbook.geometry.path import Bezier, Point


def spline(points: Sequence[Point], start_slope: float, end_slope: float) -> tuple[Bezier, ...]:
    """Cubic spline y(x) through points of growing or falling x, with dy/dx given at both ends.

    Slopes from the tridiagonal system of the cubic spline (de Boor, A Practical Guide to Splines, ch. IV).
    """
    x, y = np.asarray(points, float).T
    h, secant = np.diff(x), np.diff(y) / np.diff(x)
    matrix, right = np.eye(len(x)), np.empty(len(x))
    right[0], right[-1] = start_slope, end_slope
    for i in range(1, len(x) - 1):
        matrix[i, i - 1 : i + 2] = h[i], 2 * (h[i] + h[i - 1]), h[i - 1]
        right[i] = 3 * (h[i] * secant[i - 1] + h[i - 1] * secant[i])
    slope = np.linalg.solve(matrix, right)
    return tuple(
        Bezier(
            (float(x[i]), float(y[i])),
            (float(x[i] + h[i] / 3), float(y[i] + slope[i] * h[i] / 3)),
            (float(x[i + 1] - h[i] / 3), float(y[i + 1] - slope[i + 1] * h[i] / 3)),
            (float(x[i + 1]), float(y[i + 1])),
        )
        for i in range(len(h))
    )
