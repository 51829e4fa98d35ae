"""Plain remedies for problems: a hole moved to the middle line, a radius the maker's tools can follow.

A remedy is offered only where it removes the problem and brings no worse one.
"""

from collections.abc import Iterator, Mapping

from msgspec import Struct, field

from workbook.problems import Problem, Severity
from workbook.structs import replace
from workbook.template.checks import check
from workbook.template.drills import nearest_drill
from workbook.template.fittings import scale_wanted
from workbook.template.handle import middle
from workbook.template.hole_edits import wishes_of, with_changed, without_hole
from workbook.template.model import HeelForm, Purpose, Template
from workbook.template.parameters import changed
from workbook.template.shape import Shape, shape
from workbook.template.tools import Tools

_CLEAR = 3.0  # mm of steel between the scale front and a hole moved behind it
_SHOULDER = 1.6  # mm, a usual radius in a tang's shoulder (common practice, no source)
_HAND = 95.0  # mm, a handle with room for most hands: hand breadth of the 95th percentile, 96 mm (ANSUR II, male)


class Remedy(Struct, frozen=True):
    """A remedy's id with the fields of its text (document/words/templates.py), and the template after it."""

    id: str
    template: Template
    fields: Mapping[str, str] = field(default_factory=dict)


def remedy(blank: Shape, problem: Problem, tools: Tools) -> Remedy | None:
    """The first remedy that solves a problem; None where there is none, or where the blank no longer has the problem."""
    if blank.template is None or not problem.cause:
        return None
    problems = check(blank, tools)
    if not any(p.cause == problem.cause for p in problems):  # only the cause: a customer's hand is worded differently
        return None
    before = _weight(problems)
    for offer in _offers(blank, blank.template, problem, tools):
        problems = check(shape(offer.template, tools), tools)
        solved = not any((p.cause, p.what) == (problem.cause, problem.what) for p in problems)
        if solved and _weight(problems) < before:
            return offer
    return None


def _at_hole(id: str, mark: str, template: Template) -> Remedy:  # noqa: A002
    return Remedy(id, template, {"hole": mark})


def _by_tools(t: Template, path: str, value: float) -> Remedy:
    """A radius that the tools can follow."""
    return Remedy("remedy.tools", changed(t, path, value), {"parameter": path})


def _higher(t: Template, by: float) -> Template:
    """Add `by` mm to the handle's height all along."""
    handle = t.handle
    heights = {key: getattr(handle, key) + by for key in ("front", "waist", "palm", "neck", "butt")}
    return replace(t, handle=replace(handle, **heights))


def _thicker(t: Template, by: float) -> Template:
    """Add `by` mm to the handle's thickness all along, with scales thick enough for it."""
    handle = t.handle
    thick = {key: getattr(handle, key) + by for key in ("thick_front", "thick_palm", "thick_butt")}
    thicker = replace(t, handle=replace(handle, **thick))
    scales = max(handle.scale_thickness, scale_wanted(thicker, t.blade.thickness) + 0.05)
    return changed(thicker, "handle.scale_thickness", scales)


def _weight(problems: list[Problem]) -> tuple[int, int, int]:
    """How bad problems are together: the counts of stops, warnings and notes."""
    count = [sum(p.severity is severity for p in problems) for severity in (Severity.STOP, Severity.WARN, Severity.NOTE)]
    return count[0], count[1], count[2]


def _offers(blank: Shape, t: Template, problem: Problem, tools: Tools) -> Iterator[Remedy]:
    cause, _, mark = problem.cause.rpartition(" ") if problem.cause[-1:].isdigit() else (problem.cause, "", "")
    match cause:
        case "place":
            yield from _hole_places(blank, t, mark)
        case "drill":
            hole = next(h for h in blank.holes if h.mark == mark)
            size = nearest_drill(tools.drills, hole.size).diameter
            yield _at_hole("remedy.drill", mark, with_changed(blank, mark, size=size))
        case "tube":
            yield _at_hole("remedy.pin", mark, with_changed(blank, mark, purpose=Purpose.PIN))
            yield _at_hole("hole.removed", mark, without_hole(blank, mark))
        case "head":
            yield _at_hole("remedy.middle", mark, _on_middle(blank, t, mark))
            yield Remedy("remedy.edges_less", changed(t, "handle.edge_radius", 0.6 * t.handle.edge_radius))
            yield Remedy("remedy.edges_hardly", changed(t, "handle.edge_radius", 0.2 * t.handle.edge_radius))
        case "corner":
            yield from _corners(t, tools.smallest_radius)
        case "shoulder" | "tang length":
            yield from _tang(t, problem)
        case "no holes":
            yield Remedy("remedy.family_holes", replace(t, holes=None))
        case "blade waist":
            yield Remedy("remedy.no_free_points", replace(t, blade=replace(t.blade, free=())))
        case _ if problem.wanted is not None and problem.is_ is not None:
            yield from _of_numbers(t, cause, problem.is_, problem.wanted)


