"""What is asked of a document about its orders: their lines, what is still to be cut, for whom, and what lies on the shelf."""

from collections import Counter
from collections.abc import Mapping

from workbook.document.document import Document
from workbook.document.records import BarRecord, MaterialRecord, TemplateRecord
from workbook.document.shop_records import CustomerRecord, Movement, OrderLine, OrderRecord, PieceRecord
from workbook.shop.charges import starts_of
from workbook.shop.ledger import Entry, Reason, balance, exact
from workbook.shop.orders import OPEN, TALKED_OF, Status
from workbook.texts import _

_LAST = "9999"  # an order without a date comes after all that have one


def lines_of(document: Document, order: str) -> list[OrderLine]:
    """The lines of an order; of "": what is to be made besides."""
    return [line for line in document.all(OrderLine) if line.order == order]


def customer_of(document: Document, order: OrderRecord) -> str:
    """The name of who ordered; "" for the shop's own stock."""
    found = document.records.get(order.customer)
    return found.name if isinstance(found, CustomerRecord) else ""


def hands_for(document: Document, template: str) -> list[tuple[str, float]]:
    """Names and hand breadths, mm, of those whose orders of a template are talked of or open, where a breadth is known."""
    going = (order for order in by_date(document) if order.status in (*TALKED_OF, *OPEN))
    wanting = (order for order in going if any(line.of == template for line in lines_of(document, order.id)))
    found = (document.records.get(order.customer) for order in wanting)
    known = (own for own in found if isinstance(own, CustomerRecord) and own.hand_breadth > 0)
    return list(dict.fromkeys((own.name, own.hand_breadth) for own in known))


def next_number(document: Document) -> int:
    """The number of the next order."""
    return max((order.number for order in document.all(OrderRecord)), default=0) + 1


def made_with(document: Document, order: OrderRecord) -> list[OrderRecord]:
    """The other orders whose batch has the same name, but what was declined."""
    name = _batch(order)
    return [other for other in document.all(OrderRecord) if name and other.id != order.id and _batch(other) == name]


def _batch(order: OrderRecord) -> str:
    return "" if order.status is Status.DECLINED else order.batch.strip().casefold()


def by_date(document: Document) -> list[OrderRecord]:
    """Orders that are talked of or open, the soonest wanted first, then the others, the last first."""
    at_work = (*TALKED_OF, *OPEN)
    orders = sorted(document.all(OrderRecord), key=lambda order: -order.number)
    going = sorted((o for o in orders if o.status in at_work), key=lambda o: (o.wanted or _LAST, o.number))
    return [*going, *(o for o in orders if o.status not in at_work)]


def blanks_started(document: Document, line: OrderLine) -> int:
    """Blanks to start for a line: as it says, else at the shop's yield; besides orders, just as many as are to be made."""
    if not line.order:
        return line.quantity
    return starts_of(line.quantity, document.settings.charges) if line.starts is None else max(line.starts, line.quantity)


def cut_by_line(document: Document) -> Mapping[str, int]:
    """How many blanks were cut for each line of an order."""
    return Counter(piece.line for piece in document.all(PieceRecord) if piece.line)


def still_to_cut(document: Document) -> list[tuple[OrderLine, int]]:
    """Lines whose blanks are to be laid out and how many are left of each: besides orders first, then by date wanted."""
    names = {record.id for record in document.all(TemplateRecord)}
    cut = cut_by_line(document)
    orders = [order.id for order in by_date(document) if order.laying]
    wanted = (line for order in ("", *orders) for line in lines_of(document, order) if line.of in names)
    left = ((line, blanks_started(document, line) - cut.get(line.id, 0)) for line in wanted)
    return [(line, n) for line, n in left if n > 0]


def to_make(document: Document) -> dict[tuple[str, str], int]:
    """How many blanks of each template (its id) and steel are laid out."""
    found: Counter[tuple[str, str]] = Counter()
    for line, n in still_to_cut(document):
        found[line.of, line.steel] += n
    return dict(found)


def for_orders(document: Document) -> dict[tuple[str, str], int]:
    """Of these, how many are for orders."""
    found: Counter[tuple[str, str]] = Counter()
    for line, n in still_to_cut(document):
        found[line.of, line.steel] += n if line.order else 0
    return dict(found)


def free_count(document: Document, record: BarRecord) -> int:
    """How many bars of a kind may be laid out on: those not kept for an order that is not among them."""
    laying = {order.id for order in document.all(OrderRecord) if order.laying}
    return max(record.bar.have - sum(each.count for each in record.spoken if each.order not in laying), 0)


def serials_used(document: Document) -> tuple[str, ...]:
    """Serials that are on blanks already."""
    return tuple(piece.serial for piece in document.all(PieceRecord))


def ledger_of(document: Document, of: str) -> list[Entry]:
    """The ledger of a bar or a material, oldest first. What lay there before its first entry is an entry of its own."""
    moves = [m for m in document.all(Movement) if m.of == of]
    entries = [Entry(at=move.at, why=move.why, by=move.by, note=move.note) for move in moves]
    record = document.records.get(of)
    have = _have(record) if isinstance(record, BarRecord | MaterialRecord) else 0.0
    before = exact(have) - balance(entries)
    return [Entry(at="", why=Reason.ENTERED, by=before, note=_("before the ledger")), *entries] if before else entries


def _have(record: BarRecord | MaterialRecord) -> float:
    return record.bar.have if isinstance(record, BarRecord) else record.material.have
