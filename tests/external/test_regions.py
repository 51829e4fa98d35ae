"""Dates and amounts of regions beside Babel, which has them of the Unicode CLDR."""

import datetime
from decimal import Decimal

import pytest
from babel import Locale
from babel.dates import get_date_format, get_month_names
from babel.numbers import format_currency

from workbook.region import REGIONS, region_of

DAYS = (datetime.date(2026, 3, 4), datetime.date(2026, 12, 31))
AMOUNTS = (Decimal("0.05"), Decimal("31.5"), Decimal("1952"), Decimal("-12345.6"))


def written(pattern, when, names):
    """A pattern of the CLDR filled in with given names of months."""
    words = {"MMMM": names[when.month], "MMM": names[when.month], "MM": f"{when.month:02}", "M": str(when.month)}
    words |= {"dd": f"{when.day:02}", "d": str(when.day), "y": str(when.year)}
    told, rest, quoted = "", pattern, False
    while rest:
        part = next((each for each in words if rest.startswith(each)), None) if not quoted else None
        quoted ^= rest[0] == "'"
        told += "" if rest[0] == "'" else words[part] if part else rest[0]
        rest = rest[len(part or rest[0]) :]
    return told


@pytest.mark.outside("Unicode CLDR by Babel: long and medium date formats")
@pytest.mark.parametrize("code", REGIONS)
@pytest.mark.parametrize("when", DAYS)
def test_dates_are_written_as_the_region_does(code, when):
    english, own, iso = Locale("en"), Locale.parse(code, "-"), when.isoformat()
    wide, short = (get_month_names(width, locale=english) for width in ("wide", "abbreviated"))
    assert region_of(code).day(iso) == written(get_date_format("long", own).pattern, when, wide)
    assert region_of(code).short_day(iso) == written(get_date_format("medium", own).pattern, when, short)
    assert region_of(code).brief_day(iso) == written(own.datetime_skeletons["MMMd"].pattern, when, short)


@pytest.mark.outside("Unicode CLDR by Babel: currency formats")
@pytest.mark.parametrize("code", REGIONS)
@pytest.mark.parametrize("amount", AMOUNTS)
def test_amounts_are_written_as_the_region_does(code, amount):
    with_sign = format_currency(abs(amount), "EUR", locale=Locale.parse(code, "-")).replace("EUR", "€")
    minus = "-" if amount < 0 else ""
    assert region_of(code).money(amount, "€") == f"{minus}{with_sign}"
