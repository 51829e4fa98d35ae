"""A workbook, a drawing and a picture whose names are no UTF-8: opened, saved, shown, kept in mind; and their URLs."""

import os
import sys

import pytest
from PySide6.QtCore import QUrl
from PySide6.QtWidgets import QMenu

from tests.app.waiting import at_rest
from tests.formats.bad_drawings import fresh
from workbook.app.dialogs.trace import picture_name
from workbook.app.menus import _lately
from workbook.app.urls import path_of, url_of
from workbook.document.records import TemplateRecord
from workbook.tasks.demo import demo_workbook
from workbook.tasks.recent import Used, recent
from workbook.tasks.starting import _last

pytestmark = pytest.mark.skipif(not sys.platform.startswith("linux"), reason="the disk takes no such names")
ODD = "\N{REPLACEMENT CHARACTER}"


@pytest.fixture
def book(tmp_path):
    """A workbook of such a name."""
    file = tmp_path / os.fsdecode(b"K\xfcche.shopbook")
    file.write_bytes(demo_workbook())
    return file


def test_a_workbook_is_opened_worked_on_and_opened_at_the_next_start(window, book):
    window.filing.open_file(book)
    at_rest(window)
    assert window.workspace.session.path == book
    window.workspace.edit("blade.length", 142.0)
    window.filing.publish()
    at_rest(window)
    assert window.filing.state()[1] == f"Saved to K{ODD}che.shopbook"
    assert recent()[0] == book
    said = []
    window.workspace.said.connect(said.append)
    window.filing.open_file(book)
    at_rest(window)
    assert said == [f"K{ODD}che.shopbook is already open here."]
    menu = QMenu()
    _lately(window.filing, menu)
    words = menu.actions()[0]
    assert (words.text(), words.toolTip()) == (f"K{ODD}che.shopbook", str(book.parent / f"K{ODD}che.shopbook"))
    assert _last() == Used(path=book)  # what the next start opens


def test_one_that_cannot_be_opened_is_named(window, book, monkeypatch):
    book.write_bytes(b"nothing")
    said = []
    monkeypatch.setattr(window, "say_storage", lambda title, trouble, cures=(): said.append((title, str(trouble))))
    window.filing.open_file(book)
    at_rest(window)
    assert said[0][0] == f"K{ODD}che.shopbook cannot be opened"
    assert f"K{ODD}che.shopbook" in said[0][1]
    assert "".join(said[0]).encode()


def test_an_outline_and_a_picture_give_their_name_as_text(window, tmp_path):
    fresh().saveas(tmp_path / "plain.dxf")
    drawing = (tmp_path / "plain.dxf").rename(tmp_path / os.fsdecode(b"z\xe4h.dxf"))
    window.filing.open_file(drawing)
    at_rest(window)
    names = [record.drawn.name for record in window.workspace.session.document.all(TemplateRecord) if record.drawn]
    assert names == [f"z{ODD}h"]
    window.workspace.undo()
    window.workspace.redo()
    assert picture_name(tmp_path / os.fsdecode(b"b\xfcld.png")) == f"b{ODD}ld"


@pytest.mark.parametrize("name", [b"K\xfcche.shopbook", "Küche 100%.dxf".encode(), b"a#b?c;d.dxf", b"plain.dxf"])
def test_a_file_is_the_same_by_its_url(tmp_path, name):
    file = tmp_path / os.fsdecode(name)
    assert path_of(url_of(file)) == file
    assert path_of(QUrl(url_of(file).toString(QUrl.ComponentFormattingOption.FullyEncoded))) == file


def test_a_path_that_qt_made_a_url_of_is_found(tmp_path):
    file = tmp_path / "Küche 100%25 #1.dxf"
    assert path_of(QUrl.fromLocalFile(str(file))) == file
