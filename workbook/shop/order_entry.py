"""Parse the line a maker types to enter an order: "6 Petty of 52100 for A. Moreno by 2027-01-15"."""

import re
from collections.abc import Callable, Sequence

from msgspec import Struct

from workbook.fields import NAME, is_date
from workbook.number_in import NumberError, parse_whole, plain
from workbook.shop.entry import EntryError
from workbook.shop.fields import MOST_ORDERED
from workbook.texts import _

ORDER_EXAMPLE = _("6 Petty of 52100 for A. Moreno by 2027-01-15")


class OrderWish(Struct, frozen=True, kw_only=True):
    """The order in a line; "" for what it does not say."""

    quantity: int
    template: str
    steel: str = ""
    customer: str = ""
    wanted: str = ""  # ISO date


def order_entry(text: str, templates: Sequence[str], steels: Sequence[str]) -> OrderWish:
    """Parse an order: how many of which template of the shelf, then "of" a steel, "for" a customer, "by" a date.

    The text after "for" is a name and may have any words in it; but a date after its last "by", and a known steel after its
    last "of", belong to the order. Raises EntryError, which says what is wrong and what would be right.
    """
    head, separator, customer = text.strip().partition(" for ")
    date, steel = "", ""
    if separator:
        customer, date = _parted(customer, "by", lambda words: words[:1].isdigit())
        customer, steel = _parted(customer, "of", lambda words: words.casefold() in {name.casefold() for name in steels})
    head, by = _parted(head, "by", lambda words: True)
    head, of = _parted(head, "of", lambda words: True)
    head, within = _parted(head, "in", lambda words: True)
    match = re.fullmatch(r"\s*(\d+)\s*[x×]?\s+(.+?)\s*", head)
    if not match:
        raise EntryError(_("Type a quantity and a template, e.g. {order_example}", order_example=ORDER_EXAMPLE))
    steel, date = steel or of or within, date or by
    if len(customer.strip()) > NAME:
        raise EntryError(
            _("“{who}…” is too long for a name. Allowed: at most {name} letters", who=customer.strip()[:20], name=NAME)
        )
    return OrderWish(
        quantity=_count(match[1]),
        template=_named(match[2], templates),
        steel=_steel(steel, steels) if steel else "",
        customer=customer.strip(),
        wanted=iso_date(date) if date else "",
    )


def _count(text: str) -> int:
    try:
        return parse_whole(text, 1, MOST_ORDERED)
    except NumberError:
        raise EntryError(_("A line can have 1 to {most}, not {count}", most=MOST_ORDERED, count=text[:20])) from None


def _parted(text: str, word: str, accepts: Callable[[str], bool]) -> tuple[str, str]:
    """Split a text at the last `word`, where the part after it is accepted; else the whole text comes before it."""
    before, separator, behind = text.rpartition(f" {word} ")
    return (before, behind.strip()) if separator and accepts(behind.strip()) else (text, "")


def _named(words: str, templates: Sequence[str]) -> str:
    """The template of this name, or the only one whose name begins with it. Raises EntryError."""
    exact = [name for name in templates if name.casefold() == words.casefold()]
    matches = exact or [name for name in templates if name.casefold().startswith(words.casefold())]
    if len(matches) != 1:
        names = ", ".join(templates)
        if matches:
            raise EntryError(
                _("“{words}”: more than one template name starts with this. The shelf has {names}", words=words, names=names)
            )
        raise EntryError(_("“{words}”: no template has this name. The shelf has {names}", words=words, names=names))
    return matches[0]


def _steel(words: str, steels: Sequence[str]) -> str:
    match = next((steel for steel in steels if steel.casefold() == words.casefold()), None)
    if match is None:
        if not steels:
            raise EntryError(_("No bar is of “{words}”. There are no bars yet", words=words))
        raise EntryError(_("No bar is of “{words}”. The bars are of {names}", words=words, names=", ".join(steels)))
    return match


def iso_date(words: str) -> str:
    """A date in ISO format. Raises EntryError for a text that is not a date."""
    match = re.fullmatch(r"(\d{4})-(\d{1,2})-(\d{1,2})", plain(words).strip())
    date = "{}-{:0>2}-{:0>2}".format(*match.groups()) if match else ""
    if not is_date(date):
        raise EntryError(_("“{words}” is not a date. Type year-month-day, e.g. 2027-01-15", words=words.strip()[:40]))
    return date
