"""Lengths as makers write them: `1 3/16 in`, `5 thou`, `12,5 mm`, `3 ft 6 1/2 in` -> float millimetres.

Only this module turns text into lengths; `number_in.py` says how their digits are read.
"""

import re
from fractions import Fraction

from workbook.number_in import in_thousands, plain, two_ways
from workbook.texts import _
from workbook.units import Unit

_SIZES = {
    unit: Fraction(mm) for unit, mm in {"in": "25.4", "ft": "304.8", "thou": "0.0254", "mm": "1", "cm": "10", "m": "1000"}.items()
}
_NAMES = {
    **{name: name for name in _SIZES},
    "inch": "in",
    "inches": "in",
    '"': "in",
    "″": "in",
    "”": "in",
    "''": "in",
    "'": "ft",
    "′": "ft",
    "’": "ft",
    "feet": "ft",
    "foot": "ft",
    "metre": "m",
    "meter": "m",
    "millimetre": "mm",
    "millimeter": "mm",
    "millimetres": "mm",
    "millimeters": "mm",
    "centimetre": "cm",
}
_VULGAR = {"½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8"}
_NUMBER = re.compile(r"\d+[.,]\d*|[.,]\d+|\d+")
_WORD = re.compile(r"''|[^\W\d_]+|[\"'″”′’]")
_BEFORE = 12  # letters of what stands before a mistake, in its message
_MOST_FIGURES = 24  # a float has seventeen, perhaps after leading zeros
LONGEST = 10_000.0  # mm, of anything in a workbook: a bar


class LengthError(ValueError):
    """Text that is not a length. `column` (from 1) says where it stops making sense; `two_ways`: it can be read as two."""

    def __init__(self, text: str, column: int, what: str, *, two_ways: bool = False) -> None:
        self.column = column
        self.what = what
        self.two_ways = two_ways
        super().__init__(_("“{text}”, column {column}: {what}", text=text, column=column, what=what))


def parse_length(text: str, bare: Unit = "mm", limits: tuple[float, float] = (-LONGEST, LONGEST), thousands: str = ".,") -> float:
    """The length in mm. A number without a unit is in `bare`. Accepts a sum such as `3 ft 6 1/2 in`.

    Raises LengthError; also for a mark before three digits that may separate thousands, where that length would lie within
    the limits (mm; not checked otherwise). `thousands`: the marks that may do so.
    """
    reader = _Reader(text, bare)
    length = reader.length()
    for at, numeral in reader.either:
        if numeral[-4] in thousands and limits[0] <= _Reader(text, bare, at).length() <= limits[1]:
            raise LengthError(text, at + 1, two_ways(numeral), two_ways=True)
    return length


class _Reader:
    """A reader of one length from left to right that remembers the column for messages.

    `grouped`: where a number starts whose mark separates thousands. `either`: the numbers that may be such, and where.
    """

    def __init__(self, text: str, bare: Unit, grouped: int = -1) -> None:
        self.text, self.bare, self.grouped, self.at = text, bare, grouped, 0
        self.source = plain(text).replace("⁄", "/")
        self.either: list[tuple[int, str]] = []

    def length(self) -> float:
        sign = self._sign()
        total = self._term(first=True)
        while self._skip() < len(self.source):
            total += self._term(first=False)
        return float(sign * total)

    def _fail(self, message: str, at: int | None = None) -> LengthError:
        return LengthError(self.text, (self.at if at is None else at) + 1, message)

    def _skip(self) -> int:
        while self.at < len(self.source) and self.source[self.at] == " ":
            self.at += 1
        return self.at

    def _sign(self) -> int:
        start = self._skip()
        if self.source[start : start + 1] in ("-", "+"):
            self.at += 1
            return 1 if self.source[start] == "+" else -1
        return 1

    def _term(self, *, first: bool) -> Fraction:
        start = self._skip()
        number = self._quantity()
        self._skip()
        unit_at = self.at
        unit = self._unit()
        if unit is None:
            if not first or self.at < len(self.source):
                raise self._fail(_("each part of a length needs its unit, e.g. 3 ft 6 in"), start)
            unit = self.bare
        size = _SIZES[unit]
        if not first and size >= _SIZES["ft"]:
            raise self._fail(_("write the larger unit first, e.g. 3 ft 6 in"), unit_at)
        return number * size

    def _quantity(self) -> Fraction:
        """A whole, decimal, fraction or mixed number."""
        value = self._number()
        if self._peek("/"):
            return self._over(value)
        mark = self.at
        if self._peek("-") and value.denominator == 1:
            self.at += 1
        self._skip()
        if self.source[self.at : self.at + 1] in _VULGAR:
            return value + self._vulgar()
        if self.at > mark and self._another_fraction():
            if value.denominator != 1:
                raise self._fail(_("a decimal and a fraction together"), mark)
            return value + self._over(self._number())
        self.at = mark
        return value

    def _another_fraction(self) -> bool:
        return bool(re.match(r"\d+ ?/", self.source[self.at :]))

    def _number(self) -> Fraction:
        start = self._skip()
        if self.source[start : start + 1] in _VULGAR:
            return self._vulgar()
        match = _NUMBER.match(self.source, start)
        if not match:
            raise self._fail(
                _("a number is missing after “{before}”, e.g. 1 3/16 or 0.187", before=self.source[:start].strip()[-_BEFORE:])
                if start
                else _("start with a number, e.g. 1 3/16 in")
            )
        self.at = match.end()
        if self.source[self.at : self.at + 1] in (".", ","):
            raise self._fail(_("a second decimal mark"))
        numeral = match.group()
        if len(re.split("[.,]", numeral)[0]) > 12 or len(numeral) > _MOST_FIGURES:
            raise self._fail(_("too many digits for a length"), start)
        grouped = in_thousands(numeral)
        if grouped is not None and start == self.grouped:
            return Fraction(grouped)
        self.either += [] if grouped is None else [(start, numeral)]
        return Fraction(numeral.replace(",", ".").rstrip(".") or "0")

    def _vulgar(self) -> Fraction:
        self.at += 1
        return Fraction(_VULGAR[self.source[self.at - 1]])

    def _over(self, numerator: Fraction) -> Fraction:
        self._skip()
        self.at += 1
        start = self._skip()
        denominator = self._number()
        if denominator == 0:
            raise self._fail(_("a fraction with 0 below the line"), start)
        if numerator.denominator != 1 or denominator.denominator != 1:
            raise self._fail(_("a fraction needs whole numbers"), start)
        return numerator / denominator

    def _peek(self, sign: str) -> bool:
        mark = self.at
        present = self.source[self._skip() :].startswith(sign)
        if not present or sign == "-":
            self.at = mark
        return present

    def _unit(self) -> str | None:
        match = _WORD.match(self.source, self.at)
        if not match:
            if self.at < len(self.source) and not self.source[self.at].isdigit():
                raise self._fail(_("“{source}” does not belong in a length", source=self.source[self.at]))
            return None
        name = _NAMES.get(match.group()) or _NAMES.get(match.group().lower())
        if name is None:
            raise self._fail(_("“{group}” is not a unit. Use in, ft, thou, mm, cm or m", group=match.group()))
        self.at = match.end()
        if self.source[self.at : self.at + 1] == ".":
            self.at += 1
        return name
