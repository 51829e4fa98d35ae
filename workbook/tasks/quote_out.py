"""A quote as it leaves the shop: as a page and as text to paste. It says what the customer needs, not what it cost."""

import datetime
from decimal import Decimal

from workbook.document.document import Document
from workbook.document.shop_records import CustomerRecord
from workbook.model.quoting import LineWork, OrderWork
from workbook.sheets.letter_sheet import Letter, LetterLine, letter_pages
from workbook.sheets.paper import PrintRun, SheetPage
from workbook.shop.money import Money, priced
from workbook.shop.quote import Totals
from workbook.template.shape import Shape
from workbook.texts import _, labelled
from workbook.units import Unit, built, show

_LAW = _("Laws on buying, owning and carrying knives differ by place. Check your local law.")


def valid_until(date: str, days: int) -> str:
    """The last day on which a quote dated `date` is valid, both ISO; "" if the date is none."""
    try:
        return (datetime.date.fromisoformat(date[:10]) + datetime.timedelta(days=days)).isoformat()
    except (ValueError, OverflowError):
        return ""


def quote_sheet(document: Document, work: OrderWork, date: str) -> Letter:
    """The text and amounts of a quote. `date`: ISO."""
    settings, totals = document.settings, work.totals
    money = settings.money
    customer = document.records.get(work.order.customer)
    sums = sum_rows(totals, len(work.lines), work.tax)
    after = (
        [(_("Deposit, {deposit:.4g}%", deposit=work.deposit * 100), totals.deposit), (_("Balance"), totals.rest)]
        if totals.deposit
        else []
    )
    return Letter(
        shop=settings.shop,
        address=settings.address,
        reached=settings.contact,
        title=_("Quote {number}", number=work.order.number),
        customer=work.customer or _("shop stock"),
        contact=customer.contact if isinstance(customer, CustomerRecord) else "",
        date=settings.local.day(date),
        heads=(_("Quantity"), _("Each"), _("Amount")),
        lines=tuple(_line(line, money, settings.unit) for line in work.lines),
        sums=tuple((words, priced(amount, money)) for words, amount in sums),
        due=(_("Total"), priced(totals.due, money)),
        after=tuple((words, priced(amount, money)) for words, amount in after),
        notes=tuple(_notes(document, work, date)),
    )


def sum_rows(sums: Totals, lines: int, tax: float) -> list[tuple[str, Decimal]]:
    """What stands between some lines and what is due: words and amounts."""
    rows = [(_("Subtotal"), sums.lines)] if lines > 1 or sums.discount or sums.delivery or sums.tax else []
    rows += [(_("Discount"), -sums.discount)] if sums.discount else []
    rows += [(_("Shipping"), sums.delivery)] if sums.delivery else []
    rows += [(_("Tax, {tax:.4g}%", tax=tax * 100), sums.tax)] if sums.tax else []
    return rows


def _line(work: LineWork, money: Money, unit: Unit) -> LetterLine:
    return LetterLine(
        words=work.quote.words,
        sizes=knife_sizes(work.knife, unit),
        knife=work.knife,
        details=", ".join(work.quote.details),
        cells=(str(work.quote.quantity), priced(work.quote.each, money), priced(work.quote.amount, money)),
    )


def knife_sizes(knife: Shape, unit: Unit) -> str:
    """The blade's and the whole length in words; of an outline from a file the whole length."""
    x0, _y0, x1, _y1 = knife.extent()
    overall = f"{built(show(x1 - x0, unit))} {unit}"
    if knife.template is None:
        return _("overall {overall}", overall=overall)
    blade = f"{built(show(knife.template.blade.length, unit))} {unit}"
    return _("blade {blade}, overall {overall}", blade=blade, overall=overall)


def _notes(document: Document, work: OrderWork, date: str) -> list[str]:
    charges, local = document.settings.charges, document.settings.local
    until, planned = local.day(valid_until(date, charges.valid)), local.day(work.order.wanted)
    notes = [
        work.order.notes,
        _("Included: {included}", included=charges.included) if charges.included else "",
        _("Estimated completion: {day}.", day=planned) if planned else "",
        _("Valid until {until}.", until=until) if until else "",
        charges.terms,
        _LAW,
    ]
    return [note for note in notes if note]


def quote_pdf_pages(document: Document, work: OrderWork, run: PrintRun, date: str) -> list[SheetPage]:
    """The quote as pages."""
    return letter_pages(run, quote_sheet(document, work, date))


def quote_text(document: Document, work: OrderWork, date: str) -> str:
    """The quote as plain text, to paste into a letter."""
    sheet = quote_sheet(document, work, date)
    rows = [
        ", ".join(part for part in (sheet.title, sheet.date) if part),
        *([_("For {customer}", customer=work.customer)] if work.customer else []),
        "",
    ]
    for line in sheet.lines:
        words = line.words
        if line.sizes or line.details:
            told = ", ".join(each for each in (line.sizes, line.details) if each).replace("⁄", "/").replace("\u2009", " ")
            words = _("{words} ({details})", words=words, details=told)
        rows.append(
            _(
                "{quantity} × {words}: {each} each, {amount}",
                quantity=line.cells[0],
                words=words,
                each=line.cells[1],
                amount=line.cells[2],
            )
        )
    rows += [
        "",
        *(labelled(words, amount) for words, amount in sheet.totals),
        "",
        *sheet.notes,
    ]
    shop = ", ".join(part for part in (sheet.shop, sheet.address, sheet.reached) if part)
    return "\n".join([*rows, *(["", shop] if shop else [])]) + "\n"
