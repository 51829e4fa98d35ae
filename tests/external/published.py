"""Published values of the tables to look up (published.csv), each with its source, and how a cell is set beside one."""

import csv
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from workbook.formats.look_up import fact_tables

# Tables of which no published value could be seen, and why.
UNSEEN = {
    "Names of steels": "every name is checked apart (test_steels.py)",
    "Drills": "the whole number and letter series is checked apart (test_look_up_tables.py)",
    "Hardness scales compared": "the whole table is checked apart (test_look_up_tables.py)",
    "Common practice": "what makers commonly do: the table itself says that no published source stands behind it",
}


@dataclass(frozen=True)
class Published:
    """A value in print. `row`: its first cells, as many as tell it from the others; `how`: see `agrees`."""

    table: str
    row: str
    column: str
    value: str
    how: str
    source: str


@cache
def published():
    """All values, as they stand in the file."""
    with Path(__file__).with_name("published.csv").open(encoding="utf-8", newline="") as file:
        return tuple(Published(**row) for row in csv.DictReader(file))


def of_table(title):
    """The published values of one table."""
    return [value for value in published() if value.table == title]


def table(title):
    """The program's table as it is shown."""
    return next(t for t in fact_tables() if t.title == title)


def cells(value):
    """The program's cell, or both of a column named "low..high"."""
    shown = table(value.table)
    begin = tuple(value.row.split("|"))
    rows = [row for row in shown.rows if row[: len(begin)] == begin]
    assert len(rows) == 1, (value, len(rows))
    return [rows[0][shown.heads.index(head)] for head in value.column.split("..")]


def numbers(text):
    """Every number in a text, signs and units left out."""
    return [float(found) for found in re.findall(r"\d*\.?\d+", text)]


def agrees(value):
    """Whether the program's cell says what is in print.

    equal: its first numbers are those; a number: it differs by that at most; within: between two cells; span: between the least
    and the greatest number of one cell; text: the same words; contains: those words are in it.
    """
    found = cells(value)
    match value.how:
        case "equal":
            wanted = numbers(value.value)
            return numbers(found[0])[: len(wanted)] == wanted
        case "within" | "span":
            ends = [n for cell in found for n in numbers(cell)]
            return min(ends) <= float(value.value) <= max(ends)
        case "text":
            return found[0] == value.value
        case "contains":
            return value.value in found[0]
        case most:
            return abs(numbers(found[0])[0] - float(value.value)) <= float(most) + 1e-9
