"""What a maker types in one line to put down an order: "6 Petty of 52100 for A. Moreno by 2027-01-15"."""

import re
from collections.abc import Callable, Sequence

from msgspec import Struct

from workbook.fields import NAME, is_date
from workbook.number_in import NumberError, parse_whole, plain
from workbook.shop.entry import EntryError
from workbook.shop.fields import MOST_ORDERED
from workbook.texts import _

ORDER_EXAMPLE = "6 Petty of 52100 for A. Moreno by 2027-01-15"


class OrderWish(Struct, frozen=True, kw_only=True):
    """What a line asks for; "" where it does not say."""

    quantity: int
    template: str
    steel: str = ""
    customer: str = ""
    wanted: str = ""  # ISO date


def order_entry(text: str, templates: Sequence[str], steels: Sequence[str]) -> OrderWish:
    """The order of a line: how many and which template of the shelf, then "of" a steel, "for" someone, "by" a date.

    What stands behind "for" is a name, whatever words it has; but a date after a last "by", and a steel that is known after a
    last "of", are those of the order. Raises EntryError, which says what is wrong and what would be right.
    """
    head, told, who = text.strip().partition(" for ")
    date, steel = "", ""
    if told:
        who, date = _parted(who, "by", lambda words: words[:1].isdigit())
        who, steel = _parted(who, "of", lambda words: words.casefold() in {own.casefold() for own in steels})
    head, by = _parted(head, "by", lambda words: True)
    head, of = _parted(head, "of", lambda words: True)
    head, within = _parted(head, "in", lambda words: True)
    found = re.fullmatch(r"\s*(\d+)\s*[x×]?\s+(.+?)\s*", head)
    if not found:
        raise EntryError(_("How many and of which template are wanted, as in: {order_example}", order_example=ORDER_EXAMPLE))
    steel, date = steel or of or within, date or by
    if len(who.strip()) > NAME:
        raise EntryError(_("“{who}…” is too long a name: at most {name} letters", who=who.strip()[:20], name=NAME))
    return OrderWish(
        quantity=_count(found[1]),
        template=_named(found[2], templates),
        steel=_steel(steel, steels) if steel else "",
        customer=who.strip(),
        wanted=iso_date(date) if date else "",
    )


def _count(text: str) -> int:
    try:
        return parse_whole(text, 1, MOST_ORDERED)
    except NumberError:
        raise EntryError(f"From 1 to {MOST_ORDERED} can be ordered in a line, not {text[:20]}") from None


def _parted(text: str, word: str, meant: Callable[[str], bool]) -> tuple[str, str]:
    """What stands before and behind the last of a word, where what is behind is meant so; else all of it before."""
    before, found, behind = text.rpartition(f" {word} ")
    return (before, behind.strip()) if found and meant(behind.strip()) else (text, "")


def _named(words: str, templates: Sequence[str]) -> str:
    """The template meant: by its whole name, or by how it begins where only one does."""
    same = [name for name in templates if name.casefold() == words.casefold()]
    begin = same or [name for name in templates if name.casefold().startswith(words.casefold())]
    if len(begin) != 1:
        which = _("more than one template begins so") if begin else _("no template is called that")
        raise EntryError(_("“{words}”: {which}; the shelf has {names}", words=words, which=which, names=", ".join(templates)))
    return begin[0]


def _steel(words: str, steels: Sequence[str]) -> str:
    found = next((steel for steel in steels if steel.casefold() == words.casefold()), None)
    if found is None:
        raise EntryError(f"No bar is of “{words}”; the bars are of {', '.join(steels) or 'nothing yet'}")
    return found


def iso_date(words: str) -> str:
    """A date as it is kept. Raises EntryError for one that is none."""
    found = re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})", plain(words).strip())
    date = "{}-{:0>2}-{:0>2}".format(*found.groups()) if found else ""
    if not is_date(date):
        raise EntryError(_("“{words}” is no date; it is written year-month-day, as in: 2027-01-15", words=words.strip()[:40]))
    return date
