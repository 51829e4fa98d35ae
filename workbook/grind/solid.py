"""Volumes of ground steel with their centres: the steel between two flats, and what a bevel removes. Units mm, mm3."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from math import pi

import numpy as np
from msgspec import Struct

from workbook.geometry.path import Path, Points, flatten, upright_span
from workbook.grind.depth import depth, swedge_height
from workbook.grind.lines import grind_lines
from workbook.grind.plunge import Plunges
from workbook.grind.stations import State, Stations, stations
from workbook.template.shape import Shape

_NEAR, _FAR = 60, 140  # stations beside the plunge and from there to the point
_FINE = 0.001  # mm; the outline in chords is smaller than the curve, by less than one part in ten thousand
_TABLE = 600
_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(4)


class Solid(Struct, frozen=True, kw_only=True):
    """A volume (mm3) and its first moments about the origin of the template's frame (mm4)."""

    volume: float = 0.0
    x: float = 0.0
    y: float = 0.0
    z: float = 0.0

    def plus(self, other: Solid, times: float = 1.0) -> Solid:
        """The sum of both; with `times` -1, the difference."""
        return Solid(
            volume=self.volume + times * other.volume,
            x=self.x + times * other.x,
            y=self.y + times * other.y,
            z=self.z + times * other.z,
        )

    @property
    def centre(self) -> tuple[float, float, float]:
        """Centre of volume, mm; the origin if the volume is zero."""
        return (self.x / self.volume, self.y / self.volume, self.z / self.volume) if self.volume else (0.0, 0.0, 0.0)


def solid(volume: float, x: float, y: float, z: float = 0.0) -> Solid:
    """Build a solid from its volume and its centre."""
    return Solid(volume=volume, x=volume * x, y=volume * y, z=volume * z)


def together(solids: Iterable[Solid]) -> Solid:
    """The sum of solids."""
    total = Solid()
    for item in solids:
        total = total.plus(item)
    return total


Thickness = Callable[[Points], Points]


def between_flats(blank: Shape, thick: Thickness) -> Solid:
    """The volume that the outline encloses between flats whose distance depends on x only, less its holes and openings."""
    return within_outline(blank, thick).plus(bored(blank, thick), -1.0)


def within_outline(blank: Shape, thick: Thickness) -> Solid:
    """The same, without subtracting holes and openings."""
    return _prism(blank.outline, thick)


def bored(blank: Shape, thick: Thickness) -> Solid:
    """The volume of the holes and openings."""
    total = together(_prism(opening, thick) for opening in blank.openings)
    if blank.holes:
        at = thick(np.array([hole.centre[0] for hole in blank.holes])).tolist()
        drilled = (solid(pi / 4 * h.diameter**2 * t, *h.centre) for h, t in zip(blank.holes, at, strict=True))
        total = total.plus(together(drilled))
    return total


def _prism(path: Path, thick: Thickness) -> Solid:
    """Green's theorem: the integral of T(x) over the area is that of its antiderivative along the outline, dy; Simpson's rule."""
    start = flatten(path, _FINE)
    middle, dy = (start + np.roll(start, -1, axis=0)) / 2, np.roll(start[:, 1], -1) - start[:, 1]
    x0, x1 = float(start[:, 0].min()), float(start[:, 0].max())
    table = np.linspace(x0, x1, _TABLE)
    t = thick(table)
    step = (x1 - x0) / (_TABLE - 1)

    def at_corners(f: Points) -> tuple[Points, Points]:
        integral = np.concatenate(([0.0], np.cumsum((f[1:] + f[:-1]) / 2) * step))
        return np.interp(start[:, 0], table, integral), np.interp(middle[:, 0], table, integral)

    def around(corner: Points, between: Points) -> float:
        return float(((corner + 4 * between + np.roll(corner, -1)) / 6 * dy).sum())

    corner, between = at_corners(t)
    volume, x = around(corner, between), around(*at_corners(t * table))
    y = around(corner * start[:, 1], between * middle[:, 1])
    sign = 1.0 if volume >= 0 else -1.0
    return Solid(volume=sign * volume, x=sign * x, y=sign * y)


