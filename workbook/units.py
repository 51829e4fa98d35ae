"""Units of length, and lengths as makers read them: float millimetres -> `1 3/16`, `0.187`, `12.5`.

Only this module turns lengths into text; `length_in.py` reads them back.
One inch is 25.4 mm exactly (international inch, 1959).
"""

import re
from functools import lru_cache
from math import copysign, gcd
from typing import Literal, NamedTuple

from workbook.texts import _

Unit = Literal["in", "mm"]

INCH = 25.4


class Habits(NamedTuple):
    """All that depends on the unit a maker reads first; lengths in mm. A new unit needs another row, and its name in `Unit`."""

    name: str  # in the singular, as over a column
    names: str  # in the plural
    first: str  # shown at the foot of the window
    beside: Unit  # the unit shown beside it
    metric: bool  # grams, degrees Celsius and metric drills go with it; else ounces, Fahrenheit and inch drills
    mm: float  # per unit
    coarse: int | None  # decimals of a length; None: fractions to a 64th of it
    fine: int  # decimals of a length that must be exact
    read: int  # decimals of an instrument's reading; where they exceed those of a fine length, a last 0 is left out
    column: int  # decimals in a spreadsheet
    paper: str  # usual, for sheets and labels
    arrows: tuple[float, float]  # how much an arrow key changes a length, and a fine one
    grid: float  # spacing of the lines behind a knife
    behind: float  # distance from the point at which a blade's thickness is read
    ground: float  # the least amount to grind off
    parting: str  # separates the sizes of a bar from its price; a comma alone may be a decimal mark
    bar: str  # an example of a bar in one line
    lengths: str  # an example of several lengths of blades
    hole: str  # an example of a hole in one line


_INCH = Habits(
    name=_("inch"), names=_("inches"), first=_("Inches first, mm beside"), beside="mm", metric=False, mm=INCH,
    coarse=None, fine=3, read=4, column=4, paper="letter", arrows=(INCH / 64, INCH / 1000), grid=12.7, behind=INCH,
    ground=INCH / 1000, parting=",", bar="52100 3/32 x 2 x 36, 31.00, 2", lengths="5, 6 1/2, 8", hole="pin 1/8 at 1 1/4",
)  # fmt: skip
_MM = Habits(
    name=_("mm"), names=_("millimeters"), first=_("mm first, inches beside"), beside="in", metric=True, mm=1.0,
    coarse=1, fine=2, read=2, column=3, paper="a4", arrows=(0.5, 0.05), grid=10.0, behind=25.0,
    ground=0.1, parting=", ", bar="1.2842 2.5 x 50 x 1000, 31.00, 2", lengths="125, 165, 200", hole="pin 3 at 32",
)  # fmt: skip
HABITS: dict[Unit, Habits] = {"in": _INCH, "mm": _MM}

_THIN = "\u2009"  # thin space, between a whole and its built fraction
_FRACTION = re.compile(r"(?:(\d+)[ -])?(\d+)/(\d+)")


def as_fraction(mm: float, parts: int = 64, *, remainder: bool = False) -> str:
    """The nearest fraction of an inch, `10 1/8`; with the remainder, `10 1/8 + 3 thou`, where it is a thou or more."""
    steps = round(abs(mm) / INCH * parts)
    whole, numerator = divmod(steps, parts)
    common = gcd(numerator, parts)
    words = [str(whole)] if whole or not numerator else []
    words += [f"{numerator // common}/{parts // common}"] if numerator else []
    thou = round((abs(mm) / INCH - steps / parts) * 1000)
    thou = thou if remainder else 0
    sign = "-" if mm < 0 and (steps or thou) else ""
    fraction = sign + " ".join(words)
    if not thou:
        return fraction
    if thou > 0:
        return _("{fraction} + {count} thou", fraction=fraction, count=thou)
    return _("{fraction} - {count} thou", fraction=fraction, count=-thou)


_HALF_UP = 1e-9


def as_decimal_inches(mm: float, places: int = 3) -> str:
    """Decimal inches, `0.189`."""
    return _plain(mm / INCH, places)


def as_millimetres(mm: float, places: int = 2) -> str:
    """Millimetres, `4.80`."""
    return _plain(mm, places)


def _plain(value: float, places: int) -> str:
    text = f"{value + copysign(_HALF_UP, value):.{places}f}"  # 44.45 is slightly less as a float, but must round to 44.5
    return text.lstrip("-") if float(text) == 0 else text


@lru_cache(maxsize=4096)  # a drag shows the same lengths again and again
def show(mm: float, unit: Unit, *, fine: bool = False) -> str:
    """A length without its unit: inch fractions to 1/64 or mm to 0.1; `fine` gives thousandths or mm to 0.01."""
    habits = HABITS[unit]
    places = habits.fine if fine else habits.coarse
    return as_fraction(mm) if places is None else _plain(mm / habits.mm, places)


def exact(mm: float, unit: Unit) -> str:
    """A length without its unit, in the coarse form where that is within half a step of the fine one: "3/16", "6.4"; else in the
    fine form: "0.190", "6.35".
    """
    habits = HABITS[unit]
    coarse = INCH / 64 if habits.coarse is None else habits.mm / 10**habits.coarse
    off = abs(mm - round(mm / coarse) * coarse)
    return show(mm, unit, fine=off >= 0.5 * habits.mm / 10**habits.fine - _HALF_UP)


def size(mm: float, unit: Unit) -> str:
    """A size as it is used in the name of a bar: `3/32`, `2.5`."""
    return as_fraction(mm) if HABITS[unit].coarse is None else f"{mm / HABITS[unit].mm:.6g}"


def reading(mm: float, unit: Unit, *, column: bool = False) -> str:
    """An instrument's reading, as it was read: inches to a tenth of a thousandth, or mm to 0.01.

    `column`: it stands in a column, with as many decimals as the others.
    """
    habits = HABITS[unit]
    text = _plain(mm / habits.mm, habits.read)
    return text.removesuffix("0") if habits.read > habits.fine and not column else text


@lru_cache(maxsize=4096)
def built(text: str) -> str:
    """A text with its fractions marked for built-up display: thin space after the whole number, fraction slash (U+2044)."""
    return _FRACTION.sub(lambda m: (f"{m[1]}{_THIN}" if m[1] else "") + f"{m[2]}⁄{m[3]}", text)
