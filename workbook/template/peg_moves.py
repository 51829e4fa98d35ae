"""Move a template's pegs: to the maker's increment and within the range of what each sets.

Where a peg would leave the range it stops and gives the reason. What a maker expects to stay in place does: the point, when
the heel is moved.
"""

from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

from msgspec import Struct

from workbook.geometry.path import Point
from workbook.structs import replace
from workbook.template.blade import blade_curves, height_at
from workbook.template.free_edits import free_moved, with_point
from workbook.template.handle import handle_back, handle_belly
from workbook.template.hole_edits import mark_of, wishes_of
from workbook.template.model import HeelForm, Template
from workbook.template.parameters import PARAMETERS, Parameter, changed
from workbook.template.peg_wishes import WISHES, Wish, raised
from workbook.template.pegs import PLUNGE_PART, RUN_WORDS, STATIONS, Peg, Pull, free_names, free_of, free_places, pegs, plunge_top
from workbook.template.resizing import out_of_range
from workbook.template.shape import Shape, shape
from workbook.template.tools import Tools
from workbook.texts import _

UP_TO_SPINE = _("Bevel height: up to the spine")  # the end of the range, but no fault
_ALONG = {
    "blade.length", "blade.spine_straight", "blade.edge_straight", "heel.ahead", "heel.ricasso", "heel.choil", "heel.notch",
    "heel.plunge_radius", "handle.length", "handle.waist_at", "handle.palm_at", "handle.neck_at", "tang.length",
}  # fmt: skip
_ON_LINE = 1.2  # mm from the middle line or the axis within which a hole snaps to it
_EVEN = 1.5  # mm from the middle between its neighbours within which a hole snaps there
_FINEST, _THERE, _TRIES = 0.001, 0.002, 12  # mm: the step of a typed place, and near enough to it; tries at most
_LEAST_CUT = 1.5  # mm; a smaller one cannot be grabbed


class Said(NamedTuple):
    """A readout at the pointer: a label and its value, a length in mm or a number. `path`: the parameter's, where it is one."""

    label: str
    value: float
    is_length: bool
    path: str = ""


class Moved(Struct, frozen=True):
    """A template after a peg was moved, the readouts at the pointer, and the reason it went no further."""

    template: Template
    said: tuple[Said, ...]
    stopped: str = ""
    peg: str = ""  # its name now: the mark of a hole changes where it passes another


@cache
def _parameter(path: str) -> Parameter:
    return next(p for p in PARAMETERS if p.path == path)


def nudged(blank: Shape, name: str, dx: int, dy: int, step: float) -> Moved:
    """Move a peg by some increments along and up. A value that was not pushed stays exactly as it is."""
    peg = next(candidate for candidate in pegs(blank) if candidate.name == name)
    to = (peg.at[0] + dx * step, peg.at[1] + dy * step)
    return moved(blank, name, to, step, axes=(dx != 0, dy != 0), drawn=False)


def moved(
    blank: Shape,
    name: str,
    to: Point,
    step: float,
    axes: tuple[bool, bool] = (True, True),
    *,
    drawn: bool = True,
    pull: Pull = Pull.THICKEN,
) -> Moved:
    """Move a peg to a place, or as near as it goes. `step`: the maker's increment, mm. Raises KeyError for an unknown peg.

    `axes`: whether it moves along, and up; `drawn`: whether a hole snaps to lines and to the middle between its neighbours;
    `pull`: what a peg of the handle does beside what its name says.
    """
    template = blank.template
    peg = next((candidate for candidate in pegs(blank) if candidate.name == name), None)
    if template is None or peg is None:
        raise KeyError(name)
    if name in free_names(template):
        return _free_moved(blank, name, to, step, axes)
    if not peg.sets:
        return _hole_moved(blank, template, name, to, step, axes, drawn=drawn)
    wishes = [wish for wish in _requested(blank, template, peg, to, pull) if all(axes) or _moves(wish[0], name, axes)]
    if not wishes:
        along, up = ways(peg)
        reason = _("Moves along only") if along and not up else _("Moves up and down only") if up and not along else ""
        return Moved(template, (), reason or _("Practically straight"), name)
    after, readouts, stopped = _with_wishes(template, wishes, step)
    after = _kept_still(template, after, name, pull)
    if name == "back" and after.handle.palm != template.handle.palm:
        readouts.append(Said(_parameter("handle.palm").label, after.handle.palm, True, "handle.palm"))
    outside = out_of_range(after) - out_of_range(template)
    if outside:
        return Moved(template, (), _("{wrong} leaves no more room", wrong=min(outside)), name)
    return Moved(after, tuple(readouts), stopped, name)


