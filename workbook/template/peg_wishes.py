"""What a peg pulled to a place requests: the parameters, and the value each would need."""

from collections.abc import Callable

from workbook.geometry.path import Bezier, Point
from workbook.structs import replace
from workbook.template.blade import fullness_through, height_at, upright_at
from workbook.template.handle import handle_back
from workbook.template.model import Template
from workbook.template.pegs import Peg, plunge_top
from workbook.template.shape import Shape

Wish = tuple[str, float, float]  # a parameter, the value wished for, the length it is a share of (1: a length; 0: a number)
_LIFT = 0.95  # mm the back rises at its peg for each mm of crown (handle.py)
_LEAST_LIFT = 0.2  # near the ends of the back, which hardly rise with its crown
_FULL = 0.3  # mm under the spine that counts as up to it


def _point(blank: Shape, t: Template, peg: Peg, to: Point) -> list[Wish]:
    drop = (t.handle.front / 2 - to[1]) / t.blade.height
    return [("blade.length", to[0], 1.0), ("point.drop", drop, t.blade.height)]


def _spine(blank: Shape, t: Template, peg: Peg, to: Point) -> list[Wish]:
    return [("blade.spine_straight", to[0] / t.blade.length, t.blade.length)]


def _belly(blank: Shape, t: Template, peg: Peg, to: Point) -> list[Wish]:
    assert blank.curves is not None
    rise = (to[1] - blank.curves.heel[1]) / t.blade.height
    return [("blade.edge_straight", to[0] / t.blade.length, t.blade.length), ("blade.edge_rise", rise, t.blade.height)]


def _bevel(blank: Shape, t: Template, peg: Peg, to: Point) -> list[Wish]:
    assert blank.curves is not None
    edge, spine = (height_at(curve, peg.at[0]) for curve in (blank.curves.edge, blank.curves.spine))
    height = to[1] - edge
    square = height * upright_at(blank.curves, peg.at[0])
    return [("grind.height", t.blade.height if height > spine - edge - _FULL else square, 1.0)]


def _curve(name: str) -> Callable[[Shape, Template, Peg, Point], list[Wish]]:
    """Spine or edge curve pulled by its middle."""

    def wish(blank: Shape, t: Template, peg: Peg, to: Point) -> list[Wish]:
        assert blank.curves is not None
        curve = blank.curves.spine[0] if name == "spine" else blank.curves.edge[-1]
        assert isinstance(curve, Bezier)
        fullness = fullness_through(curve, to)
        if fullness is None:
            return []
        at_point, behind = fullness if name == "spine" else fullness[::-1]
        return [(f"point.{name}_fullness", behind, 0.0), (f"point.{name}_lean", at_point - behind, 0.0)]

    return wish


def _heel(blank: Shape, t: Template, peg: Peg, to: Point) -> list[Wish]:
    assert blank.curves is not None
    at = min(max(to[0], 0.0), 0.5 * t.blade.length)
    return [("heel.ahead", to[0], 1.0), ("blade.height", height_at(blank.curves.spine, at) - to[1], 1.0)]


def _before_heel(path: str, part: float) -> Callable[[Shape, Template, Peg, Point], list[Wish]]:
    """A peg of something that reaches back from the heel: `part` of its length is the parameter."""

    def wish(blank: Shape, t: Template, peg: Peg, to: Point) -> list[Wish]:
        assert blank.curves is not None
        return [(path, max(blank.curves.heel[0] - to[0], 0.0) * part, 1.0)]

    return wish


def _plunge(blank: Shape, t: Template, peg: Peg, to: Point) -> list[Wish]:
    assert blank.curves is not None
    return [("heel.plunge_radius", max(to[0] - blank.curves.heel[0] + plunge_top(t, blank.curves)[1], 0.0), 1.0)]


def _back(blank: Shape, t: Template, peg: Peg, to: Point) -> list[Wish]:
    return [("handle.crown", t.handle.crown + (to[1] - peg.at[1]) / _LIFT, 1.0)]


def _front(blank: Shape, t: Template, peg: Peg, to: Point) -> list[Wish]:
    return [("handle.front", t.handle.front / 2 - to[1], 1.0)]  # the spine stays, the underside follows


def _station(name: str) -> Callable[[Shape, Template, Peg, Point], list[Wish]]:
    """Waist, palm or neck: how far back, and the height there."""

    def wish(blank: Shape, t: Template, peg: Peg, to: Point) -> list[Wish]:
        back = handle_back(t.handle)
        at = min(max(to[0], back[-1].end[0]), 0.0)
        height = height_at(back, at) - to[1]
        return [(f"handle.{name}_at", -to[0] / t.handle.length, t.handle.length), (f"handle.{name}", height, 1.0)]

    return wish


def _butt_height(blank: Shape, t: Template, peg: Peg, to: Point) -> list[Wish]:
    return [("handle.butt", t.handle.butt + peg.at[1] - to[1], 1.0)]


def _butt(blank: Shape, t: Template, peg: Peg, to: Point) -> list[Wish]:
    return [("handle.length", -to[0], 1.0), ("handle.drop", t.handle.drop + peg.at[1] - to[1], 1.0)]


def _tang_end(blank: Shape, t: Template, peg: Peg, to: Point) -> list[Wish]:
    return [("tang.length", -to[0], 1.0)]


def _tang_width(blank: Shape, t: Template, peg: Peg, to: Point) -> list[Wish]:
    return [("tang.width", 2 * to[1], 1.0)]


def _lift_at(t: Template, x: float) -> float:
    """How far the back rises at x for each mm of crown."""
    higher = replace(t.handle, crown=t.handle.crown + 1.0)
    return height_at(handle_back(higher), x) - height_at(handle_back(t.handle), x)


def raised(t: Template, peg: Peg, to: Point) -> list[Wish]:
    """Waist, palm or neck raised with the back above it, so that the handle stays as thick there."""
    lift = max(_lift_at(t, peg.at[0]), _LEAST_LIFT)
    return [("handle.crown", t.handle.crown + (to[1] - peg.at[1]) / lift, 1.0)]


WISHES: dict[str, Callable[[Shape, Template, Peg, Point], list[Wish]]] = {
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
