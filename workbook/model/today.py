"""What a day's page tells: open orders by date with when they are likely done, and what would help those that slip."""

from collections.abc import Iterator, Sequence
from math import inf

from msgspec import Struct

from workbook.document.accounts import finished_of, ordered
from workbook.document.document import Document
from workbook.document.orders import by_date, order_name
from workbook.document.shop_records import OrderRecord
from workbook.model.tonight import Evening, lots_in
from workbook.planning.calendar import Calendar
from workbook.planning.model import Stint
from workbook.planning.ordering import dates
from workbook.shop.orders import OPEN
from workbook.texts import _, ngettext

_LONGER = (30, 60, 120, 180)  # minutes a day that are tried


class OrderDue(Struct, frozen=True, kw_only=True):
    """An open order."""

    order: OrderRecord
    words: str
    finished: int
    ordered: int


def orders_due(document: Document) -> Iterator[OrderDue]:
    """The open orders, by the date they are wanted."""
    for order in by_date(document):
        if order.status in OPEN:
            finished, wanted = finished_of(document, order.id), ordered(document, order.id)
            yield OrderDue(order=order, words=order_name(document, order), finished=finished, ordered=wanted)


def progress_words(due: OrderDue) -> str:
    """How far an order is, as a sentence: "2 of 4 finished."."""
    return _("{finished} of {ordered} finished.", finished=due.finished, ordered=due.ordered)


def what_helps(evening: Evening, order: str, *, kept: bool) -> str:
    """What would bring an order that slips to its date; a sentence. `kept`: past weeks say that not all hours are worked."""
    lots = lots_in(evening, order)
    due = min((evening.lots[n].due for n in lots), default=inf)
    if max((evening.search.plan().done[n] for n in lots), default=inf) <= due:
        if kept:
            return _("It is in time if all hours of the shop are kept.")
        return _("It is in time if no blade is lost and no stage takes longer than usual.")
    ahead = [*(n for n in evening.search.order if n in lots), *(n for n in evening.search.order if n not in lots)]
    if _done(evening, evening.stints, ahead, lots) <= due:
        return _("Done before all else, it is in time.")
    for minutes in _LONGER:
        longer = [Stint(start=each.start, end=each.end + minutes) for each in evening.stints]
        if _done(evening, longer, ahead, lots) <= due:
            return ngettext(
                "Done before all else, with {count} minute more a day, it is in time.",
                "Done before all else, with {count} minutes more a day, it is in time.",
                minutes,
            )
    return _("It cannot be in time. Agree on a later date.")


def _done(evening: Evening, stints: Sequence[Stint], order: Sequence[int], lots: Sequence[int]) -> float:
    done = dates(evening.lots, order, Calendar(stints, evening.lots, evening.held))
    return max(done[n] for n in lots) if lots else inf