def _with_wishes(template: Template, wishes: Sequence[Wish], step: float) -> tuple[Template, list[Said], str]:
    """A template with each wish, rounded to the maker's increment and within its range; what is set, and why one was stopped."""
    readouts: list[Said] = []
    stopped, after = "", template
    for path, value, scale in wishes:  # value times scale is a length, mm; scale is 0 for a number
        parameter = _parameter(path)
        low, high = _limits(parameter, after)
        snapped = round(value * scale / step) * step / scale if scale else round(value, 2)
        clamped = min(max(snapped, low), high)
        if path == "grind.height" and clamped >= high:
            stopped = UP_TO_SPINE
        elif not stopped and abs(clamped - snapped) > 1e-9:
            stopped = _("{label}: limit reached", label=parameter.label)
        after = changed(after, path, _as_none(path, clamped, after))
        readouts.append(Said(parameter.label, clamped * scale if scale else clamped, bool(scale), path))
    return after, readouts, stopped


def _requested(blank: Shape, template: Template, peg: Peg, to: Point, pull: Pull) -> list[Wish]:
    """What a peg pulled to a place requests."""
    if peg.name in STATIONS and pull is Pull.RAISE:
        return raised(template, peg, to)
    wishes = WISHES[peg.name](blank, template, peg, to)
    return wishes[:1] if peg.name in STATIONS and pull is Pull.MOVE else wishes  # the first is its place along


def moved_to(blank: Shape, name: str, to: Point, tools: Tools) -> Moved:
    """Move a peg to a typed place, or as near as it goes, without rounding to the maker's increment.

    The move is repeated where what the peg sets moves other things too, such as the axis.
    """
    result: Moved | None = None
    current = blank
    for _unused in range(_TRIES):
        at = next(candidate.at for candidate in pegs(current) if candidate.name == name)
        off = (abs(to[0] - at[0]) > _THERE, abs(to[1] - at[1]) > _THERE)
        if not any(off) or (result is not None and result.stopped):
            break
        result = moved(current, name, to, _FINEST, off, drawn=False)
        current, name = shape(result.template, tools), result.peg or name  # a hole that passed another has another mark
        if name not in {candidate.name for candidate in pegs(current)}:
            break
    assert blank.template is not None
    return result or Moved(blank.template, (), "", name)


def ways(peg: Peg) -> tuple[bool, bool]:
    """Whether a peg moves along, and up, by what it sets; the peg of a curve, a hole or a free point moves both ways."""
    if not peg.sets or peg.name in ("spine curve", "belly curve"):
        return True, True
    return any(path in _ALONG for path in peg.sets), any(path not in _ALONG for path in peg.sets)


def _moves(path: str, name: str, axes: tuple[bool, bool]) -> bool:
    """Whether a parameter follows a peg along one of the axes it is pushed along. A curve's two follow both."""
    if name in ("spine curve", "belly curve"):
        return True
    return axes[0] if path in _ALONG else axes[1]


def _limits(parameter: Parameter, template: Template) -> tuple[float, float]:
    """The parameter's range for a peg; a finger choil is no wider than the steel before the heel has room for (heel.py)."""
    low, high = parameter.limits(template)
    if parameter.path == "heel.choil":
        room = template.heel.ricasso if template.heel.form is HeelForm.DROPPED else template.heel.ahead
        high = min(high, 0.45 * room / 0.8)
    if parameter.path == "heel.plunge_radius":
        high = min(high, PLUNGE_PART * plunge_top(template, blade_curves(template))[0])
    if parameter.path in ("heel.choil", "heel.notch"):  # dragged to nothing, it could not be grabbed again
        low = min(_LEAST_CUT, high)
    if parameter.path == "blade.edge_straight":
        low = min(max(low, (template.heel.ahead + _LEAST_CUT) / template.blade.length), high)
    return low, high


def _as_none(path: str, value: float, template: Template) -> float | None:
    """The value to store: None for a bevel up to the spine, which has no height of its own."""
    return None if path == "grind.height" and value >= template.blade.height - 1e-6 else value


