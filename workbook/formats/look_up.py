"""The shipped tables of facts as they are looked up: every row with its source and how sure it is."""

import csv
import re
import tomllib
from functools import cache
from pathlib import Path

from msgspec import Struct

from workbook.paths import resource

_LAST = ("source", "basis", "sure_pct")  # columns that stand behind the others, in this order
_UNITS = {"F": "°F", "C": "°C", "pct": "%", "um": "µm", "uin": "µin", "mm": "mm", "in": "in", "lbf": "lbf", "N": "N"}


class FactTable(Struct, frozen=True):
    """One table: its title, the heads of its columns, its rows as text, and a caution where there is need of one."""

    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    caution: str = ""

    def matching(self, words: str) -> list[tuple[str, ...]]:
        """The rows that hold every word, in any column."""
        wanted = words.casefold().split()
        return [row for row in self.rows if all(any(word in cell.casefold() for cell in row) for word in wanted)]


@cache
def fact_tables() -> tuple[FactTable, ...]:
    """All tables, in the order they are offered."""
    index = resource("data", "look_up", "index.toml")
    listed = tomllib.loads(index.read_text(encoding="utf-8"))["table"]
    return tuple(_table(index.parent / entry["file"], entry["title"], entry.get("caution", "")) for entry in listed)


def _table(file: Path, title: str, caution: str) -> FactTable:
    with file.open(encoding="utf-8", newline="") as opened:
        reader = csv.DictReader(opened)
        names = [name for name in reader.fieldnames or () if name not in _LAST]
        names += [name for name in _LAST if name in (reader.fieldnames or ())]
        rows = tuple(tuple((row[name] or "").strip() for name in names) for row in reader)
    return FactTable(title, tuple(_head(name) for name in names), rows, caution)


def _head(name: str) -> str:
    """A column's name as words with its unit: "temper_F" is "temper, °F"."""
    if name == "sure_pct":
        return "sure, %"
    *words, last = re.split("_", name)
    unit = _UNITS.get(last) if words else None
    text = " ".join(words) if unit else name.replace("_", " ")
    return f"{text}, {unit}" if unit else text
