"""Bench settings for one template on one bar: scribing, angle, gaps, caliper readings, and the height sharpening takes off.

Values apply at the heel. Heights and angles are square to the edge, as they are scribed and measured, even where it slants. Where
a tool has steps, the nearest setting is given beside the exact value, with the grind line it gives. Lengths in mm, angles in
radians.
"""

from math import atan, atan2, cos, degrees, radians, sin, tan

import numpy as np
from msgspec import Struct

from workbook.geometry.path import Points
from workbook.grind.bevel import (
    Facet,
    Thinnest,
    edge_facet,
    height_for,
    height_lost,
    hollow_thinnest,
    sagitta,
    scribe_height,
    support_distance,
)
from workbook.grind.depth import bevel_depth
from workbook.grind.section import thickness_at
from workbook.grind.stations import POINT_STATION, State, StateSizes, Stations, faces_of, finished_spine, stations
from workbook.template.model import Bevel, Template
from workbook.template.shape import Shape
from workbook.template.tools import Owned


class Reading(Struct, frozen=True, kw_only=True):
    """Caliper readings at a height above the edge, mm."""

    up: float
    before: float
    finished: float


class Hollow(Struct, frozen=True, kw_only=True):
    """The hollow that a contact wheel grinds."""

    wheel: float
    deep: float  # depth below the middle of the chord
    middle: float  # height of the hollow's middle above the edge, where the wheel is pressed on
    thinnest: Thinnest


class TaperSetting(Struct, frozen=True, kw_only=True):
    """The distal taper: where it begins, from the handle front, and the spine thickness half an inch behind the point."""

    begins: float
    before: float
    finished: float


class Bench(Struct, frozen=True, kw_only=True):
    """The bench settings for one template."""

    faces: int
    bar: float
    edge_before: float
    edge_finished: float
    scribe: float  # gauge setting from each face; from the back for a single bevel
    gauge_step: float
    thickness_before: float
    thickness_finished: float
    angle: float  # per ground face
    set_angle: float  # nearest angle that the jig can be set to
    line_before: float
    line_finished: float
    lines_as_set: tuple[float, float]  # before hardening and finished, ground at `set_angle` to the specified edges
    blade_height: float
    upright: float  # cosine of the edge's slope angle: heights here are this fraction of those along a vertical line
    gap: float  # spine to platen while the edge touches it: the thickness of a shim under the spine
    creep: float  # rise of the grind line per unit ground off the edge
    face_allowance: float  # ground off each face after hardening
    edge_angle: float  # sharpening angle, degrees per side
    facet: Facet | None
    sharpening: float  # height lost per unit ground off a facet
    stone: float  # diameter of the round stone
    rests: tuple[float | None, float | None]  # from the centre of the round stone, without and with a jig
    hollow: Hollow | None
    taper: TaperSetting | None
    swedge: tuple[float, float, float] | None  # length from the point, height, and thickness left at the spine
    readings: tuple[Reading, ...]

    @property
    def scribe_set(self) -> float:
        """The gauge setting nearest to `scribe`."""
        return max(round(self.scribe / self.gauge_step), 1) * self.gauge_step if self.gauge_step else self.scribe

    @property
    def edge_set(self) -> float:
        """The distance between the two lines at that setting; for a single bevel, the distance from the back."""
        return self.scribe_set if self.faces == 1 else self.bar - 2 * self.scribe_set

    @property
    def run_for_one(self) -> float:
        """Run per unit of rise: the bevel rises one in this many."""
        return 1 / tan(self.angle)


def heel(blank: Shape, bar: float) -> Stations:
    """The blade at a single station, its heel."""
    assert blank.template is not None and blank.curves is not None
    return stations(blank.template, blank.curves, bar, np.array([blank.template.heel.ahead]))


