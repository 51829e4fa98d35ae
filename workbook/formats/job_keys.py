"""The keys of a job file's tables, made from the rows of fields: what a file may say is what a record may hold."""

from collections.abc import Mapping
from enum import StrEnum
from typing import Any, get_type_hints

from msgspec.structs import fields

from workbook.document.fields import FIELDS, row_of
from workbook.fields import Kind
from workbook.formats.fields import REQUIRED, Key, choice, length, money, number, several, text_of, whole, yes_no
from workbook.formats.fields import Kind as Read
from workbook.template.fields import widest
from workbook.template.parameters import Parameter
from workbook.texts import _


def keys_of(kind: type) -> dict[str, Key]:
    """A key for each field of a struct by its name in the file, with the default it has there; a part has a table of its own."""
    hints, defaults = get_type_hints(kind), {field.name: _default(field) for field in fields(kind)}
    rows = (row for row in FIELDS[kind] if row.kind is not Kind.PART)
    return {row.named or row.key: Key(read_of(kind, row.key, hints[row.key]), defaults[row.key]) for row in rows}


def named(kind: type, values: Mapping[str, Any]) -> dict[str, Any]:
    """Values by their names in the file, by the names of a struct's fields."""
    return {row.key: values[row.named or row.key] for row in FIELDS[kind] if (row.named or row.key) in values}


def _default(field: Any) -> Any:
    return REQUIRED if field.required else field.default


def read_of(kind: type, key: str, hint: Any = None) -> Read:
    """How a field of a struct is read."""
    row = row_of(kind, key)
    match row.kind:
        case Kind.LENGTH | Kind.FINE | Kind.READING:
            one = length(row.low, row.high)
        case Kind.NUMBER | Kind.SHARE | Kind.ANGLE:
            one = number(row.low, row.high, words=row.unit or "a number")
        case Kind.COUNT:
            one = whole(round(row.low), round(row.high))
        case Kind.MONEY:
            one = money
        case Kind.SWITCH:
            one = yes_no
        case Kind.CHOICE:
            of = hint if isinstance(hint, type) and issubclass(hint, StrEnum) else None
            one = choice(row.words) if of is None else choice(tuple(of), of)
        case Kind.TEXT:
            one = text_of(row.letters, empty=row.empty)
        case _:
            raise TypeError(_("{name}.{key} is not in a job file", name=kind.__name__, key=key))
    return several(one, row.entries) if row.entries else one


def length_of(parameter: Parameter) -> Read:
    """How a parameter that is a length is read."""
    return length(*widest(parameter))


def number_of(parameter: Parameter) -> Read:
    """How a parameter that is another number is read."""
    return number(*widest(parameter), words="degrees" if parameter.kind is Kind.ANGLE else "a number")
