"""Mass, balance and steel ground away for one knife in its states."""

from collections.abc import Callable
from functools import partial

from msgspec import Struct

from workbook.geometry.path import Points
from workbook.grind.handle_mass import Densities, HandlePart, handle_parts
from workbook.grind.solid import Solid, between_flats, bored, ground_away, within_outline
from workbook.grind.stations import finished_spine, spine_before
from workbook.template.model import Template
from workbook.template.shape import Shape

_GRAVITY = 9.80665  # m/s2, standard


class Masses(Struct, frozen=True, kw_only=True):
    """Masses in g, volumes in mm3, positions in the template's frame (mm)."""

    cut_to_line: Solid  # the profiled blank, not yet drilled or ground
    drilled: Solid
    before: Solid  # steel before hardening
    finished: Solid  # steel of the finished knife
    parts: tuple[HandlePart, ...]
    density: float  # of the steel, g/cm3

    @property
    def blank_mass(self) -> float:
        """The mass of the blank as cut to the line, g."""
        return self._steel(self.cut_to_line)

    @property
    def blade_mass(self) -> float:
        """The mass of the finished steel with its tang, g."""
        return self._steel(self.finished)

    @property
    def knife_mass(self) -> float:
        """The mass of the finished knife with its handle, g."""
        return self.blade_mass + sum(part.mass for part in self.parts)

    @property
    def ground_before(self) -> float:
        """Steel ground away before hardening, mm3, not counting drilled holes."""
        return self.drilled.volume - self.before.volume

    @property
    def ground_after(self) -> float:
        """Steel ground away after hardening, mm3."""
        return self.before.volume - self.finished.volume

    @property
    def balance(self) -> tuple[float, float]:
        """Centre of mass of the knife with its handle, x (from the handle front, + towards the point) and y, mm."""
        total = self.knife_mass
        x, y = (sum(m * at for m, at in self._moments(axis)) / total for axis in (0, 1))
        return x, y

    @property
    def moment(self) -> float:
        """Turning moment of the knife's weight about the handle front, N mm, + point down."""
        return self.knife_mass / 1000 * _GRAVITY * self.balance[0]

    def _moments(self, axis: int) -> list[tuple[float, float]]:
        steel = [(self.blade_mass, self.finished.centre[axis])]
        return steel + [(part.mass, part.solid.centre[axis]) for part in self.parts]

    def _steel(self, solid: Solid) -> float:
        return solid.volume * self.density / 1000


def masses(blank: Shape, bar: float, densities: Densities) -> Masses:
    """Compute all masses for a bar of this thickness (mm). An outline from a file is taken as a plate that is not ground."""
    template = blank.template
    flat = partial(_even, bar)
    plate = within_outline(blank, flat)
    drilled = plate.plus(bored(blank, flat), -1.0)
    if template is None:
        return Masses(cut_to_line=plate, drilled=drilled, before=drilled, finished=drilled, parts=(), density=densities.steel)
    ground = ground_away(blank, bar)
    return Masses(
        cut_to_line=plate,
        drilled=drilled,
        before=between_flats(blank, _thickness(spine_before, template, bar)).plus(ground.before, -1.0),
        finished=between_flats(blank, _thickness(finished_spine, template, bar)).plus(ground.finished, -1.0),
        parts=handle_parts(blank, bar, densities),
        density=densities.steel,
    )


def _even(bar: float, x: Points) -> Points:
    return 0 * x + bar


def _thickness(of: Callable[[Template, Points, float], Points], template: Template, bar: float) -> Callable[[Points], Points]:
    return lambda x: of(template, x, bar)
