"""Checks of a grind: impossible bevels, hollows too deep, edges too thin for their quench, lines off the blade.

Each check is a small function; `check_grind` chains them. To add one, write it and list it in `GRIND_CHECKS`.
"""

from collections.abc import Callable, Iterator
from math import atan, degrees, inf, radians

from msgspec import Struct

from workbook.geometry.path import Point, flatten
from workbook.grind.bevel import edge_facet, hollow_thinnest, most_bulge, thickness_behind
from workbook.grind.depth import bevel_depth, swedge_depth
from workbook.grind.lines import grind_lines
from workbook.grind.stations import POINT_STATION, State, Stations, faces_of, finished_spine, stations
from workbook.later import np
from workbook.problems import Problem, Severity, WantedKind
from workbook.structs import replace
from workbook.template.contour import is_bare, thickness_along
from workbook.template.hole_checks import PRACTICE
from workbook.template.model import Bevel, Template
from workbook.template.shape import Shape
from workbook.texts import _

GEOMETRY = _("geometry")
OWNED = _("your own tools")
_THIN, _THIN_FOR_WATER = 0.5, 1.0  # mm of edge before hardening (0.020 and 0.040 in)
_BEHIND_APEX, _THICK_THERE = 1.0, 0.46  # mm
_KITCHEN_STANDARD = _("ISO 8442-9:2018 (ceramic kitchen knives): at most 0.46 mm at 1 mm from the edge")
_EDGE_STANDARD = _("ISO 8442-9:2018 (ceramic kitchen knives): included angle at most 40 degrees")
_EDGE_RANGE = {"kitchen": (10.0, 20.0), "outdoor": (10.0, 30.0)}  # degrees per side
_OUT_OF_USE = {  # by use, and whether the angle is under the range
    ("kitchen", True): _("the edge angle is low for kitchen use"),
    ("kitchen", False): _("the edge angle is high for kitchen use"),
    ("outdoor", True): _("the edge angle is low for outdoor use"),
    ("outdoor", False): _("the edge angle is high for outdoor use"),
}
_THIN_IN = {  # by the quench
    "oil": _("the edge is thin for a quench in oil: it may crack or warp"),
    "water": _("the edge is thin for a quench in water: it may crack or warp"),
    "air": _("the edge is thin for a quench in air: it may crack or warp"),
}
_CLEAVERS = 25.0  # degrees per side, for blades thick behind the edge (0.4 mm and over)
_COUNT = 40
_THIN_SCALE = 1.0  # mm
_SAME_WHEEL = 1.0  # mm
_ROUNDING = 1e-6  # mm


class GroundFrom(Struct, frozen=True, kw_only=True):
    """What a blade is made with: the bar's thickness (mm), the quench ("oil", "water" or "air") and the contact wheels."""

    bar: float
    quench: str = "oil"
    wheels: tuple[float, ...] = ()  # diameters of the contact wheels owned, mm; empty if not given


class Grinding(Struct, frozen=True, kw_only=True, eq=False):
    """A blade to check: its template, stations from heel to point, and what it is made with."""

    blank: Shape
    template: Template
    at: Stations
    given: GroundFrom

    def place(self, station: int, up: float) -> Point:
        """The point on the drawing at a station and a height above its edge."""
        return float(self.at.x[station]), float(self.at.edge_y[station]) + up

    @property
    def heel(self) -> Point:
        """The point half-way up at the heel."""
        return self.place(0, float(self.at.height[0]) / 2)


GrindCheck = Callable[[Grinding], Iterator[Problem]]


def check_grind(blank: Shape, given: GroundFrom) -> list[Problem]:
    """Find every problem of a grind; none for an outline from a file, whose grind is unknown."""
    template, curves = blank.template, blank.curves
    if template is None or curves is None:
        return []
    x = np.linspace(template.heel.ahead, template.blade.length - 1.0, _COUNT)
    grinding = Grinding(blank=blank, template=template, at=stations(template, curves, given.bar, x), given=given)
    return [replace(p, template=blank.name) for check in GRIND_CHECKS for p in check(grinding)]


