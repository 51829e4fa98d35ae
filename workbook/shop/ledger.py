"""The ledger of the stock: entries for what came in and went out, which add up to the count."""

from collections.abc import Iterable
from decimal import Decimal
from enum import StrEnum

from msgspec import Struct

from workbook.texts import _


class Reason(StrEnum):
    """Why a count changed."""

    ENTERED = "entered"
    BOUGHT = "bought"
    USED = "used"
    RETURNED = "returned"
    SCRAPPED = "scrapped"
    ADJUSTED = "counted anew"
    CUT_OFF = "cut off"  # the offcut of another bar


REASON_WORDS = {
    Reason.ENTERED: _("entered"),
    Reason.BOUGHT: _("bought"),
    Reason.USED: _("used"),
    Reason.RETURNED: _("returned"),
    Reason.SCRAPPED: _("scrapped"),
    Reason.ADJUSTED: _("recounted"),
    Reason.CUT_OFF: _("offcut"),
}
TAKES = (Reason.USED, Reason.SCRAPPED)  # these reduce the count


class Entry(Struct, frozen=True, kw_only=True):
    """One line of a ledger: when, why, by how much (negative: taken out), and a note."""

    at: str  # ISO date and time
    why: Reason
    by: Decimal
    note: str = ""


def exact(count: float) -> Decimal:
    """A count as the decimal that is written: 0.1 is one tenth, not the binary number nearest to it."""
    return Decimal(repr(count)) if isinstance(count, float) and not count.is_integer() else Decimal(int(count))


def balance(entries: Iterable[Entry]) -> Decimal:
    """The sum of the entries."""
    return sum((entry.by for entry in entries), Decimal(0))
