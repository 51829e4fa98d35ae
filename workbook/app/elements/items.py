"""Items of forms made from the rows of fields: what a form takes is what a record may hold, under the name that stands there."""

from collections.abc import Collection, Iterator
from typing import Any, get_type_hints

from workbook.app.elements.form import (
    AmountItem,
    ChoiceItem,
    Heading,
    Item,
    LengthItem,
    LengthsItem,
    NumberItem,
    SwitchItem,
    TextItem,
)
from workbook.document.fields import FIELDS, row_of
from workbook.fields import LENGTHS, Field, Kind, short_unit
from workbook.shop.order_entry import iso_date
from workbook.texts import _


def form_items(
    kind: type, before: str = "", *, heads: Collection[str] = (), leave: Collection[str] = ()
) -> tuple[Item | Heading, ...]:
    """The items of a struct's fields that have a label, in its order and under their headings.

    `before`: what their keys begin with; `heads`: only those that stand under these; `leave`: without these.
    """
    return tuple(_items(kind, before, heads, leave))


def _items(kind: type, before: str, heads: Collection[str], leave: Collection[str]) -> Iterator[Item | Heading]:
    head = ""
    for row in FIELDS[kind]:
        within = row.kind is Kind.PART and bool(row.head)
        if row.key in leave or not (row.label or within) or (heads and row.head not in heads):
            continue
        if row.head != head:
            head = row.head
            yield Heading(head)
        if within:
            yield from form_items(get_type_hints(kind)[row.key], f"{before}{row.key}.")
        else:
            yield item(kind, f"{before}{row.key}")


def item(kind: type, key: str, **other: Any) -> Item:
    """The item of a field of a struct; the last part of `key` is its name. A share is entered in per cent.

    `other`: what this form has otherwise, such as words.
    """
    row = row_of(kind, key.rpartition(".")[2])
    return _made(row, {"key": key, "words": _words(row), "meaning": row.meaning, **other})


def _words(row: Field) -> str:
    """Its label, with the unit of what is no length."""
    unit = "%" if row.kind is Kind.SHARE else short_unit(row)
    return f"{row.label}, {unit}" if unit else row.label


def _made(row: Field, own: dict[str, Any]) -> Item:
    zero: dict[str, Any] = {"zero": row.zero, "absent": bool(row.none and row.zero)}
    if row.options or row.kind in (Kind.CHOICE, Kind.REFERENCE):
        return ChoiceItem(**{"options": row.options, **own})
    if row.kind in LENGTHS and row.entries:
        return LengthsItem(low=row.low, high=row.high, **own)
    if row.kind in LENGTHS:
        return LengthItem(low=row.low, high=row.high, kind=row.kind, **zero, **own)
    match row.kind:
        case Kind.SHARE | Kind.NUMBER | Kind.ANGLE | Kind.COUNT:
            by = 100.0 if row.kind is Kind.SHARE else 1.0
            return NumberItem(low=row.low, high=row.high, whole=row.kind is Kind.COUNT, by=by, **zero, **own)
        case Kind.MONEY:
            return AmountItem(**own)
        case Kind.SWITCH:
            return SwitchItem(**own)
        case Kind.TEXT:
            return TextItem(most=row.letters, empty=row.empty and not row.filled, **own)
        case Kind.DATE:
            return TextItem(most=len("2027-01-15"), empty=row.empty, look_at=iso_date, **own)
        case _:
            raise TypeError(_("{key} is no field of a form", key=row.key))
