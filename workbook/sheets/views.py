"""A template seen from the side and from above, with its dimensions, in the template's own frame and at true size."""

from collections.abc import Sequence

import numpy as np
from msgspec import Struct

from workbook.geometry.drawing import Curve, Disc, Drawing, Mark, Text, stroke
from workbook.geometry.lettering import width
from workbook.geometry.path import Placement, flatten, polyline
from workbook.geometry.polygon import grown, polygon
from workbook.grind.lines import GrindLines, grind_lines
from workbook.grind.stations import POINT_STATION, finished_spine, spine_before
from workbook.sheets.dimensions import along, row_of_labels, upright
from workbook.sheets.furniture import SMALL, crosshair
from workbook.sheets.paper import PrintRun
from workbook.template.blade import height_at
from workbook.template.fittings import bolster_outline, guard_outline, scale_front
from workbook.template.model import Bevel, Face, Template
from workbook.template.shape import Shape
from workbook.texts import _
from workbook.units import INCH, built, show

_OFF_CARD = 5.0  # mm from the outline to the first, rough cut in card
BAND = 7.5  # mm between one row of dimensions and the next
LEFT_FACE = Placement(angle=np.pi, mirrored=True)  # x reversed: the point to the left


class View(Struct, frozen=True, kw_only=True):
    """Marks in a frame of their own, and the box they and their texts need."""

    marks: Drawing
    x0: float
    y0: float
    x1: float
    y1: float
    whole: tuple[tuple[float, float], ...] = ()  # from x to x: better not split where pages join


def right_face(run: PrintRun, blank: Shape, bar: float, *, heights: bool) -> View:
    """The right face, point to the right, with its dimensions and the top view under it.

    `heights` False leaves out the heights beyond both ends, so that a long knife still fits its page.
    """
    x0, y0, x1, y1 = blank.extent()
    lines = None if _ground(blank) is Face.LEFT else grind_lines(blank, bar)
    marks: list[Mark] = list(ground_steel(blank, lines, Placement()))
    marks += _construction(blank)
    marks += _line_words(run, blank, lines)
    marks += _dimensions(run, blank)
    marks += _heights(run, blank) if heights else ()
    low, (left, right) = y0 - 3.0, (16.0, 18.0) if heights else (2.0, 3.0)
    if blank.holes:
        row = _under_handle(blank) - 6.5
        marks += row_of_labels(_hole_labels(blank), row, run.measure, size=10)
        low = min(low, row - 1.5)
    if blank.curves is not None:
        edge_y = min(y0 - 6.0, low) if blank.curves.heel[0] < 4 else y0 - 6.0
        words = _("cutting edge {length}", length=run.length(blank.curves.point[0] - blank.curves.heel[0]))
        marks += along(blank.curves.heel, blank.curves.point, edge_y, words, run.measure, size=9)
        low = min(low, edge_y - 3.0)
    if blank.template is not None:
        marks += _from_above(run, blank, blank.template, bar, low - 6.0, (x0 - left, x1 + right))
        low -= 14.5
    begin, end = _words_within(marks, run, (x0 - left, x1 + right))
    return View(marks=tuple(marks), x0=begin, y0=low, x1=end, y1=y1 + 2 * BAND + 4, whole=_whole(blank, 1.0))


def _words_within(marks: Sequence[Mark], run: PrintRun, ends: tuple[float, float]) -> tuple[float, float]:
    """From where to where a view must reach so that no words are cut off."""
    begin, end = ends
    for mark in marks:
        if isinstance(mark, Text):
            wide = width(mark.text, mark.size, mark.bold, run.measure)
            left = mark.at[0] - wide * {"start": 0.0, "middle": 0.5, "end": 1.0}[mark.anchor]
            begin, end = min(begin, left - 0.5), max(end, left + wide + 0.5)
    return begin, end


def left_face(run: PrintRun, blank: Shape, bar: float) -> View:
    """The left face, point to the left: outline, holes and grind lines, for the other side of the blank."""
    x0, y0, x1, y1 = blank.extent()
    marks = [*ground_steel(blank, None if _ground(blank) is Face.RIGHT else grind_lines(blank, bar), LEFT_FACE)]
    labels = [((-at[0], at[1]), name) for at, name in _hole_labels(blank)]
    row = _under_handle(blank) - 6.5
    marks += row_of_labels(labels, row, run.measure, size=10)
    return View(marks=tuple(marks), x0=-x1 - 3, y0=min(row - 2, y0 - 3), x1=-x0 + 3, y1=y1 + 4, whole=_whole(blank, -1.0))


