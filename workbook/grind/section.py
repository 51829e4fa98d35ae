"""Cross-sections of a knife's steel at any place along it, in its three states; area, centre and second moments of a section."""

import numpy as np
from msgspec import Struct

from workbook.geometry.path import Points, upright_span
from workbook.grind.depth import depth, faces, swedge_height
from workbook.grind.lines import grind_lines
from workbook.grind.plunge import Plunges
from workbook.grind.stations import State, Stations, faces_of, finished_spine, spine_before, stations
from workbook.template.blade import BladeCurves
from workbook.template.model import Face, Template
from workbook.template.shape import Shape

_ARC_POINTS = 33


class CrossSection(Struct, frozen=True, kw_only=True, eq=False):
    """One section. `polygon`: its corners (n, 2), y in the template's frame and z out of the right face, counter-clockwise."""

    x: float
    state: State
    polygon: Points
    spine: float  # thickness at the top
    edge: float  # and at the bottom
    line: float | None  # grind line above the edge; None where nothing is ground
    slope: float  # tangent of the bevel's angle per ground face, square to the edge; 0 where nothing is ground
    high: float = 0.0  # height of the grind line, square to the edge
    ground: tuple[int, ...] = ()  # which faces the bevel is on: 1 the right, -1 the left


def section(blank: Shape, bar: float, x: float, state: State, clean_up: float = 0.0, *, plunge: bool = True) -> CrossSection:
    """The section at x. As cut, the outline still has its clean-up all round. Without `plunge` the bevel is computed as if the
    plunge lay further back, as for the section at the heel."""
    template, curves, lines = blank.template, blank.curves, grind_lines(blank, bar)
    assert template is not None and curves is not None and lines is not None
    low, high = _bottom_and_top(blank, curves, x)
    if state is State.AS_CUT:
        return _rectangle(x, state, low - clean_up, high + clean_up, bar)
    on = x > lines.plunges.back if plunge else x >= template.heel.ahead - 1e-9
    if not on:
        thick = (finished_spine if state is State.FINISHED else spine_before)(template, np.array([x]), bar)
        return _rectangle(x, state, low, high, float(thick[0]))
    return _ground(stations(template, curves, bar, np.array([x])), state, lines.plunges if plunge else None, low)


def _bottom_and_top(blank: Shape, curves: BladeCurves, x: float) -> tuple[float, float]:
    """Lowest and highest y at which a vertical line meets the outline; beyond its ends, the point."""
    low, high = (float(ends[0]) for ends in upright_span(blank.outline, np.array([x])))
    return (low, high) if low <= high else (curves.point[1], curves.point[1])


def _rectangle(x: float, state: State, low: float, high: float, thick: float) -> CrossSection:
    half = thick / 2
    polygon = np.array([(low, -half), (high, -half), (high, half), (low, half)])
    return CrossSection(x=x, state=state, polygon=polygon, spine=thick, edge=thick, line=None, slope=0.0)


def _ground(at: Stations, state: State, plunges: Plunges | None, low: float) -> CrossSection:
    stage = at.stage(state)
    below = low - float(at.edge_y[0]) if at.x[0] < at.template.heel.ahead else 0.0  # in a notch, or under the plunge
    up = _heights(at, state, below)[None, :]
    left, right = faces(stage, depth(at, state, up, plunges))
    y = float(at.edge_y[0]) + up[0]
    polygon = np.concatenate((np.column_stack((y, left[0])), np.column_stack((y, right[0]))[::-1]))
    return CrossSection(
        x=float(at.x[0]),
        state=state,
        polygon=_without_doubles(polygon),
        spine=float(right[0, -1] - left[0, -1]),
        edge=float(right[0, 0] - left[0, 0]),
        line=float(stage.line[0]),
        slope=float(at.true_slope[0]),
        high=float(at.square.of(stage.line)[0]),
        ground=(-1, 1) if faces_of(at.template) == 2 else (1,) if at.template.grind.face is Face.RIGHT else (-1,),
    )


def _heights(at: Stations, state: State, below: float) -> Points:
    """Heights of a section's corners: its kinks, and points between them where it is an arc or fades into the plunge."""
    high, line = float(at.height[0]), float(at.stage(state).line[0])
    kinks = (below, 0.0, line, high - float(swedge_height(at)[0]), high)
    curved = (
        at.arcs is not None
        or at.square.shares is not None
        or at.x[0] < at.template.heel.ahead + 3 * at.template.heel.plunge_radius
        or kinks[3] < high
    )
    between = np.linspace(below, high, _ARC_POINTS) if curved else ()
    return np.unique(np.round(np.clip((*kinks, *between), below, high), 9))


def _without_doubles(polygon: Points) -> Points:
    """Drop repeated corners: a zero edge is one corner, not two."""
    apart = np.hypot(*(polygon - np.roll(polygon, 1, axis=0)).T) > 1e-9
    return polygon[apart] if apart.sum() >= 3 else polygon


class Properties(Struct, frozen=True, kw_only=True):
    """Area (mm2), centre (y, z) and second moments about axes through it (mm4): against bending the blade edgewise (spine to
    edge), and sideways."""

    area: float
    y: float
    z: float
    edgewise: float
    sideways: float


def properties(polygon: Points) -> Properties:
    """Properties of a simple polygon, corners (n, 2) as (y, z): shoelace formula and its second moments (Green's theorem)."""
    (y0, z0), (y1, z1) = polygon.T, np.roll(polygon, -1, axis=0).T
    cross = y0 * z1 - y1 * z0
    signed = float(cross.sum()) / 2
    if signed == 0:  # a point or a line
        return Properties(area=0.0, y=float(y0.mean()), z=float(z0.mean()), edgewise=0.0, sideways=0.0)
    y, z = (float(((a + b) * cross).sum()) / (6 * signed) for a, b in ((y0, y1), (z0, z1)))
    about_z, about_y = (float(((a * a + a * b + b * b) * cross).sum()) / 12 for a, b in ((y0, y1), (z0, z1)))
    sign = 1.0 if signed >= 0 else -1.0
    return Properties(
        area=abs(signed), y=y, z=z, edgewise=sign * about_z - abs(signed) * y**2, sideways=sign * about_y - abs(signed) * z**2
    )


def thickness_at(blank: Shape, bar: float, x: float, state: State, up: Points) -> Points:
    """Thickness at heights above the edge, ignoring the plunge: same shape as `up`, NaN above the spine."""
    template, curves = blank.template, blank.curves
    assert isinstance(template, Template) and curves is not None
    at = stations(template, curves, bar, np.array([x]))
    if state is State.AS_CUT:
        return np.where(up <= at.height[0], bar, np.nan)
    left, right = faces(at.stage(state), depth(at, state, np.clip(up, 0.0, at.height[0])[None, :], None))
    return np.where(up <= at.height[0] + 1e-9, (right - left)[0], np.nan)
