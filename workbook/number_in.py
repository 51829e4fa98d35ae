"""Numbers as makers write them: `1.5`, `1,5`, `1 250`, `1,250.00`, `12 %`, `$31.00` -> exact numbers.

Only this module turns text into numbers (`length_in.py` builds on it for lengths), in the same way in every system language.
Either decimal mark is accepted. A mark before exactly three digits may also separate thousands: where such a number is
possible, the text is refused with an explanation, never guessed.
"""

import re
from decimal import Decimal

from workbook.texts import _

MOST_MONEY = 1_000_000
_SPACES = " \t\u00a0\u202f\u2009"
_AS_DECIMAL = re.compile(r"[+-]?(?:\d+[.,]?\d*|[.,]\d+)")
_WITH_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}(?:([ .,])\d{3})(?:\1\d{3})*(?:(?!\1)[.,]\d*)?")
_EITHER = re.compile(r"[+-]?[1-9]\d{0,2}([.,])\d{3}")  # a decimal mark, or thousands
_MOST_FIGURES = 24  # a float has seventeen, perhaps after leading zeros
_SIGNS_OF_MONEY = "$€£¥"


class NumberError(ValueError):
    """Text that is not the number wanted, with the reason in words for the maker. `two_ways`: it can be read as two numbers."""

    def __init__(self, what: str, *, two_ways: bool = False) -> None:
        self.two_ways = two_ways
        super().__init__(what)


def plain(text: str) -> str:
    """The text, character for character, with digits of any script as 0 to 9, plain spaces and a plain minus."""
    if text.isascii():
        return text.replace("\t", " ")
    return "".join(" " if c in _SPACES else "-" if c == "−" else str(int(c)) if c.isdecimal() else c for c in text)


def in_thousands(numeral: str, thousands: str = ".,") -> Decimal | None:
    """The other reading of a plain decimal, in which its mark, if one of `thousands`, separates thousands; None without one."""
    match = _EITHER.fullmatch(numeral)
    return Decimal(re.sub("[.,]", "", numeral)) if match and match[1] in thousands else None


def two_ways(numeral: str) -> str:
    """The message for an ambiguous numeral: “1,250” may be 1250 or 1.25."""
    as_decimal = Decimal(numeral.replace(",", ".")).normalize()
    return _(
        "“{numeral}” may be {sub} or {written}. Write one of these",
        numeral=numeral,
        sub=re.sub("[.,]", "", numeral),
        written=written(as_decimal),
    )


def number_of(text: str, limits: tuple[float, float], *, sign: str = "", thousands: str = ".,", wanted: str = "") -> Decimal:
    """The exact number of a text, inside or outside the limits. `sign`: what may stand around it, "%"; `thousands`: the marks
    that may separate thousands.

    Raises NumberError for text that is no number, with the words `wanted` if there are some, and for a mark that may separate
    thousands, where such a number would lie within the limits.
    """
    numeral = plain(text).strip(sign + " ") if sign else plain(text).strip()
    value, grouped = _read(numeral), in_thousands(numeral, thousands)
    if value is None or sum(c.isdecimal() for c in numeral) > _MOST_FIGURES:
        raise NumberError(wanted or _("type a number"))
    if grouped is not None and limits[0] <= grouped <= limits[1]:
        raise NumberError(two_ways(numeral), two_ways=True)
    return value


def parse_number(
    text: str, low: float = 0, high: float = MOST_MONEY, *, sign: str = "", thousands: str = ".,", wanted: str = ""
) -> Decimal:
    """The exact number of a text, as `number_of` reads it, from `low` to `high`. Raises NumberError."""
    value = number_of(text, (low, high), sign=sign, thousands=thousands, wanted=wanted)
    if not low <= value <= high:
        raise NumberError(_("type a number from {low} to {high}", low=written(low), high=written(high)))
    return value


def _read(numeral: str) -> Decimal | None:
    """The number of a plain numeral: as a decimal where it can be one, else with separated thousands."""
    if _AS_DECIMAL.fullmatch(numeral):
        return +Decimal(numeral.replace(",", "."))  # the plus turns -0 into 0
    match = _WITH_THOUSANDS.fullmatch(numeral)
    return Decimal(numeral.replace(match[1], "").replace(",", ".")) if match else None


def parse_whole(text: str, low: int, high: int) -> int:
    """The whole number of a text. Raises NumberError, also for a fraction such as 1,5."""
    value = number_of(text, (low, high), wanted=_("type a whole number"))
    if not low <= value <= high or value != int(value):
        raise NumberError(_("type a whole number from {low} to {high}", low=low, high=high))
    return int(value)


def parse_amount(text: str, *, thousands: str = ".,") -> Decimal:
    """The amount of money of a text, with or without a currency sign, up to a million. Raises NumberError."""
    value = number_of(text, (0, MOST_MONEY), sign=_SIGNS_OF_MONEY, thousands=thousands, wanted=_("type an amount, e.g. 31.00"))
    if not 0 <= value <= MOST_MONEY:
        raise NumberError(_("type an amount from 0 to {most}, e.g. 31.00", most=written(MOST_MONEY)))
    return value


def written(value: Decimal | float, most: float = MOST_MONEY) -> str:
    """A number as editable text: digits not grouped, no exponent; where numbers up to `most` are possible, `parse_number` reads
    the same number back. A float is written to ten digits.
    """
    text = f"{value if isinstance(value, Decimal) else Decimal(f'{value:.10g}'):f}"
    grouped = in_thousands(text)
    return f"{text}0" if grouped is not None and abs(grouped) <= most else text