def bevel_under_edge_angle(g: Grinding) -> Iterator[Problem]:
    """An edge that cannot be sharpened: its angle is not above the bevel's."""
    edge, faces = g.at.finished.edge, faces_of(g.template)
    sharp = radians(g.template.grind.edge_angle)
    bad = [i for i in range(_COUNT) if edge_facet(float(edge[i]), sharp, atan(float(g.at.slope_at_edge[i])), faces) is None]
    if bad and g.template.grind.bevel is not Bevel.SCANDI:
        angle = degrees(atan(float(g.at.slope_at_edge[bad[-1]])))
        text = _("the edge angle is not larger than the bevel's: no edge can be sharpened")
        yield Problem(
            severity=Severity.STOP, what=text, at=g.place(bad[-1], 0.0), is_=g.template.grind.edge_angle, wanted=angle + 1,
            unit="deg", source=GEOMETRY,
        )  # fmt: skip


def facet_over_bevel(g: Grinding) -> Iterator[Problem]:
    """A facet so flat that it takes up the whole bevel."""
    edge, faces = float(g.at.finished.edge[0]), faces_of(g.template)
    facet = edge_facet(edge, radians(g.template.grind.edge_angle), atan(float(g.at.slope_at_edge[0])), faces)
    line = float(g.at.square.of(g.at.finished.line)[0])
    if facet is not None and facet.height > line:
        text = _("the sharpened facet is higher than the bevel: the edge angle is hardly larger than the bevel's")
        yield Problem(what=text, at=g.place(0, line), is_=facet.height, wanted=line, source=GEOMETRY)


def spine_under_edge(g: Grinding) -> Iterator[Problem]:
    """A distal taper that leaves the spine hardly thicker than the edge."""
    grind, station = g.template.grind, g.template.blade.length - POINT_STATION
    i = int(np.searchsorted(g.at.x, station)) - 1
    spine = float(g.at.finished.thick[max(i, 0)])
    if grind.bevel is not Bevel.SCANDI and spine < grind.edge_before_sharpening + 0.1:
        text = _("the distal taper leaves the spine hardly thicker than the edge")
        least = grind.edge_before_sharpening + 0.1
        yield Problem(what=text, at=g.place(max(i, 0), float(g.at.height[max(i, 0)])), is_=spine, wanted=least, source=GEOMETRY)


def room_for_scales(g: Grinding) -> Iterator[Problem]:
    """A handle too thin to leave room for its scales over the tang."""
    handle = g.template.handle
    if is_bare(handle):
        return
    x = np.linspace(-handle.length, 0.0, _COUNT)
    scales = (thickness_along(handle, x) - finished_spine(g.template, x, g.given.bar)) / 2
    i = int(scales.argmin())
    if scales[i] < _THIN_SCALE:
        text = _("the contour leaves too little for the scales")
        yield Problem(what=text, at=(float(x[i]), 0.0), is_=max(float(scales[i]), 0.0), wanted=_THIN_SCALE, source=PRACTICE)


def hollow_depth(g: Grinding) -> Iterator[Problem]:
    """A hollow that is thinner than the edge, or leaves no steel."""
    if g.template.grind.bevel is not Bevel.HOLLOW:
        return
    hollows, heights = [], g.at.square.of(g.at.height)
    for i in range(_COUNT):
        thick, edge = float(g.at.finished.thick[i]), float(g.at.finished.edge[i])
        height = min(float(g.at.deep[i] / g.at.true_slope[i]), float(heights[i]))
        if height > 2:
            hollows.append((hollow_thinnest(thick, edge, height, g.template.grind.wheel), edge, i))
    if not hollows:
        return
    least, edge, i = min(hollows, key=lambda f: f[0].thickness - f[1])
    if least.thickness <= 0:
        text = _("the wheel is too small for a hollow this high: no steel is left")
        is_ = None if least.thickness == -inf else least.thickness
        yield Problem(severity=Severity.STOP, what=text, at=g.place(i, least.above_edge), is_=is_, wanted=edge, source=GEOMETRY)
    elif least.thickness < edge - 1e-6:
        text = _("the hollow is thinner than the edge below it")
        yield Problem(what=text, at=g.place(i, least.above_edge), is_=least.thickness, wanted=edge, source=GEOMETRY)


