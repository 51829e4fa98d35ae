"""The template on the board: its side view with dimensions in bands, handles of steel, holes by their marks, the lit line.

Coordinates are the board's mm (text-scale mm): the knife is scaled by the zoom, dimension bands and texts are not.
"""

from dataclasses import dataclass
from enum import StrEnum

import numpy as np

from workbook.geometry.drawing import Curve, Disc, Drawing, Mark, Text, box, stroke
from workbook.geometry.lettering import Measure, spread, width
from workbook.geometry.path import Path, Placement, Point, bounds, flatten
from workbook.grind.lines import grind_lines
from workbook.sheets.dimensions import along, row_of_labels, upright
from workbook.template.contour import STATIONS, section, station, thickness
from workbook.template.handle import handle_belly, room
from workbook.template.model import Purpose
from workbook.template.pegs import Peg
from workbook.template.shape import Shape, loops
from workbook.units import Unit, built, show

BAND = 8.0
_ASIDE = 4 * BAND  # past the dimension of the heel's height
_HOLE_SIZE = 9.0
_CHAIN = 24.0  # mm of the board; a shorter dimension of the chain has no room for its words


class GhostAt(StrEnum):
    """Where an outline to compare with stands."""

    OVER = "over"
    BELOW = "below"
    BESIDE = "beside"


@dataclass(frozen=True, slots=True, kw_only=True)
class Scene:
    """What the board shows."""

    blank: Shape
    unit: Unit
    bar: float  # thickness the grind lines are for
    lit: str = ""  # the dimension that has the focus
    chosen: str = ""  # the mark of the hole chosen in the table
    ring: Point | None = None  # where the chosen problem is
    pegs: tuple[Peg, ...] = ()  # places to take hold of
    held: str = ""  # the peg that is chosen
    tag: str = ""  # words beside it
    stopped: bool = False  # it went no further
    ghost: Shape | None = None  # another to compare with
    ghost_at: GhostAt = GhostAt.OVER


def knife_marks(scene: Scene, zoom: float, measure: Measure) -> Drawing:
    """Every mark of the board's drawing for one zoom (1: true size)."""
    where = Placement(scale=zoom)
    blank = scene.blank
    marks: list[Mark] = [
        Curve(where.path(blank.outline), fill="bar"),
        *(Curve(where.path(p), fill="paper") for p in blank.openings),
    ]
    if scene.ghost is not None:
        place = _ghost_place(scene, zoom)
        marks += [Curve(place.path(loop), line="grind_before", tone="blue") for loop in loops(scene.ghost)]
    if blank.grip is not None:
        marks.append(Curve(where.path(blank.grip), line="hidden"))
    marks += _grind(scene, where)
    marks += _construction(scene, zoom)
    for hole in blank.holes:
        marks += _hole(hole.purpose, where.point(hole.centre), hole.diameter / 2 * zoom, hole.mark == scene.chosen)
    marks += _dimensions(scene, zoom, measure)
    if scene.ring is not None:
        marks.append(Disc(where.point(scene.ring), 5.0, line="lit", tone="warn"))
    return tuple(marks)


def _grind(scene: Scene, where: Placement) -> Drawing:
    lines = grind_lines(scene.blank, scene.bar)
    if lines is None:
        return ()
    marks: list[Mark] = [Curve(where.path(lines.plunge), line="plunge"), Curve(where.path(lines.finished), line="grind_finished")]
    if lines.before is not None:
        marks.append(Curve(where.path(lines.before), line="grind_before"))
    if lines.swedge is not None:
        marks.append(Curve(where.path(lines.swedge), line="grind_finished"))
    return tuple(marks)


def _construction(scene: Scene, zoom: float) -> Drawing:
    template = scene.blank.template
    if template is None:
        return ()
    length, half = template.handle.length * zoom, template.handle.front / 2 * zoom
    return (
        stroke(((-length - 4, 0), (5, 0)), "construction", "soft"),
        stroke(((0, -half - 3), (0, half + 3)), "construction", "soft"),
    )


def _hole(purpose: Purpose, at: Point, radius: float, chosen: bool) -> Drawing:
    """B two rings, P a solid disc, L a thick ring, E a thin ring with a stroke; never told apart by colour."""
    tone = "blue" if chosen else "ink"
    ring: list[Mark] = [Disc(at, radius + 1.8, line="lit", tone="blue")] if chosen else []
    match purpose:
        case Purpose.BOLT:
            return (*ring, Disc(at, radius * 1.55, tone=tone, fill="board"), Disc(at, radius, tone=tone))
        case Purpose.PIN:
            return (*ring, Disc(at, radius, tone=tone, fill=tone))
        case Purpose.LANYARD:
            return (*ring, Disc(at, radius, tone=tone, fill=tone), Disc(at, radius * 0.6, line="", fill="board"))
        case Purpose.EPOXY:
            slant = stroke(
                ((at[0] - radius * 0.7, at[1] - radius * 0.7), (at[0] + radius * 0.7, at[1] + radius * 0.7)), "hole", tone
            )
            return (*ring, Disc(at, radius, tone=tone, fill="board"), slant)