def _kept_still(before: Template, after: Template, name: str, pull: Pull) -> Template:
    """Keep in place, within their ranges, what the peg's name does not say.

    That is the point when the heel is moved, where spine and belly begin to turn when the point is, and the handle's underside
    when its back is, unless both are raised.
    """
    if name == "back":
        return after if pull is Pull.RAISE else _with_underside_of(before, after)
    if name == "point":
        for path in ("blade.spine_straight", "blade.edge_straight"):
            parameter = _parameter(path)
            low, high = parameter.limits(after)
            place = parameter.value(before) * before.blade.length / after.blade.length
            after = changed(after, path, min(max(place, low), high))
        return after
    if name != "heel" or after.blade.height == before.blade.height:
        return after
    ratio = before.blade.height / after.blade.height
    after = changed(after, "point.drop", after.point.drop * ratio)
    return changed(after, "blade.edge_rise", after.blade.edge_rise * ratio)


def _with_underside_of(before: Template, after: Template) -> Template:
    """The handle of `after` with the underside at waist, palm and neck where `before` has it: its thickness there changes."""
    for name in STATIONS:
        x = -getattr(before.handle, f"{name}_at") * before.handle.length
        rise = height_at(handle_back(after.handle), x) - height_at(handle_back(before.handle), x)
        after = changed(after, f"handle.{name}", getattr(before.handle, name) + rise)
    return after


def _free_moved(blank: Shape, name: str, to: Point, step: float, axes: tuple[bool, bool]) -> Moved:
    """Pull a free point; the axis it was not pushed along keeps its exact value."""
    assert blank.template is not None
    index = free_names(blank.template).index(name)
    old = free_of(blank.template)[index]
    edited, pulled, reached = free_moved(blank, index, to, step)
    if not all(axes):
        point = free_of(edited)[index]
        edited = with_point(edited, index, replace(point, x=point.x if axes[0] else old.x, y=point.y if axes[1] else old.y))
        pulled = (pulled[0] if axes[0] else old.x, pulled[1] if axes[1] else old.y)
    run, number = free_places(blank.template)[index]
    along = _("Control point {number}, {run}, pulled along", number=number, run=RUN_WORDS[run])
    readouts = (Said(along, pulled[0], True), Said(_("up"), pulled[1], True))
    return Moved(edited, readouts, "" if reached else _("Limit reached: the curve would not stay smooth"), name)


def _hole_moved(
    blank: Shape, template: Template, mark: str, to: Point, step: float, axes: tuple[bool, bool], *, drawn: bool
) -> Moved:
    """Move a hole along and across; an axis it is not pushed along keeps its exact value.

    With `drawn` it snaps half-way between its neighbours, to the middle line and to the axis; else it goes exactly there.
    """
    index = next(i for i, hole in enumerate(blank.holes) if hole.mark == mark)
    others = [hole.centre[0] for i, hole in enumerate(blank.holes) if i != index]
    x, y = blank.holes[index].centre
    if axes[0]:
        x = _even(to[0], others, round(to[0] / step) * step) if drawn else to[0]
        x = min(max(x, -template.handle.length), -step)
    if axes[1]:
        y = _across(template, x, to[1], step) if drawn else to[1]
    wishes = list(wishes_of(blank))
    wishes[index] = replace(wishes[index], x=x, y=y)
    readouts = (Said(_("From handle front"), -x, True), Said(_("From axis"), y, True))
    return Moved(replace(template, holes=tuple(wishes)), readouts, "", mark_of(wishes, index))


def _even(x: float, others: list[float], snapped: float) -> float:
    """Half-way between two neighbours where that is near x, else `snapped`."""
    left, right = max((o for o in others if o < x), default=None), min((o for o in others if o > x), default=None)
    if left is None or right is None or abs((left + right) / 2 - x) > _EVEN:
        return snapped
    return (left + right) / 2


def _across(template: Template, x: float, y: float, step: float) -> float:
    back, belly = handle_back(template.handle), handle_belly(template.handle)
    within = max(x, back[-1].end[0])
    middle = (height_at(back, within) + height_at(belly, within)) / 2
    near = min((middle, 0.0), key=lambda line: abs(line - y))
    return near if abs(near - y) < _ON_LINE else round(y / step) * step
