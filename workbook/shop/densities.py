"""Densities of handle materials and pins: from the shipped tables, or as the maker wrote it after the name."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress

from msgspec import Struct

from workbook.number_in import NumberError, parse_number

_SPELT = {"fiber": "fibre", "aluminum": "aluminium", "vulcanized": "vulcanised", "stabilized": "stabilised"}
_FIGURE = {
    "curly",
    "figured",
    "quilted",
    "flamed",
    "flame",
    "fiddleback",
    "birdseye",
    "dyed",
    "quartersawn",
}  # weigh as plain wood
_OWN = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*g\s*/\s*cm(?:3|³)", re.IGNORECASE)
_LEAST, _MOST = 0.1, 25.0  # g/cm3


class Weighed(Struct, frozen=True):
    """A density and the material it belongs to. `others`: the other rows that match the same words."""

    name: str
    density: float  # g/cm3
    others: tuple[str, ...] = ()
    wood: bool = False


class MaterialDensity(Struct, frozen=True):
    """A row of a table of densities."""

    name: str
    density: float  # g/cm3
    wood: bool
    names: tuple[frozenset[str], ...]  # the words of its name, then of every other name


def weighed(material: str, rows: Sequence[MaterialDensity]) -> Weighed | None:
    """The density written after a name ("1.1 g/cm3"), else of the row of that name, else of the first row whose name has all
    its words; None where no row does. Words for figure ("curly") do not count.
    """
    density = _own(material)
    if density is not None:
        return Weighed(material, density)
    words = _words(material) - _FIGURE
    exact = [row for row in rows if words in row.names]
    matches = exact or [row for row in rows if words and any(words <= name for name in row.names)]
    return (
        Weighed(matches[0].name, matches[0].density, tuple(row.name for row in matches[1:]), matches[0].wood) if matches else None
    )


def _own(material: str) -> float | None:
    """The density written after a name, g/cm3; None where there is none, or one that is out of range."""
    match = _OWN.search(material)
    with suppress(NumberError):
        return float(parse_number(match[1], _LEAST, _MOST)) if match else None
    return None


def _words(text: str) -> frozenset[str]:
    return frozenset(_SPELT.get(word, word) for word in re.findall(r"[^\W_]+", text.casefold()))


def materials_of(woods: Iterable[Mapping[str, str]], others: Iterable[Mapping[str, str]]) -> tuple[MaterialDensity, ...]:
    """The rows of two tables: woods (resources/data/look_up/woods.csv), then everything else (resources/data/densities.csv)."""
    wood_rows = _read(woods, "common", "density_12pct_g_cm3", wood=True)
    return (*wood_rows, *_read(others, "material", "g_per_cm3", wood=False))


def _read(rows: Iterable[Mapping[str, str]], name: str, density: str, *, wood: bool) -> Iterator[MaterialDensity]:
    for row in rows:
        names = tuple(_words(words) for words in (row[name], *row["also"].split(";")) if words)
        yield MaterialDensity(row[name], float(row[density]), wood, names)
