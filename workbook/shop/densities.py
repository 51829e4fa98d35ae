"""What handle materials and pins weigh: a row of the shipped tables, or what the maker wrote behind the name."""

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress

from msgspec import Struct

from workbook.number_in import NumberError, parse_number

_SPELT = {"fiber": "fibre", "aluminum": "aluminium", "vulcanized": "vulcanised", "stabilized": "stabilised"}
_FIGURE = {"curly", "figured", "quilted", "flamed", "flame", "fiddleback", "birdseye", "dyed", "quartersawn"}  # weighs as plain
_OWN = re.compile(r"([0-9]+(?:[.,][0-9]+)?)\s*g\s*/\s*cm(?:3|³)", re.IGNORECASE)
_LEAST, _MOST = 0.1, 25.0  # g/cm3


class Weighed(Struct, frozen=True):
    """A density and whose it is. `others`: rows that are meant by the same words, when it may be another."""

    name: str
    density: float  # g/cm3
    others: tuple[str, ...] = ()
    wood: bool = False


class MaterialDensity(Struct, frozen=True):
    """A row of a table."""

    name: str
    density: float  # g/cm3
    wood: bool
    names: tuple[frozenset[str], ...]  # the words of its name, then of every other name


def weighed(material: str, rows: Sequence[MaterialDensity]) -> Weighed | None:
    """The density written behind a name ("1.1 g/cm3"), else of the row of that name, else of the first row whose name holds
    all its words; None where no row does. Words of figure ("curly") do not count.
    """
    own = _own(material)
    if own is not None:
        return Weighed(material, own)
    wanted = _words(material) - _FIGURE
    exact = [row for row in rows if wanted in row.names]
    found = exact or [row for row in rows if wanted and any(wanted <= name for name in row.names)]
    return Weighed(found[0].name, found[0].density, tuple(row.name for row in found[1:]), found[0].wood) if found else None


def _own(material: str) -> float | None:
    """The density that is written behind a name, g/cm3; None where none is, or none that can be."""
    found = _OWN.search(material)
    with suppress(NumberError):
        return float(parse_number(found[1], _LEAST, _MOST)) if found else None
    return None


def _words(text: str) -> frozenset[str]:
    return frozenset(_SPELT.get(word, word) for word in re.findall(r"[^\W_]+", text.casefold()))


def materials_of(woods: Iterable[Mapping[str, str]], others: Iterable[Mapping[str, str]]) -> tuple[MaterialDensity, ...]:
    """The rows of two tables: woods (resources/data/look_up/woods.csv), then all else (resources/data/densities.csv)."""
    of_woods = _read(woods, "common", "density_12pct_g_cm3", wood=True)
    return (*of_woods, *_read(others, "material", "g_per_cm3", wood=False))


def _read(rows: Iterable[Mapping[str, str]], name: str, density: str, *, wood: bool) -> Iterator[MaterialDensity]:
    for row in rows:
        names = tuple(_words(words) for words in (row[name], *row["also"].split(";")) if words)
        yield MaterialDensity(row[name], float(row[density]), wood, names)
