"""An outline that came from a file instead of parameters: it nests, prints, exports and costs like any other."""

from itertools import groupby
from math import dist, pi

from msgspec import Struct

from workbook.geometry.loops import GAP, LayerCurve, Loops
from workbook.geometry.path import Arc, Line, Path, Placement, Point, Segment, arc_circle, bounds, corners, polyline, reverse
from workbook.geometry.polygon import Polygon, crossing, fewer, hull, polygon
from workbook.problems import UNIT_DOUBTED, JobError, Mistake
from workbook.structs import replace
from workbook.template.drills import Drill, nearest_drill
from workbook.template.holes import Hole
from workbook.template.model import Purpose, Rolling
from workbook.template.shape import Shape
from workbook.template.tools import Tools
from workbook.texts import _, ngettext

_LARGEST_HOLE = 25.4  # mm; a larger circle is an opening, not a drilled hole
_MANY, _THIN = 100, 0.005  # segments beyond which a loop is thinned out, and mm by which it may then differ
LEAST, MOST = 10.0, 1500.0  # mm; an outline outside these is probably in another unit


class DrawnTemplate(Struct, frozen=True, kw_only=True):
    """A closed outline with its round holes and openings, in the file's own frame, mm."""

    name: str
    source: str  # the file's name
    thickness: float
    outline: Path
    circles: tuple[tuple[Point, float], ...] = ()  # centre, diameter
    openings: tuple[Path, ...] = ()
    remarks: tuple[str, ...] = ()  # what was found and repaired when it was read
    rolling: Rolling = Rolling.ALONG
    revision: int = 1


def shape_of_drawn(template: DrawnTemplate, tools: Tools) -> Shape:
    """The shape of a drawn template: each circle becomes a hole of exactly the size drawn."""
    ordered = sorted(template.circles, key=lambda c: -c[0][0])
    return Shape(
        name=template.name,
        outline=template.outline,
        holes=tuple(_hole(i, centre, diameter, tools) for i, (centre, diameter) in enumerate(ordered, 1)),
        thickness=template.thickness,
        openings=template.openings,
    )


def turned(template: DrawnTemplate) -> DrawnTemplate:
    """The template turned end for end in its own plane: a point on the left moves to the right."""
    half = Placement(angle=pi)
    circles = tuple((half.point(centre), diameter) for centre, diameter in template.circles)
    openings = tuple(half.path(path) for path in template.openings)
    return replace(template, outline=half.path(template.outline), circles=circles, openings=openings)


def _hole(number: int, centre: Point, diameter: float, tools: Tools) -> Hole:
    """A hole of exactly the size drawn, named after a drill where one has that size."""
    near = nearest_drill(tools.drills, diameter)
    same = abs(near.diameter - diameter) < 0.01
    drill = Drill(near.label, diameter, near.series) if same else Drill(f"{diameter:.2f} mm", diameter, "drawn")
    return Hole(mark=f"H{number}", purpose=Purpose.PIN, size=diameter, centre=centre, drill=drill, scale_drill=None)


def assemble(loops: Loops, source: str, remarks: list[str]) -> DrawnTemplate:
    """Build a template from closed loops: the largest is the outline, circles in it are holes, the rest openings.

    Raises JobError when there is no single sound outline. The caller fills in the name and thickness.
    """
    solid = sorted((p for p in loops.closed if _encloses(p.path)), key=lambda piece: -polygon(piece.path).area)
    if not solid:
        raise JobError([_nothing_closed(loops)])
    outline = solid[0].path
    _refuse_unsound(outline)
    outer = polygon(outline)
    within = [outer.contains(polygon(p.path)) for p in solid[1:]]
    inside = [p.path for p, contained in zip(solid[1:], within, strict=True) if contained]
    _refuse_second_part(outer, [p for p, contained in zip(solid[1:], within, strict=True) if not contained])
    for path in inside:
        _refuse_crossing(path)
    rounds = [(path, as_circle(path)) for path in inside]
    paths = [outline if outer.exterior.is_ccw else reverse(outline), *(path for path, circle in rounds if not circle)]
    thin, *openings = thinned = [_thinned(path) for path in paths]
    removed = sum(len(path.segments) for path in paths) - sum(len(path.segments) for path in thinned)
    return DrawnTemplate(
        name="",
        source=source,
        thickness=0.0,
        outline=thin,
        circles=tuple(circle for _, circle in rounds if circle),
        openings=tuple(openings),
        remarks=(*remarks, _found(outline, len(inside)), *_repairs(loops, len(solid) - 1 - len(inside)), *_left_out(removed)),
    )


def _thinned(loop: Path) -> Path:
    """Thin out a loop of many short lines, within `_THIN`; return any other loop as it is."""
    if len(loop.segments) <= _MANY:
        return loop
    parts: list[Segment] = []
    for straight, run in groupby(loop.segments, lambda segment: isinstance(segment, Line)):
        segments = list(run)
        at = [segments[0].start, *(segment.end for segment in segments)]
        parts += polyline(fewer(at, _THIN)).segments if straight else segments
    thin = Path(tuple(parts))
    return thin if crossing(polygon(thin)) is None else loop


