"""Form items built from the table of fields, so that forms and records share limits and labels."""

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
    """The items of a struct's labelled fields, in its order and under their headings.

    `before`: prefix of their keys; `heads`: if given, include only fields under these headings; `leave`: keys to leave out.
    """
    return tuple(_items(kind, before, heads, leave))


def _items(kind: type, before: str, heads: Collection[str], leave: Collection[str]) -> Iterator[Item | Heading]:
    head = ""
    for row in FIELDS[kind]:
        nested = row.kind is Kind.PART and bool(row.head)
        if row.key in leave or not (row.label or nested) or (heads and row.head not in heads):
            continue
        if row.head != head:
            head = row.head
            yield Heading(head)
        if nested:
            yield from form_items(get_type_hints(kind)[row.key], f"{before}{row.key}.")
        else:
            yield item(kind, f"{before}{row.key}")


def item(kind: type, key: str, **overrides: Any) -> Item:
    """The item of a struct's field, named by the last part of `key`. A share is entered in per cent.

    `overrides`: what this form changes, such as the label. Raises TypeError for a kind that no form has.
    """
    row = row_of(kind, key.rpartition(".")[2])
    return _made(row, {"key": key, "words": _words(row), "meaning": row.meaning, **overrides})


def _words(row: Field) -> str:
    """The label of a field, with the unit unless it is a length."""
    unit = "%" if row.kind is Kind.SHARE else short_unit(row)
    return _("{label}, {unit}", label=row.label, unit=unit) if unit else row.label


def _made(row: Field, arguments: dict[str, Any]) -> Item:
    zero: dict[str, Any] = {"zero": row.zero, "absent": bool(row.none and row.zero)}
    if row.options or row.kind in (Kind.CHOICE, Kind.REFERENCE):
        return ChoiceItem(**{"options": row.options, **arguments})
    if row.kind in LENGTHS and row.entries:
        return LengthsItem(low=row.low, high=row.high, **arguments)
    if row.kind in LENGTHS:
        return LengthItem(low=row.low, high=row.high, kind=row.kind, **zero, **arguments)
    match row.kind:
        case Kind.SHARE | Kind.NUMBER | Kind.ANGLE | Kind.COUNT:
            by = 100.0 if row.kind is Kind.SHARE else 1.0
            return NumberItem(low=row.low, high=row.high, whole=row.kind is Kind.COUNT, by=by, **zero, **arguments)
        case Kind.MONEY:
            return AmountItem(**arguments)
        case Kind.SWITCH:
            return SwitchItem(**arguments)
        case Kind.TEXT:
            return TextItem(most=row.letters, empty=row.empty and not row.filled, **arguments)
        case Kind.DATE:
            return TextItem(most=len("2027-01-15"), empty=row.empty, look_at=iso_date, **arguments)
        case _:
            raise TypeError(_("{key} is no field of a form", key=row.key))
