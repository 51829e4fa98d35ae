"""Read tables of a TOML file into values: every mistake is collected with its place, none stops the reading."""

from collections.abc import Callable, Mapping
from decimal import Decimal
from difflib import get_close_matches
from typing import Any

from msgspec import Struct, field

from workbook.fields import NAME
from workbook.length_in import LengthError, parse_length
from workbook.number_in import MOST_MONEY, NumberError, parse_number
from workbook.problems import Mistake
from workbook.texts import _
from workbook.units import HABITS, Unit, show

_MOST = 1000  # entries in a list
_HUGE = 1e9  # beyond any length, angle or count; also keeps infinities and not-a-number out
REQUIRED = object()  # the default of a key that must be there
Kind = Callable[[Any, "Reader"], Any]


class NotRight(Exception):
    """A value that a kind cannot take, with what is wrong and what would be right."""

    def __init__(self, what: str, right: str = "") -> None:
        self.what, self.right = what, right
        super().__init__(what)


class Key(Struct, frozen=True):
    """One key of a table: how its value is read, and its default."""

    kind: Kind
    default: Any = REQUIRED


class Reader(Struct):
    """The state of reading one file: its unit, and the mistakes and defaults so far."""

    unit: Unit = "in"
    mistakes: list[Mistake] = field(default_factory=list)
    defaults: list[tuple[str, str]] = field(default_factory=list)

    def wrong(self, place: str, what: str, right: str = "") -> None:
        """Record one mistake."""
        self.mistakes.append(Mistake(place=place, what=what, right=right))

    def table(self, data: Any, place: str, keys: Mapping[str, Key]) -> dict[str, Any]:
        """Read the table's values by key. A missing or wrong one gets its default (None when it has none)."""
        if not isinstance(data, dict):
            self.wrong(place, _("must be a table of keys"))
            data = {}
        for name in (name for name in data if name not in keys):
            self.unknown(place, name, list(keys))
        return {name: self._value(data, place, name, key) for name, key in keys.items()}

    def unknown(self, place: str, name: str, known: list[str]) -> None:
        """Record an unknown key, with the known one nearest to it."""
        near = get_close_matches(name, known, n=1, cutoff=0.5)
        right = _("Did you mean “{near}”?", near=near[0]) if near else _("Allowed: {names}.", names=", ".join(sorted(known)))
        self.wrong(f"{place}.{name}" if place else name, _("unknown key."), right)

    def _value(self, data: dict[str, Any], place: str, name: str, key: Key) -> Any:
        where = f"{place}.{name}" if place else name
        if name not in data:
            if key.default is REQUIRED:
                self.wrong(where, _("is missing."), _wanted(key.kind))
                return None
            is_length = isinstance(key.default, float) and getattr(key.kind, "is_length", False)
            (self.used_length if is_length else self.used_default)(where, key.default)
            return key.default
        try:
            return key.kind(data[name], self)
        except NotRight as trouble:
            self.wrong(where, trouble.what, trouble.right)
            return None if key.default is REQUIRED else key.default

    def used_default(self, where: str, value: Any) -> None:
        """Record a default that was used, as it would be written in the file."""
        if value is None or value == "" or isinstance(value, (list, dict, tuple)):
            return
        self.defaults.append((where, str(value).lower() if isinstance(value, bool) else str(value)))

    def used_length(self, where: str, mm: float) -> None:
        """Record a default length, given in mm, in the file's unit."""
        self.used_default(where, f"{show(mm, self.unit, fine=True)} {self.unit}")

    def each(self, data: Any, place: str) -> list[tuple[str, Any]]:
        """The tables of an array of tables, each with its place counted from 1."""
        if not isinstance(data, list):
            self.wrong(place, _("must be written once for each: [[{place}]]", place=place))
            return []
        if len(data) > _MOST:
            self.wrong(
                place,
                _("appears {count} times. A job has at most {most}.", count=len(data), most=_MOST),
                _("Split it into several jobs."),
            )
            return []
        return [(f"{place}[{i}]", item) for i, item in enumerate(data, 1)]


def _wanted(kind: Kind) -> str:
    return kind.__doc__ or ""


def _named(words: str) -> Callable[[Kind], Kind]:
    """Give a kind the sentence that says what it takes."""

    def give(kind: Kind) -> Kind:
        kind.__doc__ = words
        return kind

    return give


def _shown(value: Any) -> str:
    """A value as written in the file, shortened where it is long."""
    if isinstance(value, int) and abs(value) > 10**15:
        return _("a number too large to use")
    return repr(value) if len(repr(value)) <= 40 else repr(value)[:37] + "..."


