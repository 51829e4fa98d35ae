"""A year as files for an accountant: one workbook of a spreadsheet, and each of its tables as CSV."""

from workbook.document.document import Document
from workbook.formats.csv_out import csv_text
from workbook.formats.xlsx import xlsx
from workbook.model.model import Model
from workbook.model.year import year_tables, years
from workbook.problems import JobError, Mistake
from workbook.shop.columns import DataTable, Value
from workbook.tasks.write import file_name
from workbook.texts import _


def year_book(document: Document, model: Model, year: str, today: str) -> bytes:
    """The tables of a year as one workbook of a spreadsheet. Raises JobError for a year of which nothing was entered."""
    return xlsx(_tables(document, model, year, today), today[:10])


def year_files(document: Document, model: Model, year: str, today: str) -> dict[str, bytes]:
    """The files, by name: `2026.xlsx`, `2026-orders.csv` and its like. Raises JobError for a year without any entry."""
    tables, existing = _tables(document, model, year, today), set[str]()
    csvs = {f"{year}-{file_name(table.name, existing)}.csv": _csv(table) for table in tables if table.rows}
    return {f"{year}.xlsx": xlsx(tables, today[:10]), **csvs}


def _tables(document: Document, model: Model, year: str, today: str) -> list[DataTable]:
    known = years(document)
    if year not in known:
        right = _("There are entries of {years}.", years=", ".join(known)) if known else _("Enter an order or a payment first.")
        raise JobError([Mistake(place=_("year"), what=_("nothing was entered for {year}.", year=year), right=right)])
    return year_tables(document, model, year, today)


def _csv(table: DataTable) -> bytes:
    return csv_text(
        [[column.head for column in table.columns], *([_text(value) for value in row] for row in table.rows)]
    ).encode()


def _text(value: Value) -> str:
    return "" if value is None else f"{value:g}" if isinstance(value, float) else str(value)
