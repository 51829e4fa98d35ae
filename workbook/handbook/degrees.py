"""Temperatures of the tables: read from their cells in °F, shown in °F or °C first."""

import re

from msgspec import Struct

from workbook.units import HABITS, Unit

_RANGE = re.compile(r"(\d{3,4})(?:\s*-\s*(\d{3,4}))?")


class Span(Struct, frozen=True):
    """A range of temperature in °C; both ends are the same for one temperature."""

    low: float
    high: float


def span(cell: str) -> Span | None:
    """The first range in a cell of °F, as in "1475-1525 (1500 aim)"; None where it has none."""
    match = _RANGE.search(cell)
    if match is None:
        return None
    low = float(match[1])
    high = float(match[2]) if match[2] else low
    return Span(celsius(min(low, high)), celsius(max(low, high)))


def celsius(fahrenheit: float) -> float:
    """Degrees Celsius from Fahrenheit."""
    return (fahrenheit - 32) / 1.8


def fahrenheit(degrees: float) -> float:
    """Degrees Fahrenheit from Celsius."""
    return degrees * 1.8 + 32


def shown(low: float, high: float, unit: Unit) -> str:
    """A range given in °C, in whole degrees of what goes with a unit: "802–829 °C"."""
    ends = dict.fromkeys(f"{_in(degrees, unit):.0f}" for degrees in (low, high))
    return f"{'–'.join(ends)} {sign(unit)}"


def axis(degrees: float, unit: Unit) -> float:
    """A temperature given in °C, in what goes with a unit."""
    return _in(degrees, unit)


def of_axis(degrees: float, unit: Unit) -> float:
    """°C of a temperature in what goes with a unit."""
    return degrees if HABITS[unit].metric else celsius(degrees)


def sign(unit: Unit) -> str:
    """The sign of the degrees that go with a unit."""
    return "°C" if HABITS[unit].metric else "°F"


def _in(degrees: float, unit: Unit) -> float:
    return degrees if HABITS[unit].metric else fahrenheit(degrees)


def in_both(cell: str, unit: Unit) -> tuple[str, str]:
    """A cell of °F in the degrees of a unit, its words kept, and in the others: "1475–1525 °F (1500 aim)"."""
    if _RANGE.search(cell) is None:
        return cell, ""
    in_celsius = re.sub(r"\d{3,4}", lambda number: str(round(celsius(float(number[0])))), cell)
    both = _signed(cell, "°F"), _signed(in_celsius, "°C")
    return both[::-1] if HABITS[unit].metric else both


def _signed(cell: str, degrees: str) -> str:
    """A cell with the sign of its degrees behind the first range."""
    return _RANGE.sub(lambda match: f"{match[0].replace('-', '–')} {degrees}", cell, count=1)
