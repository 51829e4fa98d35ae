"""Pegs: the places of a template that can be dragged.

A peg stands where a parameter shows: the point, the heel, where the belly begins.
"""

from collections import Counter
from collections.abc import Iterator
from enum import StrEnum
from math import radians, tan

from msgspec import Struct

from workbook.geometry.path import Bezier, Point, Segment
from workbook.template.blade import BladeCurves, bare_edge, bare_spine, height_at, middle_of, upright_at
from workbook.template.free import places
from workbook.template.handle import bare_back, bare_belly, bare_butt, handle_back, handle_belly
from workbook.template.heel import choil_and_notch
from workbook.template.model import Bevel, FreePoint, HeelForm, OutlineRun, Template
from workbook.template.shape import Shape
from workbook.texts import _

PLUNGE_PART = 0.8  # of the bevel's height, the largest rounding of its plunge
RUN_WORDS = {
    OutlineRun.SPINE: _("spine"),
    OutlineRun.EDGE: _("edge"),
    OutlineRun.BACK: _("back of the handle"),
    OutlineRun.UNDERSIDE: _("underside of the handle"),
    OutlineRun.BUTT: _("butt"),
}
STATION_WORDS = {"waist": _("waist"), "palm": _("palm"), "neck": _("neck")}
STATIONS = tuple(STATION_WORDS)
_CREST = 0.6  # share of the back at which its peg stands
_GRIND_AT = 0.3  # share of the cutting edge ahead of the heel at which the bevel's peg stands


class Pull(StrEnum):
    """What a pulled peg of the handle does, beside what its name says."""

    THICKEN = "thicken"  # the other side of the handle stays
    RAISE = "raise"  # both sides move, so that the handle stays as thick
    MOVE = "move"  # along the handle only


class Peg(Struct, frozen=True):
    """One place that can be dragged.

    `sets`: the parameters it moves, the main one first. A hole's peg has the hole's mark as its name and sets none; a free
    point's sets none either.
    """

    name: str
    words: str
    at: Point
    sets: tuple[str, ...] = ()


def pulls_of(name: str) -> tuple[Pull, ...]:
    """What a peg can do; the first is what it does unless told."""
    if name == "back":
        return Pull.THICKEN, Pull.RAISE
    return tuple(Pull) if name in STATIONS else ()


def pegs(blank: Shape) -> tuple[Peg, ...]:
    """All pegs of a parametric template, from the point back to the butt, then its holes; none for an outline from a file."""
    template = blank.template
    if template is None or blank.curves is None:
        return ()
    hidden = template.tang.is_enclosed
    return (
        *_of_blade(blank, template),
        *_of_curves(blank, template),
        *_of_heel(blank, template),
        *_of_handle(template),
        *(_of_tang(template) if hidden else ()),
        *_of_free(blank, template),
        *(Peg(hole.mark, _("hole {mark}", mark=hole.mark), hole.centre) for hole in blank.holes),
    )


def _of_blade(blank: Shape, t: Template) -> Iterator[Peg]:
    assert blank.curves is not None
    top, heel = t.handle.front / 2, blank.curves.heel
    yield Peg("point", _("tip"), blank.curves.point, ("blade.length", "point.drop"))
    yield Peg(
        "spine", _("where the spine begins to fall"), (t.blade.length * t.blade.spine_straight, top), ("blade.spine_straight",)
    )
    x = t.blade.length * t.blade.edge_straight
    y = heel[1] + t.blade.edge_rise * t.blade.height
    if heel[0] + 1.0 < x < t.blade.length - 1.0:
        yield Peg("belly", _("where the belly begins"), (x, y), ("blade.edge_straight", "blade.edge_rise"))
    if t.grind.bevel is not Bevel.SCANDI:
        at = heel[0] + _GRIND_AT * (blank.curves.point[0] - heel[0])
        edge, spine = height_at(blank.curves.edge, at), height_at(blank.curves.spine, at)
        requested = None if t.grind.height is None else t.grind.height / upright_at(blank.curves, at)
        height = spine - edge if requested is None else min(requested, spine - edge)
        yield Peg("bevel", _("bevel height, finished"), (at, edge + height), ("grind.height",))


def _of_curves(blank: Shape, t: Template) -> Iterator[Peg]:
    """The middles of the two curves to the point, where they are curves: dragging one changes its lean and fullness.

    A curve that free points pull has none: their pegs take its place.
    """
    assert blank.curves is not None
    spine, edge = blank.curves.spine[0], blank.curves.edge[-1]
    bare = {OutlineRun.SPINE: bare_spine(t)[0], OutlineRun.EDGE: bare_edge(t, blank.curves.heel)[-1]} if t.blade.free else {}
    if isinstance(spine, Bezier) and bare.get(OutlineRun.SPINE, spine) == spine:
        yield Peg("spine curve", _("curve of the spine"), middle_of(spine), ("point.spine_fullness", "point.spine_lean"))
    if isinstance(edge, Bezier) and bare.get(OutlineRun.EDGE, edge) == edge:
        yield Peg("belly curve", _("curve of the belly"), middle_of(edge), ("point.edge_fullness", "point.edge_lean"))