def length(low: float, high: float) -> Kind:
    """A length in mm between two limits, from text with a unit or a bare number in the file's unit."""

    @_named(_('Allowed: a length, e.g. "3/32 in" or "2.4 mm".'))
    def read(value: Any, reader: Reader) -> float:
        mm = _length(value, reader, (low, high))
        if not low <= mm <= high:
            least, most = show(low, reader.unit), show(high, reader.unit)
            limit = _("Allowed: {low} to {high} {unit}.", low=least, high=most, unit=reader.unit)
            message = (
                _("is negative.")
                if mm < 0 <= low
                else _("must be more than 0.")
                if mm == 0
                else _("is too small.")
                if mm < low
                else _("is too large.")
            )
            raise NotRight(message, limit)
        return mm

    read.is_length = True  # type: ignore[attr-defined]
    return read


def _length(value: Any, reader: Reader, limits: tuple[float, float]) -> float:
    if isinstance(value, bool) or not isinstance(value, (int, float, str)):
        raise NotRight(_("is not a length."), _('Write it as "3/32 in", "2.4 mm" or a bare number.'))
    if not isinstance(value, str):
        if not abs(value) < _HUGE:
            raise NotRight(_("is out of range."), _('Write it as "3/32 in" or "2.4 mm".'))
        return value * HABITS[reader.unit].mm
    try:
        return parse_length(value, reader.unit, limits, thousands=",")  # a dot is TOML's decimal mark
    except LengthError as trouble:
        raise NotRight(
            _("is not a length: {trouble}.", trouble=trouble),
            "" if trouble.two_ways else _('Write it as "3/32 in", "30 thou" or "2.4 mm".'),
        ) from None


def number(low: float, high: float, *, unit: str = "") -> Kind:
    """A plain number between two limits."""
    takes = (
        _("Allowed: {low:g} to {high:g} {unit}.", low=low, high=high, unit=unit)
        if unit
        else _("Allowed: a number from {low:g} to {high:g}.", low=low, high=high)
    )

    @_named(takes)
    def read(value: Any, reader: Reader) -> float:
        if isinstance(value, bool) or not isinstance(value, (int, float)) or not abs(value) < _HUGE:
            raise NotRight(_("is not a number."), takes)
        if not low <= value <= high:
            raise NotRight(_("is out of range."), takes)
        return float(value)

    return read


def whole(low: int, high: int) -> Kind:
    """A whole number between two limits."""

    takes = _("Allowed: a whole number from {low} to {high}.", low=low, high=high)

    @_named(takes)
    def read(value: Any, reader: Reader) -> int:
        if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
            raise NotRight(_("{value} is not allowed.", value=_shown(value)), takes)
        return value

    return read


def choice(words: tuple[str, ...], make: Callable[[str], Any] = str) -> Kind:
    """One of a few words."""
    options = ", ".join(f'"{w}"' for w in words)

    takes = _("Allowed: {listed}.", listed=options)

    @_named(takes)
    def read(value: Any, reader: Reader) -> Any:
        if value not in words:
            near = get_close_matches(str(value), words, n=1, cutoff=0.5)
            right = _("Did you mean “{near}”?", near=near[0]) if near else takes
            raise NotRight(_("“{value}” is not allowed.", value=value), right)
        return make(value)

    return read


def several(kind: Kind, most: int = _MOST) -> Kind:
    """A list of values of a kind."""

    takes = _("Allowed: a list in square brackets with up to {most} entries.", most=most)

    @_named(takes)
    def read(value: Any, reader: Reader) -> tuple[Any, ...]:
        if not isinstance(value, list) or len(value) > most:
            raise NotRight(_("{value} is not allowed.", value=_shown(value)), takes)
        return tuple(kind(item, reader) for item in value)

    return read


def text_of(letters: int, *, empty: bool = False) -> Kind:
    """A line of text of at most `letters` characters."""

    @_named(_("Allowed: a text in quotes, which may be empty.") if empty else _('Allowed: a text in quotes, e.g. "Petty".'))
    def read(value: Any, reader: Reader) -> str:
        if not isinstance(value, str) or not (value.strip() or (empty and not value)):
            raise NotRight(_("is not a text."), _('Write it in quotes, e.g. "Petty".'))
        if len(value) > letters or any(ord(c) < 32 for c in value):
            raise NotRight(
                _("is too long or has characters that cannot be printed."),
                _("Allowed: up to {letters} characters on one line.", letters=letters),
            )
        return value.strip()

    return read


text = text_of(NAME)


@_named(_("Allowed: true or false."))
def yes_no(value: Any, reader: Reader) -> bool:
    """True or false."""
    if not isinstance(value, bool):
        raise NotRight(_("{value} is not allowed.", value=_shown(value)), _("Allowed: true or false."))
    return value


@_named(_('Allowed: an amount, e.g. "31.00".'))
def money(value: Any, reader: Reader) -> Decimal:
    """An amount of money, not negative."""
    right = _('Allowed: e.g. "31.00", without a currency sign, up to a million.')
    try:
        if isinstance(value, str):
            return parse_number(value, thousands=",")
    except NumberError as trouble:
        right = _("{trouble}.", trouble=trouble) if trouble.two_ways else right
    if isinstance(value, int | float) and not isinstance(value, bool) and 0 <= value <= MOST_MONEY:
        return Decimal(str(value))
    raise NotRight(_("“{value}” is not an amount.", value=value), right)
