"""What is wrong with a blank before anything is ground: outline, holes, corners, tang, against the maker's tools.

Each check is a small function; `check` chains them. Add one by writing it and putting it in `CHECKS`.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import combinations
from math import hypot, pi

import numpy as np

from workbook.geometry.path import (
    Arc,
    Bezier,
    Line,
    Path,
    Point,
    arc_circle,
    bezier_points,
    bounds,
    curvature,
    tangents,
)
from workbook.geometry.polygon import Polygon, crossing, distance_outside, edge_distance, polygon
from workbook.problems import Problem, Severity, worst_first
from workbook.template.blade import edge_slope, spine_slope
from workbook.template.contour import clamped, floor_left, head_left
from workbook.template.drills import LEAST_CLEARANCE
from workbook.template.hand import BESIDE
from workbook.template.handle import middle, room
from workbook.template.holes import WORDS, Hole
from workbook.template.model import GROUPS, EdgeForm, HeelForm, Purpose, SpineForm, TangForm, Template
from workbook.template.parameters import Kind, of_group
from workbook.template.shape import Shape
from workbook.template.tools import Tools

AISC = "ratio of AISC 360 table J3.4 (edge distance of bolts)"
AISC_SPACING = "ratio of AISC 360 J3.3 (spacing of bolts)"
PRACTICE = "common practice, no source"
_ALONG = np.linspace(0.02, 0.98, 33)
Check = Callable[[Shape, Tools], Iterator[Problem]]
_THIN_HEAD, _FLOOR = 0.8, 1.5  # mm left of a bolt's head, and of the scale under it (common practice, no source)
_LOWEST = 9.0  # mm, the least height of a handle (judgement, no source)
_SMALL_HAND, _SURVEY = 72.0, "ANSUR II, female hand breadth 5th percentile 72 mm, and 10 mm"
LOAD = (Purpose.BOLT, Purpose.PIN, Purpose.LANYARD)


def check(blank: Shape, tools: Tools) -> list[Problem]:
    """Every problem of a blank, worst first. A blank whose outline crosses itself is told only that."""
    crossed = list(crossing_outline(blank, tools))
    found = crossed or [problem for each in CHECKS for problem in each(blank, tools)]
    return worst_first(replace(p, template=blank.name) for p in found)


def crossing_outline(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """An outline that crosses itself cannot be cut."""
    at = crossing(polygon(blank.outline))
    if at is not None:
        yield Problem(severity=Severity.STOP, what="the outline crosses itself", at=at, source="geometry")


def parameters_in_range(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """Parameters outside their sensible range."""
    if blank.template is None:
        return
    for group in GROUPS:
        for parameter in of_group(group):
            value = parameter.value(blank.template)
            if parameter.kind in (Kind.CHOICE, Kind.TEXT) or value is None or not parameter.applies(blank.template):
                continue
            low, high = parameter.limits(blank.template)
            if not low - 1e-6 <= value <= high + 1e-6:
                wanted = low if value < low else high
                unit = {Kind.LENGTH: "mm", Kind.FINE: "mm", Kind.ANGLE: "deg"}.get(parameter.kind, "")
                what = f"{parameter.label.lower()} is {'under' if value < low else 'over'} its range"
                yield Problem(severity=Severity.STOP, what=what, is_=value, wanted=wanted, unit=unit, source=PRACTICE)


def holes_near_edge(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """Load-carrying holes whose centre lies nearer to the tang's edge than 1.5 diameters; 2 are better."""
    for hole in (h for h in blank.holes if h.purpose in LOAD):
        room = edge_distance(blank.outline, hole.centre)
        if room < hole.diameter / 2:
            what = f"{hole.mark} breaks out of the edge" if room > 0 else f"{hole.mark} lies outside the blank"
            yield _hole_problem(hole, what, room, 1.5 * hole.diameter, Severity.STOP, "geometry")
        elif room < 1.5 * hole.diameter:
            what = f"{hole.mark} ({WORDS[hole.purpose]}) is nearer to the edge than 1.5 d"
            yield _hole_problem(hole, what, room, 1.5 * hole.diameter, Severity.WARN, AISC)
        elif room < 2 * hole.diameter:
            what = f"{hole.mark} has less than 2 d to the edge"
            yield _hole_problem(hole, what, room, 2 * hole.diameter, Severity.NOTE, AISC)


