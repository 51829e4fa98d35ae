"""Structs whose every field differs from its default, made by walking them: a field that comes later is there by itself."""

import types
from decimal import Decimal
from enum import Enum
from typing import Literal, Union, get_args, get_origin, get_type_hints

from msgspec import Struct
from msgspec.structs import fields

from workbook.document.fields import FIELDS, row_of
from workbook.fields import Kind
from workbook.structs import replace


def parts_of(hint):
    """The types that may stand in a place."""
    return get_args(hint) if get_origin(hint) in (Union, types.UnionType) else (hint,)


def hints_of(kind):
    """The types of a struct's fields."""
    return get_type_hints(kind)


def leaves(value, path=""):
    """Path and value of everything in a struct that is no struct itself: "saw.kerf"."""
    for field in fields(value):
        own, place = getattr(value, field.name), f"{path}{field.name}"
        if isinstance(own, Struct):
            yield from leaves(own, f"{place}.")
        else:
            yield place, own


def at(value, path):
    """What stands at a path."""
    for name in path.split("."):
        value = getattr(value, name)
    return value


def put(value, path, new):
    """The struct with something else at a path."""
    name, _, rest = path.partition(".")
    return replace(value, **{name: put(getattr(value, name), rest, new) if rest else new})


def hint_at(kind, path):
    """The type of what stands at a path."""
    name, _, rest = path.partition(".")
    hint = hints_of(kind)[name]
    return hint_at(next(k for k in parts_of(hint) if isinstance(k, type) and issubclass(k, Struct)), rest) if rest else hint


def row_at(kind, path):
    """The row of the field at a path."""
    name, _, rest = path.partition(".")
    if not rest:
        return row_of(kind, name)
    return row_at(next(k for k in parts_of(hints_of(kind)[name]) if isinstance(k, type) and issubclass(k, Struct)), rest)


def another_at(struct, path):
    """Another value for what stands at a path of a struct, within the limits of its row."""
    value, row = at(struct, path), row_at(type(struct), path)
    if row.kind in (Kind.LENGTH, Kind.FINE, Kind.READING, Kind.SHARE, Kind.ANGLE, Kind.NUMBER) and not row.entries:
        step = (row.high - row.low) / 16
        return value + step if value is not None and value + step <= row.high else row.low + step
    if row.kind is Kind.LENGTH:
        return (row.low + (row.high - row.low) / 16,)
    return another(value, hint_at(type(struct), path), path)


def another(value, hint, name=""):
    """Another value that may stand in the same place."""
    kinds = [kind for kind in parts_of(hint) if kind is not type(None)]
    kind = kinds[0]
    if get_origin(kind) is Literal:
        return next(word for word in get_args(kind) if word != value)
    if get_origin(kind) is tuple:
        inner = get_args(kind)[0]
        return (*(value or ()), another(None, inner, name))
    if isinstance(kind, type) and issubclass(kind, Struct):
        return filled(kind, value)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return next(member for member in reversed(kind) if member != value)
    if kind is bool:
        return not value
    if kind is Decimal:
        return (value or Decimal(0)) + Decimal("1.25")
    if kind is int:
        return (value or 0) + 2
    if kind is float:
        return round((value or 0.5) * 1.03, 6)
    assert kind is str, kind
    return f"{name} Ünï 2"


def filled(kind, base=None, **own):
    """A struct in which every field differs from that of the base, or from its default; but those that are given."""
    hints = hints_of(kind)
    before = {field.name: getattr(base, field.name) if base is not None else _default(field) for field in fields(kind)}
    return kind(
        **{name: own[name] if name in own else _within(kind, name, another(before[name], hints[name], name)) for name in before}
    )


def _within(kind, name, value):
    """A number within the limits of its row, where it has one, and a word of those that the row lists."""
    row = next((row for row in FIELDS.get(kind, ()) if row.key == name), None)
    if row is not None and row.words and isinstance(value, str):
        return row.words[-1]
    if row is None or row.entries or isinstance(value, bool) or not isinstance(value, int | float):
        return value
    return value if row.low <= value <= row.high else row.low + (row.high - row.low) / 16


def _default(field):
    if field.default_factory is not None and callable(field.default_factory):
        return field.default_factory()
    return None if field.required else field.default


def other_fields(one, other, leave=()):
    """The paths at which two structs differ, but those left out. Lengths are the same to the millionth of a mm."""
    there = dict(leaves(other))
    return [path for path, value in leaves(one) if path not in leave and not _same(value, there.get(path))]


def _same(one, other):
    if isinstance(one, float) and isinstance(other, float):
        return abs(one - other) < 2e-6
    if isinstance(one, tuple) and isinstance(other, tuple) and len(one) == len(other):
        return all(_same(a, b) for a, b in zip(one, other, strict=True))
    if isinstance(one, Struct) and type(one) is type(other):
        return not other_fields(one, other)
    return one == other