def _ground(blank: Shape) -> Face | None:
    """The only face that is ground; None where both are."""
    grind = blank.template.grind if blank.template is not None else None
    return grind.face if grind is not None and grind.bevel is Bevel.SINGLE else None


def bare(blank: Shape, *, cut_line: bool = False) -> View:
    """Outline, openings and the two registration holes only: what a hard template is made from.

    `cut_line`: with a line outside it for the first, rough cut in card.
    """
    x0, y0, x1, y1 = blank.extent()
    marks: list[Mark] = [Curve(blank.outline), *(Curve(opening) for opening in blank.openings)]
    for hole in {h.mark: h for h in (*blank.holes[:1], *blank.holes[-1:])}.values():
        marks += crosshair(hole.centre, hole.diameter / 2)
        marks.append(Text((hole.centre[0] + hole.diameter / 2 + 3, hole.centre[1] + 1), hole.mark, 10, bold=True))
    around = _OFF_CARD + 2 if cut_line else 3.0
    if cut_line:
        ring = grown(polygon(blank.outline), _OFF_CARD).exterior.coords[:-1]
        marks.append(Curve(polyline([(float(x), float(y)) for x, y in ring], closed=True), line="saw"))
    return View(
        marks=tuple(marks), x0=x0 - around, y0=y0 - around - 1, x1=x1 + around, y1=y1 + around + 1, whole=_whole(blank, 1.0)
    )


def _whole(blank: Shape, side: float) -> tuple[tuple[float, float], ...]:
    """Where pages should not join: at the front, heel and plunge, and at the point; `side` is -1 where x is reversed."""
    if blank.template is None:
        return ()
    ends = ((-2.0, blank.template.heel.ahead + 8.0), (blank.template.blade.length - 15.0, blank.template.blade.length))
    return tuple((min(side * a, side * b), max(side * a, side * b)) for a, b in ends)


def ground_steel(blank: Shape, lines: GrindLines | None, where: Placement) -> Drawing:
    """Outline, openings, holes, grind lines and plunge, placed."""
    marks: list[Mark] = [Curve(where.path(blank.outline)), *(Curve(where.path(p)) for p in blank.openings)]
    for hole in blank.holes:
        marks += crosshair(where.point(hole.centre), hole.diameter / 2)
    if blank.grip is not None:
        marks.append(Curve(where.path(blank.grip), line="hidden"))
    if lines is not None:
        marks += [
            Curve(where.path(lines.plunge), line="plunge"),
            Curve(where.path(lines.finished), line="grind_finished"),
        ]
        if lines.before is not None:
            marks.append(Curve(where.path(lines.before), line="grind_before"))
        if lines.swedge is not None:
            marks.append(Curve(where.path(lines.swedge), line="grind_finished"))
    return tuple(marks)


def _construction(blank: Shape) -> Drawing:
    """Axis and scale front."""
    if blank.template is None or blank.curves is None:
        return ()
    handle = blank.template.handle
    half, front = handle.front / 2, scale_front(blank.template)
    lean = half / np.tan(np.radians(handle.front_angle))
    aside = 1 if front == 0 else -1  # clear of guard and bolsters
    fittings = guard_outline(blank.template), bolster_outline(blank.template)
    marks: list[Mark] = [
        stroke(((-handle.length - 4, 0), (6, 0)), "construction"),
        stroke(((front - lean * 1.2, -half - 3), (front + lean * 1.2, half + 3)), "construction"),
        Text(
            (front + (1.0 + max(1.3 * lean, 0.0)) * aside, half + 1.2),
            _("scale front"),
            SMALL,
            "start" if aside > 0 else "end",
            tone="soft",
        ),
        *(Curve(fitting, line="hidden") for fitting in fittings if fitting is not None),
    ]
    return tuple(marks)


def _dimensions(run: PrintRun, blank: Shape) -> Drawing:
    """Overall above the chain of handle and blade; heights outside the ends."""
    x0, _y0, x1, y1 = blank.extent()
    marks: list[Mark] = []
    template, curves = blank.template, blank.curves
    if template is None or curves is None:
        return along((x0, y1), (x1, y1), y1 + BAND, run.length(x1 - x0, unit=True), run.measure, size=11)
    top = max(y1, template.handle.front / 2)
    butt = -template.handle.length
    back = template.handle.front / 2 - template.handle.drop
    chain, overall = top + BAND, top + 2 * BAND
    marks += along((butt, back), (0.0, top + 2), chain, run.length(template.handle.length), run.measure)
    marks += along((0.0, top + 2), curves.point, chain, run.length(template.blade.length), run.measure)
    marks += along((butt, back), curves.point, overall, run.length(curves.point[0] - butt, unit=True), run.measure, size=11)
    return tuple(marks)