def webs_at_edge(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """Steel left between an epoxy or lightening hole and the tang's edge."""
    for hole in (h for h in blank.holes if h.purpose is Purpose.EPOXY):
        web = edge_distance(blank.outline, hole.centre) - hole.diameter / 2
        if web < tools.web:
            severity = Severity.STOP if web <= 0 else Severity.WARN
            yield _hole_problem(hole, f"{hole.mark} leaves a thin web to the edge", web, tools.web, severity, PRACTICE)


def holes_near_each_other(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """Holes too close: 2 2/3 diameters between two that carry load, the web between others."""
    for a, b in combinations(blank.holes, 2):
        apart = hypot(a.centre[0] - b.centre[0], a.centre[1] - b.centre[1])
        web = apart - (a.diameter + b.diameter) / 2
        larger = max(a.diameter, b.diameter)
        if web <= 0:
            yield _hole_problem(a, f"{a.mark} and {b.mark} run into each other", web, tools.web, Severity.STOP, "geometry")
        elif a.purpose in LOAD and b.purpose in LOAD and apart < 8 / 3 * larger:
            yield _hole_problem(a, f"{a.mark} and {b.mark} are close", apart, 8 / 3 * larger, Severity.WARN, AISC_SPACING)
        elif web < tools.web - 1e-6:
            yield _hole_problem(a, f"the web between {a.mark} and {b.mark} is thin", web, tools.web, Severity.WARN, PRACTICE)


def _hole_problem(
    hole: Hole, what: str, is_: float, wanted: float, severity: Severity, source: str, cause: str = "place"
) -> Problem:
    return Problem(
        severity=severity, what=what, at=hole.centre, is_=is_, wanted=wanted, source=source, cause=f"{cause} {hole.mark}"
    )


def holes_ahead_of_scales(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A hole that reaches past the scale front would stay open in the blade."""
    if blank.template is None:
        return
    for hole in blank.holes:
        front = hole.centre[0] + hole.diameter / 2
        if front > 0:
            yield _hole_problem(hole, f"{hole.mark} reaches past the scale front", -front, 0.0, Severity.WARN, PRACTICE)


def inside_corners(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """Inside corners tighter than the maker's smallest wheel or file can follow."""
    for at, radius in hollow_radii(blank.outline):
        if radius < tools.smallest_radius - 1e-6:
            what = "an inside corner is tighter than the smallest file or wheel"
            yield Problem(what=what, at=at, is_=radius, wanted=tools.smallest_radius, source="the maker's tools", cause="corner")


def hollow_radii(outline: Path) -> Iterator[tuple[Point, float]]:
    """Places where a counter-clockwise outline turns inwards, with the radius there; 0 at a sharp inside corner."""
    for segment, following in zip(outline.segments, outline.segments[1:] + outline.segments[:1], strict=True):
        match segment:
            case Arc() if segment.bulge < 0:
                yield segment.start, arc_circle(segment)[1]
            case Bezier():
                yield from _tightest(segment)
            case Line() | Arc():
                pass
        turn = (tangents(following)[0] - tangents(segment)[1] + pi) % (2 * pi) - pi
        if turn < -0.1 and not _file_cut(segment, following):
            yield segment.end, 0.0


def _file_cut(segment: object, following: object) -> bool:
    """Where a notch or choil meets the edge a corner is meant: it is an outside corner of the steel left."""
    return any(isinstance(s, Arc) and s.bulge < 0 for s in (segment, following))


def _tightest(curve: Bezier) -> Iterator[tuple[Point, float]]:
    """The tightest inward bend of a Bezier, where it has one."""
    bend = curvature(curve, _ALONG)
    worst = int(bend.argmin())
    if bend[worst] < -1e-3:
        x, y = bezier_points(curve, _ALONG[worst : worst + 1])[0]
        yield (float(x), float(y)), -1 / float(bend[worst])


def heel_drop(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A dropped heel must stand below the handle."""
    t = blank.template
    if t is None or t.heel.form is not HeelForm.DROPPED or blank.curves is None:
        return
    drop = -t.handle.front / 2 - blank.curves.heel[1]
    if drop < 1.0:
        what = "the heel does not stand below the handle; raise the height at the heel or choose a plain heel"
        yield Problem(severity=Severity.STOP, what=what, at=blank.curves.heel, is_=drop, wanted=1.0, source="geometry")


def slopes_at_point(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """Slopes at the point that no single curve can have; the nearest that can was drawn."""
    t = blank.template
    if t is None or blank.curves is None:
        return
    pairs = [("spine slope", t.point.spine_slope, spine_slope(t))] if t.point.spine is SpineForm.CURVED and t.point.drop else []
    pairs += [("belly slope", t.point.edge_slope, edge_slope(t, blank.curves))] if t.point.edge is EdgeForm.BELLY else []
    for word, asked, drawn in pairs:
        if abs(asked - drawn) > 0.5:
            what = f"{word} at the point drawn at {drawn:.0f} deg: no smooth curve arrives at {asked:.0f}"
            yield Problem(
                severity=Severity.NOTE,
                what=what,
                at=blank.curves.point,
                is_=asked,
                wanted=drawn,
                unit="deg",
                source="geometry",
                cause=word,
            )


def tang_shoulder(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A hidden tang's shoulder without a radius cracks in the quench."""
    t = blank.template
    if t is None or t.tang.form not in (TangForm.HIDDEN, TangForm.STUB):
        return
    if t.tang.shoulder_radius < 0.8:
        at = (0.0, t.tang.width / 2)
        yield Problem(
            what="the tang's shoulder wants a radius",
            at=at,
            is_=t.tang.shoulder_radius,
            wanted=0.8,
            source=PRACTICE,
            cause="shoulder",
        )
    beside = (t.handle.front - t.tang.width) / 2
    if t.tang.shoulder_radius > beside - 0.2:
        what = "the shoulder's radius has no room beside the tang"
        at = (0.0, t.tang.width / 2)
        room = max(beside - 0.2, 0.0)
        yield Problem(
            severity=Severity.STOP, what=what, at=at, is_=t.tang.shoulder_radius, wanted=room, source="geometry", cause="shoulder"
        )
    if t.tang.length > t.handle.length - 3:
        yield Problem(
            severity=Severity.STOP,
            what="the tang is longer than its handle",
            at=(-t.tang.length, 0.0),
            is_=t.tang.length,
            wanted=t.handle.length - 3,
            source="geometry",
            cause="tang length",
        )


def food_trap(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A lanyard tube on a kitchen knife traps food."""
    if blank.template is None or blank.template.use != "kitchen":
        return
    for hole in (h for h in blank.holes if h.purpose is Purpose.LANYARD):
        what = f"{hole.mark}: a lanyard tube on a kitchen knife traps food"
        yield Problem(severity=Severity.NOTE, what=what, at=hole.centre, source=PRACTICE, cause=f"tube {hole.mark}")


def openings_inside(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """Openings must leave a web to the edge and to the holes; one that takes most of the outline may be the knife itself."""
    outer = polygon(blank.outline)
    for opening in blank.openings:
        inner = polygon(opening)
        yield from _holes_beside(blank, tools, inner)
        if inner.area > 0.4 * outer.area:
            what = "an opening takes most of the outline: is the outline a drawing frame?"
            yield Problem(
                what=what, at=opening.segments[0].start, is_=inner.area / outer.area, wanted=0.4, unit="", source="geometry"
            )
        web = float(outer.exterior.distance(inner))
        if not outer.contains(inner):
            web = -web
        if web < tools.web - 0.02:
            x0, y0, x1, y1 = bounds(opening)
            severity = Severity.STOP if web <= 0 else Severity.WARN
            at = ((x0 + x1) / 2, (y0 + y1) / 2)
            yield Problem(
                severity=severity,
                what="an opening leaves a thin web",
                at=at,
                is_=web,
                wanted=tools.web,
                source=PRACTICE,
            )


def _holes_beside(blank: Shape, tools: Tools, opening: Polygon) -> Iterator[Problem]:
    """Holes that lie in an opening or leave a thin web to it."""
    for hole in blank.holes:
        web = distance_outside(opening, hole.centre) - hole.diameter / 2
        if web < tools.web - 0.02:
            severity = Severity.STOP if web <= 0 else Severity.WARN
            yield _hole_problem(hole, f"{hole.mark} leaves a thin web to an opening", web, tools.web, severity, PRACTICE)


def drill_sizes(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A hole that no drill of the maker's is wide enough for; an epoxy hole of a size he has no drill for."""
    for hole in blank.holes:
        wanted = hole.size + LEAST_CLEARANCE
        if hole.scale_drill is not None and min(hole.diameter, hole.scale_drill.diameter) < wanted - 1e-6:
            what = f"{hole.mark} wants a larger drill than the largest"
            yield _hole_problem(hole, what, hole.diameter, wanted, Severity.STOP, "the maker's tools", "size")
        elif hole.purpose is Purpose.EPOXY and abs(hole.diameter - hole.size) > 0.3:
            what = f"{hole.mark}: no drill of its size; the nearest is drawn"
            yield _hole_problem(hole, what, hole.diameter, hole.size, Severity.NOTE, "the maker's tools", "drill")


def handle_for_a_hand(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A handle shorter than the hand it is for and a finger's room; of no hand that is known, than a small one's.

    ANSUR II: female hand breadth, 5th percentile, 72 mm.
    """
    t = blank.template
    if t is None:
        return
    if tools.hand_breadth > 0:
        yield from short_for(t, "the hand it is for", tools.hand_breadth, Severity.WARN, "the hand in the settings, and 10 mm")
    else:
        yield from short_for(t, "a hand", _SMALL_HAND, Severity.NOTE, _SURVEY)


def short_for(t: Template, whose: str, breadth: float, severity: Severity, source: str) -> Iterator[Problem]:
    """A handle shorter than a hand of a breadth, mm, and a finger's room."""
    at, is_, wanted = (-t.handle.length, 0.0), t.handle.length, breadth + BESIDE
    if is_ < wanted:
        what = f"the handle is short for {whose}"
        yield Problem(severity=severity, what=what, at=at, is_=is_, wanted=wanted, source=source, cause="handle length")


def thin_handle(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A handle that somewhere is too low to hold, or nothing at all."""
    t = blank.template
    if t is None:
        return
    places = np.linspace(-0.9 * t.handle.length, -0.05 * t.handle.length, 24)
    low, x = min((room(t.handle, float(x)), float(x)) for x in places)
    if low < _LOWEST:
        severity = Severity.STOP if low < _LOWEST / 3 else Severity.WARN
        at = (x, middle(t.handle, x))
        yield Problem(severity=severity, what="the handle is thin here", at=at, is_=low, wanted=_LOWEST, source=PRACTICE)


def holes_forgotten(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A full tang without a hole: once hardened it is drilled no more."""
    t = blank.template
    if t is not None and blank.grip is None and not blank.holes:
        what = "the tang has no hole: drill before hardening"
        yield Problem(what=what, at=(-t.handle.length / 2, 0.0), source=PRACTICE, cause="no holes")


def bolt_heads(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A bolt's head on the contoured scale: it must not break out at the rounded edge, nor its counterbore go
    through, nor the bolt be screwed home before it clamps.
    """
    t = blank.template
    if t is None or blank.grip is not None:
        return
    for hole in (h for h in blank.holes if h.purpose is Purpose.BOLT):
        left = head_left(t.handle, edge_distance(blank.outline, hole.centre), hole.centre[0])
        if left < _THIN_HEAD:
            what = (
                f"the head of {hole.mark} breaks out of the rounded scale"
                if left <= 0
                else f"little is left of {hole.mark}'s head"
            )
            severity = Severity.WARN if left <= 0 else Severity.NOTE
            yield _hole_problem(hole, what, left, _THIN_HEAD, severity, "geometry", "head")
        floor = floor_left(t.handle, blank.thickness, hole.centre[0])
        if floor < _FLOOR:
            severity = Severity.STOP if floor <= 0 else Severity.WARN
            what = f"the counterbore of {hole.mark} leaves too little of the scale"
            yield _hole_problem(hole, what, floor, _FLOOR, severity, PRACTICE, "counterbore")
        between = clamped(t.handle, hole.centre[0])
        if between < t.handle.shoulders:
            what = f"bolt {hole.mark} is screwed home before it clamps"
            yield _hole_problem(hole, what, between, t.handle.shoulders, Severity.WARN, "geometry", "shoulders")


CHECKS: tuple[Check, ...] = (
    parameters_in_range,
    heel_drop,
    holes_near_edge,
    webs_at_edge,
    holes_near_each_other,
    holes_ahead_of_scales,
    openings_inside,
    inside_corners,
    tang_shoulder,
    slopes_at_point,
    drill_sizes,
    food_trap,
    handle_for_a_hand,
    bolt_heads,
    holes_forgotten,
    thin_handle,
)
