"""Both grind lines and the plunge as curves on the outline, and thickness along the blade."""

from dataclasses import dataclass
from math import inf, radians, tan

import numpy as np

from workbook.geometry.path import Bezier, Line, Path, Point, Points, Segment, flatten, polyline
from workbook.grind.bevel import Section, finished_height, height_before
from workbook.template.model import Bevel, Template
from workbook.template.shape import Shape

POINT_STATION = 12.7  # mm (1/2 in) behind the point, where the spine's thickness is given
_BLEND = 0.25  # share of the taper over which it sets in, so that no line has a kink
_STATIONS = 120


@dataclass(frozen=True, slots=True, kw_only=True)
class GrindLines:
    """Curves in the template's frame. `before` None where it cannot be told from the finished line."""

    finished: Path
    before: Path | None
    plunge: Path
    plunge_at: float  # x of its foot


def spine_thickness(template: Template, x: Points, bar: float) -> Points:
    """Thickness of the spine along the blade, nothing ground off the faces yet: the bar's, then the distal taper."""
    blade = template.blade
    if blade.point_thickness <= 0 or blade.point_thickness >= bar:
        return np.full_like(x, bar)
    start, station = blade.taper_from * blade.length, blade.length - POINT_STATION
    u = np.clip((x - start) / max(station - start, 1.0), 0.0, None)
    ease = np.where(u < _BLEND, u * u / (2 * _BLEND), u - _BLEND / 2) / (1 - _BLEND / 2)
    return np.maximum(bar - (bar - blade.point_thickness) * ease, min(0.2, bar))


def section(template: Template, height: float, spine: float) -> Section:
    """The cross-section where the blade is this high and the spine this thick before hardening."""
    grind = template.grind
    finished = max(spine - 2 * grind.face_allowance, 0.1)
    return Section(
        bevel=grind.bevel,
        thickness=finished,
        edge=min(grind.edge_before_sharpening, 0.9 * finished),  # beyond the taper the spine may come down to the edge
        height=height if grind.height is None else min(grind.height, height),
        blade_height=height,
        thickness_before=spine,
        edge_before=min(grind.edge_before_hardening, 0.95 * spine),
        edge_angle=grind.edge_angle,
        wheel=grind.wheel if grind.bevel is Bevel.HOLLOW else inf,
    )


def heel_section(template: Template, bar: float) -> Section:
    """The cross-section at the heel, for a bar of this measured thickness."""
    thick = spine_thickness(template, np.array([template.heel.ahead]), bar)
    return section(template, template.blade.height, float(thick[0]))


def grind_lines(blank: Shape, bar: float) -> GrindLines | None:
    """The lines of a parametric template on a bar of this thickness; None for an outline from a file."""
    template, curves = blank.template, blank.curves
    if template is None or curves is None:
        return None
    x = np.linspace(template.heel.ahead, curves.point[0] - 0.3, _STATIONS)
    edge, spine = _along(curves.edge, x), _along(curves.spine, x)
    thick = spine_thickness(template, x, bar)
    parts = [section(template, float(h), float(t)) for h, t in zip(spine - edge, thick, strict=True)]
    finished = edge + [finished_height(s) for s in parts]
    before = edge + [height_before(s) for s in parts]
    begin = float(x[0]) + _run(template, float(finished[0] - edge[0]))
    same = bool(np.max(np.abs(finished - before)) < 0.05)
    return GrindLines(
        finished=_line(x, finished, begin),
        before=None if same else _line(x, before, begin),
        plunge=_plunge(template, curves.heel, float(np.interp(begin, x, finished))),
        plunge_at=float(x[0]),
    )


def _along(segments: tuple[Segment, ...], x: Points) -> Points:
    points = flatten(Path(segments, closed=False), 0.002)
    order = np.argsort(points[:, 0], kind="stable")
    heights: Points = np.interp(x, points[order, 0], points[order, 1])
    return heights


def _line(x: Points, line: Points, begin: float) -> Path:
    """The grind line from the end of the plunge's rounding on, as a polyline fine enough to look a curve."""
    clear = x > begin
    start = (begin, float(np.interp(begin, x, line)))
    return polyline([start, *((float(a), float(b)) for a, b in zip(x[clear], line[clear], strict=True))])


def _run(template: Template, height: float) -> float:
    """How far the rounded plunge reaches forward along the grind line."""
    return max(min(template.heel.plunge_radius, 0.8 * height) - height * tan(radians(template.heel.plunge_rake)), 0.0)


def _plunge(template: Template, foot: Point, top: float) -> Path:
    """From the edge up, leaning by its rake towards the handle, rounded into the grind line."""
    height = top - foot[1]
    rake = tan(radians(template.heel.plunge_rake))
    r = min(template.heel.plunge_radius, 0.8 * height)
    corner = (foot[0] - height * rake, top)
    turn = (foot[0] - (height - r) * rake, top - r)
    end = (corner[0] + r, top)
    k = 0.5523
    c1 = (turn[0] + k * (corner[0] - turn[0]), turn[1] + k * (corner[1] - turn[1]))
    return Path((Line(foot, turn), Bezier(turn, c1, (end[0] - k * r, top), end)), closed=False)