def _left_out(count: int) -> list[str]:
    if not count:
        return []
    return [
        ngettext(
            "left out {count} corner that lies within {thin:g} mm of the line without it",
            "left out {count} corners that lie within {thin:g} mm of the line without them",
            count,
            thin=_THIN,
        )
    ]


def _wrong(text: str, right: str) -> Mistake:
    return Mistake(place=_("outline"), what=text, right=right)


def _nothing_closed(loops: Loops) -> Mistake:
    if not loops.open:
        return _wrong(_("has no outline."), _("Draw one closed outline of lines, arcs or polylines."))
    longest = max(loops.open, key=lambda piece: len(piece.path.segments)).path
    (x0, y0), (x1, y1) = longest.segments[0].start, longest.segments[-1].end
    ends = _("({x0:.2f}, {y0:.2f}) and ({x1:.2f}, {y1:.2f}) mm", x0=x0, y0=y0, x1=x1, y1=y1)
    return _wrong(
        _("has no closed outline. The longest chain is open between {ends}.", ends=ends),
        _("Close it. Gaps up to {gap} mm are closed here.", gap=GAP),
    )


def _refuse_unsound(outline: Path) -> None:
    x0, y0, x1, y1 = bounds(outline)
    size = max(x1 - x0, y1 - y0)
    if not LEAST <= size <= MOST:
        raise JobError([_wrong(_("is {size:,.0f} mm long.", size=size), UNIT_DOUBTED)])
    _refuse_crossing(outline)


def _found(outline: Path, inside: int) -> str:
    """A remark on what was taken as the knife, so that a drawing frame taken by mistake is noticed."""
    x0, y0, x1, y1 = bounds(outline)
    return ngettext(
        "the outline is {long:.2f} × {high:.2f} mm, with {count} loop inside",
        "the outline is {long:.2f} × {high:.2f} mm, with {count} loops inside",
        inside,
        long=x1 - x0,
        high=y1 - y0,
    )


def _encloses(path: Path) -> bool:
    """Whether a loop encloses an area to speak of."""
    return len(corners(path)) > 2 and hull(polygon(path)).area > 1e-6  # the signed areas of a crossing loop may cancel


def _refuse_crossing(loop: Path) -> None:
    at = crossing(polygon(loop))
    if at is not None:
        raise JobError(
            [_wrong(_("crosses itself at ({x:.2f}, {y:.2f}) mm.", x=at[0], y=at[1]), _("Repair it there and save it again."))]
        )


def _refuse_second_part(outer: Polygon, outside: list[LayerCurve]) -> None:
    """Raise JobError for a large second outline beside the first, or for a loop that crosses the first."""
    for piece in outside:
        shape = polygon(piece.path)
        if shape.is_valid and shape.area > 0.2 * outer.area:
            raise JobError([_wrong(_("has more than one outline."), _("Save one part per file."))])
        if shape.is_valid and shape.crosses(outer.exterior):
            x, y = piece.path.segments[0].start
            raise JobError(
                [
                    _wrong(
                        _("has a loop that crosses the outline near ({x:.2f}, {y:.2f}) mm.", x=x, y=y),
                        _("Repair it there and save it again."),
                    )
                ]
            )


def as_circle(path: Path) -> tuple[Point, float] | None:
    """Centre and diameter, mm, of a loop that is a circle, however it was drawn; None for any other loop."""
    if all(isinstance(segment, Arc) for segment in path.segments):
        centre, radius = arc_circle(next(s for s in path.segments if isinstance(s, Arc)))
    else:
        x0, y0, x1, y1 = bounds(path)
        centre, radius = ((x0 + x1) / 2, (y0 + y1) / 2), (x1 - x0 + y1 - y0) / 4
    points = corners(path, 0.002)
    stray = max(abs(dist(p, centre) - radius) for p in points) if len(points) > 5 else radius
    round_enough = stray < 0.01 and 2 * radius <= _LARGEST_HOLE
    return (centre, 2 * radius) if round_enough else None


def _repairs(loops: Loops, outside: int) -> list[str]:
    remarks = []
    if loops.gaps_closed:
        remarks.append(
            ngettext(
                "closed {count} gap of {widest:.3f} mm",
                "closed {count} gaps, the widest {widest:.3f} mm",
                loops.gaps_closed,
                widest=loops.widest_gap,
            )
        )
    if loops.doubled:
        remarks.append(ngettext("removed {count} doubled piece", "removed {count} doubled pieces", loops.doubled))
    if loops.open:
        remarks.append(ngettext("left out {count} open chain", "left out {count} open chains", len(loops.open)))
    if outside:
        remarks.append(
            ngettext(
                "left out {count} small loop outside the outline", "left out {count} small loops outside the outline", outside
            )
        )
    return remarks
