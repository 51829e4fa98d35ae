"""A quote as it leaves the shop: as a page and as text to paste. It says what the customer needs, not what it cost."""

import datetime

from workbook import texts
from workbook.document.document import Document
from workbook.document.shop_records import CustomerRecord
from workbook.model.quoting import LineWork, OrderWork
from workbook.sheets.paper import PrintRun, SheetPage
from workbook.sheets.quote_sheet import QuoteSheet, SheetLine, quote_pages
from workbook.shop.money import priced
from workbook.texts import _

_LAW = _("Laws on buying, owning and carrying knives differ by place: check local law.")


def day(iso: str) -> str:
    """An ISO date in the form used in letters; "" if it is empty or no date."""
    try:
        return texts.day(datetime.date.fromisoformat(iso[:10]))
    except ValueError:
        return ""


def valid_until(date: str, days: int) -> str:
    """The last day on which a quote dated `date` (ISO) is valid; "" if the date is none."""
    try:
        return day((datetime.date.fromisoformat(date[:10]) + datetime.timedelta(days=days)).isoformat())
    except (ValueError, OverflowError):
        return ""


def quote_sheet(document: Document, work: OrderWork, date: str) -> QuoteSheet:
    """The text and amounts of a quote. `date`: ISO."""
    settings, totals = document.settings, work.totals
    currency = settings.currency
    customer = document.records.get(work.order.customer)
    sums = [(_("Together"), totals.lines)] if len(work.lines) > 1 or totals.discount or totals.delivery or totals.tax else []
    sums += [(_("Discount"), -totals.discount)] if totals.discount else []
    sums += [(_("Delivery"), totals.delivery)] if totals.delivery else []
    sums += [(_("Tax, {tax:.4g} %", tax=work.tax * 100), totals.tax)] if totals.tax else []
    after = (
        [(_("Deposit, {deposit:.4g} %", deposit=work.deposit * 100), totals.deposit), (_("On delivery"), totals.rest)]
        if totals.deposit
        else []
    )
    return QuoteSheet(
        shop=settings.shop,
        address=settings.address,
        number=str(work.order.number),
        customer=work.customer,
        contact=customer.contact if isinstance(customer, CustomerRecord) else "",
        date=day(date),
        lines=tuple(_line(line, currency) for line in work.lines),
        sums=tuple((words, priced(amount, currency)) for words, amount in sums),
        due=(_("Due"), priced(totals.due, currency)),
        after=tuple((words, priced(amount, currency)) for words, amount in after),
        notes=tuple(_notes(document, work, date)),
    )


def _line(work: LineWork, currency: str) -> SheetLine:
    return SheetLine(
        words=work.quote.words,
        details=", ".join(work.quote.details),
        quantity=str(work.quote.quantity),
        each=priced(work.quote.each, currency),
        amount=priced(work.quote.amount, currency),
    )


def _notes(document: Document, work: OrderWork, date: str) -> list[str]:
    charges = document.settings.charges
    until = valid_until(date, charges.valid)
    allowances = [_("{starts} blanks are started for {quantity} {name}", starts=line.batch.starts, quantity=line.quote.quantity,
        name=line.name) for line in work.lines
            if line.batch.starts > line.quote.quantity]  # fmt: skip
    notes = [
        work.order.notes,
        _("Included: {included}", included=charges.included) if charges.included else "",
        _("Planned for {day}.", day=day(work.order.wanted)) if day(work.order.wanted) else "",
        _("This price stands until {until}.", until=until) if until else "",
        _("Allowance for loss in the fire: {names}.", names="; ".join(allowances)) if allowances else "",
        charges.terms,
        _LAW,
    ]
    return [note for note in notes if note]


def quote_pdf_pages(document: Document, work: OrderWork, run: PrintRun, date: str) -> list[SheetPage]:
    """The quote as pages."""
    return quote_pages(run, quote_sheet(document, work, date))


def quote_text(document: Document, work: OrderWork, date: str) -> str:
    """The quote as plain text, to paste into a letter."""
    sheet = quote_sheet(document, work, date)
    rows = [
        _("Quote {number}, {date}", number=sheet.number, date=sheet.date).rstrip(", "),
        *([_("For {customer}", customer=sheet.customer)] if sheet.customer else []),
        "",
    ]
    for line in sheet.lines:
        details = f" ({line.details})" if line.details else ""
        rows.append(
            _(
                "{quantity} × {words}{details}: {each} each, {amount}",
                quantity=line.quantity,
                words=line.words,
                details=details,
                each=line.each,
                amount=line.amount,
            )
        )
    rows += ["", *(f"{words}: {amount}" for words, amount in (*sheet.sums, sheet.due, *sheet.after)), "", *sheet.notes]
    shop = ", ".join(part for part in (sheet.shop, sheet.address) if part)
    return "\n".join([*rows, *(["", shop] if shop else [])]) + "\n"
