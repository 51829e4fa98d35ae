"""Documents and edits for the tests of storage."""

import pytest

from workbook.document.action import said
from workbook.document.action_words import in_words
from workbook.document.document import Document, Edit, replacing
from workbook.document.making_records import BatchRecord
from workbook.document.records import Record
from workbook.document.shop_records import OrderLine
from workbook.shop.charges import STAGES


def line(number, quantity):
    """A small record."""
    return OrderLine(id=f"line{number}", place=float(number), of="t", steel="O1", quantity=quantity)


def setting(document: Document, number: int, quantity: int) -> Edit:
    """An edit that sets a line, or takes it away with quantity 0."""
    words = said(f"line {number} {quantity}")
    if quantity:
        return replacing(document, words, [line(number, quantity)])
    return replacing(document, words, [], [f"line{number}"] if f"line{number}" in document.records else [])


def of_some_kind(number: int, quantity: int) -> Record:
    """A small record that holds a quantity: a line, or for odd numbers a batch with its stages."""
    if number % 2:
        note = str(quantity)
        return BatchRecord(
            id=f"line{number}", place=float(number), number=number, begun="2026-11-27", stages=STAGES[:1], note=note
        )
    return line(number, quantity)


def quantity_of(record: Record) -> int:
    """The quantity in such a record."""
    return record.quantity if isinstance(record, OrderLine) else int(record.note)


def putting(document: Document, number: int, quantity: int) -> Edit:
    """An edit that sets such a record, or takes it away with quantity 0."""
    if quantity:
        return replacing(document, said(f"record {number} {quantity}"), [of_some_kind(number, quantity)])
    without = [f"line{number}"] if f"line{number}" in document.records else []
    return replacing(document, said(f"no record {number}"), [], without)


def told(what):
    """A step or an edit in words."""
    return in_words(what.action, "in")


@pytest.fixture
def folder(tmp_path):
    """Where sessions are kept."""
    return tmp_path / "sessions"
