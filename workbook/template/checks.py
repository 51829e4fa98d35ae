"""Checks of a blank before any grinding: outline, holes, corners and tang, against the maker's tools.

Each check is a small function; `check` runs them all. Add one by writing it and listing it in `CHECKS`.
"""

from collections.abc import Callable, Iterator
from math import pi

from workbook.geometry.path import (
    Arc,
    Bezier,
    Line,
    Path,
    Point,
    arc_circle,
    bezier_at,
    curvature,
    flatten,
    tangents,
)
from workbook.geometry.polygon import crossing, lower_hull, polygon
from workbook.later import np
from workbook.problems import Problem, Severity, worst_first
from workbook.structs import replace
from workbook.template.blade import edge_slope, heights_along, spine_slope
from workbook.template.contour import is_bare
from workbook.template.fittings import (
    between_scales,
    bolster_of,
    bolster_wanted,
    guard_of,
    lean,
    liner_of,
    scale_front,
    scale_wanted,
)
from workbook.template.hand import BESIDE
from workbook.template.handle import middle, room
from workbook.template.hole_checks import (
    GEOMETRY,
    PRACTICE,
    bolt_heads,
    drill_sizes,
    food_trap,
    holes_ahead_of_scales,
    holes_at_joints,
    holes_forgotten,
    holes_near_each_other,
    holes_near_edge,
    openings_inside,
    webs_at_edge,
)
from workbook.template.model import GROUPS, EdgeForm, HeelForm, SpineForm, Template
from workbook.template.parameters import Kind, of_group
from workbook.template.shape import Shape
from workbook.template.tools import Tools
from workbook.texts import _

_ALONG = tuple(0.02 + 0.03 * i for i in range(33))  # of a curve's parameter
Check = Callable[[Shape, Tools], Iterator[Problem]]
_LOWEST = 9.0  # mm, the least height of a handle (judgement, no source)
_STATIONS, _WAIST = 64, 0.6  # places along a blade; the least share of the height further on
_BODY, _LEAST = 0.6, 0.35  # this share of the blade keeps at least that of its height at the heel
_JUDGED = _("estimate, no source")
_BOWED = 0.25  # mm an edge may bow in
_SCALE_LEFT, _SCALE_THIN = 20.0, 1.0  # mm of a scale behind its fittings, and beside liners at its thinnest
_SMALL_HAND, _SURVEY = 72.0, _("ANSUR II, female hand width 5th percentile 72 mm, plus 10 mm")


def check(blank: Shape, tools: Tools) -> list[Problem]:
    """Every problem of a blank, worst first; if its outline crosses itself, that problem alone."""
    crossings = list(crossing_outline(blank, tools))
    problems = crossings or [problem for each in CHECKS for problem in each(blank, tools)]
    return worst_first(replace(p, template=blank.name) for p in problems)


