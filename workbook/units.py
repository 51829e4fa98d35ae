"""Units of length, and lengths as makers read them: float millimetres -> `1 3/16`, `0.187`, `12.5`.

A length becomes text here and nowhere else; how text becomes one is `length_in.py`.
One inch is 25.4 mm exactly (international inch, 1959).
"""

import re
from math import copysign, gcd
from typing import Literal

Unit = Literal["in", "mm"]

INCH = 25.4
_THIN = "\u2009"  # thin space, between a whole and its built fraction
_FRACTION = re.compile(r"(?:(\d+)[ -])?(\d+)/(\d+)")


def as_fraction(mm: float, parts: int = 64, *, remainder: bool = False) -> str:
    """Nearest fraction of an inch, `10 1/8`; asked for the remainder, `10 1/8 + 3 thou` where it is a thou or more."""
    steps = round(abs(mm) / INCH * parts)
    whole, over = divmod(steps, parts)
    common = gcd(over, parts)
    words = [str(whole)] if whole or not over else []
    words += [f"{over // common}/{parts // common}"] if over else []
    left = round((abs(mm) / INCH - steps / parts) * 1000)
    left = left if remainder else 0
    sign = "-" if mm < 0 and (steps or left) else ""
    rest = f" {'+' if left > 0 else '-'} {abs(left)} thou" if left else ""
    return sign + " ".join(words) + rest


_HALF_UP = 1e-9


def as_decimal_inches(mm: float, places: int = 3) -> str:
    """Decimal inches, `0.189`."""
    return _plain(mm / INCH, places)


def as_millimetres(mm: float, places: int = 2) -> str:
    """Millimetres, `4.80`."""
    return _plain(mm, places)


def _plain(value: float, places: int) -> str:
    text = f"{value + copysign(_HALF_UP, value):.{places}f}"  # 44.45 is a hair less as a float, and still 44.5
    return text.lstrip("-") if float(text) == 0 else text


def show(mm: float, unit: Unit, *, fine: bool = False) -> str:
    """A length without its unit: inch fractions to 1/64 or mm to 0.1; `fine` gives thousandths or mm to 0.01."""
    if unit == "in":
        return as_decimal_inches(mm) if fine else as_fraction(mm)
    return as_millimetres(mm, 2 if fine else 1)


def reading(mm: float, unit: Unit, *, column: bool = False) -> str:
    """What an instrument read, as it was read: inches to a tenth of a thousandth, or mm to 0.01.

    `column`: it stands under others, with as many decimals as they.
    """
    text = as_decimal_inches(mm, 4) if unit == "in" else as_millimetres(mm, 2)
    return text if column or unit == "mm" else text.removesuffix("0")


def counted(count: int, one: str, many: str = "") -> str:
    """A number of things: "1 bar", "3 bars". `many`: where it is not the one with an s."""
    return f"{count} {one if count == 1 else many or one + 's'}"


def built(text: str) -> str:
    """The same text with its fractions marked for building: thin space after the whole, fraction slash (U+2044)."""
    return _FRACTION.sub(lambda m: (f"{m[1]}{_THIN}" if m[1] else "") + f"{m[2]}⁄{m[3]}", text)
