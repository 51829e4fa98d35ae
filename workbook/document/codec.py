"""Records to and from plain JSON values, by their types: nothing is guessed and no mistake passes silently.

A struct is an object of all its fields. A missing field takes its default, so that a new field needs no migration; an unknown
one is refused. Where several classes are allowed, the object also names its class ("is"). Enums and decimals are text. The
reader and writer of each type are built once and cached.
"""

import types
from collections.abc import Callable
from decimal import Decimal, InvalidOperation
from enum import Enum
from functools import cache
from inspect import get_annotations
from math import isfinite
from typing import Any, Literal, TypeVar, Union, cast, get_args, get_origin, get_type_hints

from msgspec import Struct, structs

from workbook.texts import _

_Made = TypeVar("_Made")
Read = Callable[[Any], Any]
Write = Callable[[Any], Any]
_LONGEST = 1_000_000  # entries of a list, characters of a text
_LARGEST = 1e300


class CodecError(ValueError):
    """A value that does not fit its place; the message names the place."""

    def __init__(self, what: str, place: str = "") -> None:
        super().__init__(f"{place}: {what}" if place else what)
        self.what, self.place = what, place

    def within(self, place: str) -> "CodecError":
        """The same error with its place seen from one level up."""
        return CodecError(self.what, f"{place}{self.place}")


def encoded(value: Any) -> Any:
    """Encode a record as a JSON value. CodecError for an infinite or NaN float, which could not be decoded."""
    return _writer(cast(Any, type(value)))(value)


@cache
def _writer(kind: Any) -> Write:
    """Build the writer of a type."""
    options = get_args(kind) if get_origin(kind) in (Union, types.UnionType) else (kind,)
    if len(options) > 1:
        return _whichever(options)
    if get_origin(kind) is tuple:
        return _list(get_args(kind))
    if _is_struct(kind):
        fields = [(name, _writer(hint)) for name, hint in _hints(kind).items()]
        return lambda value: {name: write(getattr(value, name)) for name, write in fields}
    if kind is float:
        return _float
    if isinstance(kind, type) and issubclass(kind, Enum):
        return lambda value: value.value
    return str if kind is Decimal else lambda value: value


def _whichever(options: tuple[Any, ...]) -> Write:
    """Build the writer of a union: where several classes are allowed, the object also names its class."""
    classes = _records(options)
    plain = [option for option in options if option is not type(None) and not _is_struct(option)]
    only = _writer(plain[0]) if len(plain) == 1 else None

    def write(value: Any) -> Any:
        if value is None:
            return None
        if isinstance(value, Struct):
            fields = encoded(value)
            return fields if len(classes) < 2 else {"is": type(value).__name__} | fields
        return only(value) if only else encoded(value)

    return write


def _list(kinds: tuple[Any, ...]) -> Write:
    writers = [_writer(kind) for kind in kinds if kind is not ...]
    if kinds[-1] is ...:
        each = writers[0]
        return lambda value: [each(item) for item in value]
    return lambda value: [write(item) for write, item in zip(writers, value, strict=True)]


def _float(value: Any) -> Any:
    if not isinstance(value, float):
        return value  # a whole number
    if not isfinite(value):
        raise CodecError(_("{value} cannot be saved as a number", value=value))
    return float(value)  # a number from an array is of another class


def decoded(kind: type[_Made], value: Any) -> _Made:
    """Decode a JSON value as a type. CodecError with the place where it does not fit."""
    return cast(_Made, _reader(cast(Any, kind))(value))


@cache
def _reader(kind: Any) -> Read:
    """Build the reader of a type."""
    options = get_args(kind) if get_origin(kind) in (Union, types.UnionType) else (kind,)
    if len(options) > 1:
        return _one_of(options)
    if get_origin(kind) is tuple:
        return _tuple(get_args(kind))
    if get_origin(kind) is Literal:
        return _if(lambda value: isinstance(value, str) and value in get_args(kind))
    return _record(kind) if _is_struct(kind) else _plain(kind)