def crossing_outline(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """An outline that crosses itself, which cannot be cut."""
    at = crossing(polygon(blank.outline))
    if at is not None:
        yield Problem(severity=Severity.STOP, what=_("the outline crosses itself"), at=at, source=GEOMETRY)


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
                limit = low if value < low else high
                unit = {Kind.LENGTH: "mm", Kind.FINE: "mm", Kind.ANGLE: "deg"}.get(parameter.kind, "")
                text = (
                    _("{parameter} is below its range", parameter=parameter.label)
                    if value < low
                    else _("{parameter} is above its range", parameter=parameter.label)
                )
                cause = f"range of {parameter.path}"
                yield Problem(severity=Severity.STOP, what=text, is_=value, wanted=limit, unit=unit, source=PRACTICE, cause=cause)


def inside_corners(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """Inside corners tighter than the maker's smallest wheel or file can follow."""
    for at, radius in hollow_radii(blank.outline):
        if radius < tools.smallest_radius - 1e-6:
            text = _("an inside corner is tighter than the smallest file or wheel")
            yield Problem(what=text, at=at, is_=radius, wanted=tools.smallest_radius, source=_("your tools"), cause="corner")


def hollow_radii(outline: Path) -> Iterator[tuple[Point, float]]:
    """Places where a counter-clockwise outline turns inwards, with the radius there, mm; 0 at a sharp inside corner."""
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
    """Whether a notch or choil meets the edge here: that corner is intended, an outside corner of the remaining steel."""
    return any(isinstance(s, Arc) and s.bulge < 0 for s in (segment, following))


def _tightest(curve: Bezier) -> Iterator[tuple[Point, float]]:
    """The tightest inward bend of a Bezier, where it has one."""
    bend = curvature(curve, np.array(_ALONG))
    worst = int(bend.argmin())
    if bend[worst] < -1e-3:
        yield bezier_at(curve, [_ALONG[worst]])[0], -1 / float(bend[worst])


def heel_drop(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A dropped heel that does not stand below the handle."""
    t = blank.template
    if t is None or t.heel.form is not HeelForm.DROPPED or blank.curves is None:
        return
    drop = -t.handle.front / 2 - blank.curves.heel[1]
    if drop < 1.0:
        text = _("the heel is not below the handle. Raise the height at the heel or choose a plain heel")
        yield Problem(severity=Severity.STOP, what=text, at=blank.curves.heel, is_=drop, wanted=1.0, source=GEOMETRY)


def slopes_at_point(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """Slopes at the point that no single curve can have; the nearest possible ones were drawn."""
    t = blank.template
    if t is None or blank.curves is None:
        return
    pairs = []
    if t.point.spine is SpineForm.CURVED and t.point.drop:
        requested, actual = t.point.spine_slope, spine_slope(t)
        text = _("no smooth curve has this spine slope at the tip. The nearest is drawn")
        pairs.append(("spine slope", text, requested, actual))
    if t.point.edge is EdgeForm.BELLY:
        requested, actual = t.point.edge_slope, edge_slope(t, blank.curves)
        text = _("no smooth curve has this belly slope at the tip. The nearest is drawn")
        pairs.append(("belly slope", text, requested, actual))
    for cause, text, requested, actual in pairs:
        if abs(requested - actual) > 0.5:
            yield Problem(
                severity=Severity.NOTE,
                what=text,
                at=blank.curves.point,
                is_=requested,
                wanted=actual,
                unit="deg",
                source=GEOMETRY,
                cause=cause,
            )


def tang_shoulder(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A hidden tang's shoulder with no radius, which cracks in the quench, or with no room for it.

    Also a tang longer than its handle.
    """
    t = blank.template
    if t is None or not t.tang.is_enclosed:
        return
    if t.tang.shoulder_radius < 0.8:
        at = (0.0, t.tang.width / 2)
        yield Problem(
            what=_("the tang's shoulder needs a radius"),
            at=at,
            is_=t.tang.shoulder_radius,
            wanted=0.8,
            source=PRACTICE,
            cause="shoulder",
        )
    beside = (t.handle.front - t.tang.width) / 2
    if t.tang.shoulder_radius > beside - 0.2:
        text = _("there is no room for the shoulder radius beside the tang")
        at = (0.0, t.tang.width / 2)
        room = max(beside - 0.2, 0.0)
        yield Problem(
            severity=Severity.STOP, what=text, at=at, is_=t.tang.shoulder_radius, wanted=room, source=GEOMETRY, cause="shoulder"
        )
    if t.tang.length > t.handle.length - 3:
        yield Problem(
            severity=Severity.STOP,
            what=_("the tang is longer than its handle"),
            at=(-t.tang.length, 0.0),
            is_=t.tang.length,
            wanted=t.handle.length - 3,
            source=GEOMETRY,
            cause="tang length",
        )


def handle_for_a_hand(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A handle shorter than its hand plus a finger's room; where no hand is known, than a small hand.

    ANSUR II: female hand breadth, 5th percentile, 72 mm.
    """
    t = blank.template
    if t is None:
        return
    if tools.hand_breadth > 0:
        text = _("the handle is short for the hand it is for")
        yield from short_for(t, text, tools.hand_breadth, Severity.WARN, _("the hand width in the settings, plus 10 mm"))
    else:
        yield from short_for(t, _("the handle is short for a hand"), _SMALL_HAND, Severity.NOTE, _SURVEY)


def short_for(t: Template, text: str, breadth: float, severity: Severity, source: str) -> Iterator[Problem]:
    """A handle shorter than a hand's breadth, mm, plus a finger's room; `text` says whose hand that is."""
    at, is_, least = (-t.handle.length, 0.0), t.handle.length, breadth + BESIDE
    if is_ < least:
        yield Problem(severity=severity, what=text, at=at, is_=is_, wanted=least, source=source, cause="handle length")


def thin_handle(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A handle that is too low to hold somewhere, or has no height at all."""
    t = blank.template
    if t is None:
        return
    places = np.linspace(-0.9 * t.handle.length, -0.05 * t.handle.length, 24)
    low, x = min((room(t.handle, float(x)), float(x)) for x in places)
    if low < _LOWEST:
        severity = Severity.STOP if low < _LOWEST / 3 else Severity.WARN
        at = (x, middle(t.handle, x))
        text = _("the handle is thin here")
        yield Problem(severity=severity, what=text, at=at, is_=low, wanted=_LOWEST, source=PRACTICE, cause="handle height")


def blade_waist(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A blade much narrower somewhere than further on, or too narrow well before its point: it breaks there."""
    if blank.curves is None:
        return
    x = np.linspace(blank.curves.heel[0], blank.curves.point[0], _STATIONS)
    edge = heights_along(blank.curves.edge, x)
    height = heights_along(blank.curves.spine, x) - edge
    least = _WAIST * np.minimum(np.maximum.accumulate(height[::-1])[::-1], height[0])
    least[: int(_BODY * _STATIONS)] = np.maximum(least[: int(_BODY * _STATIONS)], _LEAST * height[0])
    worst = int((height - least).argmin())
    if height[worst] < least[worst]:
        at, is_ = (float(x[worst]), float(edge[worst] + height[worst] / 2)), float(height[worst])
        text = _("the blade is narrow here")
        yield Problem(what=text, at=at, is_=is_, wanted=float(least[worst]), source=_JUDGED, cause="blade waist")


def hollow_edge(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """An edge that bows in, away from the line it would rest on: sharpened on a rod or a wheel, not on a flat stone."""
    if blank.curves is None:
        return
    points = flatten(Path(blank.curves.edge, closed=False))
    steps = np.diff(points, axis=0)
    if (steps[:-1, 0] * steps[1:, 1] >= steps[:-1, 1] * steps[1:, 0] - 1e-9).all():
        return  # it turns one way only
    hull = lower_hull(points)
    off = points[:, 1] - np.interp(points[:, 0], hull[:, 0], hull[:, 1])
    deepest = int(off.argmax())
    if off[deepest] > _BOWED:
        at = (float(points[deepest, 0]), float(points[deepest, 1]))
        text = _("the edge bows in where a flat stone does not reach")
        yield Problem(severity=Severity.NOTE, what=text, at=at, is_=float(off[deepest]), source=PRACTICE)


def scales_for_contour(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """Scales thinner than the handle's contour needs."""
    t = blank.template
    if t is None or blank.grip is not None or is_bare(t.handle):
        return
    required = scale_wanted(t, t.blade.thickness)
    if t.handle.scale_thickness < required - 0.01:
        at, is_ = (-t.handle.palm_at * t.handle.length, 0.0), t.handle.scale_thickness
        text = _("the scales are thinner than the contour needs")
        yield Problem(what=text, at=at, is_=is_, wanted=required, source=GEOMETRY, cause="scales")


def bolsters_for_contour(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """Bolsters thinner than the handle's contour needs."""
    t = blank.template
    if t is None or bolster_of(t) <= 0:
        return
    required = bolster_wanted(t, t.blade.thickness)
    if t.fittings.bolster_thickness < required - 0.01:
        text = _("the bolsters are thinner than the contour needs")
        yield Problem(what=text, at=(scale_front(t), 0.0), is_=t.fittings.bolster_thickness, wanted=required, source=GEOMETRY,
                      cause="bolsters")  # fmt: skip


def fittings_leave_scales(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """Fittings that leave nothing of the scales, along the handle or in their thickness, and fittings of a bare tang."""
    t = blank.template
    if t is None:
        return
    if is_bare(t.handle):
        if max(t.fittings.guard, t.fittings.bolster, t.fittings.liner) > 0:
            text = _("a handle without scales has no guard, bolsters or liners")
            yield Problem(severity=Severity.NOTE, what=text, at=(0.0, 0.0), source=GEOMETRY)
        return
    left = t.handle.length + scale_front(t) - (lean(t.handle) if scale_front(t) < 0 else 0.0)
    if left < _SCALE_LEFT:
        text = _("guard and bolsters leave too little of the scales")
        yield Problem(severity=Severity.STOP, what=text, at=(scale_front(t), 0.0), is_=left, wanted=_SCALE_LEFT, source=PRACTICE)
    thinnest = min(t.handle.thick_front, t.handle.thick_palm, t.handle.thick_butt)
    thin = (thinnest - between_scales(t, t.blade.thickness)) / 2
    if liner_of(t) > 0 and thin < _SCALE_THIN:
        text = _("tang and liners leave too little of the scales' thickness")
        at = (-t.handle.palm_at * t.handle.length, 0.0)
        yield Problem(severity=Severity.STOP, what=text, at=at, is_=max(thin, 0.0), wanted=_SCALE_THIN, source=PRACTICE)


def guard_covers(blank: Shape, tools: Tools) -> Iterator[Problem]:
    """A guard lower or narrower than the handle behind it, which would stand proud of it."""
    t = blank.template
    if t is None or guard_of(t) <= 0:
        return
    up, half = t.fittings.guard_height / 2, t.handle.front / 2
    for is_, wanted, text in (
        (up - abs(t.fittings.guard_drop), half, _("the handle stands above or below the guard")),
        (t.fittings.guard_width, t.handle.thick_front, _("the handle is wider than the guard")),
    ):
        if is_ < wanted - 0.01:
            yield Problem(severity=Severity.NOTE, what=text, at=(0.0, 0.0), is_=is_, wanted=wanted, source=GEOMETRY)


CHECKS: tuple[Check, ...] = (
    parameters_in_range,
    heel_drop,
    holes_near_edge,
    webs_at_edge,
    holes_near_each_other,
    holes_ahead_of_scales,
    holes_at_joints,
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
    blade_waist,
    hollow_edge,
    scales_for_contour,
    fittings_leave_scales,
    bolsters_for_contour,
    guard_covers,
)
