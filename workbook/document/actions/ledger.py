"""Stock that comes to the shelves and leaves them: every change of a count is an entry of the ledger."""

from decimal import Decimal

from msgspec import Struct

from workbook.document.action import Action, Value
from workbook.document.document import Document, Edit, EditError, replacing
from workbook.document.queries import next_place
from workbook.document.records import BarRecord, MaterialRecord, Record
from workbook.document.shop_records import Movement, OrderRecord, Spoken
from workbook.shop.ledger import Reason, exact
from workbook.structs import replace
from workbook.texts import _

_MOVED = {
    Reason.BOUGHT: "stock.bought",
    Reason.USED: "stock.used",
    Reason.RETURNED: "stock.returned",
    Reason.SCRAPPED: "stock.scrapped",
    Reason.ADJUSTED: "stock.counted",
}


class Stamp(Struct, frozen=True):
    """The id of a new entry, and when it is made: ISO date and time."""

    id: str
    at: str


def name_of(record: BarRecord | MaterialRecord) -> str:
    """The name of a bar or a material."""
    return record.bar.name if isinstance(record, BarRecord) else record.material.name


def have(record: BarRecord | MaterialRecord) -> Decimal:
    """The amount in stock."""
    return exact(record.bar.have if isinstance(record, BarRecord) else record.material.have)


def moved(document: Document, of: str, why: Reason, by: Decimal, stamp: Stamp, note: str = "") -> Edit:
    """Add `by` of a bar or a material to the shelf, or remove it (negative). EditError when more would leave than is there."""
    record = _record(document, of)
    fields = {"name": name_of(record), "count": f"{abs(by):f}", "now": f"{have(record) + by:f}"}
    return replacing(document, Action(_MOVED[why], fields), booked(document, record, why, by, stamp, note))


def booked(
    document: Document, record: BarRecord | MaterialRecord, why: Reason, by: Decimal, stamp: Stamp, note: str = ""
) -> list[Record]:
    """The record with its new count and the ledger entry; the record alone where nothing changes.

    EditError when more would leave than is there.
    """
    if by == 0:
        return [record]
    now = have(record) + by
    if now < 0:
        raise EditError(
            _("{name_of}: {have} on hand, so {by} cannot be taken", name_of=name_of(record), by=-by, have=have(record))
        )
    entry = Movement(id=stamp.id, place=next_place(document, Movement), of=record.id, at=stamp.at, why=why, by=by, note=note)
    return [counted(record, now), entry]


def counted(record: BarRecord | MaterialRecord, now: Decimal) -> BarRecord | MaterialRecord:
    """The record with the count `now`."""
    if isinstance(record, BarRecord):
        return replace(record, bar=replace(record.bar, have=int(now)))
    return replace(record, material=replace(record.material, have=float(now)))


def speak_for(document: Document, bar: str, order: str, count: int) -> Edit:
    """Reserve a number of bars of a kind for an order; 0 releases them."""
    record, of = document.get(bar, BarRecord), document.get(order, OrderRecord)
    others = tuple(each for each in record.spoken if each.order != order)
    spoken = (*others, Spoken(order=order, count=count)) if count > 0 else others
    fields: dict[str, Value] = {"bar": record.bar.name, "order": of.number, "count": count}
    action = Action("bar.kept" if count > 0 else "bar.kept_none", fields)
    return replacing(document, action, [replace(record, spoken=spoken)])


def set_aside(document: Document, bar: str, *, aside: bool) -> Edit:
    """Set a kind of bar aside, so that nothing is laid out on it, or put it back."""
    record = document.get(bar, BarRecord)
    action = Action("bar.aside" if aside else "bar.not_aside", {"bar": record.bar.name})
    return replacing(document, action, [replace(record, aside=aside)])


def _record(document: Document, of: str) -> BarRecord | MaterialRecord:
    record = document.records[of]
    if not isinstance(record, BarRecord | MaterialRecord):
        raise EditError(_("{of} is not counted", of=of))
    return record
