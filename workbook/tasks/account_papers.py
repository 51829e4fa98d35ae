"""Papers of an account as they leave the shop: invoice, receipt, packing slip; the receipt of a knife sold without an order."""

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import NamedTuple

from workbook.document.accounts import is_taken_back, payments_of, ready_for
from workbook.document.document import Document
from workbook.document.money_records import PAYMENT_WORDS, DeliveryRecord, InvoiceRecord, PaymentKind, PaymentRecord, SaleRecord
from workbook.document.orders import customer_of
from workbook.document.records import MaterialRecord
from workbook.document.shop_records import CustomerRecord, OrderLine, OrderRecord, PieceRecord
from workbook.model.accounts import Account, invoiced, sale_tax
from workbook.model.blade_shape import shape_of
from workbook.model.model import Model
from workbook.model.sheathing import handle_name
from workbook.sheets.letter_sheet import Letter, LetterLine
from workbook.shop.care import LAW
from workbook.shop.money import NOTHING, priced
from workbook.structs import replace
from workbook.tasks.quote_out import knife_sizes, sum_rows
from workbook.texts import _, labelled

_AMOUNT = (_("Amount"),)


class Buyer(NamedTuple):
    """Whom a paper is for."""

    name: str
    contact: str = ""


def buyer_of(document: Document, order: OrderRecord) -> Buyer:
    """An order's customer."""
    record = document.records.get(order.customer)
    return Buyer(customer_of(document, order), record.contact if isinstance(record, CustomerRecord) else "")


def invoice_letter(document: Document, bill: InvoiceRecord) -> Letter:
    """An invoice as it was issued; one that cancels another has its amounts taken off."""
    order, money, sums = document.get(bill.order, OrderRecord), document.settings.money, invoiced(bill)
    sign, (name, _line, contact) = -1 if bill.of else 1, bill.buyer.partition("\n")
    before = sum((each.counted for each in payments_of(document, order.id) if each.date <= bill.date), NOTHING)
    after = [] if bill.of or not before else [(_("Received before"), before), (_("To pay"), sums.due - before)]
    letter = _letter(
        document, _title(document, bill), bill.date, Buyer(name, contact.replace("\n", ", ")),
        heads=(_("Quantity"), _("Each"), _("Amount")),
        lines=tuple(
            LetterLine(words=line.words, details=line.details, cells=(
                str(line.quantity), priced(sign * line.each, money), priced(sign * line.each * line.quantity, money),
            )) for line in bill.lines
        ),
        sums=_priced(document, sum_rows(sums, len(bill.lines), bill.tax), sign),
        due=_priced(document, [(_("Total"), sums.due)], sign)[0],
        after=_priced(document, after), notes=[_("Order {number}.", number=order.number)],
    )  # fmt: skip
    if not bill.seller:
        return letter
    shop, address, reached = (*bill.seller.split("\n"), "", "")[:3]
    return replace(letter, shop=shop, address=address, reached=reached)


def _title(document: Document, bill: InvoiceRecord) -> str:
    """What an invoice is called: one that was cancelled says so."""
    cancels = document.records.get(bill.of)
    if isinstance(cancels, InvoiceRecord):
        return _("Invoice {number}, cancels invoice {other}", number=bill.number, other=cancels.number)
    by = next((each for each in document.all(InvoiceRecord) if each.of == bill.id), None)
    if by is not None:
        return _("Invoice {number}, canceled by invoice {other}", number=bill.number, other=by.number)
    return _("Invoice {number}", number=bill.number)


def receipt_letter(document: Document, account: Account, order: OrderRecord, date: str, *, fixed: bool) -> Letter:
    """What was paid for an order, without what was entered wrong and taken back. `fixed`: its prices are, so is the balance."""
    local, money = document.settings.local, document.settings.money
    payments = [record for record in payments_of(document, order.id) if not is_taken_back(document, record)]

    def line(record: PaymentRecord) -> LetterLine:
        day, what = local.day(record.date), PAYMENT_WORDS[record.kind]
        refund = _("{day}: paid back", day=day) if record.kind is PaymentKind.REFUND else labelled(day, what)
        return LetterLine(words=refund, cells=(priced(record.counted, money),))

    return _letter(
        document, _("Receipt, order {number}", number=order.number), date, buyer_of(document, order), heads=_AMOUNT,
        lines=tuple(map(line, payments)), due=_priced(document, [(_("Paid"), account.paid)])[0],
        after=_priced(document, [(_("Order total"), account.due), (_("Balance"), account.balance)] if fixed else []),
        notes=[_("Received with thanks.")],
    )  # fmt: skip


