"""The places of a template that can be taken hold of, and the template after one has been moved.

A peg stands where a parameter shows: the point, the heel, where the belly begins. Moving it sets that parameter, to the maker's
increment and within its range; where it would leave the range it stops, and says why. What a maker would expect to stay where
it is stays: the point, when the heel is moved.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import radians, tan
from typing import NamedTuple

from workbook.geometry.path import Bezier, Point
from workbook.template.blade import height_at, middle_of, pulled
from workbook.template.handle import butt, handle_back, handle_belly
from workbook.template.heel import choil_and_notch
from workbook.template.hole_edits import wishes_of
from workbook.template.holes import LETTERS
from workbook.template.model import Bevel, HeelForm, HoleWish, TangForm, Template
from workbook.template.parameters import PARAMETERS, Parameter, changed
from workbook.template.resizing import out_of_range
from workbook.template.shape import Shape

UP_TO_SPINE = "Bevel height: up to the spine"  # as far as it goes, and nothing wrong with that
_ALONG = {
    "blade.length", "blade.spine_straight", "blade.edge_straight", "heel.ahead", "heel.ricasso", "heel.choil", "heel.notch",
    "heel.plunge_radius", "handle.length", "handle.waist_at", "handle.palm_at", "handle.neck_at", "tang.length",
}  # fmt: skip
_ON_LINE = 1.2  # mm from the middle line or the axis within which a hole snaps to it
_EVEN = 1.5  # mm from the middle between its neighbours within which a hole snaps there
_LEAST_CUT = 1.5  # mm; less cannot be taken hold of
_ROUNDED = 0.8  # of the bevel's height, the largest rounding of its plunge (grind/lines.py)
_CREST, _LIFT = 0.6, 0.95  # where the back is taken hold of, and how far it rises there with the crown (handle.py)
_FULL = 0.3  # mm under the spine, as good as up to it
_GRIND_AT = 0.3  # share of the cutting edge ahead of the heel at which the bevel's height is taken hold of


@dataclass(frozen=True, slots=True)
class Peg:
    """One place to take hold of. `sets`: the parameters it moves, the main one first; a hole's peg has its mark as name."""

    name: str
    words: str
    at: Point
    sets: tuple[str, ...] = ()


class Said(NamedTuple):
    """What is said at the pointer: a parameter and its value, a length in mm or a number."""

    label: str
    value: float
    is_length: bool


@dataclass(frozen=True, slots=True)
class Moved:
    """A template after a peg was moved, what is said at the pointer, and why it went no further."""

    template: Template
    said: tuple[Said, ...]
    stopped: str = ""
    peg: str = ""  # its name now: a hole that has passed another has another mark


@cache
def _parameter(path: str) -> Parameter:
    return next(p for p in PARAMETERS if p.path == path)


def pegs(blank: Shape) -> tuple[Peg, ...]:
    """All pegs of a parametric template, from the point back to the butt, then its holes; none of an outline from a file."""
    template = blank.template
    if template is None or blank.curves is None:
        return ()
    hidden = template.tang.form in (TangForm.HIDDEN, TangForm.STUB)
    return (
        *_of_blade(blank, template),
        *_of_curves(blank),
        *_of_heel(blank, template),
        *_of_handle(template),
        *(_of_tang(template) if hidden else ()),
        *(Peg(hole.mark, f"hole {hole.mark}", hole.centre) for hole in blank.holes),
    )


def _of_blade(blank: Shape, t: Template) -> Iterator[Peg]:
    assert blank.curves is not None
    top, heel = t.handle.front / 2, blank.curves.heel
    yield Peg("point", "point", blank.curves.point, ("blade.length", "point.drop"))
    yield Peg(
        "spine", "where the spine begins to fall", (t.blade.length * t.blade.spine_straight, top), ("blade.spine_straight",)
    )
    x = t.blade.length * t.blade.edge_straight
    y = heel[1] + t.blade.edge_rise * t.blade.height
    if x > heel[0] + 1.0:
        yield Peg("belly", "where the belly begins", (x, y), ("blade.edge_straight", "blade.edge_rise"))
    if t.grind.bevel is not Bevel.SCANDI:
        at = heel[0] + _GRIND_AT * (blank.curves.point[0] - heel[0])
        edge, spine = height_at(blank.curves.edge, at), height_at(blank.curves.spine, at)
        height = spine - edge if t.grind.height is None else min(t.grind.height, spine - edge)
        yield Peg("bevel", "bevel height, finished", (at, edge + height), ("grind.height",))


