"""Formatting of the fields of an action: a length in the current unit, a share in per cent, a list of names.

Words are format strings whose fields give their format: "{template:of}bar thickness {thickness:length}". A missing value, or one
of the wrong kind, is shown as "?", so that a damaged step costs no more than that.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from workbook.document.action import Value
from workbook.document.money_records import AFTER_WORDS, PAYMENT_WORDS
from workbook.shop.orders import STATUS_WORDS
from workbook.template.holes import WORDS as PURPOSES
from workbook.template.parameters import PARAMETERS
from workbook.template.pegs import RUN_WORDS
from workbook.template.resizing import SCALED_WORDS, TAKEN_WORDS
from workbook.template.words import FACE_WORDS, GROUP_WORDS
from workbook.texts import _
from workbook.units import HABITS, Unit, as_fraction, show

UNTOLD = "?"
_LONGEST, _MOST, _FEW = 200, 1e9, 4  # characters; the largest number shown; the names shown of many
_LABELS = {p.path: p.label for p in PARAMETERS}


class _Other(ValueError):
    """A value of the wrong kind for its format."""


class Fields:
    """The fields of an action, for use in format strings."""

    def __init__(self, fields: Mapping[str, Value], unit: Unit) -> None:
        self._fields, self.unit = fields, unit

    def __getitem__(self, name: str) -> ToldField:
        return ToldField(self._fields.get(name), self.unit)

    def value(self, name: str) -> Value:
        """The plain value of a field; None where it is missing."""
        return self._fields.get(name)

    def tell(self, words: str) -> str:
        """Fill in the fields that the words name."""
        return words.format_map(self)


class ToldField:
    """One field, formatted as a format string asks: "length", "n blank|blanks"."""

    def __init__(self, value: Value, unit: Unit) -> None:
        self._value, self._unit = value, unit

    def __format__(self, kind: str) -> str:
        name, _blank, more = kind.partition(" ")
        try:
            return _KINDS[name](self._value, self._unit, more)
        except _Other:
            return UNTOLD


def text_of(value: Value) -> str:
    """A text value, shortened to 200 characters. ValueError for a value of another type."""
    if not isinstance(value, str):
        raise _Other
    return value if len(value) <= _LONGEST else f"{value[:_LONGEST]}…"


def _number(value: Value) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float) or not abs(value) < _MOST:
        raise _Other
    return value


def _list(value: Value) -> list[Value]:
    if not isinstance(value, list):
        raise _Other
    return value


def _length(value: Value, unit: Unit, more: str) -> str:
    """A length with its unit; for "length none", `more` ("none") where the value is None."""
    return more if value is None and more else f"{show(_number(value), unit)} {unit}"


def _step(value: Value, unit: Unit, more: str) -> str:
    """A length, however small; as a fraction where that is exact."""
    mm = _number(value)
    if HABITS[unit].coarse is not None:
        return f"{round(mm / HABITS[unit].mm, 3):g} {unit}"
    return f"{as_fraction(mm) if as_fraction(mm) == as_fraction(mm, 6400) else show(mm, unit, fine=True)} {unit}"


def _count(value: Value, unit: Unit, more: str) -> str:
    """A whole number; for "n blank|blanks", with its noun in the singular or plural."""
    count = _number(value)
    if count != int(count):
        raise _Other
    words = more.split("|")
    return f"{count:.0f} {words[0] if count == 1 else words[-1]}".rstrip()


def _names(value: Value, unit: Unit, more: str) -> str:
    return ", ".join(text_of(each) for each in _list(value)) or _("none")


def _few(value: Value, unit: Unit, more: str) -> str:
    """The first few of several names."""
    first = _names(_list(value)[:_FEW], unit, more)
    return _("{names}…", names=first) if len(_list(value)) > _FEW else first


def _lengths(value: Value, unit: Unit, more: str) -> str:
    texts = [show(_number(each), unit) for each in _list(value)]
    return f"{', '.join(texts)} {unit}" if texts else _("none")


def _parameter(value: Value, unit: Unit, more: str) -> str:
    """A parameter's label; its path where the parameter is unknown."""
    return _LABELS.get(text_of(value), text_of(value))


def _yes(value: Value, unit: Unit, more: str) -> str:
    if not isinstance(value, bool):
        raise _Other
    return _("yes") if value else _("no")


def _one_of(words: Mapping[Any, str]) -> Callable[[Value, Unit, str], str]:
    """Build the format of a choice: its words, or the stored value where it is unknown."""
    return lambda value, unit, more: words.get(text_of(value), text_of(value))


_KINDS: dict[str, Callable[[Value, Unit, str], str]] = {
    "": lambda value, unit, more: text_of(value),
    "of": lambda value, unit, more: "" if value is None else f"{text_of(value)}: ",  # the owner's name as a prefix, where given
    "or": lambda value, unit, more: text_of(value) or more,  # "or nobody": the words in place of an empty text
    "n": _count,
    "number": lambda value, unit, more: f"{_number(value):g}",
    "length": _length,
    "bare": lambda value, unit, more: show(_number(value), unit),  # the unit follows a later number
    "fine": lambda value, unit, more: f"{show(_number(value), unit, fine=True)} {unit}",
    "step": _step,
    "lengths": _lengths,
    "share": lambda value, unit, more: f"{_number(value):.0%}",
    "per_cent": lambda value, unit, more: f"{_number(value) * 100:g}%",
    "angle": lambda value, unit, more: f"{_number(value):g}°",
    "tenths": lambda value, unit, more: f"{_number(value):.1f}°",
    "names": _names,
    "few": _few,
    "yes": _yes,
    "parameter": _parameter,
    "purpose": _one_of(PURPOSES),
    "run": _one_of(RUN_WORDS),
    "status": _one_of(STATUS_WORDS),
    "payment": _one_of(PAYMENT_WORDS),
    "after": _one_of(AFTER_WORDS),
    "taken": _one_of(TAKEN_WORDS),
    "scaled": _one_of(SCALED_WORDS),
    "face": _one_of(FACE_WORDS),
    "group": _one_of(GROUP_WORDS),
    "curve": _one_of({"spine": _("spine"), "belly": _("belly")}),
}
Words = str | Callable[[Fields], str]  # a format string, or the function that builds the sentence


def choice(words: str, options: Mapping[str, str]) -> Words:
    """Build words in which the field `value` is one of a few options: "paper: {}"."""
    tell = _one_of(options)

    def told(fields: Fields) -> str:
        try:
            return words.format(tell(fields.value("value"), fields.unit, ""))
        except _Other:
            return words.format(UNTOLD)

    return told
