"""The steel inside the handle: hidden and stub tangs, and the openings of a skeletonised one."""

import itertools
from math import acos, hypot, pi, tan

from workbook.geometry.path import QUARTER_TURN, Arc, Line, Path, Point, Segment, circle, fillet_bulge
from workbook.template.handle import middle, room
from workbook.template.model import Template

_LEAST_RADIUS = 2.0  # mm; a smaller opening is not worth the cutting


def stick(template: Template) -> tuple[Segment, ...]:
    """A hidden or stub tang, from the spine's front round to the edge side's front, its shoulders rounded."""
    tang, top, bottom = template.tang, template.handle.front / 2, -template.handle.front / 2
    r, half, end = tang.shoulder_radius, tang.width / 2, tang.end_width / 2
    tip = -tang.length
    shoulder = fillet_bulge(-QUARTER_TURN)
    return (
        Line((0.0, top), (0.0, half + r)),
        Arc((0.0, half + r), (-r, half), shoulder),
        Line((-r, half), (tip + end, end)),
        Arc((tip + end, end), (tip + end, -end), 1.0),
        Line((tip + end, -end), (-r, -half)),
        Arc((-r, -half), (0.0, -half - r), shoulder),
        Line((0.0, -half - r), (0.0, bottom)),
    )


def openings(template: Template, holes: list[tuple[Point, float]]) -> tuple[Path, ...]:
    """Openings of a skeletonised tang: one between each two neighbouring holes, `web` clear of them and of the edge.

    Holes are centres and radii, in any order.
    """
    ordered = sorted(holes)
    paths = (_opening(template, a, b) for a, b in itertools.pairwise(ordered))
    return tuple(path for path in paths if path)


def _opening(template: Template, left: tuple[Point, float], right: tuple[Point, float]) -> Path | None:
    handle, web = template.handle, template.tang.web
    begin, end = left[0][0] + left[1] + web, right[0][0] - right[1] - web
    r0, r1 = (room(handle, x) / 2 - web for x in (begin, end))
    r0, r1 = min(r0, (end - begin) / 2), min(r1, (end - begin) / 2)
    if min(r0, r1) < _LEAST_RADIUS:
        return None
    x0, x1 = begin + r0, end - r1
    if x1 - x0 < 1.0:
        x = (begin + end) / 2
        return circle((x, middle(handle, x)), min(r0, r1))
    return _capsule((x0, middle(handle, x0)), r0, (x1, middle(handle, x1)), r1)


def _capsule(a: Point, ra: float, b: Point, rb: float) -> Path:
    """Two circles and the lines that touch both, counter-clockwise. Outer tangents: cos = (ra - rb) / distance."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    d = hypot(dx, dy)
    ux, uy, c = dx / d, dy / d, (ra - rb) / d
    s = (1 - c * c) ** 0.5

    def touch(p: Point, r: float, side: float) -> Point:
        return (p[0] + r * (c * ux - side * s * uy), p[1] + r * (c * uy + side * s * ux))

    return Path(
        (
            Line(touch(a, ra, -1), touch(b, rb, -1)),
            Arc(touch(b, rb, -1), touch(b, rb, 1), tan(acos(c) / 2)),
            Line(touch(b, rb, 1), touch(a, ra, 1)),
            Arc(touch(a, ra, 1), touch(a, ra, -1), tan((pi - acos(c)) / 2)),
        )
    )
