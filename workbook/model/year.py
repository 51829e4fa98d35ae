"""A year of the shop as tables for an accountant: what came in, what was spent, what knives cost, what is in stock at cost."""

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal

from workbook.document.accounts import count_delivered, for_sale, left_on, open_invoice, ordered, payments_of
from workbook.document.document import Document
from workbook.document.making import batch_id, order_of, standing_of
from workbook.document.making_records import EntryRecord
from workbook.document.money_records import (
    AFTER_WORDS,
    EXPENSE_WORDS,
    PAYMENT_WORDS,
    AfterKind,
    AfterRecord,
    DeliveryRecord,
    ExpenseRecord,
    InvoiceRecord,
    PaymentRecord,
    SaleRecord,
)
from workbook.document.orders import customer_of
from workbook.document.records import BarRecord, MaterialRecord
from workbook.document.shop_records import Movement, OrderRecord, PieceRecord
from workbook.model.accounts import account_of, invoiced, prices_fixed, sale_commission, sale_tax, state_words
from workbook.model.model import Model
from workbook.model.quoting import worked_out
from workbook.model.real_cost import cost_of_blade, finished_on, lost_on
from workbook.shop.columns import Column, DataTable, Holds, Value
from workbook.shop.line_cost import ELSEWHERE, MATERIALS, OVERHEAD, STEEL, WORK
from workbook.shop.materials import Material
from workbook.shop.money import NOTHING, cents
from workbook.shop.orders import TALKED_OF, Status
from workbook.shop.steel import material_price
from workbook.texts import _

Row = tuple[Value, ...]
_COSTS = (STEEL, MATERIALS, ELSEWHERE, WORK, OVERHEAD)


def years(document: Document) -> list[str]:
    """The years of which something was entered, the last first."""
    dates = [record.date for record in document.all(PaymentRecord)]
    dates += [record.date for record in document.all(SaleRecord)]
    dates += [record.date for record in document.all(InvoiceRecord)]
    dates += [record.date for record in document.all(ExpenseRecord)]
    dates += [record.date for record in document.all(DeliveryRecord)]
    dates += [record.date for record in document.all(AfterRecord)]
    dates += [lost_on(document, piece) for piece in document.all(PieceRecord)]
    dates += [finished_on(document, piece) for piece in document.all(PieceRecord)]
    dates += [order.taken for order in document.all(OrderRecord)]
    return sorted({date[:4] for date in dates if date}, reverse=True)


def year_tables(document: Document, model: Model, year: str, today: str) -> list[DataTable]:
    """The tables of a year, "2026". `today`: ISO date; stock is told as of it, or of the end of a year that is over."""
    of_year = _Year(document, model, year, min(today[:10], f"{year}-12-31"))
    makers: tuple[Callable[[], DataTable], ...] = (
        of_year.orders, of_year.invoices, of_year.payments, of_year.sales, of_year.after, of_year.expenses, of_year.knives,
        of_year.stock,
    )  # fmt: skip
    tables = [make() for make in makers]
    return [of_year.summary(), *tables]