def _of_numbers(t: Template, cause: str, is_: float, required: float) -> Iterator[Remedy]:
    """Remedies that follow from a problem's actual and required value."""
    match cause:
        case _ if cause.startswith("range of "):
            path = cause.removeprefix("range of ")
            yield Remedy("remedy.limit", changed(t, path, required), {"parameter": path})
        case "counterbore":
            yield Remedy("remedy.lower_head", changed(t, "handle.head_height", t.handle.head_height - (required - is_) - 0.05))
        case "handle length":
            yield Remedy("remedy.long_handle", changed(t, "handle.length", max(_HAND, required)))
        case "handle height":
            yield Remedy("remedy.high_handle", _higher(t, required - is_ + 0.05))
        case "scales":
            yield Remedy("remedy.thick_scales", changed(t, "handle.scale_thickness", required + 0.05))
            yield Remedy("remedy.thin_handle", _thicker(t, -2 * (required - t.handle.scale_thickness) - 0.05))
        case "shoulders":
            yield Remedy("remedy.thick_handle", _thicker(t, required - is_ + 0.05))
        case "spine slope" | "belly slope":
            key = "spine_slope" if cause == "spine slope" else "edge_slope"
            yield Remedy("remedy.slope", changed(t, f"point.{key}", required), {"curve": cause.removesuffix(" slope")})


def _on_middle(blank: Shape, t: Template, mark: str) -> Template:
    x = next(hole.centre[0] for hole in blank.holes if hole.mark == mark)
    return with_changed(blank, mark, y=middle(t.handle, x))


def _hole_places(blank: Shape, t: Template, mark: str) -> Iterator[Remedy]:
    """Remedies for a hole's place: on the middle line; half-way between its neighbours; behind the scale front; removed."""
    index = next(i for i, hole in enumerate(blank.holes) if hole.mark == mark)
    hole, wishes = blank.holes[index], wishes_of(blank)
    x = hole.centre[0]
    yield _at_hole("remedy.middle", mark, _on_middle(blank, t, mark))
    if 0 < index < len(wishes) - 1:
        between = (wishes[index - 1].x + wishes[index + 1].x) / 2
        edited = with_changed(blank, mark, x=between, y=middle(t.handle, between))
        yield _at_hole("remedy.between", mark, edited)
    behind = -(hole.diameter / 2 + _CLEAR)
    if x > behind:
        yield _at_hole("remedy.behind_front", mark, with_changed(blank, mark, x=behind, y=middle(t.handle, behind)))
    yield _at_hole("hole.removed", mark, without_hole(blank, mark))


def _corners(t: Template, radius: float) -> Iterator[Remedy]:
    if t.heel.form is HeelForm.DROPPED and t.heel.radius < radius:
        yield _by_tools(t, "heel.radius", radius)
    if 0 < t.heel.notch < 2 * radius:
        yield _by_tools(t, "heel.notch", 2 * radius)
    if 0 < t.heel.choil < radius:
        yield _by_tools(t, "heel.choil", radius)
    if t.tang.shoulder_radius < radius:
        yield _by_tools(t, "tang.shoulder_radius", radius)
    both = replace(t, heel=replace(t.heel, radius=max(t.heel.radius, radius), notch=max(t.heel.notch, 2 * radius)))
    yield Remedy("remedy.heel_and_notch", both)


def _tang(t: Template, problem: Problem) -> Iterator[Remedy]:
    if problem.cause == "tang length" and problem.wanted is not None:
        yield Remedy("remedy.short_tang", changed(t, "tang.length", problem.wanted))
        return
    yield Remedy("remedy.shoulder", changed(t, "tang.shoulder_radius", _SHOULDER))
    if problem.wanted:
        yield Remedy("remedy.shoulder_room", changed(t, "tang.shoulder_radius", problem.wanted))
    narrower = t.handle.front - 2 * (t.tang.shoulder_radius + 0.3)
    edited = replace(t, tang=replace(t.tang, width=narrower, end_width=min(t.tang.end_width, narrower)))
    yield Remedy("remedy.narrow_tang", edited)
