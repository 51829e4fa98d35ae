"""Exports of the workbook and the library, which belong to no job: a quote, the stock, what open orders need, all families."""

from collections.abc import Sequence

from workbook.document.accounts import count_delivered, is_taken_back, open_invoice, payments_of, ready_for
from workbook.document.document import Document
from workbook.document.money_records import InvoiceRecord
from workbook.formats import pdf
from workbook.formats.csv_out import csv_text
from workbook.formats.stock_csv import stock_rows
from workbook.model.accounts import Account, account_of, prices_fixed
from workbook.model.buying import Need, need_rows
from workbook.model.quoting import OrderWork
from workbook.problems import JobError, Mistake
from workbook.sheets.letter_sheet import Letter, letter_pages
from workbook.tasks.account_papers import invoice_letter, packing_letter, receipt_letter
from workbook.tasks.contact import contact_page
from workbook.tasks.exports.wanted import Files, Wanted, pages_pdf
from workbook.tasks.quote_out import quote_pdf_pages, quote_sheet
from workbook.tasks.stock_csv import items
from workbook.tasks.write import file_name
from workbook.texts import _

NO_ORDER = Mistake(place=_("order"), what=_("there is none."), right=_("Choose an order on the Quote page."))
NO_INVOICE = Mistake(place=_("invoice"), what=_("the order has none."), right=_("Issue one in the account of the order."))
NOT_PAID = Mistake(place=_("receipt"), what=_("nothing was paid."), right=_("Enter a payment in the account of the order."))
NOT_READY = Mistake(
    place=_("packing slip"), what=_("no knife of the order is ready."), right=_("Enter the last stage on the Make page first.")
)
STOCK, NEEDS = "stock.csv", "to-buy.csv"
NO_QUOTE = Mistake(place=_("quote"), what=_("there is nothing in it."), right=_("Add a line to an order first."))


def quote_name(work: OrderWork) -> str:
    """The name of a quote's file, without its kind."""
    return file_name(f"quote {work.order.number} {work.customer}", set())


def refuse_quote(wanted: Wanted) -> None:
    """Raise JobError where there is no order, or nothing in it."""
    if wanted.document is None or wanted.order is None or not wanted.order.lines:
        raise JobError([NO_QUOTE])


def quote(wanted: Wanted, file: str) -> Files:
    """An order's quote; the order's number and customer replace the braces in `file`."""
    assert wanted.document is not None and wanted.order is not None
    order, run = wanted.order, wanted.run
    pages = quote_pdf_pages(wanted.document, order, run, wanted.date)
    return {file.format(quote_name(order)): pages_pdf(run, pages, _("Quote {number}", number=order.order.number))}


def invoice(wanted: Wanted, file: str) -> Files:
    """The invoice of an order that stands, else its last; with `every` all of them. The number replaces the braces in `file`."""
    document, bills, files = _document(wanted), _bills(wanted), Files()
    standing = open_invoice(document, _work(wanted).order.id)
    for bill in bills if wanted.every else [standing or bills[-1]]:
        letter = invoice_letter(document, bill)
        files[file.format(bill.number)] = pages_pdf(wanted.run, letter_pages(wanted.run, letter), letter.title)
    return files


def _bills(wanted: Wanted) -> list[InvoiceRecord]:
    order = _work(wanted).order.id
    return sorted((bill for bill in _document(wanted).all(InvoiceRecord) if bill.order == order), key=lambda bill: bill.number)


def refuse_no_order(wanted: Wanted) -> None:
    """Raise JobError where there is no order."""
    if wanted.document is None or wanted.order is None:
        raise JobError([NO_ORDER])


def refuse_invoice(wanted: Wanted) -> None:
    """Raise JobError where no invoice was issued for the order."""
    refuse_no_order(wanted)
    if not _bills(wanted):
        raise JobError([NO_INVOICE])


def receipt(wanted: Wanted, file: str) -> Files:
    """What was paid for an order; its number and customer replace the braces in `file`."""
    document, order = _document(wanted), _work(wanted).order
    fixed = _account(wanted).invoice is not None or prices_fixed(document, order.id)
    letter = receipt_letter(document, _account(wanted), order, wanted.date, fixed=fixed)
    return {file.format(order_file(wanted)): pages_pdf(wanted.run, letter_pages(wanted.run, letter), letter.title)}


def refuse_receipt(wanted: Wanted) -> None:
    """Raise JobError where no payment for the order stands."""
    refuse_no_order(wanted)
    document = _document(wanted)
    if all(is_taken_back(document, each) for each in payments_of(document, _work(wanted).order.id)):
        raise JobError([NOT_PAID])


def packing(wanted: Wanted, file: str) -> Files:
    """What is in an order's parcel; its number and customer replace the braces in `file`."""
    letter = packing_letter(_document(wanted), wanted.model, _work(wanted).order, wanted.date)
    return {file.format(order_file(wanted)): pages_pdf(wanted.run, letter_pages(wanted.run, letter), letter.title)}


def refuse_packing(wanted: Wanted) -> None:
    """Raise JobError where no knife of the order was delivered, and none is ready."""
    refuse_no_order(wanted)
    document, order = _document(wanted), _work(wanted).order.id
    if not (ready_for(document, order) or count_delivered(document, order)):
        raise JobError([NOT_READY])


def order_file(wanted: Wanted) -> str:
    """The number and customer of an order in the names of its files."""
    return file_name(f"{_work(wanted).order.number} {_work(wanted).customer}".strip(), set())


def _account(wanted: Wanted) -> Account:
    return account_of(_document(wanted), wanted.model, _work(wanted).order.id)


def _document(wanted: Wanted) -> Document:
    assert wanted.document is not None
    return wanted.document


def _work(wanted: Wanted) -> OrderWork:
    assert wanted.order is not None
    return wanted.order


def said_in(wanted: Wanted) -> Letter | None:
    """What the quote that is wanted says; None for none."""
    return None if wanted.document is None or wanted.order is None else quote_sheet(wanted.document, wanted.order, wanted.date)


def stock(document: Document) -> Files:
    """All bars and materials, as a table."""
    return {STOCK: csv_text(stock_rows(items(document))).encode()}


def needs(needed: Sequence[Need]) -> Files:
    """What open orders need, as a table."""
    return {NEEDS: csv_text(need_rows(needed)).encode()}


def families(dots_per_inch: int = 90) -> bytes:
    """All families of the library as a PNG picture."""
    return pdf.png(pdf.pdf([contact_page()], _("Families")), dots=dots_per_inch)