def wheel_owned(g: Grinding) -> Iterator[Problem]:
    """A hollow for a wheel that the maker does not own."""
    wheel, owned = g.template.grind.wheel, g.given.wheels
    if g.template.grind.bevel is Bevel.HOLLOW and owned:
        near = min(owned, key=lambda diameter: abs(diameter - wheel))
        if abs(near - wheel) > _SAME_WHEEL:
            text = _("you have no contact wheel of this diameter")
            yield Problem(
                severity=Severity.NOTE, what=text, at=g.heel, is_=wheel, wanted=near, wanted_is=WantedKind.OWNED, source=OWNED
            )


def swedge_takes(g: Grinding) -> Iterator[Problem]:
    """A swedge that removes nothing: the spine, or the bevel there, is already thinner."""
    grind = g.template.grind
    region = g.at.some(g.at.x > g.template.blade.length - grind.swedge) if grind.swedge > 0 else None
    if region is None or not region.x.size:
        return
    up = region.height[:, None] * np.linspace(0.0, 1.0, _COUNT)
    ground = bevel_depth(region, State.FINISHED, up) if faces_of(g.template) == 2 else 0.0
    if float((swedge_depth(region, up) - ground).max()) < _ROUNDING:
        thick = float(region.finished.thick.max())
        text = _("the swedge removes nothing: the spine is no thicker than what it should leave")
        place = (float(region.x[0]), float(region.edge_y[0] + region.height[0]))
        yield Problem(what=text, at=place, is_=grind.swedge_spine, wanted=thick, source=GEOMETRY)


def convex_bulge(g: Grinding) -> Iterator[Problem]:
    """A convex bevel that would stand proud of the flats."""
    if g.template.grind.bevel is not Bevel.CONVEX:
        return
    thick, edge = float(g.at.finished.thick[0]), float(g.at.finished.edge[0])
    most = most_bulge(thick, edge, float(g.at.deep[0] / g.at.true_slope[0]))
    if g.template.grind.bulge > most:
        text = _("the convex bevel would stand proud of the flats. It is drawn with less bulge")
        yield Problem(what=text, at=g.heel, is_=g.template.grind.bulge, wanted=most, source=GEOMETRY)


def edge_before_hardening(g: Grinding) -> Iterator[Problem]:
    """An edge that may crack, warp or lose its carbon in the quench."""
    water = g.given.quench == "water"
    least, edge = (_THIN_FOR_WATER if water else _THIN), float(g.at.before.edge[0])
    if edge < least - 0.01:
        yield Problem(
            what=_THIN_IN.get(g.given.quench, _THIN_IN["oil"]), at=g.place(0, 0.0), is_=edge, wanted=least, source=PRACTICE
        )


def thick_behind_edge(g: Grinding) -> Iterator[Problem]:
    """A kitchen blade thicker behind its edge than a standard for food knives allows."""
    if g.template.use != "kitchen" or g.template.grind.edge_before_sharpening >= 0.4:
        return
    angle, faces = atan(float(g.at.slope_at_edge[0])), faces_of(g.template)
    edge, sharp = float(g.at.finished.edge[0]), radians(g.template.grind.edge_angle)
    thickness = min(thickness_behind(edge, sharp, angle, _BEHIND_APEX, faces), float(g.at.finished.thick[0]))
    if thickness > _THICK_THERE:
        text = _("thick behind the edge for a kitchen knife, 1 mm from it")
        yield Problem(
            severity=Severity.NOTE, what=text, at=g.place(0, _BEHIND_APEX), is_=thickness, wanted=_THICK_THERE,
            source=_KITCHEN_STANDARD,
        )  # fmt: skip


