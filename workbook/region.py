"""How dates and amounts of money are written where the shop stands.

The marks and patterns are those of the Unicode CLDR, as Babel 2.19 has them; tests/external/test_regions.py compares them. The
language of the months is that of the program.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from msgspec import Struct

from workbook.texts import _, month, short_month

if TYPE_CHECKING:
    from datetime import date

_NARROW, _NO_BREAK = "\u202f", "\u00a0"  # spaces between groups of digits


class Region(Struct, frozen=True):
    """How a region writes dates and amounts."""

    name: str
    long: str  # a date in a letter, with fields day, day2 (two digits), month, year
    medium: str  # in a table, with month as a short word, or month2
    decimal: str = "."
    group: str = ","
    before: bool = True  # the currency's sign is before the amount
    space: bool = False  # and a space between them

    def day(self, when: date) -> str:
        """A date as in a letter: December 12, 2026."""
        return self._date(self.long, when, month(when.month))

    def short_day(self, when: date) -> str:
        """A date as in a table: Dec 12, 2026."""
        return self._date(self.medium, when, short_month(when.month))

    def _date(self, pattern: str, when: date, name: str) -> str:
        return pattern.format(
            day=when.day, day2=f"{when.day:02}", month=name, month1=when.month, month2=f"{when.month:02}", year=when.year
        )

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


USUAL = "en-US"
_FIRST, _LAST = "{month} {day}, {year}", "{day} {month} {year}"
_DOTTED, _DOTTED_SHORT = "{day}. {month} {year}", "{day2}.{month2}.{year}"


def _behind(name: str, long: str, medium: str, group: str) -> Region:
    """A region whose amounts have a decimal comma, and the sign behind them."""
    return Region(name, long, medium, decimal=",", group=group, before=False, space=True)


REGIONS: dict[str, Region] = {
    "en-US": Region(_("United States"), _FIRST, _FIRST),
    "en-CA": Region(_("Canada (English)"), _FIRST, _FIRST),
    "fr-CA": _behind(_("Canada (French)"), _LAST, _LAST, _NO_BREAK),
    "en-GB": Region(_("United Kingdom"), _LAST, _LAST),
    "en-IE": Region(_("Ireland"), _LAST, _LAST),
    "en-AU": Region(_("Australia"), _LAST, _LAST),
    "en-NZ": Region(_("New Zealand"), _LAST, _LAST),
    "en-ZA": Region(_("South Africa"), "{day2} {month} {year}", "{day2} {month} {year}", decimal=",", group=_NO_BREAK),
    "de-DE": _behind(_("Germany"), _DOTTED, _DOTTED_SHORT, "."),
    "de-AT": Region(_("Austria"), _DOTTED, _DOTTED_SHORT, decimal=",", group=".", space=True),
    "de-CH": Region(_("Switzerland (German)"), _DOTTED, _DOTTED_SHORT, group="'", space=True),
    "fr-CH": _behind(_("Switzerland (French)"), _LAST, _LAST, "'"),
    "fr-FR": _behind(_("France"), _LAST, _LAST, _NARROW),
    "fr-BE": _behind(_("Belgium (French)"), _LAST, _LAST, _NARROW),
    "nl-NL": Region(_("Netherlands"), _LAST, _LAST, decimal=",", group=".", space=True),
    "da-DK": _behind(_("Denmark"), _DOTTED, "{day}. {month} {year}", "."),
    "nb-NO": _behind(_("Norway"), _DOTTED, "{day}. {month} {year}", _NO_BREAK),
    "sv-SE": _behind(_("Sweden"), _LAST, _LAST, _NO_BREAK),
    "fi-FI": _behind(_("Finland"), _DOTTED, "{day}.{month1}.{year}", _NO_BREAK),
    "it-IT": _behind(_("Italy"), _LAST, _LAST, "."),
    "pl-PL": _behind(_("Poland"), _LAST, _LAST, _NO_BREAK),
    "cs-CZ": _behind(_("Czechia"), _DOTTED, "{day}. {month1}. {year}", _NO_BREAK),
}


def region_of(code: str) -> Region:
    """The region of a code, such as "de-DE"; the United States for one that is not known."""
    return REGIONS.get(code, REGIONS[USUAL])
