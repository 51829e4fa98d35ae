"""The parts a handle adds to the steel: scales, fittings, pins, bolts, tubes, epoxy. Volumes with their centres and densities.

The glue film, the tube wall and the slot round a hidden tang are common practice, no source.
"""

from collections.abc import Iterator
from math import pi

import numpy as np
from msgspec import Struct

from workbook.geometry.path import Path, Points, upright_span
from workbook.grind.solid import Solid, solid
from workbook.grind.stations import finished_spine
from workbook.template.contour import is_bare, thickness_along
from workbook.template.fittings import guard_of, joint, liner_of, scale_front
from workbook.template.handle import handle_outline
from workbook.template.holes import Hole
from workbook.template.model import Handle, Purpose, Template
from workbook.template.shape import Shape

FILM = 0.1  # mm of epoxy between tang and scale
SLOT = 0.5  # mm of epoxy round a hidden tang
TUBE_WALL = 0.8
_STATIONS = 60


class Densities(Struct, frozen=True, kw_only=True):
    """The density of each material, g/cm3."""

    steel: float
    scales: float
    fasteners: float
    epoxy: float
    guard: float = 0.0
    bolster: float = 0.0
    liner: float = 0.0


class HandlePart(Struct, frozen=True, kw_only=True):
    """One part of a handle."""

    what: str
    solid: Solid
    density: float  # g/cm3

    @property
    def mass(self) -> float:
        """The mass in g."""
        return self.solid.volume * self.density / 1000


def handle_parts(blank: Shape, bar: float, densities: Densities) -> tuple[HandlePart, ...]:
    """All parts of a finished handle; empty for an outline from a file, or if the handle is the bare tang."""
    template = blank.template
    if template is None or is_bare(template.handle):
        return ()
    sizes = _Along(blank, template, bar)
    metal = tuple(_fasteners(template, sizes, densities))
    scales, bolster, liner = _round_tang(template, sizes)
    parts = (
        HandlePart(what="scales", solid=scales, density=densities.scales),
        HandlePart(what="guard", solid=_guard(template, sizes), density=densities.guard),
        HandlePart(what="bolsters", solid=bolster, density=densities.bolster),
        HandlePart(what="liners", solid=liner, density=densities.liner),
    )
    there = (part for part in parts[1:] if part.solid.volume > 0)
    return (parts[0], *there, *metal, *_epoxy(sizes, densities))


class _Along:
    """The handle at stations along it: the volume of scales and glue round the tang, before holes and fasteners."""

    def __init__(self, blank: Shape, template: Template, bar: float) -> None:
        handle = template.handle
        edges = np.linspace(-handle.length, 0.0, _STATIONS + 1)
        self.x = (edges[:-1] + edges[1:]) / 2
        self.step = handle.length / _STATIONS
        self.low, self.high = _span(handle_outline(handle), self.x)
        self.tang = finished_spine(template, self.x, bar)
        thick, tall = thickness_along(handle, self.x), self.high - self.low
        r = np.minimum(np.minimum(handle.edge_radius, thick / 2), tall / 2)
        area = tall * thick - (4 - pi) * r**2
        low, high = (self.low, self.high) if blank.grip is None else _span(blank.outline, self.x)
        self.high_tang, self.low_tang = high, low
        round_tang = np.maximum(area - (high - low) * self.tang - self._film_area(blank), 0.0)
        front, guard = scale_front(template), -guard_of(template)
        liner_area = np.minimum(2 * liner_of(template) * (high - low), round_tang)
        middle = (self.high + self.low) / 2
        self.scales = self._summed((round_tang - liner_area) * self._share(handle.length, front), middle)
        self.liners = self._summed(liner_area * self._share(handle.length, front), (high + low) / 2)
        self.bolsters = self._summed(round_tang * self._share(-front, guard), middle)
        own = template.fittings  # the slot is where tang and block meet
        floor, top = (side * own.guard_height / 2 - own.guard_drop for side in (-1, 1))
        inside = np.minimum(high, top) - np.maximum(low, floor)
        slot = np.maximum(inside, 0.0) * np.minimum(self.tang, own.guard_width)
        self.in_guard = self._summed(slot * self._share(-guard, 0.0), (np.minimum(high, top) + np.maximum(low, floor)) / 2)
        self.film = self._summed(self._film_area(blank), (high + low) / 2)
        at = np.array([hole.centre[0] for hole in blank.holes])
        both = (thickness_along(handle, at).tolist(), finished_spine(template, at, bar).tolist())
        self.holes = tuple(zip(blank.holes, *both, strict=True))  # each with the thickness of handle and tang there

    def _share(self, behind: float, ahead: float) -> Points:
        """The share of each station's slice that lies from `behind` mm behind the handle front to an x, mm."""
        left, right = np.maximum(self.x - self.step / 2, -behind), np.minimum(self.x + self.step / 2, ahead)
        share: Points = np.maximum(right - left, 0.0) / self.step
        return share

    def _summed(self, area: Points, middle: Points) -> Solid:
        volume = area * self.step
        return Solid(volume=float(volume.sum()), x=float((volume * self.x).sum()), y=float((volume * middle).sum()))

    def _film_area(self, blank: Shape) -> Points:
        """Area of epoxy at each station: on both faces of the tang, or on all four sides of a hidden one."""
        tall = self.high_tang - self.low_tang
        area = 2 * FILM * tall if blank.grip is None else 2 * SLOT * (tall + self.tang)
        return np.where(tall > 0, area, 0.0)


