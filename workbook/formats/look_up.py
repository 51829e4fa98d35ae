"""The shipped tables of facts for looking up: every row with its source and how sure it is."""

import csv
import re
import tomllib
from functools import cache
from pathlib import Path

from msgspec import Struct

from workbook.formats.tables import facts
from workbook.paths import resource
from workbook.shop.steels import Steel

_LAST = ("source", "basis", "sure_pct")  # columns that come after the others, in this order
_OF_STEELS = ("steel", "material")  # columns that name a steel: its other names find the row too
_DEGREES = re.compile(r"\d{3,4}")  # in a cell of temperatures; smaller numbers there are hours
_UNITS = {"F": "°F", "C": "°C", "pct": "%", "um": "µm", "uin": "µin", "mm": "mm", "in": "in", "lbf": "lbf", "N": "N"}


class FactTable(Struct, frozen=True):
    """One table: its title, the heads of its columns, its rows as text, and a caution where one is needed."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    caution: str = ""
    steels: tuple[tuple[Steel, ...], ...] = ()  # of each row, where it names any

    def matching(self, words: str) -> list[tuple[str, ...]]:
        """The rows that have every word, in any column or as a name of their steel; "100 Cr 6" is one word where it is a name."""
        text = words.casefold().strip()
        named = facts().steels.named
        parts = [text] if self.steels and named(text) is not None else text.split()
        terms = [(part, named(part)) for part in parts]
        steels = self.steels or ((),) * len(self.rows)
        return [
            row
            for row, row_steels in zip(self.rows, steels, strict=True)
            if all(steel in row_steels or any(part in cell.casefold() for cell in row) for part, steel in terms)
        ]


@cache
def fact_tables() -> tuple[FactTable, ...]:
    """All tables, in the order of their index."""
    index = resource("data", "look_up", "index.toml")
    entries = tomllib.loads(index.read_text(encoding="utf-8"))["table"]
    return tuple(_table(index.parent / entry["file"], entry["title"], entry.get("caution", "")) for entry in entries)


def _table(file: Path, title: str, caution: str) -> FactTable:
    with file.open(encoding="utf-8", newline="") as stream:
        reader = csv.DictReader(stream)
        names = [name for name in reader.fieldnames or () if name not in _LAST]
        names += [name for name in _LAST if name in (reader.fieldnames or ())]
        cells = [{name: (row[name] or "").strip() for name in names} for row in reader]
    names = [each for name in names for each in _with_celsius(name, names)]
    rows = tuple(tuple(row[name] if name in row else celsius(row[name[:-1] + "F"]) for name in names) for row in cells)
    of_steels = names[0] in _OF_STEELS
    steels = tuple(facts().steels.in_cell(row[0]) for row in rows) if of_steels else ()
    return FactTable(title, tuple(_head(name) for name in names), rows, caution, steels)


def _with_celsius(name: str, names: list[str]) -> tuple[str, ...]:
    """A column, and after one in °F a column in °C where the table has none."""
    twin = name[:-1] + "C"
    return (name, twin) if name.endswith("_F") and twin not in names else (name,)


def celsius(text: str) -> str:
    """A cell of degrees Fahrenheit in whole degrees Celsius, words kept: "1475-1550 (1500 aim)" is "802-843 (816 aim)"."""
    return _DEGREES.sub(lambda number: str(round((int(number[0]) - 32) / 1.8)), text)


def _head(name: str) -> str:
    """A column's name as words with its unit: "temper_F" is "temper, °F"."""
    if name == "sure_pct":
        return "sure, %"
    *words, last = re.split("_", name)
    unit = _UNITS.get(last) if words else None
    text = " ".join(words) if unit else name.replace("_", " ")
    return f"{text}, {unit}" if unit else text
