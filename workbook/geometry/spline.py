"""A smooth curve through given points: clamped cubic spline, continuous in curvature, as Bezier segments."""

from collections.abc import Sequence
from itertools import pairwise

from workbook.geometry.path import Bezier, Point


def spline(points: Sequence[Point], start_slope: float, end_slope: float) -> tuple[Bezier, ...]:
    """Cubic spline y(x) through points of growing or falling x, with dy/dx given at both ends.

    Slopes from the tridiagonal system of the cubic spline (de Boor, A Practical Guide to Splines, ch. IV).
    """
    slopes = _slopes(points, start_slope, end_slope)
    segments = []
    for (a, b), (first, last) in zip(pairwise(points), pairwise(slopes), strict=True):
        third = (b[0] - a[0]) / 3
        segments.append(Bezier(a, (a[0] + third, a[1] + first * third), (b[0] - third, b[1] - last * third), b))
    return tuple(segments)


def _slopes(points: Sequence[Point], first: float, last: float) -> list[float]:
    """The slope at each point, by forward elimination and back substitution (Thomas)."""
    h = [b[0] - a[0] for a, b in pairwise(points)]
    secant = [(b[1] - a[1]) / (b[0] - a[0]) for a, b in pairwise(points)]
    over, right = [0.0], [first]  # slope[i] = right[i] - over[i] slope[i + 1]
    for i in range(1, len(h)):
        pivot = 2 * (h[i] + h[i - 1]) - h[i] * over[-1]
        right.append((3 * (h[i] * secant[i - 1] + h[i - 1] * secant[i]) - h[i] * right[-1]) / pivot)
        over.append(h[i - 1] / pivot)
    slopes = [last]
    for constant, share in zip(reversed(right), reversed(over), strict=True):
        slopes.append(constant - share * slopes[-1])
    return slopes[::-1]