def _if(sound: Callable[[Any], bool]) -> Read:
    """Build a reader that returns the value itself where it is sound."""

    def read(value: Any) -> Any:
        if not sound(value):
            raise _wrong(value)
        return value

    return read


def _wrong(value: Any) -> CodecError:
    return CodecError(_("{value!r} is not allowed here", value=str(value)[:60]))


def _plain(kind: Any) -> Read:
    if kind is type(None):
        return _if(lambda value: value is None)
    if kind is bool:
        return _if(lambda value: isinstance(value, bool))
    if kind is int:
        return _if(lambda value: type(value) is int and abs(value) < 2**53)
    if kind is float:
        return _number
    if kind is str:
        return _if(lambda value: type(value) is str and len(value) <= _LONGEST)
    return _word(kind)


def _number(value: Any) -> float:
    if type(value) is float and isfinite(value):
        return value
    if type(value) is int and abs(value) < _LARGEST:
        return float(value)
    raise _wrong(value)


def _word(kind: Any) -> Read:
    """Build the reader of an enum or a decimal."""

    def read(value: Any) -> Any:
        if type(value) is not str or len(value) > _LONGEST:
            raise _wrong(value)
        try:
            result = kind(value)
        except (ValueError, InvalidOperation):
            raise _wrong(value) from None
        if isinstance(result, Decimal) and not result.is_finite():
            raise _wrong(value)
        return result

    return read


def _record(kind: Any) -> Read:
    fields = {name: _reader(hint) for name, hint in _hints(kind).items()}

    def read(value: Any) -> Any:
        if not isinstance(value, dict):
            raise _wrong(value)
        values = {}
        for name, item in value.items():
            field = fields.get(name)
            if field is None:
                if name == "is":
                    continue
                raise CodecError(_("{name!r} is unknown", name=name[:60]))
            try:
                values[name] = field(item)
            except CodecError as trouble:
                raise trouble.within(f".{name}") from None
        try:
            return kind(**values)
        except TypeError:
            missing = next((field.name for field in structs.fields(kind) if field.required and field.name not in values), None)
            if missing is None:
                raise
            raise CodecError(_("{missing} is missing", missing=missing)) from None
        except ValueError as trouble:  # what the record itself refuses
            raise CodecError(str(trouble)) from None

    return read


def _one_of(options: tuple[Any, ...]) -> Read:
    """Build the reader of a union: None, an object that names its class, or a plain value."""
    classes: dict[str, Read] = {kind.__name__: _reader(kind) for kind in _records(options)}
    plain = [_reader(option) for option in options if option is not type(None) and not _is_struct(option)]
    only = next(iter(classes.values())) if len(classes) == 1 else None

    def read(value: Any) -> Any:
        if value is None and type(None) in options:
            return None
        if isinstance(value, dict) and classes:
            reader = only or classes.get(str(value.get("is")))
            if reader is None:
                raise _wrong(value.get("is"))
            return reader(value)
        if len(plain) == 1:
            return plain[0](value)
        raise _wrong(value)

    return read


def _tuple(kinds: tuple[Any, ...]) -> Read:
    many = kinds[-1] is ...
    readers = [_reader(kind) for kind in kinds if kind is not ...]

    def read(value: Any) -> Any:
        if not isinstance(value, list) or len(value) > _LONGEST or (not many and len(value) != len(readers)):
            raise _wrong(value)
        items = []
        for i, item in enumerate(value):
            try:
                items.append(readers[0 if many else i](item))
            except CodecError as trouble:
                raise trouble.within(f"[{i + 1}]") from None
        return tuple(items)

    return read


@cache
def _hints(kind: Any) -> dict[str, Any]:
    """The types of a struct's fields; only string annotations are resolved, which is slow."""
    annotations = get_annotations(kind)
    plain = kind.__struct_fields__ == tuple(annotations) and not any(isinstance(hint, str) for hint in annotations.values())
    return annotations if plain else get_type_hints(kind)


def _records(options: tuple[Any, ...]) -> list[Any]:
    """The structs among some types."""
    return [option for option in options if _is_struct(option)]


def _is_struct(kind: Any) -> bool:
    return isinstance(kind, type) and issubclass(kind, Struct)
