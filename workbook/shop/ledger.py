"""What came to the shelf and what left it: entries that add up to what lies there."""

from collections.abc import Iterable
from decimal import Decimal
from enum import StrEnum

from msgspec import Struct


class Reason(StrEnum):
    """Why a count changed."""

    ENTERED = "entered"
    BOUGHT = "bought"
    USED = "used"
    RETURNED = "returned"
    SCRAPPED = "scrapped"
    ADJUSTED = "counted anew"
    CUT_OFF = "cut off"  # the offcut of another bar


TAKES = (Reason.USED, Reason.SCRAPPED)  # these take from the shelf


class Entry(Struct, frozen=True, kw_only=True):
    """One line of a ledger: when, why, by how much (negative: it left), and what is said of it."""

    at: str  # ISO date and time
    why: Reason
    by: Decimal
    note: str = ""


def exact(count: float) -> Decimal:
    """A count as it is written: 1.5 is one and a half, not the binary number next to it."""
    return Decimal(repr(count)) if isinstance(count, float) and not count.is_integer() else Decimal(int(count))


def balance(entries: Iterable[Entry]) -> Decimal:
    """What the entries come to."""
    return sum((entry.by for entry in entries), Decimal(0))