def _of_curves(blank: Shape) -> Iterator[Peg]:
    """The middles of the two curves to the point, where they are curves: dragged, they lean and fill as they are pulled."""
    assert blank.curves is not None
    spine, edge = blank.curves.spine[0], blank.curves.edge[-1]
    if isinstance(spine, Bezier):
        yield Peg("spine curve", "curve of the spine", middle_of(spine), ("point.spine_fullness", "point.spine_lean"))
    if isinstance(edge, Bezier):
        yield Peg("belly curve", "curve of the belly", middle_of(edge), ("point.edge_fullness", "point.edge_lean"))


def _plunge_top(t: Template) -> tuple[float, float]:
    """Height of the bevel at the heel, and how far the plunge leans back over it, mm (as grind/lines.py draws it)."""
    height = t.blade.height if t.grind.height is None else min(t.grind.height, t.blade.height)
    return height, height * tan(radians(t.heel.plunge_rake))


def _of_heel(blank: Shape, t: Template) -> Iterator[Peg]:
    assert blank.curves is not None
    heel = blank.curves.heel
    yield Peg("heel", "heel", heel, ("heel.ahead", "blade.height"))
    high, leans = _plunge_top(t)
    if t.grind.bevel is not Bevel.SCANDI:
        at = (heel[0] - leans + min(t.heel.plunge_radius, _ROUNDED * high), heel[1] + high)
        yield Peg("plunge", "end of the plunge's rounding", at, ("heel.plunge_radius",))
    if t.heel.form is HeelForm.DROPPED and t.heel.ricasso > 0:
        yield Peg("ricasso", "back of the ricasso", (heel[0] - t.heel.ricasso, heel[1]), ("heel.ricasso",))
    wide = choil_and_notch(t, heel)
    if wide > 0 and t.heel.choil > 0:
        yield Peg("choil", "back of the finger choil", (heel[0] - wide, heel[1]), ("heel.choil",))
    elif wide > 0:
        yield Peg("notch", "back of the sharpening notch", (heel[0] - wide, heel[1]), ("heel.notch",))


def _of_handle(t: Template) -> Iterator[Peg]:
    handle = t.handle
    back = handle_back(handle)
    yield Peg("front", "handle front", (0.0, -handle.front / 2), ("handle.front",))
    crest = _CREST * back[-1].end[0]
    yield Peg("back", "crown of the back", (crest, height_at(back, crest)), ("handle.crown",))
    for name in ("waist", "palm", "neck"):
        x = -getattr(handle, f"{name}_at") * handle.length
        if x >= back[-1].end[0]:
            y = height_at(back, x) - getattr(handle, name)
            yield Peg(name, name, (x, y), (f"handle.{name}", f"handle.{name}_at"))
    yield Peg("butt height", "height at the butt", handle_belly(handle)[0].start, ("handle.butt",))
    yield Peg("butt", "butt", butt(handle)[0].end, ("handle.length", "handle.drop"))


def _of_tang(t: Template) -> Iterator[Peg]:
    tang = t.tang
    yield Peg("tang end", "end of the tang", (-tang.length, 0.0), ("tang.length",))
    yield Peg("tang width", "width of the tang", (-tang.shoulder_radius - 3.0, tang.width / 2), ("tang.width",))


def nudged(blank: Shape, name: str, dx: int, dy: int, step: float) -> Moved:
    """The template with a peg moved by so many increments along and up. What was not pushed stays as it is, to the last digit."""
    peg = next(own for own in pegs(blank) if own.name == name)
    to = (peg.at[0] + dx * step, peg.at[1] + dy * step)
    return moved(blank, name, to, step, axes=(dx != 0, dy != 0), drawn=False)


def moved(
    blank: Shape, name: str, to: Point, step: float, axes: tuple[bool, bool] = (True, True), *, drawn: bool = True
) -> Moved:
    """The template with a peg moved to a place, or as near as it goes. `step`: the maker's increment, mm. KeyError for no peg.

    `axes`: whether it is moved along, and up; `drawn`: whether a hole is drawn to lines and to the middle of its neighbours.
    """
    template = blank.template
    peg = next((own for own in pegs(blank) if own.name == name), None)
    if template is None or peg is None:
        raise KeyError(name)
    if not peg.sets:
        return _hole_moved(blank, template, name, to, step, drawn=drawn)
    wished = [wish for wish in _WISHES[name](blank, template, peg, to) if all(axes) or _moves(wish[0], name, axes)]
    if not wished:
        return Moved(template, (), "It is as good as straight", name)
    said: list[Said] = []
    stopped, after = "", template
    for path, value, of in wished:  # a value is `of` times a length: a share of it, or the length itself where it is 1
        parameter = _parameter(path)
        low, high = _limits(parameter, after)
        snapped = round(value * of / step) * step / of if of else round(value, 2)
        kept = min(max(snapped, low), high)
        if path == "grind.height" and kept >= high:
            stopped = UP_TO_SPINE
        elif not stopped and abs(kept - snapped) > 1e-9:
            stopped = f"{parameter.label}: it goes no further"
        after = changed(after, path, _as_none(path, kept, after))
        said.append(Said(parameter.label, kept * of, True) if of else Said(parameter.label, kept, False))
    after = _kept_still(template, after, name)
    wrong = out_of_range(after) - out_of_range(template)
    if wrong:
        return Moved(template, (), f"{min(wrong)} leaves no more room", name)
    return Moved(after, tuple(said), stopped, name)


