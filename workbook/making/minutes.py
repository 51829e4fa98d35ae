"""Minutes as a maker types them."""

import re

from workbook.number_in import NumberError, parse_number, written
from workbook.texts import _

_CLOCK = re.compile(r"\s*(\d{1,4})\s*[:h]\s*([0-5]?\d)\s*(?:min|m)?\s*", re.IGNORECASE)
_LONG = 120  # minutes from which they are told in hours
_HOURS = re.compile(r"\s*([\d.,]+)\s*h\s*", re.IGNORECASE)


def minutes_in(text: str, most: float) -> float:
    """Read minutes: "95", "1:35", "1 h 35", "1.5 h". Raises NumberError, which says what is wrong and what would be right."""
    clock, hours = _CLOCK.fullmatch(text), _HOURS.fullmatch(text)
    if clock:
        found = 60.0 * int(clock[1]) + int(clock[2])
    else:
        try:
            found = float(parse_number(hours[1] if hours else text.strip().removesuffix("min").strip(), 0, most))
        except NumberError as trouble:
            raise NumberError(_("“{text}”: {what}. Type minutes as 95 or 1:35", text=text[:20], what=trouble)) from None
        found *= 60.0 if hours else 1.0
    if found > most:
        raise NumberError(_("at most {most} minutes", most=written(most)))
    return found


def minutes_words(minutes: float) -> str:
    """Minutes in words: "95 min", from two hours on "2:05 h"."""
    whole = round(minutes)
    if whole < _LONG:
        return _("{whole} min", whole=whole)
    return _("{hours}:{minutes:02} h", hours=whole // 60, minutes=whole % 60)
