"""Tables as a spreadsheet, read back by another library: texts, dates, numbers and sums are what they are."""

from datetime import datetime
from decimal import Decimal
from io import BytesIO

import openpyxl
from hypothesis import given
from hypothesis import strategies as st

from workbook.formats.xlsx import xlsx
from workbook.shop.columns import Column, DataTable, Holds

COLUMNS = (
    Column("Name"), Column("Day", Holds.DATE), Column("Count", Holds.NUMBER), Column("Amount, USD", Holds.MONEY, summed=True),
)  # fmt: skip
ROWS = (("=1+1", "2026-11-30", 3, Decimal("10.10")), ("http://a.example", "", 0.5, Decimal("-2.05")), ("ö", None, None, None))


def read(content, *, values=True):
    return openpyxl.load_workbook(BytesIO(content), data_only=values)


def test_what_is_written_is_read_back_with_its_types():
    (sheet,) = read(xlsx([DataTable("A table", COLUMNS, ROWS)], "2026-11-30")).worksheets
    assert sheet.title == "A table" and sheet.freeze_panes == "A2"
    rows = list(sheet.values)
    assert rows[0] == ("Name", "Day", "Count", "Amount, USD")
    assert rows[1] == ("=1+1", datetime(2026, 11, 30), 3, 10.1)
    assert rows[2] == ("http://a.example", None, 0.5, -2.05)
    assert rows[3] == ("ö", None, None, None)
    assert rows[4] == ("Total", None, None, 8.05)


def test_a_text_that_looks_like_a_formula_stays_a_text_and_a_total_is_a_formula():
    sheet = read(xlsx([DataTable("A", COLUMNS, ROWS)], "2026-11-30"), values=False).active
    assert sheet["A2"].data_type == "s" and sheet["A2"].value == "=1+1"
    assert sheet["D5"].data_type == "f" and sheet["D5"].value == "=SUM(D2:D4)"
    assert sheet["B2"].is_date and sheet["D2"].number_format == "#,##0.00"


def test_the_same_tables_give_the_same_bytes_and_an_empty_table_only_its_head():
    tables = [DataTable("A", COLUMNS, ROWS), DataTable("Nothing", COLUMNS, ())]
    assert xlsx(tables, "2026-11-30") == xlsx(tables, "2026-11-30")
    assert [list(sheet.values) for sheet in read(xlsx(tables, "2026-11-30")).worksheets][1] == [tuple(c.head for c in COLUMNS)]


@given(st.lists(st.tuples(st.text(max_size=40), st.decimals(-(10**9), 10**9, places=2)), max_size=20))
def test_any_texts_and_amounts_come_back(rows):
    columns = (Column("Text"), Column("Amount", Holds.MONEY, summed=True))
    written = [(text.replace("\r", " "), amount) for text, amount in rows if all(letter.isprintable() for letter in text)]
    (sheet,) = read(xlsx([DataTable("A", columns, tuple(written))], "2026-01-01")).worksheets
    back = list(sheet.values)[1 : 1 + len(written)]
    assert [(text or "", round(Decimal(repr(amount)), 2)) for text, amount in back] == written
    if written:
        assert abs(Decimal(repr(list(sheet.values)[-1][1])) - sum(amount for _text, amount in written)) < Decimal("0.01")
