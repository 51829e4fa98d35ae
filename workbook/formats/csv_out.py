"""Rows as CSV that a spreadsheet cannot mistake for formulas. UTF-8, comma, CRLF (RFC 4180)."""

import csv
import io
import re
from collections.abc import Iterable, Sequence

_NUMBER = re.compile(r"[+-]?\d+(\.\d+)?")


def csv_text(rows: Iterable[Sequence[str]]) -> str:
    """The rows as CSV text."""
    stream = io.StringIO()
    csv.writer(stream, lineterminator="\r\n").writerows([safe(cell) for cell in row] for row in rows)
    return stream.getvalue()


def safe(cell: str) -> str:
    """The cell, prefixed with an apostrophe where a spreadsheet would take it for a formula."""
    return f"'{cell}" if cell[:1] in ("=", "+", "-", "@", "\t", "\r") and not _NUMBER.fullmatch(cell) else cell