def _heights(run: PrintRun, blank: Shape) -> Drawing:
    """Heights outside the ends: at the heel beyond the point, at the butt behind it; of an outline from a file, its own."""
    _x0, y0, x1, y1 = blank.extent()
    template, curves = blank.template, blank.curves
    if template is None or curves is None:
        return upright((x1, y0), (x1, y1), x1 + 7, run.length(y1 - y0), run.measure)
    butt, back = -template.handle.length, template.handle.front / 2 - template.handle.drop
    heel, spine = curves.heel, (curves.heel[0], curves.heel[1] + template.blade.height)
    return (
        *upright(heel, spine, curves.point[0] + 7, run.length(template.blade.height), run.measure),
        *upright(
            (butt + 4, back - template.handle.butt),
            (butt + 4, back),
            butt - 7,
            run.length(template.handle.butt),
            run.measure,
        ),
    )


def _line_words(run: PrintRun, blank: Shape, lines: GrindLines | None) -> Drawing:
    """The words for the grind lines, under each, where the blade is broad."""
    if lines is None or blank.curves is None:
        return ()
    x = lines.plunge_at + 0.3 * (blank.curves.point[0] - lines.plunge_at)
    if width(_("finished grind line"), SMALL, False, run.measure) > 0.5 * (blank.curves.point[0] - x):
        return ()  # no room on so small a blade; the numbers beside the left face say the same
    at_spine = height_at(blank.curves.spine, x) - height_at(lines.finished.segments, x) < 0.5
    marks: list[Mark] = []
    if not at_spine:
        marks.append(Text((x, height_at(lines.finished.segments, x) + 0.9), _("finished grind line"), SMALL, tone="soft"))
    if lines.before is not None:
        word = _("before hardening")
        low = min(
            height_at(lines.before.segments, x),
            height_at(lines.before.segments, x + width(word, SMALL, False, run.measure)),
        )
        marks.append(Text((x, low - 4.0), word, SMALL, tone="soft"))
    return tuple(marks)


def _under_handle(blank: Shape) -> float:
    """Lowest y of the blank around its holes: behind the handle front, or anywhere on an outline from a file."""
    points = flatten(blank.outline, 0.05)
    behind = points[points[:, 0] <= 0.5] if blank.template is not None else points
    return float(behind[:, 1].min())


def _hole_labels(blank: Shape) -> list[tuple[tuple[float, float], str]]:
    """Each hole's mark, with a point just below the hole for its leader."""
    return [((h.centre[0], h.centre[1] - h.diameter / 2 - 2.5), h.mark) for h in blank.holes]


def _from_above(run: PrintRun, blank: Shape, template: Template, bar: float, y: float, limits: tuple[float, float]) -> Drawing:
    """Thickness along the whole knife, seen on the spine: tang, distal taper, closing to the edge at the point."""
    length = template.blade.length
    x = np.linspace(0.0, length - 1.0, 60)
    half = spine_before(template, x, bar) / 2
    behind = blank.extent()[0]
    rear = float(spine_before(template, np.array([behind]), bar)[0]) / 2
    edge = min(template.grind.edge_before_hardening, float(2 * half[-1])) / 2
    upper = [(behind, rear), (0.0, bar / 2), *zip(x.tolist(), half.tolist(), strict=True), (length, edge)]
    points = [(px, y + pz) for px, pz in upper] + [(px, y - pz) for px, pz in reversed(upper)]
    words = [
        ((behind + 8, y), _("tang {length}", length=run.reading(2 * rear))),
        ((0.0, y), _("bar {length}", length=run.reading(bar))),
    ]
    start, station = template.blade.taper_from * length, length - POINT_STATION
    tip_thickness = float(spine_before(template, np.array([station]), bar)[0])
    if 0 < template.blade.point_thickness < float(finished_spine(template, np.zeros(1), bar)[0]):
        note = _("{length}, {behind} behind tip", length=run.length(tip_thickness, fine=True), behind=_behind(run))
        words += [((start, y), _("taper begins")), ((station, y), note)]
    labels = row_of_labels(
        [((px, y - bar / 2 - 0.6), text) for (px, _unused), text in words],
        y - 6.9,
        run.measure,
        size=SMALL,
        bold=False,
        limits=limits,
    )
    return (Curve(polyline(points, closed=True), line="hole"), *labels)


def _behind(run: PrintRun) -> str:
    return f"{built(show(INCH / 2, run.unit))} {run.unit}"


def disc_marks(blank: Shape, where: Placement) -> Drawing:
    """Holes as plain circles, placed: for drawings too small for crosshairs."""
    return tuple(Disc(where.point(h.centre), h.diameter / 2 * where.scale) for h in blank.holes)
