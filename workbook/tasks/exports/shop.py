"""What is written of the shop: all templates to one scale, the printer's test page."""

from workbook.formats import pdf
from workbook.sheets.printer_page import printer_page
from workbook.sheets.shelf_sheet import shelf_pages
from workbook.tasks.exports.wanted import Files, Wanted, pages_pdf


def shelf(wanted: Wanted, file: str) -> Files:
    """All templates of the shelf, to one scale."""
    pages = shelf_pages(wanted.run, list(wanted.model.shapes.values()))
    return {file: pages_pdf(wanted.run, pages, f"{wanted.run.job}: shelf")}


def printer_test(wanted: Wanted, file: str) -> Files:
    """The page by which a printer is measured, and which so is never corrected."""
    return {file: pdf.pdf([printer_page(wanted.run)], "Printer test")}
