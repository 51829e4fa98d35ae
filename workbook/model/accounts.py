"""The account of an order: what is due, what was paid, what has left the shop, and where it stands by its knives."""

from decimal import Decimal

from msgspec import Struct

from workbook.document.accounts import (
    blades_for,
    count_delivered,
    has_account,
    open_invoice,
    ordered,
    orders_with_account,
    paid,
    ready_for,
)
from workbook.document.document import Document
from workbook.document.money_records import InvoiceLine, InvoiceRecord, SaleRecord
from workbook.document.orders import lines_of
from workbook.document.shop_records import CustomerRecord, OrderRecord
from workbook.model.model import Model
from workbook.model.quoting import OrderWork, worked_out
from workbook.shop.money import NOTHING, cents
from workbook.shop.orders import DONE, STATUS_WORDS, TALKED_OF, Status
from workbook.shop.quote import QuoteLine, Totals, totals
from workbook.texts import _


class Account(Struct, frozen=True, kw_only=True):
    """An order's money and knives."""

    due: Decimal
    deposit: Decimal  # that was asked for
    paid: Decimal
    ordered: int
    ready: int
    delivered: int
    invoice: InvoiceRecord | None

    @property
    def balance(self) -> Decimal:
        """What is still to be paid; under 0 where too much was."""
        return self.due - self.paid


def account_of(document: Document, model: Model, order: str, work: OrderWork | None = None) -> Account:
    """The account of an order. What is due is what was invoiced; else what the quote comes to; of a declined order nothing."""
    work = work or worked_out(document, model, order, {})
    bill = open_invoice(document, order)
    quoted = NOTHING if work.order.status is Status.DECLINED else work.totals.due
    return Account(
        due=invoiced(bill).due if bill is not None else quoted,
        deposit=work.totals.deposit,
        paid=paid(document, order),
        ordered=ordered(document, order),
        ready=len(ready_for(document, order)),
        delivered=count_delivered(document, order),
        invoice=bill,
    )


def prices_fixed(document: Document, order: str) -> bool:
    """Whether every line of an order has the price that was quoted."""
    return all(line.agreed is not None for line in lines_of(document, order))


def invoiced(record: InvoiceRecord) -> Totals:
    """The totals of an invoice, to the cent; tax is rounded once, on the whole."""
    lines = tuple(
        QuoteLine(words=line.words, details=(), quantity=line.quantity, each=line.each, cost=NOTHING) for line in record.lines
    )
    return totals(lines, record.discount, record.delivery, record.tax, 0.0)


def invoice_for(document: Document, work: OrderWork, id: str, date: str) -> InvoiceRecord:  # noqa: A002
    """An invoice of what an order's quote comes to; its number follows when it is issued."""
    customer = document.records.get(work.order.customer)
    contact = customer.contact if isinstance(customer, CustomerRecord) else ""
    settings = document.settings
    return InvoiceRecord(
        seller="\n".join(part.replace("\n", ", ") for part in (settings.shop, settings.address, settings.contact)),
        id=id, place=0.0, number=1, date=date, order=work.order.id, discount=work.totals.discount, delivery=work.totals.delivery,
        tax=work.tax, buyer="\n".join(part for part in (work.customer, contact) if part),
        lines=tuple(
            InvoiceLine(
                words=line.quote.words, quantity=line.quote.quantity, each=cents(line.quote.each),
                details=", ".join(line.quote.details),
            ) for line in work.lines
        ),
    )  # fmt: skip


def sale_tax(sale: SaleRecord) -> Decimal:
    """The tax of a knife sold without an order, to the cent."""
    return cents(sale.price * Decimal(repr(sale.tax)))


def sale_commission(sale: SaleRecord) -> Decimal:
    """What whoever sold it for the shop keeps, to the cent: a share of the price before tax."""
    return cents(sale.price * Decimal(repr(sale.kept)))


def owed(document: Document, model: Model, order: OrderRecord) -> Decimal:
    """What is still to be paid for an order whose knives have all left the shop; 0 for another, or one without an account."""
    if not has_account(document, order.id):
        return NOTHING
    if order.status is not Status.DELIVERED and count_delivered(document, order.id) < ordered(document, order.id):
        return NOTHING
    return max(account_of(document, model, order.id).balance, NOTHING)


def order_state(document: Document, model: Model, order: OrderRecord) -> str:
    """Where an order stands: as `state_words`, and once its knives are delivered, whether it is paid."""
    words = state_words(document, order)
    if owed(document, model, order):
        return _("not paid")
    delivered = words == STATUS_WORDS[Status.DELIVERED]
    return _("paid") if delivered and paid(document, order.id) > 0 else words


def owing(document: Document, model: Model) -> list[tuple[OrderRecord, Decimal]]:
    """The orders of which something is owed for knives that left the shop, with how much."""
    found = (document.records.get(each) for each in orders_with_account(document))
    orders = sorted((order for order in found if isinstance(order, OrderRecord)), key=lambda order: order.number)
    return [(order, due) for order in orders if (due := owed(document, model, order))]


def state_words(document: Document, order: OrderRecord) -> str:
    """Where an order stands, by its knives: accepted, in progress, ready, delivered."""
    if order.status in (*TALKED_OF, Status.DECLINED):
        return STATUS_WORDS[order.status]
    wanted, gone, ready = ordered(document, order.id), count_delivered(document, order.id), len(ready_for(document, order.id))
    if order.status in DONE or (wanted and gone >= wanted):
        return STATUS_WORDS[Status.DELIVERED]
    if gone:
        return _("{gone} of {wanted} delivered", gone=gone, wanted=wanted)
    if wanted and ready >= wanted:
        return _("ready")
    if ready:
        return _("{ready} of {wanted} ready", ready=ready, wanted=wanted)
    return STATUS_WORDS[Status.MAKING if blades_for(document, order.id) else order.status]
