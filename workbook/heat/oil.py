"""What a quench does to a tank of oil: an energy balance without losses, so that a real tank stays a little cooler."""

from collections.abc import Iterable, Mapping, Sequence
from math import ceil

from msgspec import Struct

from workbook.heat.enthalpy import LOW, enthalpy
from workbook.texts import _
from workbook.units import Unit, show

DEEPER = 25.0  # mm of oil over a blade, at least: common practice, no source
VEGETABLE_CEILING = 65.5  # °C, 150 °F: where makers stop with vegetable oil; common practice, no source
_NEVER = ("engine", "motor", "light mineral", "water")  # of the table of fluids, not for a bath of a home shop's blades
_MOST = 200


class Oil(Struct, frozen=True, kw_only=True):
    """An oil to quench in."""

    name: str
    heat: float  # J/(kg K)
    density: float  # kg/m3
    flash: str  # °C, as the table tells it
    source: str
    sure: int  # per cent

    @property
    def vegetable(self) -> bool:
        """Whether it is a cooking oil, for which makers have a working ceiling."""
        return "mineral" not in self.name


class Tank(Struct, frozen=True, kw_only=True):
    """The shop's tank, as it stands."""

    litres: float
    depth: float  # mm of oil
    start: float  # °C
    ceiling: float | None = None  # °C, of the product's sheet; None: not known


def oils_of(rows: Iterable[Mapping[str, str]]) -> tuple[Oil, ...]:
    """The oils that may be offered, from the table of fluids; each once, at its warmest row up to 60 °C."""
    found = dict[str, Oil]()
    for row in rows:
        if not any(word in row["fluid"] for word in _NEVER) and float(row["T_C"]) <= 60:
            found[row["fluid"]] = Oil(
                name=row["fluid"], heat=float(row["cp_J_kgK"]), density=float(row["density_kg_m3"]), flash=row["flash_C"],
                source=row["source"], sure=int(row["sure_pct"]),
            )  # fmt: skip
    return tuple(found.values())


def capacity(oil: Oil, litres: float) -> float:
    """The heat that warms the oil by a degree, kJ/K."""
    return litres / 1000 * oil.density * oil.heat / 1000


def rise(oil: Oil, tank: Tank, mass: float, celsius: float) -> float:
    """By how much steel of a mass, kg, quenched from a temperature warms the oil, K: both end at one temperature."""
    return after(oil, tank.litres, tank.start, mass, celsius) - tank.start


def after(oil: Oil, litres: float, start: float, mass: float, celsius: float) -> float:
    """The temperature of oil and steel after a quench, °C: m (h(T) - h(end)) = C (end - start), by halving."""
    start = max(start, LOW)
    low, high, warms = start, celsius, capacity(oil, litres)
    for _step in range(60):
        end = (low + high) / 2
        if mass * (enthalpy(celsius) - enthalpy(end)) > warms * (end - start):
            low = end
        else:
            high = end
    return (low + high) / 2


def at_once(oil: Oil, tank: Tank, masses: Sequence[float], celsius: float) -> int:
    """How many of the blades, in their order, the oil takes one after another before it is over its ceiling."""
    assert tank.ceiling is not None
    for count in range(1, min(len(masses), _MOST) + 1):
        if after(oil, tank.litres, tank.start, sum(masses[:count]), celsius) > tank.ceiling:
            return count - 1
    return len(masses)


def litres_for(oil: Oil, mass: float, celsius: float, start: float, ceiling: float) -> float:
    """The oil that takes a mass and ends at its ceiling, litres."""
    return mass * (enthalpy(celsius) - enthalpy(max(ceiling, LOW))) / (ceiling - start) / (oil.density * oil.heat / 1000) * 1000


def stops(
    oil: Oil | None, tank: Tank, masses: Sequence[float], celsius: float | None, longest: float, unit: Unit = "mm"
) -> list[str]:
    """Why these blades must not be quenched in this tank, in words; none where nothing speaks against it.

    `longest`: of the blades, what goes under, mm. `celsius`: at which they come out of the fire; None where it is not known.
    `unit`: of the lengths that are told.
    """
    if oil is None:
        return [_("The oil is unknown, so its temperature cannot be estimated. Name it, and have its sheet at hand.")]
    found = []
    if tank.depth < longest + DEEPER:
        found.append(
            _(
                "Too shallow: {depth} {unit} of oil for {longest} of blade and {deeper} over it. A blade that stands out of the "
                "oil lights it at any temperature.",
                depth=show(tank.depth, unit), longest=show(longest, unit), deeper=show(DEEPER, unit), unit=unit,
            )
        )  # fmt: skip
    if tank.ceiling is None:
        found.append(_("The oil's working ceiling is unknown. Take it from the product's sheet."))
    elif tank.start >= tank.ceiling:
        found.append(_("The oil is at its ceiling already. Let it cool."))
    elif masses and celsius is not None and at_once(oil, tank, masses, celsius) == 0:
        litres = ceil(10 * litres_for(oil, masses[0], celsius, tank.start, tank.ceiling)) / 10
        found.append(_("Too little oil: one blade takes it over its ceiling. Use at least {litres:.1f} liters.", litres=litres))
    return found
