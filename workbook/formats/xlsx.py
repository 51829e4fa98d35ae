"""Tables as a workbook of a spreadsheet (Office Open XML), with dates and amounts as such and totals as sums."""

from collections.abc import Sequence
from datetime import date, datetime
from io import BytesIO
from typing import TYPE_CHECKING, Any

from workbook.later import library
from workbook.shop.columns import DataTable, Holds, Value
from workbook.texts import _

if TYPE_CHECKING:
    import xlsxwriter
else:  # needed only when tables are written
    xlsxwriter = library("xlsxwriter")

_WIDEST, _NARROWEST = 44, 9  # characters
_LONGEST_NAME = 31  # of a sheet


def xlsx(tables: Sequence[DataTable], made: str) -> bytes:
    """A sheet for each table, in their order. `made`: the ISO date on which it is written; the same bytes for the same tables."""
    stream = BytesIO()
    with xlsxwriter.Workbook(stream, {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False}) as book:
        book.set_properties({"created": datetime.combine(date.fromisoformat(made), datetime.min.time())})
        formats = {
            Holds.DATE: book.add_format({"num_format": "yyyy-mm-dd"}),
            Holds.MONEY: book.add_format({"num_format": "#,##0.00"}),
        }
        head = book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"})
        total = book.add_format({"bold": True, "top": 1, "num_format": "#,##0.00"})
        for table in tables:
            _sheet(book.add_worksheet(table.name[:_LONGEST_NAME]), table, formats, head, total)
    return stream.getvalue()


def _sheet(sheet: Any, table: DataTable, formats: dict[Holds, Any], head: Any, total: Any) -> None:
    for c, column in enumerate(table.columns):
        sheet.write_string(0, c, column.head, head)
        longest = max([len(column.head), *(len(str(row[c])) for row in table.rows if row[c] is not None)])
        sheet.set_column(c, c, min(max(longest + 1, _NARROWEST), _WIDEST))
        for r, row in enumerate(table.rows, 1):
            _cell(sheet, r, c, row[c], column.holds, formats.get(column.holds))
    sheet.freeze_panes(1, 0)
    last = len(table.rows)
    summed = [c for c, column in enumerate(table.columns) if column.summed]
    if not (last and summed):
        return
    sheet.write_string(last + 1, 0, _("Total"), total)
    for c in summed:
        letter = xlsxwriter.utility.xl_col_to_name(c)
        sheet.write_formula(last + 1, c, f"=SUM({letter}2:{letter}{last + 1})", total, float(table.total(c)))


def _cell(sheet: Any, r: int, c: int, value: Value, holds: Holds, form: Any) -> None:
    if value is None or value == "":
        return
    if holds is Holds.DATE:
        sheet.write_datetime(r, c, datetime.combine(date.fromisoformat(str(value)[:10]), datetime.min.time()), form)
    elif isinstance(value, str):
        sheet.write_string(r, c, value, form)
    else:
        sheet.write_number(r, c, value, form)
