"""Exports of the workbook and the library, which belong to no job: a quote, the stock, what open orders need, all families."""

from collections.abc import Sequence

from workbook.document.document import Document
from workbook.formats import pdf
from workbook.formats.csv_out import csv_text
from workbook.formats.stock_csv import stock_rows
from workbook.model.buying import Need, need_rows
from workbook.model.quoting import OrderWork
from workbook.problems import JobError, Mistake
from workbook.sheets.quote_sheet import QuoteSheet
from workbook.tasks.contact import contact_page
from workbook.tasks.exports.wanted import Files, Wanted, pages_pdf
from workbook.tasks.quote_out import quote_pdf_pages, quote_sheet
from workbook.tasks.stock_csv import items
from workbook.tasks.write import file_name
from workbook.texts import _

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


def said_in(wanted: Wanted) -> QuoteSheet | None:
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
