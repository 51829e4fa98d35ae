"""Steels, found by any of their standard names."""

import re
from collections.abc import Iterable, Mapping
from functools import cached_property

from msgspec import Struct

# Prefixes of a designation that only name its standard: "AISI 52100", "W.-Nr. 1.3505", "DIN EN 100Cr6".
_WHOSE = re.compile(r"^(?:(?:aisi|sae|astm|uns|din|en|iso|w\.?\s*-?\s*nr\.?|werkstoff\s*-?\s*(?:nr\.?|nummer))[\s:/-]*)+")


class Steel(Struct, frozen=True):
    """One steel: the name the program writes, its other standard names, near equivalents, group, density in g/cm3."""

    name: str
    others: tuple[str, ...]
    near: str
    group: str
    density: float | None


class Steels(Struct, frozen=True, dict=True):
    """A table of steels, in its order."""

    all: tuple[Steel, ...]

    @cached_property
    def _by_name(self) -> dict[str, Steel]:
        return {plain_name(name): steel for steel in self.all for name in (steel.name, *steel.others)}

    def named(self, text: str) -> Steel | None:
        """The steel with this standard name in any spelling; None where no steel has it, or the text is more than a name."""
        return self._by_name.get(plain_name(text))

    def in_cell(self, cell: str) -> tuple[Steel, ...]:
        """The steels that a table's cell names before its brackets, as in "AISI 1075/1080 (measured)"."""
        names = cell.partition(" (")[0].split("/")
        return tuple(steel for steel in map(self.named, names) if steel is not None)


def steels_of(rows: Iterable[Mapping[str, str]]) -> Steels:
    """The steels of the rows of a table (resources/data/look_up/steels.csv)."""
    return Steels(tuple(_steel(row) for row in rows))


def _steel(row: Mapping[str, str]) -> Steel:
    columns = (row["AISI/SAE"], row["UNS"], row["EN_name"], row["W.-Nr."], *row["other_names"].split(";"))
    others = tuple(text for text in dict.fromkeys(column.strip() for column in columns) if text)
    density = float(row["g_per_cm3"]) if row["g_per_cm3"] else None
    return Steel(name=row["steel"], others=others, near=row["near"], group=row["group"], density=density)


def plain_name(text: str) -> str:
    """Strip a designation of what may differ between two spellings: its standard, capitals, spaces and hyphens."""
    return re.sub(r"[\s-]+", "", _WHOSE.sub("", text.strip().casefold()))
