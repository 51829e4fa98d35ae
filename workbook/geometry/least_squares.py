"""Least squares within bounds, robust against outliers.

Each step solves the problem made linear, damped so far that the cost falls (Levenberg and Marquardt). Near a bound the steps
are scaled by how far it is, so that they bend along it and do not stop there (Coleman and Li, "An interior trust region approach
for nonlinear minimization subject to bounds", SIAM J. Optim. 6, 1996, pages 418-445, with damping in place of their region).
Outliers count less, by weights (Triggs et al., "Bundle adjustment: a modern synthesis", 1999, section 4.3), under the loss
2 (sqrt(1 + z) - 1) of the squared error z.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Vector = NDArray[np.float64]
Matrix = NDArray[np.float64]

_FIRST_DAMPING, _MOST_DAMPING = 10.0, 1e12
_ROOM_LEFT = 0.005  # of the way to a bound is not gone: what stands at a bound would never leave it
_LEAST_ROOM = 1e-6  # in scales
_LEAST_WEIGHT = 1e-12


def fitted(
    errors: Callable[[Vector], Vector],
    start: Vector,
    low: Vector,
    high: Vector,
    scale: Vector,
    *,
    outlier: float = np.inf,
    step: float = 1e-4,
    enough: float = 1e-5,
    steps: int = 60,
) -> Vector:
    """The unknowns, shape (n,), between `low` and `high` at which the sum of squared errors is least, searched from `start`.

    `errors` maps unknowns to errors, shape (m,). `scale` is how much of each unknown counts as the same change, shape (n,).
    Errors beyond `outlier` count less and less. Slopes are taken over the relative `step`. The search ends after `steps`, or
    when one gains less than the part `enough` of the cost. Raises ValueError when a bound does not leave room for `start`.
    """
    if not np.all(low < high):
        raise ValueError("each low bound must lie below its high one")
    unknown = np.clip(start, low + _LEAST_ROOM * (high - low), high - _LEAST_ROOM * (high - low))
    error = errors(unknown)
    cost, damping = _cost(error, outlier), _FIRST_DAMPING
    for _ in range(steps):
        weighted, slopes = _weighted(error, _slopes(errors, unknown, error, step, low, high) * scale, outlier)
        before = cost
        while damping < _MOST_DAMPING:
            tried = _moved(unknown, weighted, slopes, low, high, scale, damping)
            error_there = errors(tried)
            cost_there = _cost(error_there, outlier)
            if cost_there < cost:
                unknown, error, cost, damping = tried, error_there, cost_there, damping / 5
                break
            damping *= 3
        if before - cost <= enough * before:
            break
    return unknown


def _moved(unknown: Vector, error: Vector, slopes: Matrix, low: Vector, high: Vector, scale: Vector, damping: float) -> Vector:
    """Where a damped step leads, in the unknowns scaled by the room that each has in the direction it would go."""
    gradient = slopes.T @ error
    room = np.where(gradient < 0, high - unknown, unknown - low) / scale
    shrink = np.sqrt(np.clip(room, _LEAST_ROOM, 1))
    damped = shrink[:, None] * (slopes.T @ slopes) * shrink + np.diag(np.abs(gradient) + damping)
    move = -scale * shrink * np.linalg.solve(damped, shrink * gradient)
    goes = 1 - _ROOM_LEFT
    moved: Vector = np.clip(unknown + move, unknown + goes * (low - unknown), unknown + goes * (high - unknown))
    return moved


def _cost(error: Vector, outlier: float) -> float:
    """Half the sum of the loss of all errors, counted in outliers where there is such a size."""
    if np.isinf(outlier):
        return 0.5 * float(error @ error)
    return float(np.sum(np.sqrt(1 + (error / outlier) ** 2) - 1))


def _weighted(error: Vector, slopes: Matrix, outlier: float) -> tuple[Vector, Matrix]:
    """Errors and slopes whose plain least squares have the gradient and, nearly, the curvature of the robust loss."""
    if np.isinf(outlier):
        return error, slopes
    in_outliers = error / outlier
    first = (1 + in_outliers**2) ** -0.5
    root = np.sqrt(np.maximum(first - in_outliers**2 * (1 + in_outliers**2) ** -1.5, _LEAST_WEIGHT))
    return in_outliers * first / root, slopes * (root / outlier)[:, None]


def _slopes(errors: Callable[[Vector], Vector], unknown: Vector, error: Vector, step: float, low: Vector, high: Vector) -> Matrix:
    """How the errors change with each unknown, shape (m, n), by differences taken away from the nearer bound."""
    columns = []
    for k, value in enumerate(unknown):
        size = step * max(abs(value), step)
        size = size if high[k] - value >= value - low[k] else -size
        moved = unknown.copy()
        moved[k] = value + size
        columns.append((errors(moved) - error) / (moved[k] - value))
    return np.column_stack(columns)
