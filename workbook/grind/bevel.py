"""Primary bevels in cross-section: angle, height, thickness and edge, any three giving the fourth; hollow and convex arcs.

Plane trigonometry. Lengths in mm, angles in radians per side; y runs from the edge up. Formulas take numbers or arrays.
"""

from enum import StrEnum
from math import atan, cos, inf, sin, sqrt, tan
from typing import TypeAlias

from msgspec import Struct

from workbook.geometry.path import Points
from workbook.later import np
from workbook.structs import replace
from workbook.texts import _

Numbers: TypeAlias = "float | Points"
_ROUNDING = 1e-9  # mm


class Fourth(StrEnum):
    """The quantity that follows from the other three."""

    ANGLE = "angle"
    HEIGHT = "height"
    THICKNESS = "thickness"
    EDGE = "edge"


class FlatBevel(Struct, frozen=True, kw_only=True):
    """A flat bevel: on both faces, or on one (`faces` 1)."""

    thickness: float  # between the flats
    edge: float
    height: float  # from the edge up to the grind line
    angle: float  # per ground face
    faces: int = 2

    def completed(self, follows: Fourth) -> "FlatBevel":
        """The bevel with one quantity computed from the other three: T - e = faces x h tan(angle).

        Raises ValueError, with a message for the user, if no such bevel exists.
        """
        rise = self.faces * self.height * tan(self.angle)
        match follows:
            case Fourth.ANGLE:
                bevel = replace(self, angle=angle(self.thickness, self.edge, self.height, self.faces))
            case Fourth.HEIGHT:
                high = height_for(self.thickness, self.edge, self.angle, self.faces) if self.angle > 0 else inf
                bevel = replace(self, height=high)
            case Fourth.THICKNESS:
                bevel = replace(self, thickness=self.edge + rise)
            case Fourth.EDGE:
                bevel = replace(self, edge=self.thickness - rise)
        if not (bevel.thickness > bevel.edge >= -_ROUNDING and 0 < bevel.height < inf):
            raise ValueError(_("no bevel has these numbers: the edge must be thinner than the blade and thicker than 0"))
        return bevel


def angle(thickness: float, edge: float, height: float, faces: int = 2) -> float:
    """Angle per ground face: tan = (T - e) / (faces x h)."""
    return atan((thickness - edge) / (faces * height))


def height_for(thickness: float, edge: float, per_side: float, faces: int = 2) -> float:
    """Height of a flat bevel: h = (T - e) / (faces x tan)."""
    return (thickness - edge) / (faces * tan(per_side))


def sagitta(radius: Numbers, chord: Numbers) -> Numbers:
    """Depth of an arc under its chord: s = R - sqrt(R^2 - (c/2)^2)."""
    return radius - np.sqrt(np.maximum(np.square(radius) - np.square(chord) / 4, 0.0))


def radius_of(chord: Numbers, depth: Numbers) -> Numbers:
    """Radius of the arc with this depth on a chord: R = c^2 / 8s + s / 2."""
    return chord * chord / (8 * depth) + depth / 2


class Thinnest(Struct, frozen=True, kw_only=True):
    """The thinnest point of a hollow bevel."""

    thickness: float
    above_edge: float


def hollow_thinnest(thickness: float, edge: float, height: float, wheel: float) -> Thinnest:
    """The thinnest point for a wheel of this *diameter*: 2 [(T + e)/4 + (R - s) cos theta - R] at y = h/2 - (R - s) sin theta.

    If that point is not on the bevel, the edge is the thinnest. A wheel too small for the chord gives a thickness of -inf.
    """
    radius, theta = wheel / 2, angle(thickness, edge, height)
    chord = height / cos(theta)
    if chord >= wheel:
        return Thinnest(thickness=-inf, above_edge=height / 2)
    reach = sqrt(radius**2 - chord**2 / 4)
    place = height / 2 - reach * sin(theta)
    if not 0 < place < height:
        return Thinnest(thickness=edge, above_edge=0.0)
    return Thinnest(thickness=2 * ((thickness + edge) / 4 + reach * cos(theta) - radius), above_edge=place)


def most_bulge(thickness: float, edge: float, height: float) -> float:
    """How far a convex bevel may bulge from its chord before it stands proud of the flats: 2 atan(2 s / c) = theta."""
    theta = angle(thickness, edge, height)
    return height / cos(theta) / 2 * tan(theta / 2)


class Facet(Struct, frozen=True, kw_only=True):
    """The sharpened facet: its width on each ground face and its height; its apex lies on the old edge line."""

    width: float
    height: float


def edge_facet(edge: float, edge_angle: float, per_side: float, faces: int = 2) -> Facet | None:
    """The facet of an edge sharpened at an angle per side: e / (faces x (tan b - tan theta)) high, and its height over cos b
    wide. None if b is not greater than the bevel's angle: no facet can be cut."""
    if edge <= 0:
        return Facet(width=0.0, height=0.0)
    steeper = tan(edge_angle) - tan(per_side)
    if steeper <= 0:
        return None
    high = edge / (faces * steeper)
    return Facet(width=high / cos(edge_angle), height=high)


def thickness_behind(edge: float, edge_angle: float, per_side: float, up: float, faces: int = 2) -> float:
    """Thickness at a height `up` above the apex of a sharpened edge: on the facet, faces x up tan b, or on the bevel above its
    shoulder, e + faces x up tan theta, whichever is thinner. The apex lies on the old edge line."""
    return min(faces * up * tan(edge_angle), edge + faces * up * tan(per_side))


def height_lost(depth: float, edge_angle: float) -> float:
    """Blade height lost when a later sharpening takes this depth off each facet: r / sin b."""
    return depth / sin(edge_angle)


def scribe_height(bar_thickness: float, edge_before: float) -> float:
    """Height of the surface gauge's point above the plate: (T - e0) / 2; scribe, flip, repeat."""
    return (bar_thickness - edge_before) / 2


def support_distance(stone: float, projection: float, edge_angle: float, offset: float = 0.0) -> float:
    """Distance from the centre of a round stone to the centre of the bar that the knife rests on, for an angle per side.

    d^2 = R^2 + A^2 + 2 R A sin b + w^2 - 2 R w cos b: the knife lies on its rest, so the bar is on the stone's side of the
    blade. Law of cosines. `stone`: its diameter; `projection`: A, from the bar to the edge; `offset`: w, from the centre of the
    bar to the blade.
    """
    r, w = stone / 2, offset
    squared = r**2 + projection**2 + 2 * r * projection * sin(edge_angle) + w**2 - 2 * r * w * cos(edge_angle)
    return sqrt(max(squared, 0.0))
