"""Dimensions of the knife on the board, in bands above and below it, and the handle in section."""

from workbook.app.canvas.scene import BAND, Scene
from workbook.geometry.drawing import Curve, Drawing, Mark, Text, box, stroke
from workbook.geometry.lettering import Measure, spread, width
from workbook.geometry.path import Path, Placement, Point, bounds, path_length
from workbook.sheets.dimensions import along, row_of_labels, upright
from workbook.template.contour import STATIONS, section, station, thickness
from workbook.template.handle import handle_belly, room
from workbook.texts import _
from workbook.units import HABITS, built, show

_HOLE_SIZE = 9.0
_STATIONS = {"front": _("front"), "palm": _("palm"), "butt": _("butt")}
_CHAIN = 24.0  # mm of the board; a shorter dimension of the chain has no room for its text


def dimensions(scene: Scene, zoom: float, measure: Measure) -> Drawing:
    """The dimensions: overall above the chain above the knife, cutting edge below, heights outside the ends, hole names under."""
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
    marks += _level(scene, heel, point, edge, zoom, measure, along_edge=_edge_itself(scene))
    spine = (heel[0], heel[1] + template.blade.height * zoom)
    marks += upright(heel, spine, point[0] + 8, _one(scene, template.blade.height), measure, line=_line(scene, "height"))
    low = back - template.handle.butt * zoom
    marks += upright((butt, low), (butt, back), butt - 8, _one(scene, template.handle.butt), measure, line=_line(scene, "butt"))
    return (*marks, *_lit_inside(scene, zoom, measure), *_sections(scene, zoom, measure))


def _under_handle(scene: Scene, zoom: float) -> float:
    """The lowest y of the handle, mm of the board; the hole names stand below it."""
    handle = scene.blank.template.handle if scene.blank.template else None
    if handle is None:
        return scene.blank.extent()[1] * zoom
    return bounds(Path(handle_belly(handle), closed=False))[1] * zoom


def _line(scene: Scene, dimension: str) -> str:
    return "lit" if scene.lit == dimension else "dimension"


def _one(scene: Scene, mm: float) -> str:
    return built(show(mm, scene.unit))


def _other(scene: Scene, mm: float) -> str:
    """A length as text in the second unit."""
    return built(show(mm, HABITS[scene.unit].beside))


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
    along_edge: str = "",
) -> Drawing:
    """A horizontal dimension in the first unit, followed by the second unit and the length along the edge, if given."""
    mm = (end[0] - start[0]) / zoom
    beside = _other(scene, mm)
    if along_edge:
        beside = _("{length}, along the edge {along}", length=beside, along=along_edge)
    return along(start, end, y, f"{_one(scene, mm)} {scene.unit}", measure, beside=beside, size=size, line=line)


def _lit_inside(scene: Scene, zoom: float, measure: Measure) -> Drawing:
    """The highlighted dimension, the only one that may stand inside the blade."""
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
    if scene.lit not in spans or scene.tag:  # the tag beside the peg says the same
        return ()
    (ax, ay), (bx, by) = spans[scene.lit]
    start, end = (ax * zoom, ay * zoom), (bx * zoom, by * zoom)
    words = _one(scene, max(abs(bx - ax), abs(by - ay)))
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    return (stroke((start, end), "lit", "blue"), *_ticks(start, end), *_tag(middle, words, measure))


def _ticks(start: Point, end: Point) -> Drawing:
    return tuple(stroke(((x - 0.9, y - 0.9), (x + 0.9, y + 0.9)), "lit", "blue") for x, y in (start, end))


def _tag(at: Point, words: str, measure: Measure) -> Drawing:
    """A number on a tinted background, so that it stays legible on steel."""
    wide = width(words, 9.5, True, measure) / 2 + 1.6
    ground = box(at[0] - wide, at[1] - 2.6, at[0] + wide, at[1] + 2.6, line="dimension", fill="blue_wash")
    return (ground, Text((at[0], at[1] - 1.2), words, 9.5, "middle", True, tone="blue"))


def _sections(scene: Scene, zoom: float, measure: Measure) -> Drawing:
    """The handle's sections at front, palm and butt, drawn below the knife while its contour is being set."""
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
        placement = Placement(at, low - tall / 2, scale=zoom)
        marks += [
            Curve(placement.path(section(handle, x)), fill="bar"),
            Text((at, low + 2.0), _STATIONS[name], 9, "middle", tone="soft"),
        ]
        marks.append(Text((at, low - tall - 5.0), words, 9, "middle", True))
        steel = scene.blank.thickness / 2 * zoom
        sides = (at - steel, at + steel) if steel < half else ()
        marks += [stroke(((z, low), (z, low - tall)), "hidden") for z in sides]
    return tuple(marks)


def _edge_itself(scene: Scene) -> str:
    """The length along the edge as text, where it exceeds the horizontal one by more than 3 %."""
    curves = scene.blank.curves
    assert curves is not None
    along_edge, level = path_length(Path(curves.edge, closed=False)), curves.point[0] - curves.heel[0]
    return _one(scene, along_edge) if along_edge > 1.03 * level else ""
