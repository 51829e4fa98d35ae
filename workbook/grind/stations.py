"""A blade ground from a bar, at stations along it: thickness, edge, angle and grind line, before hardening and finished.

The grind is stored as a *depth* below each flat. In (v, depth), v square to the edge, a flat bevel is the line from
(0, (T - e) / faces) to (h, 0); a hollow or convex one is an arc through the same two points: a wheel rolls along the edge. A
specified height is square to the edge too. Where the angle is held, v is the distance from the nearest point of the edge. Where a
height is held instead, a vertical section across the axis is the same one stretched: y = v / cosine of the edge's slope angle.
Before hardening the same surface lies further out.
"""

from __future__ import annotations

from enum import StrEnum
from math import radians, tan
from typing import TYPE_CHECKING

from msgspec import Struct

from workbook.geometry.path import Points
from workbook.grind.bevel import most_bulge, radius_of, sagitta
from workbook.grind.square import Square, square
from workbook.later import np
from workbook.structs import replace
from workbook.template.blade import BladeCurves, heights_along, upright_along
from workbook.template.model import Bevel, Held, TangForm, Taper, Template
from workbook.texts import _

if TYPE_CHECKING:
    from numpy.typing import NDArray

POINT_STATION = 12.7  # mm (1/2 in) behind the point, where the spine's thickness is given; beyond it the angle settles
_STEP, _EASE = 0.25, 4.0  # mm behind that station over which the angle's change is measured, and mm over which it dies away
_BLEND = 0.25  # fraction of the taper over which it sets in, so that no line has a kink
_LEAST_SPINE = 0.2  # mm; a taper stops there
_LEAST_SLOPE = 1e-6  # of a bevel where there is nothing to grind
_LEAST_HEIGHT = 0.2  # mm of blade, the least for which an angle is computed
_LAST = 0.1  # mm off the edge over which the grind line's rise is measured


class State(StrEnum):
    """A state of one knife."""

    AS_CUT = "as cut"
    BEFORE = "before hardening"
    FINISHED = "finished"


STATE_WORDS = {State.AS_CUT: _("As cut"), State.BEFORE: _("Before hardening"), State.FINISHED: _("Finished")}


class StateSizes(Struct, frozen=True, kw_only=True, eq=False):
    """One state at every station; arrays of shape (n,), mm."""

    thick: Points  # between the flats
    edge: Points  # thickness at the edge
    out: Points  # how much deeper, from this state's own flat, the grind is than when finished; negative: less deep
    line: Points  # grind line above the edge, along a vertical line


class Arcs(Struct, frozen=True, kw_only=True, eq=False):
    """Arcs of hollow or convex bevels in (v, depth), v square to the edge: centres and radii; arrays of shape (n,), mm."""

    v: Points
    depth: Points
    radius: Points


class Stations(Struct, frozen=True, kw_only=True, eq=False):
    """The ground blade at stations `x`; arrays of shape (n,), lengths in mm. The plunge is ignored."""

    template: Template
    x: Points
    edge_y: Points  # of the edge, in the template's frame
    height: Points  # of the blade
    deep: Points  # depth of the finished bevel at the edge, from a ground face
    slope: Points  # slope of the bevel in a vertical section, per ground face
    upright: Points  # cosine of the edge's slope angle: 1 where it runs along the axis
    square: Square  # distances from the edge
    arcs: Arcs | None
    before: StateSizes
    finished: StateSizes

    @property
    def true_slope(self) -> Points:
        """Tangent of the bevel's angle, square to the edge: where the edge rises, a section across the axis looks flatter."""
        slope: Points = self.slope / self.upright
        return slope

    @property
    def slope_at_edge(self) -> Points:
        """The same as `true_slope`, for the bevel's surface where it meets the edge: an arc is steeper or flatter there."""
        if self.arcs is None:
            return self.true_slope
        side = 1.0 if self.template.grind.bevel is Bevel.CONVEX else -1.0
        slope: Points = side * self.arcs.v / np.sqrt(np.maximum(self.arcs.radius**2 - self.arcs.v**2, 1e-9))
        return slope

    @property
    def creep(self) -> Points:
        """Rise of the line before hardening, square to the edge, per mm off the edge, over the last 0.1 mm."""
        bevel, out = self.template.grind.bevel, self.before.out
        less = out - _LAST / faces_of(self.template)
        lines = (_line(self.arcs, self.deep, self.true_slope, each, bevel) for each in (out, less))
        now, earlier = (np.maximum(line, 0.0) for line in lines)
        rate: Points = (now - earlier) / _LAST
        return rate

    def some(self, where: NDArray[np.bool_] | slice) -> Stations:
        """Select stations by a mask of shape (n,) or a slice."""

        def taken(of: StateSizes) -> StateSizes:
            return StateSizes(thick=of.thick[where], edge=of.edge[where], out=of.out[where], line=of.line[where])

        arcs = self.arcs
        return Stations(
            template=self.template,
            x=self.x[where],
            edge_y=self.edge_y[where],
            height=self.height[where],
            deep=self.deep[where],
            slope=self.slope[where],
            upright=self.upright[where],
            square=self.square.some(where),
            arcs=arcs and Arcs(v=arcs.v[where], depth=arcs.depth[where], radius=arcs.radius[where]),
            before=taken(self.before),
            finished=taken(self.finished),
        )

    def stage(self, state: State) -> StateSizes:
        """The state before hardening, or the finished one."""
        return self.finished if state is State.FINISHED else self.before


