"""Checks of holes and openings: distances to the edge and to each other, drills, scales and their contour."""

from collections.abc import Iterator
from itertools import combinations
from math import hypot, radians, sin

from workbook.geometry.path import bounds
from workbook.geometry.polygon import Polygon, distance_outside, edge_distance, polygon
from workbook.problems import Problem, Severity
from workbook.template.contour import clamped, floor_left, head_left
from workbook.template.drills import LEAST_CLEARANCE
from workbook.template.fittings import between_scales, bolster_of, guard_of, joint
from workbook.template.holes import WORDS, Hole
from workbook.template.model import Purpose
from workbook.template.shape import Shape
from workbook.template.tools import Tools
from workbook.texts import _

AISC = _("ratio of AISC 360 table J3.4 (edge distance of bolts)")
AISC_SPACING = _("ratio of AISC 360 J3.3 (spacing of bolts)")
GEOMETRY = _("geometry")
PRACTICE = _("common practice, no source")
LOAD = (Purpose.BOLT, Purpose.PIN, Purpose.LANYARD)
_THIN_HEAD, _FLOOR = 0.8, 1.5  # mm left of a bolt's head, and of the scale under it (common practice, no source)
_SKIN = 0.8  # mm; steel beside a hole that counts as none (1/32 in; judgement, no source)