def _dimensions(scene: Scene, zoom: float, measure: Measure) -> Drawing:
    """Overall above the chain above the knife; cutting edge below; heights outside the ends; hole names under the handle."""
    x0, y0, x1, y1 = (v * zoom for v in scene.blank.extent())
    marks: list[Mark] = []
    labels = [((h.centre[0] * zoom, (h.centre[1] - h.diameter / 2) * zoom - 1.5), h.mark) for h in scene.blank.holes]
    if scene.blank.template is None or scene.blank.curves is None:
        marks += along(
            (x0, y1), (x1, y1), y1 + BAND, _one(scene, (x1 - x0) / zoom), measure, beside=_other(scene, (x1 - x0) / zoom)
        )
        marks += upright((x1, y0), (x1, y1), x1 + 8, _one(scene, (y1 - y0) / zoom), measure)
        return (*marks, *row_of_labels(labels, y0 - 6, measure, size=_HOLE_SIZE))
    template, curves = scene.blank.template, scene.blank.curves
    top = template.handle.front / 2 * zoom
    butt, back = -template.handle.length * zoom, (template.handle.front / 2 - template.handle.drop) * zoom
    heel, point = (curves.heel[0] * zoom, curves.heel[1] * zoom), (curves.point[0] * zoom, curves.point[1] * zoom)
    high = max(top, y1)
    for start, end, rise, size, name in (
        ((butt, back), (0, high), BAND, 9.0, "handle"),
        ((0, high), point, BAND, 9.0, "blade"),
        ((butt, back), point, 2 * BAND, 10.5, "overall"),
    ):
        if name == "overall" or end[0] - start[0] > _CHAIN:
            marks += _level(scene, start, end, high + rise, zoom, measure, size=size, line=_line(scene, name))
    under = _under_handle(scene, zoom)
    marks += row_of_labels(labels, under - 6.5, measure, size=_HOLE_SIZE)
    edge = min(heel[1], y0) - BAND
    marks += _level(scene, heel, point, edge, zoom, measure, more=_edge_itself(scene))
    spine = (heel[0], heel[1] + template.blade.height * zoom)
    marks += upright(heel, spine, point[0] + 8, _one(scene, template.blade.height), measure, line=_line(scene, "height"))
    low = back - template.handle.butt * zoom
    marks += upright((butt, low), (butt, back), butt - 8, _one(scene, template.handle.butt), measure, line=_line(scene, "butt"))
    return (*marks, *_lit_inside(scene, zoom, measure), *_sections(scene, zoom, measure))


def whole_extent(blank: Shape) -> tuple[float, float, float, float]:
    """Of the blank and, where the tang does not fill it, of the grip: smallest x and y, largest x and y."""
    own = blank.extent()
    if blank.grip is None:
        return own
    grip = bounds(blank.grip)
    return min(own[0], grip[0]), min(own[1], grip[1]), max(own[2], grip[2]), max(own[3], grip[3])


def _ghost_place(scene: Scene, zoom: float) -> Placement:
    """Where the outline to compare with stands, so that neither touches the other; over the knife, just over it."""
    assert scene.ghost is not None
    match scene.ghost_at:
        case GhostAt.BELOW:
            return Placement(0.0, (scene.blank.extent()[1] - scene.ghost.extent()[3]) * zoom - 3 * BAND, scale=zoom)
        case GhostAt.BESIDE:
            return Placement((scene.blank.extent()[2] - scene.ghost.extent()[0]) * zoom + _ASIDE, 0.0, scale=zoom)
        case GhostAt.OVER:
            return Placement(scale=zoom)


def room_beside(scene: Scene) -> tuple[float, float]:
    """What stands beside the knife: mm of the board for the gap, and mm of the knife."""
    if scene.ghost is None or scene.ghost_at is not GhostAt.BESIDE:
        return 0.0, 0.0
    low, _, high, _ = scene.ghost.extent()
    return _ASIDE, high - low


def section_room(scene: Scene) -> tuple[float, float]:
    """What stands below the knife, sections or another outline: mm of the board for gaps and words, and mm of the knife."""
    template = scene.blank.template
    if scene.ghost is not None and scene.ghost_at is GhostAt.BELOW:
        _, low, _, high = scene.ghost.extent()
        return 3 * BAND, high - low
    if template is None or scene.lit != "contour":
        return 0.0, 0.0
    return 2 * BAND, max(room(template.handle, station(template.handle, name)) for name in STATIONS)


