"""Primary bevels in cross-section: angle, height, thickness and edge, any three giving the fourth. Plane trigonometry.

Lengths mm, angles radians per side; y runs from the edge up.
"""

from dataclasses import dataclass
from math import atan, cos, inf, radians, sin, sqrt, tan

from workbook.template.model import Bevel


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """One cross-section as it is to be when finished, and what is left on it before hardening."""

    bevel: Bevel
    thickness: float  # finished, at the spine
    edge: float  # finished, before sharpening
    height: float  # finished bevel, from the edge up to the grind line; ignored for Scandi
    blade_height: float  # from the edge up to the spine
    thickness_before: float  # before hardening, at the spine
    edge_before: float
    edge_angle: float = 17.0  # degrees per side; makes the bevel of a Scandi grind
    wheel: float = inf  # diameter of the contact wheel, hollow only


def angle(section: Section) -> float:
    """Bevel angle per side. tan = (T - e) / 2h; one-sided (T - e) / h; Scandi: the edge angle itself."""
    match section.bevel:
        case Bevel.SCANDI:
            return radians(section.edge_angle)
        case Bevel.SINGLE:
            return atan((section.thickness - section.edge) / section.height)
        case _:
            return atan((section.thickness - section.edge) / (2 * section.height))


def height_for(thickness: float, edge: float, per_side: float) -> float:
    """Height of a two-sided flat bevel: h = (T - e) / (2 tan)."""
    return (thickness - edge) / (2 * tan(per_side))


def finished_height(section: Section) -> float:
    """Grind line above the edge when finished, never above the spine. A Scandi bevel's follows: h = T / (2 tan)."""
    if section.bevel is Bevel.SCANDI:
        return min(height_for(section.thickness, 0.0, angle(section)), section.blade_height)
    return min(section.height, section.blade_height)


def height_before(section: Section) -> float:
    """Grind line above the edge before hardening, never above the spine: the same angle (or wheel), more steel left."""
    match section.bevel:
        case Bevel.HOLLOW:
            height = _hollow_before(section)
        case Bevel.SINGLE:
            height = (section.thickness_before - section.edge_before) / tan(angle(section))
        case _:
            height = height_for(section.thickness_before, section.edge_before, angle(section))
    return max(0.0, min(height, section.blade_height))


def _hollow_before(section: Section) -> float:
    """The finished hollow moved outward until it leaves the edge that is wanted, met by the thicker face.

    The arc of radius R passes through (0, e/2) and (h, T/2), bulging inward; its centre lies R outside the chord's middle
    less the sagitta.
    """
    radius, theta = section.wheel / 2, angle(section)
    chord = section.height / cos(theta)
    if chord >= 2 * radius:
        return section.height
    reach = sqrt(radius**2 - (chord / 2) ** 2)
    centre_y = section.height / 2 - reach * sin(theta)
    centre_z = (section.thickness + section.edge) / 4 + reach * cos(theta)
    rise = centre_z + (section.edge_before - section.edge) / 2 - section.thickness_before / 2
    return centre_y + sqrt(max(radius**2 - rise**2, 0.0))


def scribe_height(bar_thickness: float, edge_before: float) -> float:
    """Height of the surface gauge's point above the plate: (T - e0) / 2; scribe, flip, repeat."""
    return (bar_thickness - edge_before) / 2
