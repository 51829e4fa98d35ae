"""Exports of templates: sheets, bench cards, pictures, holes; of the whole shelf to one scale; the printer's test page."""

from workbook.formats import pdf
from workbook.formats.csv_out import csv_text
from workbook.sheets.paper import SheetPage
from workbook.sheets.printer_page import printer_page
from workbook.sheets.shelf_sheet import shelf_pages
from workbook.structs import replace
from workbook.tasks.exports.wanted import Files, Wanted, each, pages_pdf
from workbook.tasks.sheets import card_pages, sheet_pages
from workbook.tasks.tables_out import hole_rows
from workbook.texts import _

_ALL_SHEETS, _ALL_CARDS = "templates.pdf", "bench-cards.pdf"


def sheets(wanted: Wanted, file: str) -> Files:
    """The sheets of each template, or of all in one file."""

    def pages(key: str) -> list[SheetPage]:
        return sheet_pages(wanted.model, wanted.run, key, wanted.bars_of(key), wanted.parts)

    if wanted.together:
        all_pages = [page for key in wanted.keys for page in pages(key)]
        return {_ALL_SHEETS: pages_pdf(wanted.run, all_pages, _("{job}: templates", job=wanted.run.job))}
    return each(wanted.model, wanted.keys, file, lambda key: pages_pdf(wanted.run, pages(key), wanted.model.shapes[key].name))


def cards(wanted: Wanted, file: str) -> Files:
    """The bench cards of each parametric template, or of all of them in one file."""

    def pages(key: str) -> list[SheetPage]:
        return card_pages(wanted.model, wanted.run, key, wanted.bars_of(key))

    if wanted.together:
        all_pages = [page for key in wanted.ground for page in pages(key)]
        return {_ALL_CARDS: pages_pdf(wanted.run, all_pages, _("{job}: bench cards", job=wanted.run.job))}

    def card(key: str) -> bytes:
        return pages_pdf(wanted.run, pages(key), _("{name}: bench card", name=wanted.model.shapes[key].name))

    return each(wanted.model, wanted.ground, file, card)


def pictures(wanted: Wanted, file: str) -> Files:
    """Each right face as a picture, at 200 dots an inch."""
    run = replace(wanted.run, code=lambda words: ())

    def picture(key: str) -> bytes:
        pages = sheet_pages(wanted.model, run, key, wanted.bars_of(key)[:1], ("right",))
        return pdf.png(pdf.pdf(pages[:1], wanted.model.shapes[key].name))

    return each(wanted.model, wanted.keys, file, picture)


def holes(wanted: Wanted, file: str) -> Files:
    """Every hole of the templates, as a table."""
    return {file: csv_text(hole_rows(wanted.model, wanted.keys)).encode()}


def shelf(wanted: Wanted, file: str) -> Files:
    """All templates of the shelf, to one scale."""
    pages = shelf_pages(wanted.run, list(wanted.model.shapes.values()))
    return {file: pages_pdf(wanted.run, pages, _("{job}: shelf", job=wanted.run.job))}


def printer_test(wanted: Wanted, file: str) -> Files:
    """The page for measuring a printer, which is therefore never corrected."""
    return {file: pdf.pdf([printer_page(wanted.run)], _("Printer test"))}
