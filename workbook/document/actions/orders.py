"""Customers, orders and their lines."""

from collections.abc import Callable, Mapping
from decimal import Decimal

from workbook.document.action import Action, Value, plain
from workbook.document.actions.templates import kept_revisions
from workbook.document.document import Document, Edit, replacing
from workbook.document.orders import customer_of, lines_of, next_number
from workbook.document.queries import next_place, number_of
from workbook.document.records import BarRecord, Record, TemplateRecord
from workbook.document.shop_records import CustomerRecord, OrderLine, OrderRecord, PieceRecord
from workbook.shop.orders import DONE, OPEN, Status
from workbook.structs import replace


def change_customer(document: Document, after: CustomerRecord) -> Edit:
    """Change a customer's name or other details."""
    return replacing(document, Action("customer.changed", {"customer": after.name}), [after])


def remove_customer(document: Document, id: str) -> Edit:  # noqa: A002
    """Remove a customer from the list; the orders stay, without a name."""
    name = document.get(id, CustomerRecord).name
    orders = [replace(order, customer="") for order in document.all(OrderRecord) if order.customer == id]
    return replacing(document, Action("customer.removed", {"customer": name}), orders, [id])


def order_for(document: Document, name: str, new: Callable[[], str], taken: str) -> Edit:
    """Add an order for the customer with this name, who is added if missing; "" for the shop's own stock. `taken`: ISO date."""
    name = name.strip()
    existing = next((c for c in document.all(CustomerRecord) if c.name.casefold() == name.casefold()), None)
    customer = existing or (CustomerRecord(id=new(), place=next_place(document, CustomerRecord), name=name) if name else None)
    additions: list[Record] = [customer] if customer and existing is None else []
    number = next_number(document)
    record = OrderRecord(
        id=new(), place=next_place(document, OrderRecord), number=number, customer=customer.id if customer else "", taken=taken
    )
    action = Action("order.added", {"order": number, "customer": customer.name if customer else ""})
    return replacing(document, action, [*additions, record])


def change_order(document: Document, after: OrderRecord, key: str) -> Edit:
    """Change the field `key` of an order; for its status and whether it is laid out, use `set_status` and `lay`."""
    value = customer_of(document, after) if key == "customer" else plain(getattr(after, key))
    return replacing(document, Action(f"order.{key}", {"order": after.number, "value": value}), [after])


def set_status(document: Document, id: str, status: Status) -> Edit:  # noqa: A002
    """Set an order's status; once agreed its blanks are laid out, once done they are not."""
    record = document.get(id, OrderRecord)
    comes_open = status in OPEN and record.status not in OPEN
    laying = (record.laying or comes_open) and status not in DONE
    action = Action("order.status", {"order": record.number, "status": plain(status)})
    return replacing(document, action, [replace(record, status=status, laying=laying)])


def lay(document: Document, id: str, *, on: bool) -> Edit:  # noqa: A002
    """Set whether an order's blanks are laid out; those of one that is done never are."""
    record = document.get(id, OrderRecord)
    laying = on and record.status not in DONE
    action = Action("order.laid" if laying else "order.not_laid", {"order": record.number})
    return replacing(document, action, [replace(record, laying=laying)])


def remove_order(document: Document, id: str) -> Edit:  # noqa: A002
    """Remove an order with its lines; blanks cut for it become the shop's own, and bars reserved for it are free."""
    record = document.get(id, OrderRecord)
    lines = [line.id for line in lines_of(document, id)]
    pieces = [replace(piece, line="") for piece in document.all(PieceRecord) if piece.line in lines]
    bars = [
        replace(bar, spoken=tuple(each for each in bar.spoken if each.order != id))
        for bar in document.all(BarRecord)
        if any(each.order == id for each in bar.spoken)
    ]
    return replacing(document, Action("order.removed", {"order": record.number}), [*pieces, *bars], [*lines, id])


def add_line(document: Document, line: OrderLine) -> Edit:
    """Add a line at the end of its order."""
    order, name = document.get(line.order, OrderRecord), document.get(line.of, TemplateRecord).template.name
    placed = replace(line, place=next_place(document, OrderLine))
    fields: dict[str, Value] = {"order": order.number, "template": name, "steel": line.steel, "count": line.quantity}
    return replacing(document, Action("line.added", fields), [placed])


def change_line(document: Document, after: OrderLine, key: str) -> Edit:
    """Change the field `key` of a line. A quoted price stands only while the fields it rests on are unchanged."""
    order, before = document.get(after.order, OrderRecord), document.get(after.id, OrderLine)
    rests_on = ("of", "steel", "quantity", "handle", "sheath", "options", "pricing", "starts")
    unchanged = all(getattr(before, name) == getattr(after, name) for name in rests_on)
    line = after if unchanged else replace(after, agreed=None)
    name = document.get(after.of, TemplateRecord).template.name
    return replacing(document, Action(f"line.{key}", {"order": order.number, "template": name}), [line])


def remove_line(document: Document, id: str) -> Edit:  # noqa: A002
    """Remove a line of an order; blanks cut for it become the shop's own."""
    line = document.get(id, OrderLine)
    number = document.get(line.order, OrderRecord).number
    pieces = [replace(piece, line="") for piece in document.all(PieceRecord) if piece.line == id]
    name = document.get(line.of, TemplateRecord).template.name
    return replacing(document, Action("line.removed", {"order": number, "template": name}), pieces, [id])


def quote(document: Document, order: str, prices: Mapping[str, Decimal], at: str, new: Callable[[], str]) -> Edit:
    """Record the quote of an order: the price of each line, tax and deposit are fixed, and its templates are kept as revisions.

    `prices`: of one knife, by the line's id; `at`: ISO date and time.
    """
    record = document.get(order, OrderRecord)
    lines = [line for line in lines_of(document, order) if line.id in prices]  # a line whose template is gone has no price
    revisions = kept_revisions(document, (line.of for line in lines), at, "quote", new)
    priced = [replace(line, agreed=prices[line.id], revision=number_of(document, line.of)) for line in lines]
    status = Status.QUOTED if record.status is Status.ASKED else record.status
    charges = document.settings.charges
    tax = charges.tax if record.tax is None else record.tax
    deposit = charges.deposit if record.deposit is None else record.deposit
    after = replace(record, status=status, quoted=at[:10], tax=tax, deposit=deposit)
    return replacing(document, Action("order.quoted", {"order": record.number}), [after, *priced, *revisions])