def plunge_top(t: Template, curves: BladeCurves) -> tuple[float, float]:
    """Height of the bevel at the heel, and how far the plunge leans back over it, mm (as grind/lines.py draws it)."""
    upright = upright_at(curves, curves.heel[0])
    height = t.blade.height if t.grind.height is None else min(t.grind.height / upright, t.blade.height)
    return height, height * tan(radians(t.heel.plunge_rake))


def _of_heel(blank: Shape, t: Template) -> Iterator[Peg]:
    assert blank.curves is not None
    heel = blank.curves.heel
    yield Peg("heel", _("heel"), heel, ("heel.ahead", "blade.height"))
    height, lean = plunge_top(t, blank.curves)
    if t.grind.bevel is not Bevel.SCANDI:
        x = heel[0] - lean + min(t.heel.plunge_radius, PLUNGE_PART * height)
        at = (x, height_at(blank.curves.edge, max(x, heel[0])) + height)
        yield Peg("plunge", _("end of the plunge's rounding"), at, ("heel.plunge_radius",))
    if t.heel.form is HeelForm.DROPPED and t.heel.ricasso > 0:
        yield Peg("ricasso", _("back of the ricasso"), (heel[0] - t.heel.ricasso, heel[1]), ("heel.ricasso",))
    width = choil_and_notch(t, heel)
    if width > 0 and t.heel.choil > 0:
        yield Peg("choil", _("back of the finger choil"), (heel[0] - width, heel[1]), ("heel.choil",))
    elif width > 0:
        yield Peg("notch", _("back of the sharpening notch"), (heel[0] - width, heel[1]), ("heel.notch",))


def _of_handle(t: Template) -> Iterator[Peg]:
    handle = t.handle
    back = handle_back(handle)
    yield Peg("front", _("handle front"), (0.0, -handle.front / 2), ("handle.front",))
    crest = _CREST * back[-1].end[0]
    yield Peg("back", _("crown of the back"), (crest, height_at(back, crest)), ("handle.crown",))
    for name in STATIONS:
        x = -getattr(handle, f"{name}_at") * handle.length
        if x >= back[-1].end[0]:
            y = height_at(back, x) - getattr(handle, name)
            yield Peg(name, STATION_WORDS[name], (x, y), (f"handle.{name}", f"handle.{name}_at"))
    yield Peg("butt height", _("height at the butt"), handle_belly(handle)[0].start, ("handle.butt",))
    yield Peg("butt", _("butt"), bare_butt(handle)[0].end, ("handle.length", "handle.drop"))


def runs(blank: Shape) -> dict[OutlineRun, tuple[Segment, ...]]:
    """The runs of a parametric template that free points may pull, as the parameters alone give them."""
    t, curves = blank.template, blank.curves
    if t is None or curves is None:
        return {}
    handle = t.handle
    return {
        OutlineRun.SPINE: bare_spine(t),
        OutlineRun.EDGE: bare_edge(t, curves.heel),
        OutlineRun.BACK: bare_back(handle),
        OutlineRun.UNDERSIDE: bare_belly(handle),
        OutlineRun.BUTT: bare_butt(handle),
    }


def free_of(t: Template) -> tuple[FreePoint, ...]:
    """All free points of a template."""
    return (*t.blade.free, *t.handle.free)


def free_places(t: Template) -> tuple[tuple[OutlineRun, int], ...]:
    """The run of each of a template's free points and its number there, in the order of `free_of`."""
    counts: Counter[OutlineRun] = Counter()
    numbered = []
    for point in free_of(t):
        counts[point.run] += 1
        numbered.append((point.run, counts[point.run]))
    return tuple(numbered)


def free_names(t: Template) -> tuple[str, ...]:
    """Names of the pegs of a template's free points, in the order of `free_of`."""
    return tuple(f"free point {number}, {run}" for run, number in free_places(t))


def _of_free(blank: Shape, t: Template) -> Iterator[Peg]:
    free = free_of(t)
    if not free:
        return
    positions = {point: at for run, bare in runs(blank).items() for point, at in places(bare, free, run).items()}
    for name, point, (run, number) in zip(free_names(t), free, free_places(t), strict=True):
        if point in positions:
            yield Peg(name, _("control point {number}, {run}", number=number, run=RUN_WORDS[run]), positions[point].now)


def _of_tang(t: Template) -> Iterator[Peg]:
    tang = t.tang
    yield Peg("tang end", _("end of the tang"), (-tang.length, 0.0), ("tang.length",))
    yield Peg("tang width", _("width of the tang"), (-tang.shoulder_radius - 3.0, tang.width / 2), ("tang.width",))
