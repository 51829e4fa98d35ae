"""Heat in carbon steel: the integral of the specific heat of EN 1993-1-2, 3.4.1.2."""

from math import log

LOW, HIGH = 20.0, 1200.0  # °C, where the standard holds
_JUMPS = (600.0, 735.0, 900.0)  # °C at which another formula begins


def enthalpy(celsius: float) -> float:
    """Heat above 20 °C, kJ/kg. ValueError outside 20 to 1200 °C."""
    if not LOW <= celsius <= HIGH:
        raise ValueError(f"{celsius:g}")
    ends = (*(jump for jump in _JUMPS if jump < celsius), celsius)
    joules, begin = 0.0, LOW
    for end in ends:
        joules += _integral(begin, end)
        begin = end
    return joules / 1000


def _integral(a: float, b: float) -> float:
    """The heat from one temperature to another within one formula, J/kg."""
    if b <= _JUMPS[0]:
        return _polynomial(b) - _polynomial(a)
    if b <= _JUMPS[1]:
        return 666 * (b - a) - 13002 * (log(738 - b) - log(738 - a))
    if b <= _JUMPS[2]:
        return 545 * (b - a) + 17820 * (log(b - 731) - log(a - 731))
    return 650 * (b - a)


def _polynomial(t: float) -> float:
    """The integral of 425 + 0.773 t - 0.00169 t2 + 2.22e-6 t3."""
    return float(425 * t + 0.773 * t**2 / 2 - 1.69e-3 * t**3 / 3 + 2.22e-6 * t**4 / 4)