def holes_near_edge(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """Load-carrying holes whose centre lies nearer to the tang's edge than 1.5 diameters; 2 are better."""
    for hole in (h for h in blank.holes if h.purpose in LOAD):
        room = edge_distance(blank.outline, hole.centre)
        steel = room - hole.diameter / 2
        if steel < _SKIN:
            broken = (
                _("{mark} breaks out of the edge", mark=hole.mark)
                if steel <= 0
                else _("{mark} leaves almost no steel at the edge", mark=hole.mark)
            )
            text = broken if room > 0 else _("{mark} lies outside the blank", mark=hole.mark)
            yield _hole_problem(hole, text, room, 1.5 * hole.diameter, Severity.STOP, GEOMETRY)
        elif room < 1.5 * hole.diameter:
            text = _("{mark} ({words}) is nearer to the edge than 1.5 diameters", mark=hole.mark, words=WORDS[hole.purpose])
            yield _hole_problem(hole, text, room, 1.5 * hole.diameter, Severity.WARN, AISC)
        elif room < 2 * hole.diameter:
            text = _("{mark} is nearer to the edge than 2 diameters", mark=hole.mark)
            yield _hole_problem(hole, text, room, 2 * hole.diameter, Severity.NOTE, AISC)


def webs_at_edge(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """Steel left between an epoxy or lightening hole and the tang's edge."""
    for hole in (h for h in blank.holes if h.purpose is Purpose.EPOXY):
        web = edge_distance(blank.outline, hole.centre) - hole.diameter / 2
        if web < tools.web:
            severity = Severity.STOP if web <= 0 else Severity.WARN
            yield _hole_problem(
                hole, _("{mark} leaves a thin web to the edge", mark=hole.mark), web, tools.web, severity, PRACTICE
            )


def holes_near_each_other(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """Holes too close: 2 2/3 diameters between two that carry load, the web between others."""
    for a, b in combinations(blank.holes, 2):
        apart = hypot(a.centre[0] - b.centre[0], a.centre[1] - b.centre[1])
        web = apart - (a.diameter + b.diameter) / 2
        larger = max(a.diameter, b.diameter)
        if web <= 0:
            text = _("{first} and {second} run into each other", first=a.mark, second=b.mark)
            yield _hole_problem(a, text, 0.0, tools.web, Severity.STOP, GEOMETRY)
        elif a.purpose in LOAD and b.purpose in LOAD and apart < 8 / 3 * larger:
            text = _("{first} and {second} are close", first=a.mark, second=b.mark)
            yield _hole_problem(a, text, apart, 8 / 3 * larger, Severity.WARN, AISC_SPACING)
        elif web < tools.web - 1e-6:
            text = _("the web between {first} and {second} is thin", first=a.mark, second=b.mark)
            yield _hole_problem(a, text, web, tools.web, Severity.WARN, PRACTICE)


def _hole_problem(
    hole: Hole, text: str, is_: float, required: float, severity: Severity, source: str, cause: str = "place"
) -> Problem:
    return Problem(
        severity=severity, what=text, at=hole.centre, is_=is_, wanted=required, source=source, cause=f"{cause} {hole.mark}"
    )


def holes_ahead_of_scales(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A hole that reaches past the scale front, which would stay open in the blade."""
    if blank.template is None:
        return
    for hole in blank.holes:
        front = hole.centre[0] + hole.diameter / 2
        if front > 0:
            yield _hole_problem(
                hole, _("{mark} reaches past the scale front", mark=hole.mark), -front, 0.0, Severity.WARN, PRACTICE
            )


def holes_at_joints(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A hole through the guard, or across the joint of bolster and scale, where neither holds it."""
    template = blank.template
    if template is None or blank.grip is not None:
        return
    guard, square = guard_of(template), sin(radians(template.handle.front_angle))
    for hole in blank.holes:
        x, y = hole.centre
        apart = [abs(x + guard)] if guard > 0 else []
        apart += [abs(x - joint(template, y)) * square] if bolster_of(template) > 0 else []
        if apart and min(apart) < hole.diameter / 2:
            text = _("{mark} lies across a joint of the handle", mark=hole.mark)
            yield _hole_problem(hole, text, min(apart), hole.diameter / 2, Severity.WARN, GEOMETRY)
        elif guard > 0 and x > -guard:
            yield _hole_problem(hole, _("{mark} lies in the guard", mark=hole.mark), x, -guard,
                                Severity.WARN, GEOMETRY)  # fmt: skip


def food_trap(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A lanyard tube on a kitchen knife, which traps food."""
    if blank.template is None or blank.template.use != "kitchen":
        return
    for hole in (h for h in blank.holes if h.purpose is Purpose.LANYARD):
        text = _("{mark}: a lanyard tube on a kitchen knife traps food", mark=hole.mark)
        yield Problem(severity=Severity.NOTE, what=text, at=hole.centre, source=PRACTICE, cause=f"tube {hole.mark}")


def openings_inside(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """Openings that leave a thin web to the edge or to the holes.

    One that takes most of the outline may be the knife itself.
    """
    outer = polygon(blank.outline)
    for opening in blank.openings:
        inner = polygon(opening)
        yield from _holes_beside(blank, tools, inner)
        if inner.area > 0.4 * outer.area:
            text = _("an opening takes most of the outline: is the outline a drawing frame?")
            yield Problem(
                what=text, at=opening.segments[0].start, is_=inner.area / outer.area, wanted=0.4, unit="", source=GEOMETRY
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
                what=_("an opening leaves a thin web"),
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
            yield _hole_problem(
                hole, _("{mark} leaves a thin web to an opening", mark=hole.mark), web, tools.web, severity, PRACTICE
            )


def drill_sizes(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A hole that none of the maker's drills is wide enough for; an epoxy hole of a size he has no drill for."""
    for hole in blank.holes:
        required = hole.size + LEAST_CLEARANCE
        if hole.scale_drill is not None and min(hole.diameter, hole.scale_drill.diameter) < required - 1e-6:
            text = _("{mark} needs a larger drill than the largest", mark=hole.mark)
            yield _hole_problem(hole, text, hole.diameter, required, Severity.STOP, _("your tools"), "size")
        elif hole.purpose is Purpose.EPOXY and abs(hole.diameter - hole.size) > 0.3:
            text = _("{mark}: no drill of its size. The nearest is drawn", mark=hole.mark)
            yield _hole_problem(hole, text, hole.diameter, hole.size, Severity.NOTE, _("your tools"), "drill")


def holes_forgotten(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A full tang without a hole: it cannot be drilled once hardened."""
    t = blank.template
    if t is not None and blank.grip is None and not blank.holes:
        text = _("the tang has no hole. Drill before hardening")
        yield Problem(what=text, at=(-t.handle.length / 2, 0.0), source=PRACTICE, cause="no holes")


def bolt_heads(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """Bolt heads on the contoured scale.

    A head must not break out at the rounded edge, its counterbore must not go through, and the bolt must clamp before it is
    screwed home.
    """
    t = blank.template
    if t is None or blank.grip is not None:
        return
    for hole in (h for h in blank.holes if h.purpose is Purpose.BOLT):
        remaining = head_left(t.handle, edge_distance(blank.outline, hole.centre), hole.centre[0])
        if remaining < _THIN_HEAD:
            text = (
                _("the head of {mark} breaks out of the rounded scale", mark=hole.mark)
                if remaining <= 0
                else _("little is left of {mark}'s head", mark=hole.mark)
            )
            severity = Severity.WARN if remaining <= 0 else Severity.NOTE
            yield _hole_problem(hole, text, remaining, _THIN_HEAD, severity, GEOMETRY, "head")
        floor = floor_left(t.handle, between_scales(t, blank.thickness), hole.centre[0])
        if floor < _FLOOR:
            severity = Severity.STOP if floor <= 0 else Severity.WARN
            text = _("the counterbore of {mark} leaves too little of the scale", mark=hole.mark)
            yield _hole_problem(hole, text, floor, _FLOOR, severity, PRACTICE, "counterbore")
        between = clamped(t.handle, hole.centre[0])
        if between < t.handle.shoulders:
            text = _("bolt {mark} is screwed home before it clamps", mark=hole.mark)
            yield _hole_problem(hole, text, between, t.handle.shoulders, Severity.WARN, GEOMETRY, "shoulders")
