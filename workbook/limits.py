"""Checks of values by the rows of their fields: what is wrong, where, what would be right. Nothing absurd reaches geometry."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from operator import attrgetter
from typing import Any, NamedTuple

from workbook.fields import Field, Kind, Rule, Table, is_date, is_moment, limits_in_words
from workbook.texts import _

_SLACK = 1e-6  # of a field's own unit: a limit in inches and in millimetres differs in the last digit
_FINEST = -30  # least exponent of an amount
_BY_TYPE = (Kind.CHOICE, Kind.SWITCH)  # whose types list the allowed values


class Wrong(NamedTuple):
    """What is wrong with a value: its place within the checked value (".bar.price"), what, and what would be right."""

    place: str
    what: str
    right: str


Sound = Callable[[Any], bool]  # whether a value is right


class JudgedBy:
    """A check of any struct that has a row for each of its fields, and of all structs within it.

    The rule for a struct as a whole is applied only where each of its fields is right. A struct with nothing wrong, as nearly
    all are, takes a few microseconds.
    """

    def __init__(self, tables: Mapping[type, Table], rules: Mapping[type, Rule]) -> None:
        self._tables, self._rules = tables, rules
        self._sound: dict[type, Sound] = {}

    def __call__(self, value: Any) -> list[Wrong]:
        """List all that is wrong with a struct."""
        if self.is_sound(value):
            return []
        kind = type(value)
        problems = [
            Wrong(f".{field.key}{place}", message, right)
            for field in self._tables[kind]
            for place, message, right in self._wrong(field, getattr(value, field.key))
        ]
        if kind in self._rules and not problems:
            problems = [Wrong(f".{key}", message, "") for key, message in self._rules[kind](value)]
        return problems

    def is_sound(self, value: Any) -> bool:
        """Whether nothing is wrong with a struct."""
        kind = type(value)
        sound = self._sound.get(kind)
        if sound is None:
            sound = self._sound[kind] = self._sound_struct(kind)
        return sound(value)

    def _sound_struct(self, kind: type) -> Sound:
        """Build the check of all fields of a struct of a kind and of the struct as a whole."""
        fields = [field for field in self._tables[kind] if field.kind not in _BY_TYPE or field.words]
        sounds, rule = [self._sound_field(field) for field in fields], self._rules.get(kind)
        keys = [field.key for field in fields]
        get = attrgetter(*keys) if len(keys) > 1 else lambda value: [getattr(value, key) for key in keys]

        def sound(value: Any) -> bool:
            for check, item in zip(sounds, get(value), strict=True):
                if not check(item):
                    return False
            return rule is None or next(iter(rule(value)), None) is None

        return sound

    def _sound_field(self, field: Field) -> Sound:
        check = self.is_sound if field.kind is Kind.PART else sound_value(field)
        if field.entries:
            return lambda values: (
                (values is None and bool(field.none))
                or (values is not None and len(values) <= field.entries and all(map(check, values)))
            )
        if field.none:
            return lambda value: value is None or check(value)
        return (lambda value: value is not None and self.is_sound(value)) if field.kind is Kind.PART else check

    def _wrong(self, field: Field, value: Any) -> list[Wrong]:
        """What is wrong with the value of a field."""
        if value is None:
            return [] if field.none else [Wrong("", _("is missing."), "")]
        if not field.entries:
            return self._wrong_one(field, value)
        if len(value) > field.entries:
            return [
                Wrong("", _("has {count} entries.", count=len(value)), _("Allowed: at most {entries}.", entries=field.entries))
            ]
        judged = ((n, self._wrong_one(field, entry)) for n, entry in enumerate(value, 1))
        return [Wrong(f"[{n}]{place}", message, right) for n, wrong in judged for place, message, right in wrong]

    def _wrong_one(self, field: Field, value: Any) -> list[Wrong]:
        if field.kind is Kind.PART:
            return self(value)
        return [] if sound_value(field)(value) else [Wrong("", *said_of(field, value))]


def sound_value(field: Field) -> Sound:
    """The check of one value of a field that is not a struct."""
    low, high, letters = field.low - _SLACK, field.high + _SLACK, field.letters
    match field.kind:
        case Kind.CHOICE | Kind.SWITCH:
            return lambda value: not field.words or value in field.words
        case Kind.TEXT | Kind.ID | Kind.REFERENCE if field.empty:
            return lambda value: len(value) <= letters
        case Kind.TEXT | Kind.ID | Kind.REFERENCE:
            return lambda value: len(value) <= letters and bool(value.strip())
        case Kind.DATE if field.empty:
            return lambda value: value == "" or is_date(value)
        case Kind.MOMENT if field.empty:
            return lambda value: value == "" or is_moment(value)
        case Kind.DATE | Kind.MOMENT:
            return is_date if field.kind is Kind.DATE else is_moment
        case Kind.MONEY:
            return _sound_amount(field)
        case Kind.PLACE:
            return lambda value: low <= value[0] <= high and low <= value[1] <= high
        case Kind.CIRCLE:
            return lambda value: low <= value[0][0] <= high and low <= value[0][1] <= high and 0 < value[1] <= high
        case _:
            return lambda value: value is not None and low <= value <= high  # NaN fails both comparisons


def _sound_amount(field: Field) -> Sound:
    low, high = Decimal(field.low), Decimal(field.high)

    def sound(value: Decimal) -> bool:
        exponent = value.as_tuple().exponent
        return isinstance(exponent, int) and exponent >= _FINEST and low <= value <= high

    return sound


def said_of(field: Field, value: Any) -> tuple[str, str]:
    """What is wrong with an incorrect value, and what would be right."""
    match field.kind:
        case Kind.TEXT | Kind.ID | Kind.REFERENCE:
            if len(value) > field.letters:
                return _("has {count} characters.", count=len(value)), _("Allowed: at most {letters}.", letters=field.letters)
            return _("is empty."), _("Type some text.")
        case Kind.CHOICE | Kind.SWITCH:
            return _("“{value}” is unknown.", value=value[:30]), _("Allowed: {names}.", names=", ".join(field.words))
        case Kind.DATE | Kind.MOMENT:
            return _("“{value}” is not a date.", value=value[:30]), _("Write year-month-day, e.g. 2027-01-15.")
        case Kind.PLACE:
            what = _("{x}, {y} is out of range.", x=f"{value[0]:.6g}", y=f"{value[1]:.6g}")
            return what, _("Allowed for each: {limits_in_words}.", limits_in_words=limits_in_words(field))
        case Kind.CIRCLE:
            x, y, wide = (f"{each:.6g}" for each in (*value[0], value[1]))
            what = _("{wide} mm wide at {x}, {y} is out of range.", wide=wide, x=x, y=y)
            return what, _("Its diameter must be more than 0, and it must lie nearer.")
        case _:
            what = _("{value} is out of range.", value=f"{float(value):.6g}")
            return what, _("Allowed: {limits_in_words}.", limits_in_words=limits_in_words(field))
