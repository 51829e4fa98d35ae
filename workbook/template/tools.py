"""The maker's tools and hole clearances, which checks and drill choices depend on."""

from msgspec import Struct

from workbook.template.drills import Drill
from workbook.units import HABITS, INCH, Unit


class Owned(Struct, frozen=True, kw_only=True):
    """The tools of a shop. An empty field was not filled in, and the usual value applies."""

    wheels: tuple[float, ...] = ()  # diameters of contact wheels, mm
    files: tuple[float, ...] = ()  # diameters of round files, mm
    drills: tuple[str, ...] = ()  # series: "number", "letter", "fraction", "metric"
    angle_step: float = 0.0  # degrees by which a grinding jig can be set; 0: to any angle
    gauge_step: float = 0.0  # mm by which a surface gauge can be set; 0: to any height
    stone: float = 0.0  # diameter of a round stone to sharpen on; 0: none
    projection: float = 140.0  # mm from the bar the knife rests on to its edge
    rest: float = 0.0  # diameter of that bar; 0: an edge
    jig_offset: float = 0.0  # mm by which a jig holds the blade off it; 0: none

    @property
    def smallest_radius(self) -> float | None:
        """The tightest inside corner that a wheel or file of the shop can follow, mm; None when none was named."""
        return min((*self.wheels, *self.files), default=0.0) / 2 or None


class Tools(Struct, frozen=True, kw_only=True):
    """Tools and habits. Lengths in mm."""

    drills: tuple[Drill, ...]
    tang_clearance: float = 0.005 * INCH  # more than in the scale; 0.005 to 1/32 in by habit (common practice, no source)
    smallest_radius: float = 1.5  # inside corner that the smallest file or wheel can follow
    hand_breadth: float = 0.0  # of the hand the knife is for; 0: not known
    web: float = INCH / 8  # least steel beside epoxy and lightening holes (common practice, no source)

    def __hash__(self) -> int:
        """Hash the number of drills, not each drill: results are cached by tools and looked up at every move of a drag."""
        return hash((len(self.drills), self.tang_clearance, self.smallest_radius, self.hand_breadth, self.web))


SERIES = ("number", "letter", "fraction", "metric")


def drills_for(drills: tuple[Drill, ...], unit: Unit, owned: tuple[str, ...] = ()) -> tuple[Drill, ...]:
    """The drills of the owned series; where none is named, of the unit's: number, letter and fraction, or metric."""
    series = owned or (SERIES[3:] if HABITS[unit].metric else SERIES[:3])
    return tuple(d for d in drills if d.series in series)
