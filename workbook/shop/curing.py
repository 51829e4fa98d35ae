"""How long a glue takes to cure in a shop that is colder or warmer than its sheet says."""

from math import exp

SHEET = 25.0  # degrees C that the sheets of glues give their times for
_ENERGY = 57_050.0  # J/mol of a room-temperature-curing epoxy (Journal of Adhesion 2008); amine-epoxies have 55 000 to 60 000
_GAS = 8.314462618  # J/(mol K), CODATA
_ZERO = 273.15


def cure_factor(celsius: float) -> float:
    """How many times as long as at 25 degrees C a cure takes: Arrhenius, exp(E / R (1 / T - 1 / T25))."""
    return exp(_ENERGY / _GAS * (1 / (celsius + _ZERO) - 1 / (SHEET + _ZERO)))
