"""A table as data for other programs: columns of text, dates, counts or money."""

from decimal import Decimal
from enum import StrEnum

from msgspec import Struct

from workbook.shop.money import NOTHING

Value = str | int | float | Decimal | None  # of a date: its ISO text


class Holds(StrEnum):
    """What a column holds."""

    TEXT = "text"
    DATE = "date"
    NUMBER = "number"
    MONEY = "money"


class Column(Struct, frozen=True):
    """A column: its head, and what it holds; `summed` where its total means something."""

    head: str
    holds: Holds = Holds.TEXT
    summed: bool = False


class DataTable(Struct, frozen=True):
    """A table: its name, its columns, and rows with a value for each."""

    name: str
    columns: tuple[Column, ...]
    rows: tuple[tuple[Value, ...], ...]

    def total(self, column: int) -> Decimal:
        """What a column of money comes to."""
        return sum((value for row in self.rows if isinstance(value := row[column], Decimal)), NOTHING)
