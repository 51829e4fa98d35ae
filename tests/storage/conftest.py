"""Documents and edits for the tests of storage."""

import pytest

from workbook.document.action import said
from workbook.document.action_words import in_words
from workbook.document.document import Document, Edit, replacing
from workbook.document.shop_records import OrderLine


def line(number, quantity):
    """A small record."""
    return OrderLine(id=f"line{number}", place=float(number), of="t", steel="O1", quantity=quantity)


def setting(document: Document, number: int, quantity: int) -> Edit:
    """An edit that sets a line, or takes it away with quantity 0."""
    words = said(f"line {number} {quantity}")
    if quantity:
        return replacing(document, words, [line(number, quantity)])
    return replacing(document, words, [], [f"line{number}"] if f"line{number}" in document.records else [])


def told(what):
    """A step or an edit in words."""
    return in_words(what.action, "in")


@pytest.fixture
def folder(tmp_path):
    """Where sessions are kept."""
    return tmp_path / "sessions"
