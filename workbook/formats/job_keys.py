"""The keys of a job file's tables, made from the rows of fields: a file may hold what a record may hold."""

from collections.abc import Mapping
from enum import StrEnum
from typing import Any, get_type_hints

from msgspec.structs import fields

from workbook.document.fields import FIELDS, row_of
from workbook.fields import DEGREES, Kind
from workbook.formats.fields import REQUIRED, Key, choice, length, money, number, several, text_of, whole, yes_no
from workbook.formats.fields import Kind as Read
from workbook.template.fields import widest
from workbook.template.parameters import Parameter
from workbook.texts import _


def keys_of(kind: type) -> dict[str, Key]:
    """A key for each field of a struct by its name in the file, with the struct's default; a part has a table of its own."""
    hints, defaults = get_type_hints(kind), {field.name: _default(field) for field in fields(kind)}
    rows = (row for row in FIELDS[kind] if row.kind is not Kind.PART)
    return {row.named or row.key: Key(read_of(kind, row.key, hints[row.key]), defaults[row.key]) for row in rows}


def named(kind: type, values: Mapping[str, Any]) -> dict[str, Any]:
    """Rename values from their names in the file to those of a struct's fields."""
    return {row.key: values[row.named or row.key] for row in FIELDS[kind] if (row.named or row.key) in values}


def _default(field: Any) -> Any:
    return REQUIRED if field.required else field.default


def read_of(kind: type, key: str, hint: Any = None) -> Read:
    """The reader of a field of a struct. Raises TypeError for a field that is not in a job file."""
    row = row_of(kind, key)
    match row.kind:
        case Kind.LENGTH | Kind.FINE | Kind.READING:
            read = length(row.low, row.high)
        case Kind.NUMBER | Kind.SHARE | Kind.ANGLE:
            read = number(row.low, row.high, unit=row.unit)
        case Kind.COUNT:
            read = whole(round(row.low), round(row.high))
        case Kind.MONEY:
            read = money
        case Kind.SWITCH:
            read = yes_no
        case Kind.CHOICE:
            enumeration = hint if isinstance(hint, type) and issubclass(hint, StrEnum) else None
            read = choice(row.words) if enumeration is None else choice(tuple(enumeration), enumeration)
        case Kind.TEXT:
            read = text_of(row.letters, empty=row.empty)
        case _:
            raise TypeError(_("{name}.{key} is not in a job file", name=kind.__name__, key=key))
    return several(read, row.entries) if row.entries else read


def length_of(parameter: Parameter) -> Read:
    """The reader of a parameter that is a length."""
    return length(*widest(parameter))


def number_of(parameter: Parameter) -> Read:
    """The reader of a parameter that is any other number."""
    return number(*widest(parameter), unit=DEGREES if parameter.kind is Kind.ANGLE else "")
