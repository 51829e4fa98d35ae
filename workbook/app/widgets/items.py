"""Items of forms made from the rows of fields: what a form takes is what a record may hold."""

from collections.abc import Iterable
from typing import Any

from workbook.app.widgets.form import (
    AmountItem,
    ChoiceItem,
    Item,
    LengthItem,
    LengthsItem,
    NumberItem,
    SwitchItem,
    TextItem,
)
from workbook.document.fields import row_of
from workbook.fields import Kind

_LENGTHS = (Kind.LENGTH, Kind.FINE, Kind.READING)


def item(kind: type, key: str, words: str, *, none: bool = False, filled: bool = False) -> Item:
    """The item of a field of a struct; the last part of `key` is its name. A share is entered in per cent.

    `none`: 0 stands for no value; `filled`: a text is not to be empty here.
    """
    row = row_of(kind, key.rpartition(".")[2])
    if row.kind in _LENGTHS and row.entries:
        return LengthsItem(key, words, row.low, row.high)
    if row.kind in _LENGTHS:
        return LengthItem(key, words, row.low, row.high, row.kind, none)
    match row.kind:
        case Kind.SHARE:
            return NumberItem(key, words, row.low * 100, row.high * 100)
        case Kind.NUMBER | Kind.ANGLE | Kind.COUNT:
            return NumberItem(key, words, row.low, row.high, whole=row.kind is Kind.COUNT)
        case Kind.MONEY:
            return AmountItem(key, words)
        case Kind.SWITCH:
            return SwitchItem(key, words)
        case Kind.TEXT:
            return TextItem(key, words, row.letters, row.empty and not filled)
        case Kind.DATE:
            return TextItem(key, words, len("2027-01-15"), row.empty)
        case _:
            raise TypeError(f"{kind.__name__}.{key} is no field of a form")


def choice(kind: type, key: str, words: str, options: Iterable[tuple[Any, str]]) -> ChoiceItem:
    """One of a few, of a field that is one."""
    assert row_of(kind, key.rpartition(".")[2]).kind in (Kind.CHOICE, Kind.LENGTH, Kind.REFERENCE)
    return ChoiceItem(key, words, tuple(options))
