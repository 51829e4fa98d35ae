"""Carbon lost from bare faces during heat treatment: depth from time and temperature, as a range. Advice, not a limit.

Fick's second law for a surface without carbon: C / C0 = erf(x / 2 sqrt(D t)); the depth given is where nine tenths remain.
Two published sets of constants for carbon in austenite span the range (Callister, Smithells; a university's teaching site).
"""

from math import exp, sqrt

from msgspec import Struct

GAS = 8.314462618  # J/(mol K)
KELVIN = 273.15
_NINE_TENTHS = 1.1630871536766743  # inverse error function of 0.9
LOW, HIGH = (2.3e-5, 148_000.0), (1.5e-5, 135_000.0)  # D0 in m2/s and activation energy in J/mol


class Lost(Struct, frozen=True, kw_only=True):
    """Least and greatest depth, mm, at which a tenth of the carbon is gone."""

    least: float
    most: float


def diffusion(constants: tuple[float, float], celsius: float) -> float:
    """The diffusion coefficient D = D0 exp(-Q / R T), m2/s."""
    first, energy = constants
    return first * exp(-energy / (GAS * (celsius + KELVIN)))


def carbon_lost(celsius: float, minutes: float) -> Lost:
    """Depth on a face that is bare in air throughout; coated, in foil or in a controlled atmosphere it is less."""
    depths = [2 * _NINE_TENTHS * sqrt(diffusion(c, celsius) * minutes * 60) * 1000 for c in (LOW, HIGH)]
    return Lost(least=min(depths), most=max(depths))