def faces_of(template: Template) -> int:
    """The number of faces the bevel is ground on."""
    return 1 if template.grind.bevel is Bevel.SINGLE else 2


def follows_edge(template: Template) -> bool:
    """Whether the bevel has one angle square to the edge, so that it is ground square to each point of it."""
    return template.grind.bevel is Bevel.SCANDI or template.grind.held is Held.ANGLE


def finished_spine(template: Template, x: Points, bar: float) -> Points:
    """Thickness between the flats of the finished knife, mm: the bar's less both allowances, then distal and tang taper."""
    blade, tang = template.blade, template.tang
    full = max(bar - 2 * template.grind.face_allowance, min(0.1, bar))
    thick = np.full(np.shape(x), full)
    if 0 < blade.point_thickness < full:
        start, station = blade.taper_from * blade.length, blade.length - POINT_STATION
        u = np.clip((x - start) / max(station - start, 1.0), 0.0, None)
        ease = np.where(u < _BLEND, u * u / (2 * _BLEND), u - _BLEND / 2) / (1 - _BLEND / 2)
        thick = np.maximum(full - (full - blade.point_thickness) * ease, min(_LEAST_SPINE, full))
    if tang.form is TangForm.TAPERED and tang.butt_thickness < full:
        behind = np.clip(-x / template.handle.length, 0.0, 1.0)
        thick = thick - (full - tang.butt_thickness) * behind
    return thick


def spine_before(template: Template, x: Points, bar: float) -> Points:
    """The same before hardening: tapers are ground with the allowance still on, or the taper is left for later (never on a
    single bevel, whose back stays flat)."""
    late = template.grind.taper is Taper.AFTER and faces_of(template) == 2
    ahead = np.minimum(x, 0.0) if late else x
    return np.minimum(finished_spine(template, ahead, bar) + 2 * template.grind.face_allowance, bar)


def stations(template: Template, curves: BladeCurves, bar: float, x: Points) -> Stations:
    """Compute the blade at stations between the plunge's top and the point, on a bar of this thickness (mm)."""
    grind, faces, x = template.grind, faces_of(template), np.asarray(x, np.float64)
    edge_y, height = (
        heights_along(curves.edge, x),
        np.maximum(heights_along(curves.spine, x) - heights_along(curves.edge, x), 0.0),
    )
    thick = finished_spine(template, x, bar)
    edge = np.zeros_like(x) if grind.bevel is Bevel.SCANDI else np.minimum(grind.edge_before_sharpening, 0.9 * thick)
    deep = (thick - edge) / faces
    upright = upright_along(curves, x)
    slope = np.maximum(_slopes(template, curves, bar, x, deep, height, upright), _LEAST_SLOPE)
    distance = square(curves, x, upright, height, round_edge=follows_edge(template))
    line = np.minimum(distance.up_to(deep / slope * upright), height)
    finished = StateSizes(thick=thick, edge=edge, out=np.zeros_like(x), line=line)
    arcs = _arcs(template, curves, bar, deep, slope / upright)
    before = _before(template, bar, x, finished, arcs, deep, slope / upright, distance.of(height))
    before = replace(before, line=np.minimum(distance.up_to(before.line), height))
    return Stations(
        template=template,
        x=x,
        edge_y=edge_y,
        height=height,
        deep=deep,
        slope=slope,
        upright=upright,
        square=distance,
        arcs=arcs,
        before=before,
        finished=finished,
    )


def _slopes(
    template: Template, curves: BladeCurves, bar: float, x: Points, deep: Points, height: Points, upright: Points
) -> Points:
    """Slope of the bevel in a vertical section: its angle is given (Scandi) or is that at the heel (angle held), square to the
    edge; otherwise it follows from the height at each station."""
    grind = template.grind
    if grind.bevel is Bevel.SCANDI:
        return tan(radians(grind.edge_angle)) * upright
    if grind.held is Held.ANGLE:
        at = np.array([template.heel.ahead])
        return (_slope_at(template, curves, bar, at) / upright_along(curves, at)) * upright
    slope = deep / _bevel_height(template, height, upright)
    station = max(template.blade.length - POINT_STATION, template.heel.ahead)
    slope_there, before = _slope_at(template, curves, bar, np.array([station, station - _STEP])).tolist()
    beyond = np.clip(x - station, 0.0, None)
    eased = slope_there + (slope_there - before) / _STEP * _EASE * (1 - np.exp(-beyond / _EASE))  # dies away without a kink
    return np.where(x > station, np.maximum(eased, 0.2 * slope_there), slope)


