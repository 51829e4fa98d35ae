"""A picture as a plane in mm: by the four corners of a sheet of known size, or by two points a known distance apart.

The sheet gives a homography (Hartley and Zisserman, Multiple View Geometry, algorithm 4.1, the direct linear transformation).
"""

from __future__ import annotations

from collections.abc import Sequence
from math import atan2, hypot

import numpy as np
from msgspec import Struct

from workbook.geometry.path import Point, Points
from workbook.texts import _

_PAPER_LEAST = 20.0  # mm


class TraceError(ValueError):
    """Points that give no plane or outline; the message says what is wrong and what would be right."""


class Plane(Struct, frozen=True):
    """The mapping from the picture's pixels to mm, x to the right and y up: a 3 x 3 homography."""

    matrix: Points

    def mm(self, pixels: Sequence[Point] | Points) -> Points:
        """Points of the picture in mm, shape (n, 2)."""
        homogeneous = np.column_stack([np.asarray(pixels, dtype=float).reshape(-1, 2), np.ones(len(pixels))])
        projected = homogeneous @ self.matrix.T
        points: Points = projected[:, :2] / projected[:, 2:]
        return points

    def pixels(self, points: Points) -> Points:
        """Points in mm as pixels of the picture, shape (n, 2)."""
        return Plane(np.asarray(np.linalg.inv(self.matrix), dtype=np.float64)).mm(points)


def plane_of_sheet(corners: Sequence[Point], width: float, height: float) -> Plane:
    """The plane of a sheet of width and height, mm, whose corners were clicked in any order.

    The longer side of the sheet is the longer in the picture. Raises TraceError.
    """
    if len(corners) != 4:
        raise TraceError(_("Click the four corners of the sheet."))
    ordered = _round_about(corners)
    sides = [hypot(b[0] - a[0], b[1] - a[1]) for a, b in zip(ordered, ordered[1:] + ordered[:1], strict=True)]
    if min(sides) < 10 or not _convex(ordered):
        raise TraceError(_("These four points are not the corners of a sheet. Click each corner once."))
    across, up = sides[0] + sides[2], sides[1] + sides[3]
    if (across > up) != (width > height):
        width, height = height, width
    targets = [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)]
    return Plane(_homography(ordered, targets))


def plane_of_distance(a: Point, b: Point, distance: float) -> Plane:
    """The plane of a picture taken squarely, by two points a known distance, mm, apart. Raises TraceError."""
    pixels = hypot(b[0] - a[0], b[1] - a[1])
    if pixels < 10 or distance < _PAPER_LEAST:
        raise TraceError(_("Click two points at least an inch apart, and type the distance between them."))
    k = distance / pixels
    return Plane(np.array([[k, 0.0, 0.0], [0.0, -k, 0.0], [0.0, 0.0, 1.0]]))


def _round_about(corners: Sequence[Point]) -> list[Point]:
    """Corners counter-clockwise as seen (the picture's y runs down), from the lower left."""
    cx, cy = (sum(p[i] for p in corners) / 4 for i in (0, 1))
    turning = sorted(corners, key=lambda p: atan2(cy - p[1], p[0] - cx))
    first = min(range(4), key=lambda i: turning[i][0] - turning[i][1])
    return turning[first:] + turning[:first]


def _convex(corners: Sequence[Point]) -> bool:
    turns = []
    for i in range(4):
        (ax, ay), (bx, by), (cx, cy) = (corners[(i + k) % 4] for k in range(3))
        turns.append((bx - ax) * (cy - by) - (by - ay) * (cx - bx))
    return all(turn < 0 for turn in turns)


def _homography(pixels: Sequence[Point], mm: Sequence[Point]) -> Points:
    rows = []
    for (x, y), (u, v) in zip(pixels, mm, strict=True):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y, -u])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y, -v])
    matrix = np.linalg.svd(np.array(rows, dtype=float))[2][-1].reshape(3, 3)
    return np.asarray(matrix / matrix[2, 2], dtype=np.float64)
