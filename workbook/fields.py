"""What a field of a record may hold, defined once: its kind, its limits, what it refers to. Files, tables and fields of the
window are checked by these rows; the rows stand beside their structs, in `fields.py` of each floor.
"""

import re
from collections.abc import Callable, Iterator
from enum import StrEnum
from functools import lru_cache
from typing import Any

from msgspec import Struct

from workbook.number_in import MOST_MONEY, written
from workbook.texts import _

NAME, NOTE = 200, 2000  # letters of a name, and of a longer text
SUM = 10**12  # of calculated money
DEGREES, CELSIUS, MINUTES, DAYS = _("degrees"), _("degrees Celsius"), _("minutes"), _("days")  # units of numbers
_DATE = re.compile(r"(\d{4})-(\d\d)-(\d\d)", re.ASCII)
_TIME = re.compile(r"T\d\d:\d\d(:\d\d(\.\d{1,6})?)?(Z|[+-]\d\d:\d\d)?", re.ASCII)


class Kind(StrEnum):
    """The kind of a value."""

    LENGTH = "length"  # mm
    FINE = "fine length"  # mm, a thickness or an allowance: shown in thousandths
    READING = "reading"  # mm, as calipers read it: to half a thousandth
    SHARE = "share"  # 0..1 of something, shown in per cent
    ANGLE = "angle"  # degrees
    NUMBER = "number"
    COUNT = "count"  # a whole number
    MONEY = "money"
    CHOICE = "choice"  # one of a few words: its type says which
    SWITCH = "switch"  # yes or no
    TEXT = "text"
    DATE = "date"  # ISO; "" is none
    MOMENT = "moment"  # ISO date, or date and time; "" is none
    ID = "id"
    REFERENCE = "reference"  # the id of another record
    PLACE = "place"  # x and y, mm
    CIRCLE = "circle"  # its centre and its diameter, mm
    PART = "part"  # a struct with rows of its own


LENGTHS = (Kind.LENGTH, Kind.FINE, Kind.READING)  # in mm


class Field(Struct, frozen=True, kw_only=True):
    """One field of a struct and what it may hold."""

    key: str
    kind: Kind
    low: float = 0.0  # of a number
    high: float = 0.0
    unit: str = ""  # of a number that is not a length: "minutes"
    letters: int = 0  # of a text, at most
    entries: int = 0  # at most, where it holds several; 0: it holds one
    none: str = ""  # what None stands for, "not read"; "": there is always a value
    empty: bool = True  # whether a text may be empty
    words: tuple[str, ...] = ()  # the options of a choice, where its type does not list them
    of: tuple[str, ...] = ()  # the kinds of record that an id may refer to; the record may be gone
    added: bool = False  # whether it is only ever added: once written it stays
    label: str = ""  # in forms and in the names of edits: "Saw kerf"; "": the window has no field for it
    head: str = ""  # the heading it stands under in a form
    options: tuple[tuple[Any, str], ...] = ()  # what a form offers, values and their labels: of a choice, or of very many values
    zero: str = ""  # what 0 stands for, where it is typed: "not known"
    filled: bool = False  # whether a typed text must have letters, whatever older files hold
    meaning: str = ""  # what it does, in a few words
    named: str = ""  # its name in a job file, where that differs
    since: int = 0  # the version of workbook files that introduced or renamed it; 0: before rows recorded it


Table = tuple[Field, ...]
Rule = Callable[[Any], Iterator[tuple[str, str]]]  # which values of a struct conflict: the field, and why


def number(key: str, low: float, high: float, kind: Kind = Kind.NUMBER, **more: Any) -> Field:
    """A number from one limit to another."""
    return Field(key=key, kind=kind, low=low, high=high, **more)


def length(key: str, low: float, high: float, kind: Kind = Kind.LENGTH, **more: Any) -> Field:
    """A length in mm."""
    return number(key, low, high, kind, **more)


def angle(key: str, low: float, high: float, **more: Any) -> Field:
    """An angle in degrees."""
    return number(key, low, high, Kind.ANGLE, unit=DEGREES, **more)


def share(key: str, low: float = 0.0, high: float = 1.0, **more: Any) -> Field:
    """A share: 0.35 is 35 %."""
    return number(key, low, high, Kind.SHARE, **more)


def count(key: str, low: int, high: int, **more: Any) -> Field:
    """A whole number."""
    return number(key, low, high, Kind.COUNT, **more)


def money(key: str, high: float = MOST_MONEY, *, low: float = 0, **more: Any) -> Field:
    """An amount."""
    return number(key, low, high, Kind.MONEY, **more)


def text(key: str, letters: int = NAME, **more: Any) -> Field:
    """A text that may be empty."""
    return Field(key=key, kind=Kind.TEXT, letters=letters, **more)


def name(key: str = "name", **more: Any) -> Field:
    """A text that is not empty."""
    return text(key, empty=False, **more)


def parts(key: str, entries: int, **more: Any) -> Field:
    """Several structs."""
    return Field(key=key, kind=Kind.PART, entries=entries, **more)


def part(key: str, **more: Any) -> Field:
    """A struct."""
    return Field(key=key, kind=Kind.PART, **more)


def choice(key: str, **more: Any) -> Field:
    """One of a few words."""
    return Field(key=key, kind=Kind.CHOICE, **more)


def switch(key: str, **more: Any) -> Field:
    """Yes or no."""
    return Field(key=key, kind=Kind.SWITCH, **more)


def short_unit(field: Field) -> str:
    """The unit of a number, as it stands beside it: "°C"."""
    return "°C" if field.unit == CELSIUS else field.unit


def limits_in_words(field: Field) -> str:
    """The range of a number in words: "0.2 to 60 mm"."""
    unit = "mm" if field.kind in (*LENGTHS, Kind.PLACE) else field.unit
    low, high = written(field.low), written(field.high)
    return _("{low} to {high} {unit}", low=low, high=high, unit=unit) if unit else _("{low} to {high}", low=low, high=high)


@lru_cache(maxsize=5000)  # the same day occurs in many records
def is_date(text: str) -> bool:
    """Whether a text is a date, year-month-day, of the Gregorian calendar."""
    match = _DATE.fullmatch(text)
    year, month, day = (int(part) for part in match.groups()) if match else (0, 0, 0)
    if not (year and 1 <= month <= 12):
        return False
    leap = year % 4 == 0 and (year % 100 != 0 or year % 400 == 0)
    return 1 <= day <= (29 if month == 2 and leap else (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)[month - 1])


@lru_cache(maxsize=5000)
def is_moment(text: str) -> bool:
    """Whether a text is a date, or a date and a time of that day."""
    return is_date(text[:10]) and (len(text) == 10 or _TIME.fullmatch(text[10:]) is not None)
