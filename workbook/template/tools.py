"""What the maker owns and how he likes his holes: what checks and drill choices depend on."""

from dataclasses import dataclass

from workbook.template.drills import Drill
from workbook.units import INCH, Unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Tools:
    """Tools and habits. Lengths in mm."""

    drills: tuple[Drill, ...]
    tang_clearance: float = 0.005 * INCH  # more than in the scale; 0.005 to 1/32 in by habit (common practice, no source)
    smallest_radius: float = 1.5  # inside corner that the smallest file or wheel can follow
    web: float = INCH / 8  # least steel beside epoxy and lightening holes (common practice, no source)


def drills_for(drills: tuple[Drill, ...], unit: Unit) -> tuple[Drill, ...]:
    """The drills a maker working in this unit has: number, letter and fraction sizes, or metric ones."""
    inch_series = unit == "in"
    return tuple(d for d in drills if (d.series != "metric") == inch_series)
