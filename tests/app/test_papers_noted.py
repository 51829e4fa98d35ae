"""What leaves the window on paper or in a file is in the history first; what could not be noted does not leave."""

import pytest
from PySide6.QtCore import QPoint, Qt
from PySide6.QtGui import QDrag
from PySide6.QtWidgets import QFileDialog, QMessageBox

from tests.app.waiting import at_rest, saved_in_preview
from tests.sentences import words_of
from workbook.app.dialogs.export import ExportDialog
from workbook.app.look import Look
from workbook.app.template_menu import keep_revision
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.records import Revision
from workbook.document.shop_records import OrderRecord
from workbook.storage.trouble import StorageTrouble
from workbook.tasks.demo import demo_document
from workbook.tasks.work import seen_at, work_in


@pytest.fixture
def target(window, tmp_path, monkeypatch):
    """The file that is asked for; no message waits, and nothing is shown in another program."""
    chosen = tmp_path / "out.pdf"
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *a, **k: (str(chosen), ""))
    monkeypatch.setattr(QMessageBox, "open", lambda box: None)
    return chosen


def full(window, monkeypatch):
    """The disk takes nothing more."""

    def no(*given):
        raise StorageTrouble("the disk is full.", "Free some space.")

    monkeypatch.setattr(window.workspace.session._database, "edit", no)


def laid_out(qtbot, window):
    window.show_page("layout")
    page = window.bars_page()
    qtbot.waitUntil(lambda: page.laid is not None, timeout=60_000)
    page.search.stop()
    return page


def kept(window):
    return {r.why for r in window.workspace.session.document.all(Revision)}


def test_a_note_that_could_not_be_kept_is_not_said_to_be(window, target, monkeypatch):
    said = []
    window.workspace.said.connect(said.append)
    monkeypatch.setattr("workbook.app.template_menu.QInputDialog.getText", lambda *a, **k: ("before the show", True))
    full(window, monkeypatch)
    keep_revision(window)
    assert not said
    assert not kept(window)


def test_no_revision_is_said_to_be_kept_of_what_is_only_looked_at(window, target, monkeypatch, tmp_path):
    said = []
    window.workspace.session.save_as(tmp_path / "shop.shopbook")
    window.work_on(seen_at(tmp_path / "shop.shopbook"))
    window.workspace.said.connect(said.append)
    monkeypatch.setattr("workbook.app.template_menu.QInputDialog.getText", lambda *a, **k: ("before the show", True))
    keep_revision(window)
    assert "is read-only" in said[-1]
    window.printing.save_cut_file()
    at_rest(window)
    assert list(target.parent.glob("out*"))


def test_a_sheet_whose_revision_could_not_be_kept_is_not_written(window, target, monkeypatch):
    full(window, monkeypatch)
    window.printing.save_cut_file()
    at_rest(window)
    assert not target.exists()


def test_a_quote_that_could_not_be_noted_is_not_written(qtbot, monkeypatch, target):
    window = Window(Workspace(work_in(demo_document()), Look("light")))
    qtbot.addWidget(window)
    window.show_page("quote")
    order = window.quote_page().order
    window.printing.print_quote()
    with monkeypatch.context() as disk:
        full(window, disk)
        saved_in_preview(qtbot, window)
    assert not target.exists()
    assert not window.workspace.session.steps
    dialog = saved_in_preview(qtbot, window)
    assert target.exists()
    assert window.workspace.session.steps
    assert window.workspace.session.document.get(order, OrderRecord).quoted
    dialog.close()
    window.quote_page().steel.close()


def test_bar_sheets_keep_the_revisions_of_the_blanks_on_them(qtbot, window, target):
    page = laid_out(qtbot, window)
    laid = page.laid
    window.printing.print_bars()
    saved_in_preview(qtbot, window).close()
    assert target.exists()
    assert kept(window) == {"Bar sheets"}
    assert words_of(window.workspace.session.steps[-1]).startswith("revisions of ")
    assert page.laid is laid, "the layout stays"
    window.printing.cut_bars()
    at_rest(window)
    assert len(window.workspace.session.steps) == 1, "the same revisions are not kept twice"


def test_a_file_that_is_dragged_out_keeps_a_revision(qtbot, window, target, monkeypatch):
    dialog = ExportDialog(window)
    dialog.show()
    qtbot.waitUntil(lambda: bool(dialog.files), timeout=20_000)
    gone = []
    monkeypatch.setattr(QDrag, "exec", lambda drag, *a: gone.append(drag.mimeData().urls()))
    qtbot.mousePress(dialog.drag, Qt.MouseButton.LeftButton, pos=QPoint(2, 2))
    qtbot.mouseMove(dialog.drag, QPoint(40, 4))
    assert len(gone) == 1
    assert kept(window) == {"Template sheets"}
    window.workspace.edit("blade.length", 133.0)
    qtbot.waitUntil(lambda: bool(dialog.files), timeout=20_000)
    full(window, monkeypatch)
    qtbot.mouseMove(dialog.drag, QPoint(80, 4))
    assert len(gone) == 1, "what could not be noted does not leave"
    dialog.close()