class _Year:
    """Makes the tables."""

    def __init__(self, document: Document, model: Model, year: str, until: str) -> None:
        self._document, self._model, self._year, self._until = document, model, year, until
        self._currency = document.settings.currency

    def _in(self, date: str) -> bool:
        return date[:4] == self._year

    def _money(self, words: str, *, summed: bool = True) -> Column:
        return Column(_("{words}, {currency}", words=words, currency=self._currency), Holds.MONEY, summed)

    def summary(self) -> DataTable:
        """What came in and was spent, and what there is."""
        moved, stock = self._moved(), self.stock()
        left = sum((amount for _words, amount in moved), NOTHING)
        rows = (
            *moved,
            (_("Money in, less money out"), left),
            (_("Tax in invoices and sales of the year, less that of knives that came back"), self._tax()),
            (_("Stock at cost on {date}, own work and overhead in it", date=self._until), stock.total(4)),
            (_("Of that without own work and overhead"), stock.total(5)),
        )
        shop = ", ".join(part for part in (self._document.settings.shop, self._year) if part)
        return DataTable(_("Summary"), (Column(shop), self._money(_("Amount"), summed=False)), rows)

    def _after(self, *, back: bool) -> list[AfterRecord]:
        """Knives of the year that came back, or other work after a sale."""
        records = (record for record in self._document.all(AfterRecord) if self._in(record.date))
        return [record for record in records if (record.kind is AfterKind.RETURNED) is back]

    def _moved(self) -> list[tuple[str, Decimal]]:
        """What came in, and what was spent, with its sign."""
        document, spent = self._document, dict.fromkeys(EXPENSE_WORDS, NOTHING)
        for record in document.all(ExpenseRecord):
            if self._in(record.date):
                spent[record.kind] += record.amount
        paid = [record.counted for record in document.all(PaymentRecord) if self._in(record.date)]
        sold = [comes_in for sale, _tax, _kept, comes_in in self._sold() if self._in(sale.date)]
        return [
            (_("Payments for orders, less refunds"), sum(paid, NOTHING)),
            (_("Knives sold without an order, tax included, less commission"), sum(sold, NOTHING)),
            (_("Work on knives after their sale, before tax"), sum((each.price for each in self._after(back=False)), NOTHING)),
            (_("Paid back for knives that came back"), sum((each.counted for each in self._after(back=True)), NOTHING)),
            *((_("Spent: {kind}", kind=words), -spent[kind]) for kind, words in EXPENSE_WORDS.items() if spent[kind]),
        ]

    def _tax(self) -> Decimal:
        """The tax in invoices and sales of the year."""
        billed = [sign * invoiced(bill).tax for sign, bill in self._bills()]
        sold = [tax for sale, tax, _kept, _comes_in in self._sold() if self._in(sale.date)]
        back = [-_tax_within(self._document, record) for record in self._after(back=True)]
        return sum((*billed, *sold, *back), NOTHING)

    def orders(self) -> DataTable:
        """Orders accepted that were taken in the year, or of which something was paid, invoiced or delivered in it."""
        columns = (
            Column(_("Order")), Column(_("Customer")), Column(_("Status")), Column(_("Taken"), Holds.DATE),
            Column(_("Due date"), Holds.DATE), Column(_("Knives"), Holds.NUMBER), Column(_("Delivered"), Holds.NUMBER),
            self._money(_("Before tax")), self._money(_("Tax")), self._money(_("Total due")),
            self._money(_("Paid in the year")), self._money(_("Paid in all")), self._money(_("Balance")), Column(_("Invoice")),
        )  # fmt: skip
        return DataTable(_("Orders"), columns, tuple(self._order(order) for order in self._orders()))

    def _orders(self) -> Iterator[OrderRecord]:
        document = self._document
        records: Sequence[PaymentRecord | InvoiceRecord | DeliveryRecord] = (
            *document.all(PaymentRecord), *document.all(InvoiceRecord), *document.all(DeliveryRecord),
        )  # fmt: skip
        moved = {record.order for record in records if self._in(record.date)}
        for order in sorted(document.all(OrderRecord), key=lambda order: order.number):
            agreed = order.status not in (*TALKED_OF, Status.DECLINED)
            if (agreed and self._in(order.taken)) or order.id in moved:
                yield order

    def _order(self, order: OrderRecord) -> Row:
        document = self._document
        account = account_of(document, self._model, order.id)
        bill, nothing = account.invoice, order.status is Status.DECLINED
        sums = invoiced(bill) if bill is not None else worked_out(document, self._model, order.id, {}).totals
        tax, due = (NOTHING, NOTHING) if nothing and bill is None else (sums.tax, sums.due)
        in_year = sum((each.counted for each in payments_of(document, order.id) if self._in(each.date)), NOTHING)
        return (
            str(order.number), customer_of(document, order), self._state(order), order.taken[:10], order.wanted[:10],
            ordered(document, order.id), count_delivered(document, order.id), due - tax, tax, due,
            in_year, account.paid, account.balance, str(bill.number) if bill is not None else "",
        )  # fmt: skip

    def _state(self, order: OrderRecord) -> str:
        """Where an order stands, and whether its amounts may still change."""
        words = state_words(self._document, order)
        fixed = open_invoice(self._document, order.id) is not None or prices_fixed(self._document, order.id)
        return words if fixed else _("{state}, prices not fixed", state=words)

    def _bills(self) -> Iterator[tuple[int, InvoiceRecord]]:
        """The invoices of the year, by number, each with its sign: -1 for one that cancels another."""
        for bill in sorted(self._document.all(InvoiceRecord), key=lambda bill: bill.number):
            if self._in(bill.date):
                yield (-1 if bill.of else 1), bill

    def invoices(self) -> DataTable:
        """Invoices as they were issued; one that cancels another has its amounts taken off."""
        columns = (
            Column(_("Invoice")), Column(_("Date"), Holds.DATE), Column(_("Order")), Column(_("Customer")),
            self._money(_("Before tax")), self._money(_("Tax")), self._money(_("Total")), Column(_("Cancels invoice")),
        )  # fmt: skip
        rows = []
        for sign, bill in self._bills():
            sums, cancels = invoiced(bill), self._document.records.get(bill.of)
            rows.append(
                (
                    str(bill.number), bill.date[:10], self._number(bill.order), bill.buyer.partition("\n")[0],
                    sign * (sums.due - sums.tax), sign * sums.tax, sign * sums.due,
                    str(cancels.number) if isinstance(cancels, InvoiceRecord) else "",
                )
            )  # fmt: skip
        return DataTable(_("Invoices"), columns, tuple(rows))

    def _number(self, order: str) -> str:
        record = self._document.records.get(order)
        return str(record.number) if isinstance(record, OrderRecord) else ""

    def _whose(self, order: str) -> tuple[str, str]:
        """An order's number and customer."""
        record = self._document.records.get(order)
        return (str(record.number), customer_of(self._document, record)) if isinstance(record, OrderRecord) else ("", "")

    def _knife(self, piece: str) -> tuple[str, str]:
        """A knife's serial and name."""
        record = self._document.records.get(piece)
        return (record.serial, record.name) if isinstance(record, PieceRecord) else ("", "")

    def payments(self) -> DataTable:
        """Payments as they were entered; a refund, and what takes another back, counts off."""
        columns = (
            Column(_("Date"), Holds.DATE), Column(_("Order")), Column(_("Customer")), Column(_("Payment")),
            self._money(_("Amount")), Column(_("Note")),
        )  # fmt: skip
        rows = []
        for record in sorted(self._document.all(PaymentRecord), key=lambda record: record.date):
            if self._in(record.date):
                words = PAYMENT_WORDS[record.kind]
                words = _("{kind}, takes back", kind=words) if record.of else words
                rows.append((record.date[:10], *self._whose(record.order), words, record.counted, record.note))
        return DataTable(_("Payments"), columns, tuple(rows))

    def _sold(self) -> Iterator[tuple[SaleRecord, Decimal, Decimal, Decimal]]:
        """Each sale with its tax, its commission and what comes in, all counted off where it takes another back."""
        for sale in sorted(self._document.all(SaleRecord), key=lambda sale: sale.date):
            sign, tax, kept = (-1 if sale.of else 1), sale_tax(sale), sale_commission(sale)
            yield sale, sign * tax + NOTHING, sign * kept + NOTHING, sign * (sale.price + tax - kept)

    def sales(self) -> DataTable:
        """Knives sold without an order."""
        columns = (
            Column(_("Date"), Holds.DATE), Column(_("Serial")), Column(_("Knife")), Column(_("Buyer")), self._money(_("Price")),
            self._money(_("Tax")), self._money(_("Commission")), self._money(_("Comes in")), Column(_("Note")),
        )  # fmt: skip
        rows = []
        for sale, tax, kept, comes in self._sold():
            if self._in(sale.date):
                price, note = (-sale.price, _("taken back")) if sale.of else (sale.price, sale.note)
                rows.append((sale.date[:10], *self._knife(sale.piece), sale.buyer, price, tax, kept, comes, note))
        return DataTable(_("Sales"), columns, tuple(rows))

    def after(self) -> DataTable:
        """Work on knives that had left the shop, and knives that came back."""
        columns = (
            Column(_("Date"), Holds.DATE), Column(_("Serial")), Column(_("Knife")), Column(_("Done")),
            Column(_("Minutes"), Holds.NUMBER), self._money(_("Amount")), Column(_("Note")),
        )  # fmt: skip
        rows = []
        for each in sorted(self._document.all(AfterRecord), key=lambda record: record.date):
            if self._in(each.date):
                words = AFTER_WORDS[each.kind]
                rows.append((each.date[:10], *self._knife(each.piece), words, each.minutes, each.counted, each.note))
        return DataTable(_("After the sale"), columns, tuple(rows))

    def expenses(self) -> DataTable:
        """What was spent."""
        columns = (
            Column(_("Date"), Holds.DATE), Column(_("Kind")), Column(_("Supplier")), Column(_("Receipt no.")),
            self._money(_("Amount")), Column(_("Note")),
        )  # fmt: skip
        rows = tuple(
            (each.date[:10], EXPENSE_WORDS[each.kind], each.supplier, each.receipt, each.amount, each.note)
            for each in sorted(self._document.all(ExpenseRecord), key=lambda record: record.date)
            if self._in(each.date)
        )
        return DataTable(_("Expenses"), columns, rows)

    def knives(self) -> DataTable:
        """Knives that were finished in the year, and blades that were lost, with what each cost; materials at today's prices."""
        columns = (
            Column(_("Serial")), Column(_("Knife")), Column(_("Steel")), Column(_("Order")), Column(_("Finished"), Holds.DATE),
            Column(_("Lost"), Holds.DATE),
            Column(_("Left the shop"), Holds.DATE), Column(_("Minutes"), Holds.NUMBER), *(self._money(words) for words in _COSTS),
            self._money(_("Cost")),
        )  # fmt: skip
        rows: list[Row] = []
        for piece in self._document.all(PieceRecord):
            finished, lost = finished_on(self._document, piece), lost_on(self._document, piece)
            if self._in(finished or lost):
                order = order_of(self._document, piece)
                costs = _costs(self._document, self._model, piece)
                minutes = round(standing_of(self._document, piece).minutes, 1)
                rows.append(
                    (
                        piece.serial, piece.name, piece.steel, str(order.number) if order else "", finished[:10], lost[:10],
                        left_on(self._document, piece.id)[:10], minutes, *costs[0].values(), costs[1],
                    )
                )  # fmt: skip
        return DataTable(_("Knives"), columns, tuple(rows))

    def stock(self) -> DataTable:
        """What there was at the end of the year, or is today, at cost; prices are today's."""
        past = _as_of(self._document, self._until)
        columns = (
            Column(_("Kind")), Column(_("Name")), Column(_("Quantity"), Holds.NUMBER), self._money(_("Each"), summed=False),
            self._money(_("At cost")), self._money(_("Without own work and overhead")), Column(_("As of"), Holds.DATE),
        )  # fmt: skip
        rows = [
            *self._shelf(),
            *self._own(past, for_sale(past), _("finished knife")),
            *self._own(past, _in_work(past), _("in work")),
        ]
        return DataTable(_("Stock"), columns, tuple((*row, self._until) for row in rows))

    def _shelf(self) -> Iterator[Row]:
        """Bars and materials as they were then: what came since is taken off."""
        since = dict[str, Decimal]()
        for entry in self._document.all(Movement):
            if entry.at[:10] > self._until:
                since[entry.of] = since.get(entry.of, Decimal(0)) + entry.by
        for kind, records in ((_("bar"), self._document.all(BarRecord)), (_("material"), self._document.all(MaterialRecord))):
            for record in records:
                item = record.bar if isinstance(record, BarRecord) else record.material
                count = Decimal(repr(float(item.have))) - since.get(record.id, Decimal(0))
                each = item.price if isinstance(item, Material) else material_price(item, self._model.facts.density(item.steel))
                if count > 0 and each:
                    yield kind, item.name, float(count), each, cents(each * count), cents(each * count)

    def _own(self, past: Document, pieces: Sequence[PieceRecord], kind: str) -> Iterator[Row]:
        for piece in pieces:
            parts, cost = _costs(past, self._model, piece)
            yield kind, f"{piece.serial} {piece.name}", 1, cost, cost, cost - parts[WORK] - parts[OVERHEAD]