def _sections(scene: Scene, zoom: float, measure: Measure) -> Drawing:
    """The handle in section at front, palm and butt, under the knife, while its contour is being set."""
    template = scene.blank.template
    if template is None or scene.lit != "contour":
        return ()
    handle, low = template.handle, scene.blank.extent()[1] * zoom - 3 * BAND
    places = sorted((station(handle, name), name) for name in STATIONS)
    sizes = [f"{_one(scene, thickness(handle, x))} × {_one(scene, room(handle, x))}" for x, _ in places]
    wide = [
        max(width(words, 9.0, True, measure), thickness(handle, x) * zoom) for words, (x, _) in zip(sizes, places, strict=True)
    ]
    middles = spread([x * zoom for x, _ in places], wide, 4.0)
    marks: list[Mark] = []
    for at, words, (x, name) in zip(middles, sizes, places, strict=True):
        tall, half = room(handle, x) * zoom, thickness(handle, x) / 2 * zoom
        where = Placement(at, low - tall / 2, scale=zoom)
        marks += [Curve(where.path(section(handle, x)), fill="bar"), Text((at, low + 2.0), name, 9, "middle", tone="soft")]
        marks.append(Text((at, low - tall - 5.0), words, 9, "middle", True))
        steel = scene.blank.thickness / 2 * zoom
        sides = (at - steel, at + steel) if steel < half else ()
        marks += [stroke(((z, low), (z, low - tall)), "hidden") for z in sides]
    return tuple(marks)


def _edge_itself(scene: Scene) -> str:
    """The length along the edge, where it is not as good as the level one."""
    curves = scene.blank.curves
    assert curves is not None
    steps = np.diff(flatten(Path(curves.edge, closed=False)), axis=0)
    itself, level = float(np.hypot(*steps.T).sum()), curves.point[0] - curves.heel[0]
    return f", along the edge {_one(scene, itself)}" if itself > 1.03 * level else ""


def _under_handle(scene: Scene, zoom: float) -> float:
    """Lowest place of the handle, for the row of hole names."""
    handle = scene.blank.template.handle if scene.blank.template else None
    if handle is None:
        return scene.blank.extent()[1] * zoom
    return bounds(Path(handle_belly(handle), closed=False))[1] * zoom


def _line(scene: Scene, dimension: str) -> str:
    return "lit" if scene.lit == dimension else "dimension"


def _one(scene: Scene, mm: float) -> str:
    return built(show(mm, scene.unit))


def _other(scene: Scene, mm: float) -> str:
    """A length in the second unit."""
    return built(show(mm, "mm" if scene.unit == "in" else "in"))


def _level(
    scene: Scene,
    start: Point,
    end: Point,
    y: float,
    zoom: float,
    measure: Measure,
    *,
    size: float = 9.0,
    line: str = "dimension",
    more: str = "",
) -> Drawing:
    """A level dimension in the first unit with the second beside it, and `more`."""
    mm = (end[0] - start[0]) / zoom
    beside = f"{_other(scene, mm)}{more}"
    return along(start, end, y, f"{_one(scene, mm)} {scene.unit}", measure, beside=beside, size=size, line=line)


def _lit_inside(scene: Scene, zoom: float, measure: Measure) -> Drawing:
    """The one dimension that may stand inside the blade: the lit one."""
    template, curves = scene.blank.template, scene.blank.curves
    if template is None or curves is None:
        return ()
    heel = curves.heel
    spans = {
        "height": (heel, (heel[0], heel[1] + template.blade.height)),
        "drop": (curves.point, (curves.point[0], curves.point[1] + template.point.drop * template.blade.height)),
        "ahead": ((0.0, heel[1]), heel),
        "front": ((0.0, -template.handle.front / 2), (0.0, template.handle.front / 2)),
        "spine_straight": (
            (0.0, template.handle.front / 2),
            (template.blade.length * template.blade.spine_straight, template.handle.front / 2),
        ),
        "edge_straight": ((0.0, heel[1]), (template.blade.length * template.blade.edge_straight, heel[1])),
    }
    if scene.lit not in spans or scene.tag:  # the words beside the peg say the same
        return ()
    (ax, ay), (bx, by) = spans[scene.lit]
    start, end = (ax * zoom, ay * zoom), (bx * zoom, by * zoom)
    words = _one(scene, max(abs(bx - ax), abs(by - ay)))
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    return (stroke((start, end), "lit", "blue"), *_ticks(start, end), *_tag(middle, words, measure))


def _ticks(start: Point, end: Point) -> Drawing:
    return tuple(stroke(((x - 0.9, y - 0.9), (x + 0.9, y + 0.9)), "lit", "blue") for x, y in (start, end))


def _tag(at: Point, words: str, measure: Measure) -> Drawing:
    """A number on a washed ground, so that it reads on steel."""
    wide = width(words, 9.5, True, measure) / 2 + 1.6
    ground = box(at[0] - wide, at[1] - 2.6, at[0] + wide, at[1] + 2.6, line="dimension", fill="blue_wash")
    return (ground, Text((at[0], at[1] - 1.2), words, 9.5, "middle", True, tone="blue"))