def _span(outline: Path, x: Points) -> tuple[Points, Points]:
    """Lower and upper y of an outline; 0 where it does not reach."""
    low, high = upright_span(outline, x)
    return np.nan_to_num(low), np.nan_to_num(high)


def _fasteners(template: Template, sizes: _Along, densities: Densities) -> Iterator[HandlePart]:
    """Pins, bolts with their heads, and tubes, ground flush with the scales."""
    for hole, thick, _ in sizes.holes:
        if hole.purpose is not Purpose.EPOXY:
            metal = solid(_metal(hole, template.handle, thick), *hole.centre)
            yield HandlePart(what=hole.mark, solid=metal, density=densities.fasteners)


def _metal(hole: Hole, handle: Handle, thick: float) -> float:
    shank = pi / 4 * hole.size**2 * thick
    match hole.purpose:
        case Purpose.BOLT:
            heads = 2 * pi / 4 * max(handle.bolt_head**2 - hole.size**2, 0.0) * handle.head_height
            return shank + heads
        case Purpose.LANYARD:
            inside = max(hole.size - 2 * TUBE_WALL, 0.0)
            return shank - pi / 4 * inside**2 * thick
        case _:
            return shank


def _guard(template: Template, sizes: _Along) -> Solid:
    """The guard: a block with a slot for the tang."""
    fittings = template.fittings
    block = solid(guard_of(template) * fittings.guard_height * fittings.guard_width, -fittings.guard / 2, -fittings.guard_drop)
    return block.plus(sizes.in_guard, -1.0)


def _round_tang(template: Template, sizes: _Along) -> tuple[Solid, Solid, Solid]:
    """Scales, bolsters and liners, less what the fasteners take of each."""
    scales, bolsters, liners = sizes.scales, sizes.bolsters, sizes.liners
    for hole, thick, tang in sizes.holes:
        if hole.purpose is Purpose.EPOXY:
            continue
        taken = _metal(hole, template.handle, thick) - _within_tang(hole, template.handle, thick, tang)
        if hole.centre[0] >= joint(template, hole.centre[1]):
            bolsters = bolsters.plus(solid(taken, *hole.centre), -1.0)
            continue
        of_liners = pi / 4 * hole.size**2 * min(2 * liner_of(template), thick - tang)
        scales = scales.plus(solid(taken - of_liners, *hole.centre), -1.0)
        liners = liners.plus(solid(of_liners, *hole.centre), -1.0)
    return scales, bolsters, liners


def _within_tang(hole: Hole, handle: Handle, thick: float, tang: float) -> float:
    """The volume of a fastener inside the tang's thickness, less the open bore of a tube through the scales, mm3."""
    if hole.purpose is Purpose.BOLT:
        return pi / 4 * hole.size**2 * tang
    bore = pi / 4 * max(hole.size - 2 * TUBE_WALL, 0.0) ** 2 * (thick - tang) if hole.purpose is Purpose.LANYARD else 0.0
    return _metal(hole, handle, thick) * tang / thick - bore


def _epoxy(sizes: _Along, densities: Densities) -> Iterator[HandlePart]:
    """The glue film, the fill of epoxy holes, and the clearance round each pin in the tang."""
    total = sizes.film
    for hole, _, tang in sizes.holes:
        inside = 0.0 if hole.purpose is Purpose.EPOXY else hole.size
        total = total.plus(solid(pi / 4 * max(hole.diameter**2 - inside**2, 0.0) * tang, *hole.centre))
    yield HandlePart(what="epoxy", solid=total, density=densities.epoxy)