def _costs(document: Document, model: Model, piece: PieceRecord) -> tuple[dict[str, Decimal], Decimal]:
    """What a knife cost by its parts, and in all."""
    real = cost_of_blade(document, model, piece).real
    inner = (each for part in real.parts for each in ((part,) if part.words in _COSTS else part.parts))  # of a lost blade within
    parts = {part.words: part.amount for part in inner}
    return {words: parts.get(words, NOTHING) for words in _COSTS}, real.amount


def _tax_within(document: Document, record: AfterRecord) -> Decimal:
    """The tax in what was paid back for a knife that came back, at the rate of its sale."""
    sale = document.records.get(record.of)
    rate = Decimal(repr(sale.tax)) if isinstance(sale, SaleRecord) else Decimal(0)
    return cents(record.price * rate / (1 + rate))


def _as_of(document: Document, until: str) -> Document:
    """The shop's knives as they stood at the end of a day; what was entered wrong and taken back since never was."""
    wrong = {record.entry.of for record in document.all(EntryRecord)}
    dated = (DeliveryRecord, SaleRecord, AfterRecord)

    def known(record: object) -> bool:
        if isinstance(record, EntryRecord):
            return record.entry.date[:10] <= until and record.id not in wrong and not record.entry.of
        if isinstance(record, PieceRecord):
            return record.at[:10] <= until
        return not isinstance(record, dated) or record.date[:10] <= until

    return Document({id_: record for id_, record in document.records.items() if known(record)})


def _in_work(document: Document) -> list[PieceRecord]:
    """The blades that are being made, and finished ones of orders that are still here: not of those that count as delivered."""
    free = {piece.id for piece in for_sale(document)}
    pieces = (piece for piece in document.all(PieceRecord) if piece.id not in free and not left_on(document, piece.id))
    here = (piece for piece in pieces if (order := order_of(document, piece)) is None or order.status is not Status.DELIVERED)
    return [piece for piece in here if batch_id(piece) and not standing_of(document, piece).scrapped]
