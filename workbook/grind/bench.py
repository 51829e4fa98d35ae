"""What to set at the bench for one template on one bar: scribing, angle, gaps, what calipers should read, what sharpening takes.

Values hold at the heel. Where a tool has steps, what it can be set to stands beside what was wanted, with where that leaves the
grind line. Lengths mm, angles radians.
"""

from dataclasses import dataclass
from math import atan, atan2, cos, degrees, radians, sin, tan

import numpy as np

from workbook.grind.bevel import (
    Facet,
    Thinnest,
    creep,
    edge_facet,
    height_lost,
    hollow_thinnest,
    sagitta,
    scribe_height,
    support_distance,
)
from workbook.grind.section import thickness_at
from workbook.grind.stations import State, Stations, faces_of, stations
from workbook.template.model import Bevel, Template
from workbook.template.shape import Shape
from workbook.template.tools import Owned


@dataclass(frozen=True, slots=True, kw_only=True)
class Reading:
    """What calipers read at a height above the edge."""

    up: float
    before: float
    finished: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Hollow:
    """Where a contact wheel works."""

    wheel: float
    deep: float  # under the chord, in its middle
    middle: float  # of the hollow, above the edge: where the wheel is pressed on
    thinnest: Thinnest


@dataclass(frozen=True, slots=True, kw_only=True)
class Bench:
    """Bench settings of one template."""

    faces: int
    bar: float
    edge_before: float
    edge_finished: float
    scribe: float  # gauge from each face; from the back of a single bevel
    thickness_before: float
    thickness_finished: float
    angle: float  # per ground face
    set_angle: float  # to what the jig can be set to
    line_before: float
    line_finished: float
    line_as_set: float  # finished line, ground at the angle set to the edge wanted
    blade_height: float
    gap: float  # spine to platen while the bevel lies on it; a shim of this lies under the spine
    creep: float
    face_allowance: float  # ground off each face after hardening
    edge_angle: float  # degrees per side, to sharpen at
    facet: Facet | None
    sharpening: float  # height lost for each 0.1 mm taken off a facet
    support: float | None  # to the bar beside a round stone
    support_in_jig: float | None
    hollow: Hollow | None
    readings: tuple[Reading, ...]

    @property
    def run_for_one(self) -> float:
        """The bevel as rise over run: it rises one in so many."""
        return 1 / tan(self.angle)


def heel(blank: Shape, bar: float) -> Stations:
    """The blade at its heel."""
    assert blank.template is not None and blank.curves is not None
    return stations(blank.template, blank.curves, bar, np.array([blank.template.heel.ahead]))


def bench(blank: Shape, bar: float, owned: Owned, heights: tuple[float, ...]) -> Bench:
    """The settings of a parametric template; `heights`: where calipers are to be put, above the edge."""
    template = blank.template
    assert template is not None
    at, faces = heel(blank, bar), faces_of(template)
    before, finished = at.before, at.finished
    edge, edge_before = float(finished.edge[0]), float(before.edge[0])
    angle, high, upright = atan(float(at.true_slope[0])), float(at.height[0]), float(at.upright[0])
    sharp = radians(template.grind.edge_angle)
    set_angle = stepped(angle, owned.angle_step)
    return Bench(
        faces=faces,
        bar=bar,
        edge_before=edge_before,
        edge_finished=edge,
        scribe=edge_before if faces == 1 else scribe_height(bar, edge_before),
        thickness_before=float(before.thick[0]),
        thickness_finished=float(finished.thick[0]),
        angle=angle,
        set_angle=set_angle,
        line_before=float(before.line[0]),
        line_finished=float(finished.line[0]),
        line_as_set=min((float(finished.thick[0]) - edge) / (faces * tan(set_angle) * upright), high),
        blade_height=high,
        gap=high * sin(angle),
        creep=creep(atan(float(at.slope[0])), faces),
        face_allowance=template.grind.face_allowance,
        edge_angle=template.grind.edge_angle,
        facet=edge_facet(edge, sharp, angle, faces),
        sharpening=height_lost(0.1, sharp),
        support=support_distance(owned.stone, owned.projection, sharp) if owned.stone and owned.projection else None,
        support_in_jig=(
            support_distance(owned.stone, owned.projection, sharp, owned.jig_offset)
            if owned.stone and owned.projection and owned.jig_offset
            else None
        ),
        hollow=_hollow(template, at),
        readings=readings(blank, bar, template.heel.ahead, heights),
    )


def stepped(angle: float, step: float) -> float:
    """The nearest angle a tool with steps of so many degrees can be set to, never nothing; without steps the angle itself."""
    return angle if step <= 0 else radians(max(round(degrees(angle) / step), 1) * step)


def readings(blank: Shape, bar: float, x: float, heights: tuple[float, ...]) -> tuple[Reading, ...]:
    """What calipers should read at a place along the blade, at each height above the edge, square to it, that lies on it."""
    assert blank.template is not None and blank.curves is not None
    up = np.array(heights) / float(stations(blank.template, blank.curves, bar, np.array([x])).upright[0])
    before, finished = (thickness_at(blank, bar, x, state, up) for state in (State.BEFORE, State.FINISHED))
    return tuple(
        Reading(up=h, before=float(b), finished=float(f))
        for h, b, f in zip(heights, before, finished, strict=True)
        if np.isfinite(b) and np.isfinite(f)
    )


def _hollow(template: Template, at: Stations) -> Hollow | None:
    if template.grind.bevel is not Bevel.HOLLOW:
        return None
    thick, edge = float(at.finished.thick[0]), float(at.finished.edge[0])
    high = float(at.deep[0] / at.slope[0])
    chord = high / cos(atan2(thick - edge, 2 * high))
    return Hollow(
        wheel=template.grind.wheel,
        deep=float(sagitta(template.grind.wheel / 2, chord)),
        middle=high / 2,
        thinnest=hollow_thinnest(thick, edge, high, template.grind.wheel),
    )
