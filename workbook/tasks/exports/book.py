"""Exports of the workbook and the library, which belong to no job: a quote, the stock, what open orders need, all families."""

from collections.abc import Sequence

from workbook.document.document import Document
from workbook.formats import pdf
from workbook.formats.csv_out import csv_text
from workbook.formats.stock_csv import stock_rows
from workbook.model.buying import Need, need_rows
from workbook.model.quoting import OrderWork
from workbook.problems import JobError, Mistake
from workbook.sheets.paper import PrintRun
from workbook.tasks.contact import contact_page
from workbook.tasks.exports.wanted import Files, pages_pdf
from workbook.tasks.quote_out import quote_pdf_pages
from workbook.tasks.stock_csv import items
from workbook.tasks.write import file_name
from workbook.texts import _

STOCK, NEEDS = "stock.csv", "to-buy.csv"
NO_QUOTE = Mistake(place="quote", what=_("there is nothing in it."), right=_("Add a line to an order first."))


def quote_name(work: OrderWork) -> str:
    """The name of a quote's file."""
    return f"{file_name(f'quote {work.order.number} {work.customer}', set())}.pdf"


def quote(document: Document, work: OrderWork, run: PrintRun, date: str) -> Files:
    """An order's quote. `date`: ISO. Raises JobError if it has no lines."""
    if not work.lines:
        raise JobError([NO_QUOTE])
    return {
        quote_name(work): pages_pdf(
            run, quote_pdf_pages(document, work, run, date), _("Quote {number}", number=work.order.number)
        )
    }


def stock(document: Document) -> Files:
    """All bars and materials, as a table."""
    return {STOCK: csv_text(stock_rows(items(document))).encode()}


def needs(needed: Sequence[Need]) -> Files:
    """What open orders need, as a table."""
    return {NEEDS: csv_text(need_rows(needed)).encode()}


def families(dots_per_inch: int = 90) -> bytes:
    """All families of the library as a PNG picture."""
    return pdf.png(pdf.pdf([contact_page()], _("Families")), dots=dots_per_inch)