def sale_letter(document: Document, model: Model, sale: SaleRecord) -> Letter:
    """The receipt of a knife sold without an order."""
    piece, money, tax = document.get(sale.piece, PieceRecord), document.settings.money, sale_tax(sale)
    line = LetterLine(
        words=piece.name, sizes=_sizes(model, document, piece), details=", ".join(_made_of(document, piece)),
        knife=shape_of(document, model, piece), cells=(priced(sale.price, money),),
    )  # fmt: skip
    rows = [(_("Tax, {tax:.4g}%", tax=sale.tax * 100), tax)] if sale.tax else []
    return _letter(
        document, _("Receipt, knife {serial}", serial=piece.serial), sale.date, Buyer(sale.buyer or _("the buyer")),
        heads=_AMOUNT,
        lines=(line,), sums=_priced(document, rows), due=_priced(document, [(_("Paid"), sale.price + tax)])[0],
        notes=[_("Received with thanks."), LAW],
    )  # fmt: skip


def packing_letter(document: Document, model: Model, order: OrderRecord, date: str) -> Letter:
    """What is in the parcel: the knives that are ready, or those delivered last where none is. No prices."""
    ready = ready_for(document, order.id)
    last = next((each for each in reversed(list(document.all(DeliveryRecord))) if each.order == order.id), None)
    last = None if ready else last
    pieces = ready if last is None else [document.get(each, PieceRecord) for each in last.pieces]
    notes = [
        _("Tracking number: {tracking}", tracking=last.tracking) if last and last.tracking else "",
        LAW,
    ]  # fmt: skip
    return _letter(
        document, _("Packing slip, order {number}", number=order.number), last.date if last else date, buyer_of(document, order),
        heads=(_("Quantity"),), lines=tuple(_packed(document, model, pieces)), notes=notes,
    )  # fmt: skip


def _packed(document: Document, model: Model, pieces: Sequence[PieceRecord]) -> Iterator[LetterLine]:
    """A line for each line of the order, with the serials of its knives."""
    groups = dict[tuple[str, str, str], list[PieceRecord]]()
    for piece in pieces:
        groups.setdefault((piece.line, piece.of, piece.steel), []).append(piece)
    for (line, _of, _steel), own in groups.items():
        first, record = own[0], document.records.get(line)
        serials = _("serial {serials}", serials=", ".join(piece.serial for piece in own))
        extras = _extras(document, record) if isinstance(record, OrderLine) else ()
        details = (*_made_of(document, first)[:-1], *extras, serials)
        yield LetterLine(
            words=first.name, sizes=_sizes(model, document, first), details=", ".join(each for each in details if each),
            knife=shape_of(document, model, first), cells=(str(len(own)),),
        )  # fmt: skip


def _extras(document: Document, line: OrderLine) -> Iterator[str]:
    """What goes with each knife of a line."""
    sheath = document.records.get(line.sheath)
    if isinstance(sheath, MaterialRecord):
        yield _("sheath: {material}", material=sheath.material.name)
    yield from (option.words for option in line.options)


def _made_of(document: Document, piece: PieceRecord) -> tuple[str, ...]:
    """A knife's steel, its handle material where it is known, and its serial."""
    parts = (piece.steel, handle_name(document, piece))
    return *(part for part in parts if part), _("serial {serials}", serials=piece.serial)


def _sizes(model: Model, document: Document, piece: PieceRecord) -> str:
    shape = shape_of(document, model, piece)
    return knife_sizes(shape, document.settings.unit) if shape is not None else ""


def _priced(document: Document, rows: Sequence[tuple[str, Decimal]], sign: int = 1) -> tuple[tuple[str, str], ...]:
    return tuple((words, priced(sign * amount, document.settings.money)) for words, amount in rows)


def _letter(
    document: Document, title: str, date: str, buyer: Buyer, *, heads: tuple[str, ...], lines: tuple[LetterLine, ...],
    sums: tuple[tuple[str, str], ...] = (), due: tuple[str, str] | None = None, after: tuple[tuple[str, str], ...] = (),
    notes: Sequence[str] = (),
) -> Letter:  # fmt: skip
    """A paper of the shop. `date`: ISO; empty notes are left out."""
    settings = document.settings
    return Letter(
        shop=settings.shop, address=settings.address, reached=settings.contact, title=title, customer=buyer.name,
        contact=buyer.contact, date=settings.local.day(date), heads=heads, lines=lines, sums=sums, due=due, after=after,
        notes=tuple(note for note in notes if note),
    )  # fmt: skip