def bench(blank: Shape, bar: float, owned: Owned, heights: tuple[float, ...]) -> Bench:
    """Compute the settings for a parametric template; `heights`: where calipers are placed, mm above the edge."""
    template = blank.template
    assert template is not None
    at, faces = heel(blank, bar), faces_of(template)
    before, finished = at.before, at.finished
    edge, edge_before = float(finished.edge[0]), float(before.edge[0])
    angle, high = atan(float(at.true_slope[0])), float(at.square.of(at.height)[0])
    sharp = radians(template.grind.edge_angle)
    set_angle = stepped(angle, owned.angle_step)
    return Bench(
        faces=faces,
        bar=bar,
        edge_before=edge_before,
        edge_finished=edge,
        scribe=edge_before if faces == 1 else scribe_height(bar, edge_before),
        gauge_step=owned.gauge_step,
        thickness_before=float(spine_left(at, State.BEFORE)[0]),
        thickness_finished=float(spine_left(at, State.FINISHED)[0]),
        angle=angle,
        set_angle=set_angle,
        line_before=float(at.square.of(before.line)[0]),
        line_finished=float(at.square.of(finished.line)[0]),
        lines_as_set=(_line_at(before, faces, set_angle, high), _line_at(finished, faces, set_angle, high)),
        blade_height=high,
        upright=float(at.upright[0]),
        gap=high * sin(angle),
        creep=float(at.creep[0]),
        face_allowance=template.grind.face_allowance,
        edge_angle=template.grind.edge_angle,
        facet=edge_facet(edge, sharp, atan(float(at.slope_at_edge[0])), faces),
        sharpening=height_lost(1.0, sharp),
        stone=owned.stone,
        rests=_rest(owned, sharp),
        hollow=_hollow(template, at),
        taper=_taper(blank, bar),
        swedge=_swedge(template),
        readings=readings(blank, bar, template.heel.ahead, heights),
    )


def _rest(owned: Owned, sharp: float) -> tuple[float | None, float | None]:
    """Distance from the centre of the round stone to its rest, without and with a jig; None for equipment not owned."""
    if not (owned.stone and owned.projection):
        return None, None
    half = owned.rest / 2  # the blade lies on the outside of the bar; half the blade's thickness is ignored
    plain = support_distance(owned.stone, owned.projection, sharp, half)
    in_jig = support_distance(owned.stone, owned.projection, sharp, owned.jig_offset + half) if owned.jig_offset else None
    return plain, in_jig


def _line_at(stage: StateSizes, faces: int, angle: float, high: float) -> float:
    """The grind line of a flat bevel of this angle, at most up to the spine."""
    return min(height_for(float(stage.thick[0]), float(stage.edge[0]), angle, faces), high)


def stepped(angle: float, step: float) -> float:
    """Round an angle (radians) to a tool's step (degrees), at least one step; without steps, return the angle itself."""
    return angle if step <= 0 else radians(max(round(degrees(angle) / step), 1) * step)


def readings(blank: Shape, bar: float, x: float, heights: tuple[float, ...]) -> tuple[Reading, ...]:
    """Caliper readings at x, for each height above the edge, measured square to it, that lies on the blade."""
    assert blank.template is not None and blank.curves is not None
    up = stations(blank.template, blank.curves, bar, np.array([x])).square.up_to(np.array([heights]))[0]
    before, finished = (thickness_at(blank, bar, x, state, up) for state in (State.BEFORE, State.FINISHED))
    return tuple(
        Reading(up=h, before=float(b), finished=float(f))
        for h, b, f in zip(heights, before, finished, strict=True)
        if np.isfinite(b) and np.isfinite(f)
    )


def spine_left(at: Stations, state: State) -> Points:
    """Spine thickness: between the flats, or less where the bevel runs over the spine. Swedges are reported separately."""
    thickness: Points = at.stage(state).thick - faces_of(at.template) * bevel_depth(at, state, at.height[:, None])[:, 0]
    return thickness


def _taper(blank: Shape, bar: float) -> TaperSetting | None:
    template = blank.template
    assert template is not None
    station = np.array([0.0, template.blade.length - POINT_STATION])
    at_front, at_point = finished_spine(template, station, bar).tolist()
    if at_point >= at_front - 1e-6 or blank.curves is None:
        return None
    at = stations(template, blank.curves, bar, station[1:])
    before, finished = (float(spine_left(at, state)[0]) for state in (State.BEFORE, State.FINISHED))
    return TaperSetting(begins=template.blade.taper_from * template.blade.length, before=before, finished=finished)


def _swedge(template: Template) -> tuple[float, float, float] | None:
    grind = template.grind
    return (grind.swedge, grind.swedge_height, grind.swedge_spine) if grind.swedge > 0 else None


def _hollow(template: Template, at: Stations) -> Hollow | None:
    if template.grind.bevel is not Bevel.HOLLOW:
        return None
    thick, edge = float(at.finished.thick[0]), float(at.finished.edge[0])
    high = float(at.deep[0] / at.true_slope[0])
    chord = high / cos(atan2(thick - edge, 2 * high))
    return Hollow(
        wheel=template.grind.wheel,
        deep=float(sagitta(template.grind.wheel / 2, chord)),
        middle=high / 2,
        thinnest=hollow_thinnest(thick, edge, high, template.grind.wheel),
    )
