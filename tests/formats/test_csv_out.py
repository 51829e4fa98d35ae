"""CSV that comes back as it went out and that no spreadsheet takes for formulas."""

import csv
import io

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.formats.csv_out import csv_text, safe


@pytest.mark.parametrize("cell", ["=1+1", "+cmd|' /C calc'!A0", "-2+3", "@SUM(A1)", "\t=1", "\r=1", "=", "-", "+1,5", "--1"])
def test_what_a_spreadsheet_would_compute_is_led_by_an_apostrophe(cell):
    """OWASP, CSV injection: cells that begin with = + - @, tab or carriage return."""
    assert safe(cell) == f"'{cell}"


@pytest.mark.parametrize("cell", ["Petty", "1.00", "-5", "+5", "-5.25", "3/16 - 2 in", "", " =1", "a=b", "'x"])
def test_numbers_and_plain_words_are_left_alone(cell):
    assert safe(cell) == cell


rows = st.lists(
    st.lists(st.text(st.characters(exclude_categories=["Cs"], exclude_characters="\x00"), max_size=10), min_size=1, max_size=4),
    max_size=4,
)


@given(rows)
def test_rows_come_back_as_they_went_out(given_rows):
    read = list(csv.reader(io.StringIO(csv_text(given_rows), newline="")))
    assert read == [[safe(cell) for cell in row] for row in given_rows]


@given(rows)
def test_no_cell_comes_back_as_a_formula(given_rows):
    for row in csv.reader(io.StringIO(csv_text(given_rows), newline="")):
        for cell in row:
            if cell[:1] in tuple("=+-@\t\r"):
                float(cell)


def test_lines_end_as_the_standard_has_them():
    """RFC 4180: records end with CRLF; cells with commas or quotes are quoted."""
    assert csv_text([["a", "b,c"], ['d"e', ""]]) == 'a,"b,c"\r\n"d""e",\r\n'