class GroundSteel(Struct, frozen=True, kw_only=True, eq=False):
    """The steel that the bevels remove from between the flats, and the stations it is summed over."""

    at: Stations
    before: Solid
    finished: Solid


def ground_away(blank: Shape, bar: float) -> GroundSteel:
    """The steel that plunge, bevels and swedge remove from between each state's own flats, over 200 stations."""
    template, curves, lines = blank.template, blank.curves, grind_lines(blank, bar)
    assert template is not None and curves is not None and lines is not None
    back, wide = lines.plunges.back, lines.plunges.end + 6.0
    near = np.linspace(back, min(wide, 0.5 * (back + template.blade.length)), _NEAR, endpoint=False)
    u = np.linspace(0.0, 1.0, _FAR)
    begin = 2 * near[-1] - near[-2]
    far = begin + (template.blade.length - begin) * (0.4 * u + 0.6 * (1 - (1 - u) ** 2))  # denser towards the point
    at = stations(template, curves, bar, np.concatenate((near, far)))
    within = _within(blank, at)
    return GroundSteel(
        at=at,
        before=_taken(at, State.BEFORE, lines.plunges, within),
        finished=_taken(at, State.FINISHED, lines.plunges, within),
    )


def _within(blank: Shape, at: Stations) -> tuple[Points, Points]:
    """Lowest and highest point of the steel at each station, above the edge: behind the heel, which a plunge that leans back
    reaches, those of the outline; ahead of it the edge and the spine."""
    low, high = np.zeros_like(at.x), at.height.copy()
    behind = at.x < at.template.heel.ahead
    if behind.any():
        bottom, top = upright_span(blank.outline, at.x[behind])
        low[behind] = np.nan_to_num(bottom - at.edge_y[behind])
        high[behind] = np.nan_to_num(top - at.edge_y[behind])
    return low, high


def _taken(at: Stations, state: State, plunges: Plunges, within: tuple[Points, Points]) -> Solid:
    plunge = plunges.finished if state is State.FINISHED else plunges.before
    up, weight = _nodes(at, at.stage(state).line, plunge, within)
    deep = depth(at, state, up, plunges)
    across = _widths(at.x)[:, None] * weight
    half, y = at.stage(state).thick[:, None] / 2, at.edge_y[:, None] + up
    right, left = deep.right * across, deep.left * across
    both = right + left
    return Solid(
        volume=float(both.sum()),
        x=float((both * at.x[:, None]).sum()),
        y=float((both * y).sum()),
        z=float((right * (half - deep.right / 2) - left * (half - deep.left / 2)).sum()),
    )


def _nodes(at: Stations, line: Points, plunge: Path, within: tuple[Points, Points]) -> tuple[Points, Points]:
    """Gauss-Legendre nodes and weights up each station, from each kink of the section to the next: (n, 16)."""
    low, high = within
    swedge = at.height - swedge_height(at)
    first = _above_plunge(at, plunge)
    kinks = np.stack((low, first, line, swedge, high), axis=1)
    ends = np.sort(np.clip(kinks, low[:, None], high[:, None]), axis=1)
    half = np.diff(ends, axis=1)[:, :, None] / 2
    up = (ends[:, :-1, None] + half) + half * _NODES
    return up.reshape(len(line), -1), (half * _WEIGHTS).reshape(len(line), -1)


def _above_plunge(at: Stations, plunge: Path) -> Points:
    """Height at which each station crosses the plunge; 0 where it does not."""
    points = flatten(plunge, 0.01)
    order = np.argsort(points[:, 0], kind="stable")
    y = np.interp(at.x, points[order, 0], points[order, 1], left=-np.inf, right=-np.inf)
    heights: Points = np.where(np.isfinite(y), np.maximum(y - at.edge_y, 0.0), 0.0)
    return heights


def _widths(x: Points) -> Points:
    """Weights of the trapezoid rule."""
    steps = np.diff(x)
    weights: Points = (np.concatenate(([0.0], steps)) + np.concatenate((steps, [0.0]))) / 2
    return weights
