"""Customers, orders and their lines."""

from collections.abc import Callable, Mapping
from decimal import Decimal

from workbook.document.actions.templates import kept_revisions
from workbook.document.document import Document, Edit, replacing
from workbook.document.orders import lines_of, next_number
from workbook.document.queries import next_place, number_of
from workbook.document.records import BarRecord, Record, TemplateRecord
from workbook.document.shop_records import CustomerRecord, OrderLine, OrderRecord, PieceRecord
from workbook.shop.orders import DONE, OPEN, Status
from workbook.structs import replace


def change_customer(document: Document, after: CustomerRecord) -> Edit:
    """A customer's name or what else is known of him."""
    return replacing(document, f"customer {after.name} changed", [after])


def remove_customer(document: Document, id: str) -> Edit:  # noqa: A002
    """A customer off the list; orders stay, without his name."""
    name = document.get(id, CustomerRecord).name
    orders = [replace(order, customer="") for order in document.all(OrderRecord) if order.customer == id]
    return replacing(document, f"customer {name} removed", orders, [id])


def order_for(document: Document, name: str, new: Callable[[], str], taken: str) -> Edit:
    """A new order of a customer of this name, who is put on the list where there is none; "" for the shop's own stock."""
    name = name.strip()
    known = next((c for c in document.all(CustomerRecord) if c.name.casefold() == name.casefold()), None)
    who = known or (CustomerRecord(id=new(), place=next_place(document, CustomerRecord), name=name) if name else None)
    made: list[Record] = [who] if who and known is None else []
    number = next_number(document)
    record = OrderRecord(
        id=new(), place=next_place(document, OrderRecord), number=number, customer=who.id if who else "", taken=taken
    )
    return replacing(document, f"order {number}" + (f" of {who.name}" if who else ""), [*made, record])


def change_order(document: Document, after: OrderRecord, what: str) -> Edit:
    """An order changed; `what` in words. One that is done is not laid out any more."""
    kept = replace(after, laying=after.laying and after.status not in DONE)
    return replacing(document, f"order {after.number}: {what}", [kept])


def set_status(document: Document, id: str, status: Status) -> Edit:  # noqa: A002
    """How far an order is; once agreed its blanks are among those laid out, once done they are not."""
    record = document.get(id, OrderRecord)
    comes_open = status in OPEN and record.status not in OPEN
    laying = (record.laying or comes_open) and status not in DONE
    return replacing(document, f"order {record.number}: {status}", [replace(record, status=status, laying=laying)])


def lay(document: Document, id: str, *, on: bool) -> Edit:  # noqa: A002
    """Whether an order's blanks are among those that are laid out."""
    record = document.get(id, OrderRecord)
    words = f"order {record.number} {'is' if on else 'is not'} laid out"
    return replacing(document, words, [replace(record, laying=on)])


def remove_order(document: Document, id: str) -> Edit:  # noqa: A002
    """An order with its lines; what was cut for it is the shop's own then, and bars kept for it are free."""
    record = document.get(id, OrderRecord)
    lines = [line.id for line in lines_of(document, id)]
    pieces = [replace(piece, line="") for piece in document.all(PieceRecord) if piece.line in lines]
    bars = [
        replace(bar, spoken=tuple(each for each in bar.spoken if each.order != id))
        for bar in document.all(BarRecord)
        if any(each.order == id for each in bar.spoken)
    ]
    return replacing(document, f"order {record.number} removed", [*pieces, *bars], [*lines, id])


def add_line(document: Document, line: OrderLine) -> Edit:
    """A line at the end of its order."""
    order, name = document.get(line.order, OrderRecord), document.get(line.of, TemplateRecord).template.name
    placed = replace(line, place=next_place(document, OrderLine))
    return replacing(document, f"order {order.number}: {line.quantity} {name} of {line.steel}", [placed])


def change_line(document: Document, after: OrderLine, what: str) -> Edit:
    """A line changed; `what` in words. A price that was quoted stands only while nothing it rests on is changed."""
    order, before = document.get(after.order, OrderRecord), document.get(after.id, OrderLine)
    rests_on = ("of", "steel", "quantity", "handle", "options", "pricing", "starts")
    same = all(getattr(before, name) == getattr(after, name) for name in rests_on)
    kept = after if same else replace(after, agreed=None)
    return replacing(document, f"order {order.number}: {what}", [kept])


def remove_line(document: Document, id: str) -> Edit:  # noqa: A002
    """A line of an order taken out; what was cut for it is the shop's own then."""
    line = document.get(id, OrderLine)
    number = document.get(line.order, OrderRecord).number
    pieces = [replace(piece, line="") for piece in document.all(PieceRecord) if piece.line == id]
    name = document.get(line.of, TemplateRecord).template.name
    return replacing(document, f"order {number}: no {name}", pieces, [id])


def quote(document: Document, order: str, prices: Mapping[str, Decimal], made: str, new: Callable[[], str]) -> Edit:
    """An order as it was quoted: the price of each line stands, and its templates are kept as revisions.

    `prices`: of one knife, by the line's id; `made`: ISO date and time.
    """
    record = document.get(order, OrderRecord)
    lines = [line for line in lines_of(document, order) if line.id in prices]  # but those whose template is gone
    revisions = kept_revisions(document, (line.of for line in lines), made, "quote", new)
    priced = [replace(line, agreed=prices[line.id], revision=number_of(document, line.of)) for line in lines]
    status = Status.QUOTED if record.status is Status.ASKED else record.status
    after = replace(record, status=status, quoted=made[:10])
    return replacing(document, f"order {record.number} quoted", [after, *priced, *revisions])