def _bevel_height(template: Template, height: Points, upright: Points) -> Points:
    """Height of the finished bevel along a vertical line: the whole blade's, or, where the blade is high enough, the specified
    height square to the edge."""
    target = template.grind.height
    return np.maximum(height if target is None else np.minimum(target / upright, height), _LEAST_HEIGHT)


def _slope_at(template: Template, curves: BladeCurves, bar: float, x: Points) -> Points:
    """Slope of a bevel of the specified height at positions x, in a vertical section."""
    height = heights_along(curves.spine, x) - heights_along(curves.edge, x)
    thick = finished_spine(template, x, bar)
    edge = np.minimum(template.grind.edge_before_sharpening, 0.9 * thick)
    slope: Points = (thick - edge) / faces_of(template) / _bevel_height(template, height, upright_along(curves, x))
    return slope


def _arcs(template: Template, curves: BladeCurves, bar: float, deep: Points, slope: Points) -> Arcs | None:
    """Arcs through (0, deep) and (h, 0): a wheel from outside, or a bulge of one radius along the blade from inside. `slope`:
    tangent of the bevel's angle, square to the edge."""
    grind = template.grind
    if grind.bevel not in (Bevel.HOLLOW, Bevel.CONVEX):
        return None
    chord = deep / slope * np.sqrt(1 + slope**2)
    if grind.bevel is Bevel.HOLLOW:
        radius, side = np.full_like(deep, grind.wheel / 2), -1.0
    else:
        radius, side = _proud_of_nothing(_bulge_radius(template, curves, bar), chord, slope), 1.0
    reach = np.sqrt(np.maximum(radius**2 - chord**2 / 4, 0.0))
    sine, cosine = slope / np.sqrt(1 + slope**2), 1 / np.sqrt(1 + slope**2)
    return Arcs(v=deep / slope / 2 + side * reach * sine, depth=deep / 2 + side * reach * cosine, radius=radius)


def _proud_of_nothing(radius: float, chord: Points, slope: Points) -> Points:
    """The radius at each station, made larger where the flats require it: 2 atan(2 s / c) stays under theta."""
    most = 0.98 * chord / 2 * np.tan(np.arctan(slope) / 2)
    bulge = np.maximum(np.minimum(sagitta(radius, chord), most), 1e-6)
    return np.asarray(radius_of(chord, bulge))


def _bulge_radius(template: Template, curves: BladeCurves, bar: float) -> float:
    """Radius of a convex bevel, from its bulge at the heel, which is limited to what the flats allow."""
    x = np.array([template.heel.ahead])
    upright = upright_along(curves, x)
    height = float((_bevel_height(template, np.array([template.blade.height]), upright) * upright)[0])
    thick = float(finished_spine(template, x, bar)[0])
    edge = min(template.grind.edge_before_sharpening, 0.9 * thick)
    bulge = min(template.grind.bulge, 0.98 * most_bulge(thick, edge, height))
    return float(radius_of(float(np.hypot(height, (thick - edge) / 2)), max(bulge, 1e-4)))


def _before(
    template: Template,
    bar: float,
    x: Points,
    finished: StateSizes,
    arcs: Arcs | None,
    deep: Points,
    slope: Points,
    height: Points,
) -> StateSizes:
    """The same surface moved out until it leaves the specified edge, cut by the thicker faces; slope, height and its line square
    to the edge."""
    faces = faces_of(template)
    thick = np.maximum(spine_before(template, x, bar), finished.thick)
    least = finished.edge + ((thick - finished.thick) / 2 if faces == 1 else 0.0)  # the flat back is ground as well
    edge = np.maximum(np.minimum(template.grind.edge_before_hardening, 0.95 * thick), least)
    out = ((thick - finished.thick) - (edge - finished.edge)) / faces
    line = np.clip(_line(arcs, deep, slope, out, template.grind.bevel), 0.0, height)
    return StateSizes(thick=thick, edge=edge, out=out, line=line)


def _line(arcs: Arcs | None, deep: Points, slope: Points, out: Points, bevel: Bevel) -> Points:
    """Height, square to the edge, at which the depth plus `out` reaches zero."""
    if arcs is None:
        return deep / slope + out / slope
    half = np.sqrt(np.maximum(arcs.radius**2 - (arcs.depth + out) ** 2, 0.0))
    if bevel is Bevel.HOLLOW:
        return arcs.v + half
    return np.where(out <= 0, arcs.v - half, deep / slope + out / end_slope(arcs, deep, slope))


def end_slope(arcs: Arcs, deep: Points, slope: Points) -> Points:
    """Slope of a convex bevel, square to the edge, where it meets the finished flat: beyond, it runs on straight."""
    ahead = arcs.v - deep / slope
    return np.maximum(ahead / np.sqrt(np.maximum(arcs.radius**2 - ahead**2, 1e-9)), 1e-6)
