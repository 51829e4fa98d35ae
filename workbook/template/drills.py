"""Standard drills, and which one a pin or bolt needs."""

from bisect import bisect_left
from collections.abc import Sequence

from msgspec import Struct

from workbook.units import HABITS, INCH, Unit, as_decimal_inches, as_millimetres

LEAST_CLEARANCE = 0.001 * INCH  # a hole is drilled at least a thou larger than what goes through it


class Drill(Struct, frozen=True):
    """One standard size; diameter in mm. Series: number, letter, fraction (inch) or metric."""

    label: str
    diameter: float
    series: str

    def named(self, unit: Unit) -> str:
        """Its label with its size beside it, `#12 (0.189)`, so that a wrong drill is noticed."""
        if HABITS[unit].metric:
            return self.label if self.series == "metric" else f"{self.label} ({as_millimetres(self.diameter)})"
        return f"{self.label} ({as_decimal_inches(self.diameter)})"


def smallest_drill(drills: Sequence[Drill], diameter: float) -> Drill:
    """The smallest drill of at least this diameter (mm), or else the largest. `drills` from small to large."""
    first = bisect_left(drills, diameter - 1e-6, key=_diameter)
    return drills[min(first, len(drills) - 1)]


def nearest_drill(drills: Sequence[Drill], diameter: float) -> Drill:
    """The drill nearest to a diameter (mm). `drills` from small to large."""
    first = bisect_left(drills, diameter, key=_diameter)
    around = drills[max(first - 2, 0) : first + 2]
    return min(around, key=lambda d: (round(abs(d.diameter - diameter), 4), d.series != "fraction"))


def _diameter(drill: Drill) -> float:
    return drill.diameter