def _moves(path: str, name: str, axes: tuple[bool, bool]) -> bool:
    """Whether a parameter follows a peg along one of the ways it is pushed. A curve's two follow both ways."""
    if name in ("spine curve", "belly curve"):
        return True
    return axes[0] if path in _ALONG else axes[1]


def _limits(parameter: Parameter, template: Template) -> tuple[float, float]:
    """The parameter's range; a finger choil is no wider than the steel before the heel has room for (heel.py)."""
    low, high = parameter.limits(template)
    if parameter.path == "heel.choil":
        room = template.heel.ricasso if template.heel.form is HeelForm.DROPPED else template.heel.ahead
        high = min(high, 0.45 * room / 0.8)
    if parameter.path == "heel.plunge_radius":
        high = min(high, _ROUNDED * _plunge_top(template)[0])
    if parameter.path in ("heel.choil", "heel.notch"):  # dragged away it could not be taken hold of again
        low = min(_LEAST_CUT, high)
    if parameter.path == "blade.edge_straight":
        low = min(max(low, (template.heel.ahead + _LEAST_CUT) / template.blade.length), high)
    return low, high


def _as_none(path: str, value: float, template: Template) -> float | None:
    """A bevel up to the spine has no height of its own."""
    return None if path == "grind.height" and value >= template.blade.height - 1e-6 else value


def _kept_still(before: Template, after: Template, name: str) -> Template:
    """What is a share of a size that was changed stays where it was, within its range: the point when the heel is moved, where
    spine and belly begin to turn when the point is.
    """
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


_Wish = tuple[str, float, float]  # a parameter, the value wished for, the length it is a share of (1: a length; 0: a number)


def _point(blank: Shape, t: Template, peg: Peg, to: Point) -> list[_Wish]:
    drop = (t.handle.front / 2 - to[1]) / t.blade.height
    return [("blade.length", to[0], 1.0), ("point.drop", drop, t.blade.height)]


def _spine(blank: Shape, t: Template, peg: Peg, to: Point) -> list[_Wish]:
    return [("blade.spine_straight", to[0] / t.blade.length, t.blade.length)]


def _belly(blank: Shape, t: Template, peg: Peg, to: Point) -> list[_Wish]:
    assert blank.curves is not None
    rise = (to[1] - blank.curves.heel[1]) / t.blade.height
    return [("blade.edge_straight", to[0] / t.blade.length, t.blade.length), ("blade.edge_rise", rise, t.blade.height)]


def _bevel(blank: Shape, t: Template, peg: Peg, to: Point) -> list[_Wish]:
    assert blank.curves is not None
    edge, spine = (height_at(curve, peg.at[0]) for curve in (blank.curves.edge, blank.curves.spine))
    wished = to[1] - edge
    return [("grind.height", t.blade.height if wished > spine - edge - _FULL else wished, 1.0)]


def _curve(name: str) -> Callable[[Shape, Template, Peg, Point], list[_Wish]]:
    """Spine or edge curve pulled by its middle."""

    def wish(blank: Shape, t: Template, peg: Peg, to: Point) -> list[_Wish]:
        assert blank.curves is not None
        curve = blank.curves.spine[0] if name == "spine" else blank.curves.edge[-1]
        assert isinstance(curve, Bezier)
        found = pulled(curve, to)
        if found is None:
            return []
        at_point, behind = found if name == "spine" else found[::-1]
        return [(f"point.{name}_fullness", behind, 0.0), (f"point.{name}_lean", at_point - behind, 0.0)]

    return wish


def _heel(blank: Shape, t: Template, peg: Peg, to: Point) -> list[_Wish]:
    assert blank.curves is not None
    at = min(max(to[0], 0.0), 0.5 * t.blade.length)
    return [("heel.ahead", to[0], 1.0), ("blade.height", height_at(blank.curves.spine, at) - to[1], 1.0)]


