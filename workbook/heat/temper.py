"""Hardness after tempering: between published points, never beyond them; times by the Hollomon-Jaffe parameter where it holds."""

from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise
from math import log10

from msgspec import Struct

from workbook.handbook.degrees import celsius as celsius_of

KELVIN = 273.15
BRITTLE = (232.0, 371.0)  # °C, 450 to 700 °F, where carbon steels lose toughness: from memory
_CONSTANT = 13.0  # of the parameter in hours, best for 0.56-1.15 % C at 150 to 400 °C (least squares on the 1945 data: 11.75-14)
_PLAIN = ("plain carbon", "low alloy")  # groups of steels whose hardness falls evenly as they are tempered


class HardnessBand(Struct, frozen=True):
    """A published point: a temperature, °C, and the hardness, HRC, of two hours at it."""

    celsius: float
    low: float
    high: float


def points_of(rows: Iterable[Mapping[str, str]]) -> tuple[HardnessBand, ...]:
    """The points of a steel's rows by temperature; of two at one temperature the wider band."""
    bands = dict[float, tuple[float, float]]()
    for row in rows:
        at, low, high = celsius_of(float(row["temper_F"])), float(row["HRC_lo"]), float(row["HRC_hi"])
        was = bands.get(at, (low, high))
        bands[at] = (min(low, was[0]), max(high, was[1]))
    return tuple(HardnessBand(at, *bands[at]) for at in sorted(bands))


def hardness(points: Sequence[HardnessBand], celsius: float) -> tuple[float, float] | None:
    """The band of hardness at a temperature; None beyond the published points."""
    for a, b in pairwise(points):
        if a.celsius <= celsius <= b.celsius:
            share = (celsius - a.celsius) / (b.celsius - a.celsius)
            return a.low + share * (b.low - a.low), a.high + share * (b.high - a.high)
    return None


def temperatures_for(points: Sequence[HardnessBand], wanted: float) -> list[float]:
    """The temperatures, °C, at which the band's middle is the hardness wanted, coolest first.

    None where the points never cross it; more than one where a steel hardens again.
    """
    found = list[float]()
    for a, b in pairwise(points):
        first, last = (a.low + a.high) / 2, (b.low + b.high) / 2
        if min(first, last) <= wanted <= max(first, last) and first != last:
            found.append(a.celsius + (first - wanted) / (first - last) * (b.celsius - a.celsius))
    return list(dict.fromkeys(found))


def parameter(celsius: float, hours: float, constant: float = _CONSTANT) -> float:
    """T (C + log t) / 1000 with T in kelvin and t in hours (Hollomon and Jaffe, 1945)."""
    return (celsius + KELVIN) * (constant + log10(hours)) / 1000


def as_long(celsius: float, hours: float, other: float, constant: float = _CONSTANT) -> float:
    """The temperature, °C, at which `other` hours temper as much as these hours at this temperature."""
    return 1000 * parameter(celsius, hours, constant) / (constant + log10(other)) - KELVIN


def hours_at(celsius: float, hours: float, other: float, constant: float = _CONSTANT) -> float:
    """The hours at another temperature, °C, that temper as much as these hours at this one."""
    return float(10 ** (1000 * parameter(celsius, hours, constant) / (other + KELVIN) - constant))


def falls_evenly(group: str) -> bool:
    """Whether times may be reckoned for a group of steels: not for those that harden again, as A2, D2 and the stainless do."""
    return group in _PLAIN
