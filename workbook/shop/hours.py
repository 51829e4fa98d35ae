"""The hours a shop is worked in: from when until when on each day of the week, and the days on which it is not."""

import re

from msgspec import Struct

from workbook.texts import _

WEEKDAYS = (
    _("Monday"), _("Tuesday"), _("Wednesday"), _("Thursday"), _("Friday"), _("Saturday"), _("Sunday"),
)  # fmt: skip
_CLOCK = re.compile(r"([01]?\d|2[0-4])[:.h]([0-5]\d)|([01]?\d|2[0-4])", re.ASCII)
DAY = 1440  # minutes


class ShopDay(Struct, frozen=True, kw_only=True):
    """The hours of a day of the week, in minutes after midnight; none where they end as they begin."""

    begin: int = 0
    end: int = 0

    @property
    def minutes(self) -> int:
        """How long they are."""
        return max(self.end - self.begin, 0)


class DaysOff(Struct, frozen=True, kw_only=True):
    """Days on which nothing is done in the shop, from the first to the last. ISO dates."""

    first: str
    last: str


_EVENING, _LONG_DAY = ShopDay(begin=19 * 60, end=20 * 60 + 30), ShopDay(begin=9 * 60, end=17 * 60)


class ShopHours(Struct, frozen=True, kw_only=True):
    """The hours of a week, Monday first, and days off. Those of a new shop book are an example."""

    days: tuple[ShopDay, ...] = (*(_EVENING,) * 5, _LONG_DAY, ShopDay())
    off: tuple[DaysOff, ...] = ()

    def on(self, date: str, weekday: int) -> ShopDay:
        """The hours of a date. `weekday`: 0 is Monday."""
        away = any(each.first <= date <= each.last for each in self.off)
        return ShopDay() if away or weekday >= len(self.days) else self.days[weekday]

    @property
    def week(self) -> int:
        """Minutes of a week."""
        return sum(day.minutes for day in self.days)


def clock_in(text: str) -> int:
    """Read a time of day, "19:00" or "19", as minutes after midnight. Raises ValueError, which says what would be right."""
    match = _CLOCK.fullmatch(text.strip())
    found = -1 if match is None else 60 * int(match[1] or match[3]) + int(match[2] or 0)
    if not 0 <= found <= DAY:
        raise ValueError(_("“{text}”: type a time of day, e.g. 19:30", text=text[:20]))
    return found


def clock_words(minutes: int) -> str:
    """A time of day: "19:30"."""
    return f"{minutes // 60}:{minutes % 60:02}"
