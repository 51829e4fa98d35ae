"""How blanks of a template may lie on a bar: along it, across it, or either, by the template's rolling direction."""

from math import pi, radians

from workbook.geometry.path import Placement, flatten
from workbook.geometry.polygon import long_axis, polygon
from workbook.shop.job import AnyTemplate
from workbook.template.drawn import DrawnTemplate
from workbook.template.model import Rolling
from workbook.template.shape import Shape

_ASKEW = radians(10)  # an outline drawn farther than this off the x axis lies along the bar by its longer side
_TURNS = {Rolling.ALONG: (0.0,), Rolling.ACROSS: (pi / 2,), Rolling.FREE: (0.0, pi / 2)}


def directions(template: AnyTemplate, blank: Shape) -> tuple[float, ...]:
    """The angles, in radians, by which the outline may be turned from its own frame to lie on a bar."""
    axis = long_axis(polygon(blank.outline)) if isinstance(template, DrawnTemplate) else 0.0
    base = -axis if abs(axis) > _ASKEW else 0.0
    return tuple(base + turn for turn in _TURNS[template.rolling])


def sizes(template: AnyTemplate, blank: Shape) -> list[tuple[float, float]]:
    """The length along the bar and the width across it, mm, in each direction the blank may lie."""
    points = flatten(blank.outline)
    extents = []
    for angle in directions(template, blank):
        placed = Placement(0.0, 0.0, angle, mirrored=False).points(points)
        length, width = (placed.max(axis=0) - placed.min(axis=0)).tolist()
        extents.append((length, width))
    return extents
