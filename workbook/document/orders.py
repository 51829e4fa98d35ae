"""Queries of a document about its orders: their lines, what is still to be cut and for whom, and the stock on the shelf."""

from collections import Counter
from collections.abc import Mapping, Sequence

from workbook.document.document import Document
from workbook.document.records import BarRecord, MaterialRecord, TemplateRecord
from workbook.document.shop_records import CustomerRecord, Movement, OrderLine, OrderRecord, PieceRecord
from workbook.shop.charges import Charges, rates_for, starts_of
from workbook.shop.ledger import Entry, Reason, balance, exact
from workbook.shop.orders import OPEN, TALKED_OF, Status
from workbook.template.contour import is_bare
from workbook.texts import _

_LAST = "9999"  # an order without a date comes after all that have one


def lines_of(document: Document, order: str) -> list[OrderLine]:
    """The lines of an order; for "": those outside orders."""
    return list(document.once(_by_order, OrderLine).get(order, ()))


def _by_order(document: Document) -> Mapping[str, list[OrderLine]]:
    found = dict[str, list[OrderLine]]()
    for line in document.all(OrderLine):
        found.setdefault(line.order, []).append(line)
    return found


def customer_of(document: Document, order: OrderRecord) -> str:
    """The customer's name; "" for the shop's own stock."""
    customer = document.records.get(order.customer)
    return customer.name if isinstance(customer, CustomerRecord) else ""


def order_name(document: Document, order: OrderRecord) -> str:
    """An order as the maker knows it: "Order 2, A. Moreno"."""
    whose = customer_of(document, order)
    return _("Order {number}, {whose}", number=order.number, whose=whose) if whose else _("Order {number}", number=order.number)


def hands_for(document: Document, template: str) -> list[tuple[str, float]]:
    """Names and hand breadths, mm, of customers with a known breadth and an order for a template, open or under discussion."""
    orders = (order for order in by_date(document) if order.status in (*TALKED_OF, *OPEN))
    matching = (order for order in orders if any(line.of == template for line in lines_of(document, order.id)))
    records = (document.records.get(order.customer) for order in matching)
    customers = (customer for customer in records if isinstance(customer, CustomerRecord) and customer.hand_breadth > 0)
    return list(dict.fromkeys((customer.name, customer.hand_breadth) for customer in customers))


def next_number(document: Document) -> int:
    """The number of the next order."""
    return max((order.number for order in document.all(OrderRecord)), default=0) + 1


def made_with(document: Document, order: OrderRecord) -> list[OrderRecord]:
    """The other orders in a batch of the same name, without declined ones."""
    name = _batch(order)
    return [other for other in document.all(OrderRecord) if name and other.id != order.id and _batch(other) == name]


def _batch(order: OrderRecord) -> str:
    return "" if order.status is Status.DECLINED else order.batch.strip().casefold()


def by_date(document: Document) -> list[OrderRecord]:
    """The orders: those open or under discussion first, by date wanted, then the others, newest first."""
    active = (*TALKED_OF, *OPEN)
    orders = sorted(document.all(OrderRecord), key=lambda order: -order.number)
    current = sorted((o for o in orders if o.status in active), key=lambda o: (o.wanted or _LAST, o.number))
    return [*current, *(o for o in orders if o.status not in active)]


def blanks_started(document: Document, line: OrderLine) -> int:
    """The number of blanks to start for a line: as it says, else from the shop's yield; outside orders, just its quantity."""
    if not line.order:
        return line.quantity
    return starts_of(line.quantity, rates_of(document, line)) if line.starts is None else max(line.starts, line.quantity)


def rates_of(document: Document, line: OrderLine) -> Charges:
    """The shop's rates with the stages that the knives of a line go through."""
    return rates_for(document.settings.charges, handled=is_handled(document, line.of), sheathed=bool(line.sheath))


def is_handled(document: Document, template: str) -> bool:
    """Whether a template's knives have a handle besides their tang; those of an outline from a file count as having one."""
    record = document.records.get(template)
    family = record.family if isinstance(record, TemplateRecord) else None
    return family is None or not is_bare(family.handle)


def cut_by_line(document: Document) -> Mapping[str, int]:
    """The number of blanks cut for each line of an order, by the line's id."""
    return Counter(piece.line for piece in document.all(PieceRecord) if piece.line)


def still_to_cut(document: Document) -> list[tuple[OrderLine, int]]:
    """The lines to be laid out, each with its blanks still to cut: those outside orders first, then by date wanted."""
    return _not_cut(document, [order.id for order in by_date(document) if order.laying])


def not_cut(document: Document) -> list[tuple[OrderLine, int]]:
    """The same of all open orders, also of those that are not to be laid out yet."""
    return _not_cut(document, [order.id for order in by_date(document) if order.laying or order.status in OPEN])


def _not_cut(document: Document, orders: Sequence[str]) -> list[tuple[OrderLine, int]]:
    """The lines outside orders and of some orders, each with its blanks still to cut."""
    names = {record.id for record in document.all(TemplateRecord)}
    cut = cut_by_line(document)
    lines = (line for order in ("", *orders) for line in lines_of(document, order) if line.of in names)
    remaining = ((line, blanks_started(document, line) - cut.get(line.id, 0)) for line in lines)
    return [(line, n) for line, n in remaining if n > 0]


def to_make(document: Document) -> dict[tuple[str, str], int]:
    """The number of blanks to lay out, by template (its id) and steel."""
    totals: Counter[tuple[str, str]] = Counter()
    for line, n in still_to_cut(document):
        totals[line.of, line.steel] += n
    return dict(totals)


def for_orders(document: Document) -> dict[tuple[str, str], int]:
    """The number of those blanks that are for orders, by template (its id) and steel."""
    totals: Counter[tuple[str, str]] = Counter()
    for line, n in still_to_cut(document):
        totals[line.of, line.steel] += n if line.order else 0
    return dict(totals)


def free_count(document: Document, record: BarRecord) -> int:
    """The number of bars of a kind free for the layout: those not reserved for an order that is not being laid out."""
    laying = {order.id for order in document.all(OrderRecord) if order.laying}
    return max(record.bar.have - sum(each.count for each in record.spoken if each.order not in laying), 0)


def serials_used(document: Document) -> tuple[str, ...]:
    """The serials already on blanks."""
    return tuple(piece.serial for piece in document.all(PieceRecord))


def ledger_of(document: Document, of: str) -> list[Entry]:
    """The ledger of a bar or a material, oldest first. Stock from before its first entry is an entry of its own."""
    moves = [m for m in document.all(Movement) if m.of == of]
    entries = [Entry(at=move.at, why=move.why, by=move.by, note=move.note) for move in moves]
    record = document.records.get(of)
    have = _have(record) if isinstance(record, BarRecord | MaterialRecord) else 0.0
    before = exact(have) - balance(entries)
    return [Entry(at="", why=Reason.ENTERED, by=before, note=_("before the ledger")), *entries] if before else entries


def _have(record: BarRecord | MaterialRecord) -> float:
    return record.bar.have if isinstance(record, BarRecord) else record.material.have