def _before_heel(path: str, part: float) -> Callable[[Shape, Template, Peg, Point], list[_Wish]]:
    """What reaches back from the heel: `part` of its length is the parameter."""

    def wish(blank: Shape, t: Template, peg: Peg, to: Point) -> list[_Wish]:
        assert blank.curves is not None
        return [(path, max(blank.curves.heel[0] - to[0], 0.0) * part, 1.0)]

    return wish


def _plunge(blank: Shape, t: Template, peg: Peg, to: Point) -> list[_Wish]:
    assert blank.curves is not None
    return [("heel.plunge_radius", max(to[0] - blank.curves.heel[0] + _plunge_top(t)[1], 0.0), 1.0)]


def _back(blank: Shape, t: Template, peg: Peg, to: Point) -> list[_Wish]:
    return [("handle.crown", t.handle.crown + (to[1] - peg.at[1]) / _LIFT, 1.0)]


def _front(blank: Shape, t: Template, peg: Peg, to: Point) -> list[_Wish]:
    return [("handle.front", t.handle.front / 2 - to[1], 1.0)]  # the spine stays, the underside follows


def _station(name: str) -> Callable[[Shape, Template, Peg, Point], list[_Wish]]:
    """Waist, palm or neck: how far back, and the height there."""

    def wish(blank: Shape, t: Template, peg: Peg, to: Point) -> list[_Wish]:
        back = handle_back(t.handle)
        at = min(max(to[0], back[-1].end[0]), 0.0)
        height = height_at(back, at) - to[1]
        return [(f"handle.{name}_at", -to[0] / t.handle.length, t.handle.length), (f"handle.{name}", height, 1.0)]

    return wish


def _butt_height(blank: Shape, t: Template, peg: Peg, to: Point) -> list[_Wish]:
    return [("handle.butt", t.handle.butt + peg.at[1] - to[1], 1.0)]


def _butt(blank: Shape, t: Template, peg: Peg, to: Point) -> list[_Wish]:
    return [("handle.length", -to[0], 1.0), ("handle.drop", t.handle.drop + peg.at[1] - to[1], 1.0)]


def _tang_end(blank: Shape, t: Template, peg: Peg, to: Point) -> list[_Wish]:
    return [("tang.length", -to[0], 1.0)]


def _tang_width(blank: Shape, t: Template, peg: Peg, to: Point) -> list[_Wish]:
    return [("tang.width", 2 * to[1], 1.0)]


_WISHES: dict[str, Callable[[Shape, Template, Peg, Point], list[_Wish]]] = {
    "point": _point,
    "spine": _spine,
    "belly": _belly,
    "bevel": _bevel,
    "spine curve": _curve("spine"),
    "belly curve": _curve("edge"),
    "heel": _heel,
    "plunge": _plunge,
    "back": _back,
    "ricasso": _before_heel("heel.ricasso", 1.0),
    "choil": _before_heel("heel.choil", 1 / 1.6),  # as wide as 1.6 radii (heel.py)
    "notch": _before_heel("heel.notch", 1.0),
    "front": _front,
    "waist": _station("waist"),
    "palm": _station("palm"),
    "neck": _station("neck"),
    "butt height": _butt_height,
    "butt": _butt,
    "tang end": _tang_end,
    "tang width": _tang_width,
}


def _hole_moved(blank: Shape, template: Template, mark: str, to: Point, step: float, *, drawn: bool) -> Moved:
    """A hole moved along and across. Where it is drawn there, it comes to rest between its neighbours, on the middle line, on
    the axis; else just where it is put.
    """
    index = next(i for i, hole in enumerate(blank.holes) if hole.mark == mark)
    others = [hole.centre[0] for i, hole in enumerate(blank.holes) if i != index]
    x = _even(to[0], others, round(to[0] / step) * step) if drawn else to[0]
    x = min(max(x, -template.handle.length), -step)
    y = _across(template, x, to[1], step) if drawn else to[1]
    wishes = list(wishes_of(blank))
    wishes[index] = replace(wishes[index], x=x, y=y)
    said = (Said("From handle front", -x, True), Said("From axis", y, True))
    return Moved(replace(template, holes=tuple(wishes)), said, "", _mark_of(wishes, index))


def _mark_of(wishes: Sequence[HoleWish], index: int) -> str:
    """What a hole is called among some, counted from the handle front (holes.py)."""
    own = wishes[index]
    ordered = sorted(range(len(wishes)), key=lambda i: -wishes[i].x)
    before = [i for i in ordered[: ordered.index(index)] if wishes[i].purpose is own.purpose]
    return f"{LETTERS[own.purpose]}{len(before) + 1}"


def _even(x: float, others: list[float], snapped: float) -> float:
    """Half-way between two neighbours, where it is as good as there."""
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
