"""A workbook as plain tables: a CSV for each kind of record and one JSON of all, for a maker to take away. Lengths in mm."""

import json
from collections.abc import Iterator, Mapping
from typing import Any

from workbook.document.codec import encoded
from workbook.document.document import Document
from workbook.document.records import KINDS, Record
from workbook.formats.csv_out import csv_text
from workbook.storage.migrations import VERSION

JSON = "book.json"
Row = dict[str, str]


def book_tables(document: Document) -> dict[str, bytes]:
    """The files, by name: `book.json`, and "order-line.csv" and its like for each kind that has records."""
    tables = {kind: list(document.all(record)) for kind, record in KINDS.items()}
    files = {f"{kind.replace(' ', '-')}.csv": _csv(records) for kind, records in tables.items() if records}
    content = {"version": VERSION, "lengths": "mm", "records": _all(tables)}
    return {JSON: json.dumps(content, indent=1, ensure_ascii=False).encode(), **files}


def _all(tables: Mapping[str, list[Record]]) -> dict[str, list[Any]]:
    return {kind: [encoded(record) for record in records] for kind, records in tables.items() if records}


def _csv(records: list[Record]) -> bytes:
    """A row for each record, a column for each field that any of them has; what holds several is JSON in its cell."""
    rows = [dict(_cells(encoded(record))) for record in records]
    heads = list(dict.fromkeys(head for row in rows for head in row))
    return csv_text([heads, *([row.get(head, "") for head in heads] for row in rows)]).encode()


def _cells(value: Mapping[str, Any], before: str = "") -> Iterator[tuple[str, str]]:
    """The path of each field with its text: "bar.thickness"."""
    for key, field in value.items():
        name = f"{before}{key}"
        if isinstance(field, dict):
            yield from _cells(field, f"{name}.")
        else:
            yield name, _text(field)


def _text(field: Any) -> str:
    if field is None:
        return ""
    if isinstance(field, bool):
        return "yes" if field else "no"
    if isinstance(field, list):
        return json.dumps(field, ensure_ascii=False) if field else ""
    return str(field)
