"""The contour of the scales: the finished handle's thickness along its length, its section, and its effect on bolt heads.

In section the handle is a rectangle, the knife's height there by its thickness, with its edges rounded.
"""

from math import pi, sqrt
from typing import TypeVar

from workbook.geometry.path import QUARTER_TURN, Arc, Line, Path, Points, Segment, fillet_bulge
from workbook.later import np
from workbook.template.handle import room
from workbook.template.model import Handle

_Numbers = TypeVar("_Numbers", float, Points)
STATIONS = ("front", "palm", "butt")


def is_bare(handle: Handle) -> bool:
    """Whether the handle is the bare tang: its scale material is "none" or empty."""
    return handle.material.strip().casefold() in ("", "none")


def station(handle: Handle, name: str) -> float:
    """x of a station in the template's frame, mm. Raises KeyError for an unknown name."""
    return {"front": -2.0, "palm": -handle.palm_at * handle.length, "butt": -0.9 * handle.length}[name]


def thickness(handle: Handle, x: float) -> float:
    """Thickness of the finished handle at x, mm."""
    low, high = _limits(handle)
    return min(max(_parabola(handle, min(max(x, -handle.length), 0.0)), low), high)


def thickness_along(handle: Handle, x: Points) -> Points:
    """`thickness` for an array of x, same shape."""
    clipped: Points = np.clip(_parabola(handle, np.clip(x, -handle.length, 0.0)), *_limits(handle))
    return clipped


def _parabola(handle: Handle, x: _Numbers) -> _Numbers:
    """The parabola through the thickness at front, palm and butt (Lagrange's form)."""
    palm, butt = -handle.palm_at * handle.length, -handle.length
    front = handle.thick_front * (x - palm) * (x - butt) / (palm * butt)
    behind = handle.thick_butt * x * (x - palm) / (butt * (butt - palm))
    return front + handle.thick_palm * x * (x - butt) / (palm * (palm - butt)) + behind


def _limits(handle: Handle) -> tuple[float, float]:
    """Least and greatest thickness anywhere, whatever the parabola gives."""
    thicknesses = (handle.thick_front, handle.thick_palm, handle.thick_butt)
    return 0.5 * min(thicknesses), 1.5 * max(thicknesses)


def section(handle: Handle, x: float) -> Path:
    """The handle's outline in section at x, about its own middle: z across, y up. Counter-clockwise."""
    half, up = thickness(handle, x) / 2, room(handle, x) / 2
    r = min(handle.edge_radius, half, up)
    bulge = fillet_bulge(QUARTER_TURN)
    corners = ((half, up), (-half, up), (-half, -up), (half, -up))
    inward = ((-1, -1), (1, -1), (1, 1), (-1, 1))
    parts: list[Segment] = []
    for n, ((z, y), (dz, dy)) in enumerate(zip(corners, inward, strict=True)):
        ends = ((z, y + dy * r), (z + dz * r, y)) if n % 2 == 0 else ((z + dz * r, y), (z, y + dy * r))
        if parts and parts[-1].end != ends[0]:
            parts.append(Line(parts[-1].end, ends[0]))
        parts.append(Arc(*ends, bulge) if r > 0 else Line(*ends))
    if parts[-1].end != parts[0].start:
        parts.append(Line(parts[-1].end, parts[0].start))
    return Path(tuple(s for s in parts if s.start != s.end))


def girth(handle: Handle, x: float) -> float:
    """Girth of the handle at x, mm: the perimeter of its section, 2 (height + thickness) - (8 - 2 pi) r."""
    tall, thick = room(handle, x), thickness(handle, x)
    r = min(handle.edge_radius, thick / 2, tall / 2)
    return 2 * (tall + thick) - (8 - 2 * pi) * r


def fall(handle: Handle, from_edge: float, x: float) -> float:
    """How far the rounding lowers the scale's face at a distance d from the handle's edge, mm: r - sqrt(r^2 - (r - d)^2)."""
    r = min(handle.edge_radius, thickness(handle, x) / 2)
    if from_edge >= r:
        return 0.0
    inside = max(from_edge, 0.0)
    return r - sqrt(max(r**2 - (r - inside) ** 2, 0.0))


def head_left(handle: Handle, to_edge: float, x: float) -> float:
    """Height left of a bolt's head on the side nearest the handle's edge, once it is ground flush with the scale, mm."""
    return handle.head_height - fall(handle, to_edge - handle.bolt_head / 2, x)


def floor_left(handle: Handle, between: float, x: float) -> float:
    """Scale left under a counterbore, mm. `between`: the thickness between the scales, mm."""
    return (thickness(handle, x) - between) / 2 - handle.head_height


def clamped(handle: Handle, x: float) -> float:
    """Thickness a bolt clamps between its shoulders, mm: the steel and what its counterbores leave of both scales."""
    return thickness(handle, x) - 2 * handle.head_height
