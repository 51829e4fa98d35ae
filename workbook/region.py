"""How dates and amounts of money are written where the shop stands.

The marks and patterns are those of the Unicode CLDR, as Babel 2.19 has them; tests/external/test_regions.py compares them. The
language of the months is that of the program.
"""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from msgspec import Struct

from workbook.texts import _, month, short_month

_NARROW, _NO_BREAK = "\u202f", "\u00a0"  # spaces between groups of digits


class Dates(Struct, frozen=True):
    """Patterns of dates, with fields day, day2 (two digits), month (its name), month1, month2 and year."""

    long: str  # in a letter
    medium: str  # in a table, with a short name of the month
    brief: str  # the same without the year


class Region(Struct, frozen=True):
    """How a region writes dates and amounts."""

    name: str
    dates: Dates
    decimal: str = "."
    group: str = ","
    before: bool = True  # the currency's sign is before the amount
    space: bool = False  # and a space between them

    def day(self, iso: str) -> str:
        """A date as in a letter: December 12, 2026; "" where it is empty or no date."""
        return _written(self.dates.long, iso, month)

    def short_day(self, iso: str) -> str:
        """A date as in a table: Dec 12, 2026."""
        return _written(self.dates.medium, iso, short_month)

    def brief_day(self, iso: str) -> str:
        """A date without its year, as in a narrow cell: Dec 12."""
        return _written(self.dates.brief, iso, short_month)

    def moment(self, iso: str) -> str:
        """A date with the time of day: Dec 12, 2026 14:05."""
        return f"{self.short_day(iso)} {iso[11:16]}".strip()

    def amount(self, amount: Decimal) -> str:
        """An amount without a currency, with two decimals and its digits in groups of three: 1,952.00."""
        marks = {",": self.group, ".": self.decimal}
        return "".join(marks.get(sign, sign) for sign in f"{amount:,.2f}")

    def money(self, amount: Decimal, sign: str) -> str:
        """An amount with the sign of its currency: $1,952.00; a minus comes first."""
        minus = "-" if amount < 0 else ""
        between = _NO_BREAK if self.space else ""
        parts = (sign, self.amount(abs(amount))) if self.before else (self.amount(abs(amount)), sign)
        return minus + between.join(parts)


def _written(pattern: str, iso: str, name: Callable[[int], str]) -> str:
    """A pattern filled in with a date, which may have a time behind it."""
    parts = iso[:10].split("-")
    if len(parts) != 3 or not all(part.isdecimal() for part in parts) or not 1 <= int(parts[1]) <= 12:
        return ""
    year, number, day = map(int, parts)
    fields = {"day": day, "day2": f"{day:02}", "month": name(number), "month1": number, "month2": f"{number:02}", "year": year}
    return pattern.format(**fields)


USUAL = "en-US"
_MONTH_FIRST = Dates("{month} {day}, {year}", "{month} {day}, {year}", "{month} {day}")
_DAY_FIRST = Dates("{day} {month} {year}", "{day} {month} {year}", "{day} {month}")
_TWO_DIGITS = Dates("{day2} {month} {year}", "{day2} {month} {year}", "{day2} {month}")
_GERMAN = Dates("{day}. {month} {year}", "{day2}.{month2}.{year}", "{day}. {month}")
_NORDIC = Dates("{day}. {month} {year}", "{day}. {month} {year}", "{day}. {month}")
_FINNISH = Dates("{day}. {month} {year}", "{day}.{month1}.{year}", "{day}.{month1}.")
_CZECH = Dates("{day}. {month} {year}", "{day}. {month1}. {year}", "{day}. {month1}.")


def _behind(name: str, dates: Dates, group: str) -> Region:
    """A region whose amounts have a decimal comma, and the sign behind them."""
    return Region(name, dates, decimal=",", group=group, before=False, space=True)


REGIONS: dict[str, Region] = {
    "en-US": Region(_("United States"), _MONTH_FIRST),
    "en-CA": Region(_("Canada (English)"), _MONTH_FIRST),
    "fr-CA": _behind(_("Canada (French)"), _DAY_FIRST, _NO_BREAK),
    "en-GB": Region(_("United Kingdom"), _DAY_FIRST),
    "en-IE": Region(_("Ireland"), _DAY_FIRST),
    "en-AU": Region(_("Australia"), _DAY_FIRST),
    "en-NZ": Region(_("New Zealand"), _DAY_FIRST),
    "en-ZA": Region(_("South Africa"), _TWO_DIGITS, decimal=",", group=_NO_BREAK),
    "de-DE": _behind(_("Germany"), _GERMAN, "."),
    "de-AT": Region(_("Austria"), _GERMAN, decimal=",", group=".", space=True),
    "de-CH": Region(_("Switzerland (German)"), _GERMAN, group="'", space=True),
    "fr-CH": _behind(_("Switzerland (French)"), _DAY_FIRST, "'"),
    "fr-FR": _behind(_("France"), _DAY_FIRST, _NARROW),
    "fr-BE": _behind(_("Belgium (French)"), _DAY_FIRST, _NARROW),
    "nl-NL": Region(_("Netherlands"), _DAY_FIRST, decimal=",", group=".", space=True),
    "da-DK": _behind(_("Denmark"), _NORDIC, "."),
    "nb-NO": _behind(_("Norway"), _NORDIC, _NO_BREAK),
    "sv-SE": _behind(_("Sweden"), _DAY_FIRST, _NO_BREAK),
    "fi-FI": _behind(_("Finland"), _FINNISH, _NO_BREAK),
    "it-IT": _behind(_("Italy"), _DAY_FIRST, "."),
    "pl-PL": _behind(_("Poland"), _DAY_FIRST, _NO_BREAK),
    "cs-CZ": _behind(_("Czechia"), _CZECH, _NO_BREAK),
}


def region_of(code: str) -> Region:
    """The region of a code, such as "de-DE"; the United States for one that is not known."""
    return REGIONS.get(code, REGIONS[USUAL])
