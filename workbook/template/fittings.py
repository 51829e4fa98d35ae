"""Guard, bolsters and liners: what stands between blade and handle, and between tang and scales."""

from collections.abc import Iterator
from math import radians, tan
from typing import TYPE_CHECKING

from workbook.geometry.path import Path, Point, Points, polyline
from workbook.later import modules
from workbook.template.contour import thickness
from workbook.template.handle import handle_outline
from workbook.template.model import Handle, Template
from workbook.template.parameters import lined
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.geometry import polygon
else:
    (polygon,) = modules("geometry.polygon")

_SQUARE = 1e-6  # mm of lean; less is a square front
_STATIONS = 24


def scale_front(template: Template) -> float:
    """x of the scales' front on the axis, mm: behind guard and bolsters."""
    return -(template.fittings.guard + template.fittings.bolster)


def between_scales(template: Template, bar: float) -> float:
    """The thickness between the two scales, mm: steel and liners."""
    return bar + 2 * lined(template)


def scale_wanted(template: Template, bar: float) -> float:
    """The thickness each raw scale needs for the contour, mm."""
    return _half(template, -template.handle.length, scale_front(template)) - between_scales(template, bar) / 2


def bolster_wanted(template: Template, bar: float) -> float:
    """The thickness each raw bolster needs for the contour, mm."""
    return _half(template, scale_front(template), -template.fittings.guard) - bar / 2


def _half(template: Template, behind: float, ahead: float) -> float:
    """Half the handle's greatest thickness from one x to another, mm."""
    handle = template.handle
    places = [behind + (ahead - behind) * n / _STATIONS for n in range(_STATIONS + 1)]
    palm = -handle.palm_at * handle.length
    places += [palm] if behind <= palm <= ahead else []
    return max(thickness(handle, x) for x in places) / 2


def lean(handle: Handle) -> float:
    """How far a slanted scale front reaches ahead of its place on the axis, at the handle's upper or lower edge, mm."""
    return abs(_ahead(handle))


def _ahead(handle: Handle) -> float:
    """How far the upper end of the scale front leans to the point, mm."""
    return handle.front / 2 / tan(radians(handle.front_angle))


def scale_outline(template: Template) -> Path:
    """The outline of a scale: the handle from its scale front, extended to a slanted front that reaches ahead of it."""
    handle = template.handle
    outline, half = handle_outline(handle), handle.front / 2
    if lean(handle) < _SQUARE and scale_front(template) > -_SQUARE:
        return outline
    far = lean(handle) + 2 * handle.front
    strip = polygon.of_points([(-0.01, -half), (far, -half), (far, half), (-0.01, half)])
    (low, high), back = _front_line(template, far), -2 * handle.length
    behind = polygon.of_points([(back, -far), low, high, (back, far)])
    return _ring(polygon.common(polygon.joined(polygon.polygon(outline), strip), behind))


def bolster_outline(template: Template) -> Path | None:
    """The outline of a bolster: the handle from the guard to the scale front; None without one."""
    if template.fittings.bolster <= 0:
        return None
    far, guard = lean(template.handle) + 2 * template.handle.front, -template.fittings.guard
    (low, high), back = _front_line(template, far), 2 * template.handle.length
    ahead = polygon.of_points([low, (back, -far), (back, far), high])
    behind_guard = polygon.of_points([(-back, -far), (guard, -far), (guard, far), (-back, far)])
    handle = polygon.of_points(polygon.common(polygon.polygon(handle_outline(template.handle)), behind_guard))
    return _ring(polygon.common(handle, ahead))


def _front_line(template: Template, far: float) -> tuple[Point, Point]:
    """The scales' front as a line that ends `far` below and above the axis, mm."""
    lean_there = _ahead(template.handle) * far / (template.handle.front / 2)
    return (scale_front(template) - lean_there, -far), (scale_front(template) + lean_there, far)


def _ring(corners: Points) -> Path:
    return polyline([(float(x), float(y)) for x, y in corners], closed=True)


def guard_outline(template: Template) -> Path | None:
    """The guard as seen from the side; None without one."""
    fittings = template.fittings
    if fittings.guard <= 0:
        return None
    low, high = (-fittings.guard_drop + side * fittings.guard_height / 2 for side in (-1, 1))
    back = -fittings.guard
    return polyline([(back, low), (0.0, low), (0.0, high), (back, high)], closed=True)


def fitting_words(template: Template) -> Iterator[str]:
    """The fittings a template has, in words."""
    if template.fittings.guard > 0:
        yield _("guard")
    if template.fittings.bolster > 0:
        yield _("bolsters")
    if lined(template) > 0:
        yield _("liners")