def edge_angle_for_use(g: Grinding) -> Iterator[Problem]:
    """An edge angle outside the range for its use."""
    grind = g.template.grind
    if grind.bevel is Bevel.SCANDI or g.template.use not in _EDGE_RANGE:
        return
    low, high = _EDGE_RANGE[g.template.use]
    cleaver = grind.edge_before_sharpening >= 0.4
    high = max(high, _CLEAVERS) if cleaver else high
    if not low - 1e-6 <= grind.edge_angle <= high + 1e-6:
        text = _OUT_OF_USE[g.template.use, grind.edge_angle < low]
        of_standard = g.template.use == "kitchen" and not cleaver and grind.edge_angle > high  # its limit is 20 degrees per side
        source = _EDGE_STANDARD if of_standard else PRACTICE
        yield Problem(
            severity=Severity.NOTE, what=text, at=g.place(0, 0.0), is_=grind.edge_angle,
            wanted=low if grind.edge_angle < low else high, unit="deg", source=source,
        )  # fmt: skip


def line_over_spine(g: Grinding) -> Iterator[Problem]:
    """A bevel that reaches the spine, finished or before hardening, although it is not meant to."""
    height = g.template.grind.height
    if height is None and g.template.grind.bevel is not Bevel.SCANDI:
        return
    for state, text in (
        (State.FINISHED, _("the grind line is past the spine: the spine is ground thinner")),
        (State.BEFORE, _("the grind line is past the spine before hardening: the spine is ground thinner")),
    ):
        if float(g.at.stage(state).line[0]) >= float(g.at.height[0]) - 1e-6:
            limit = float(g.at.height[0])
            over = float((g.at.deep[0] + g.at.stage(state).out[0]) / g.at.slope[0])
            yield Problem(what=text, at=g.place(0, limit), is_=over, wanted=limit, source=GEOMETRY)
            return


def plunge_behind_front(g: Grinding) -> Iterator[Problem]:
    """A plunge that runs under the scales."""
    lines = grind_lines(g.blank, g.given.bar)
    if lines is None or g.blank.grip is not None:
        return
    points = flatten(lines.plunge)
    back = points[points[:, 0].argmin()]
    if back[0] < -1e-6:
        text = _("the plunge runs behind the scale front")
        yield Problem(what=text, at=(float(back[0]), float(back[1])), is_=float(back[0]), wanted=0.0, source=PRACTICE)


def hole_in_bevel(g: Grinding) -> Iterator[Problem]:
    """A hole that the bevel or the plunge would run into."""
    lines = grind_lines(g.blank, g.given.bar)
    if lines is None:
        return
    begin = float(flatten(lines.plunge)[:, 0].min())
    for hole in g.blank.holes:
        ahead = hole.centre[0] + hole.diameter / 2
        if ahead > begin:
            yield Problem(
                what=_("{mark} lies in the bevel or the plunge", mark=hole.mark),
                at=hole.centre,
                is_=ahead,
                wanted=begin,
                source=PRACTICE,
            )


def single_back(g: Grinding) -> Iterator[Problem]:
    """A single bevel that loses its edge when its flat back is cleaned up after hardening."""
    grind = g.template.grind
    if faces_of(g.template) == 1:
        least = grind.edge_before_sharpening + grind.face_allowance
        if grind.edge_before_hardening < least - 1e-6:
            text = _("cleaning the back after hardening takes more than the edge has. It is drawn with more")
            yield Problem(what=text, at=g.place(0, 0.0), is_=grind.edge_before_hardening, wanted=least, source=GEOMETRY)


GRIND_CHECKS: tuple[GrindCheck, ...] = (
    bevel_under_edge_angle,
    facet_over_bevel,
    spine_under_edge,
    room_for_scales,
    hollow_depth,
    wheel_owned,
    swedge_takes,
    convex_bulge,
    edge_before_hardening,
    thick_behind_edge,
    edge_angle_for_use,
    line_over_spine,
    plunge_behind_front,
    hole_in_bevel,
    single_back,
)
