"""What takes long beside the window: Cancel, asking twice, closing meanwhile, work that changes meanwhile."""

from multiprocessing import active_children
from threading import Event

import pytest
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QFileDialog, QMessageBox

from tests.app.test_outline import drawing
from tests.app.waiting import at_rest
from tests.named import names
from tests.scenes import splines
from tests.written import stock_table
from workbook.app.as_it_is import as_it_is
from workbook.app.beside import WaitingDialog
from workbook.app.export import wanted_of
from workbook.document.records import BarRecord
from workbook.storage.file import read
from workbook.storage.session import Session
from workbook.tasks.exports import exported


@pytest.fixture(scope="module")
def slow(tmp_path_factory):
    """A drawing that takes many seconds to read."""
    return splines(tmp_path_factory.mktemp("slow") / "many curves.dxf")


def shown(window):
    return next((one for one in window.findChildren(WaitingDialog) if one.isVisible()), None)


def readers():
    return [one for one in active_children() if one.name == "reader"]


def cancelled(qtbot, window):
    qtbot.waitUntil(lambda: shown(window) is not None)
    qtbot.mouseClick(shown(window).cancel, Qt.MouseButton.LeftButton)
    qtbot.waitUntil(lambda: shown(window) is None)


def test_cancel_ends_the_reader_and_changes_nothing(qtbot, window, slow):
    names, session = list(window.workspace.model.shapes), window.workspace.session
    window.filing.open_file(slow)
    qtbot.waitUntil(lambda: shown(window) is not None)
    assert "many curves.dxf" in shown(window).findChild(object, "words").text()
    qtbot.waitUntil(lambda: bool(readers()))
    cancelled(qtbot, window)
    qtbot.waitUntil(lambda: not readers(), timeout=5000)
    at_rest(window)
    assert (list(window.workspace.model.shapes), window.workspace.session.steps) == (names, ())
    assert window.workspace.session is session
    assert not window.findChildren(QMessageBox)


def test_escape_cancels_too(qtbot, window, slow):
    window.filing.open_file(slow)
    qtbot.waitUntil(lambda: shown(window) is not None)
    qtbot.keyClick(shown(window), Qt.Key.Key_Escape)
    qtbot.waitUntil(lambda: shown(window) is None and not readers(), timeout=5000)


def test_what_is_asked_for_last_counts(qtbot, window, slow, tmp_path):
    window.filing.open_file(slow)
    window.filing.open_file(drawing(tmp_path / "plate.dxf", 4))
    at_rest(window)
    qtbot.waitUntil(lambda: "plate" in names(window.workspace))
    assert "many curves" not in names(window.workspace)
    assert len(window.workspace.session.steps) == 1
    qtbot.waitUntil(lambda: not readers(), timeout=5000)


def test_the_window_may_close_meanwhile(qtbot, window, slow):
    window.filing.open_file(slow)
    qtbot.waitUntil(lambda: shown(window) is not None and bool(readers()))
    window.close()
    qtbot.waitUntil(lambda: not readers(), timeout=5000)
    assert not window.isVisible()


def test_stock_is_read_again_where_the_work_changed_meanwhile(window, tmp_path):
    space = window.workspace
    table = tmp_path / "stock.csv"
    table.write_bytes(stock_table(space.session.document).replace(b"52100", b"1095"))
    window.bringing.bring_in_stock(table)
    space.edit("blade.length", 151.0)
    at_rest(window)
    at_rest(window)
    assert space.chosen_template.blade.length == 151.0
    assert "1095" in {record.bar.steel for record in space.session.document.all(BarRecord)}
    assert len(space.session.steps) == 2


def cut_file(work):
    """The cut file of the work as it is."""
    return exported(wanted_of(work), ["cutting"])


@pytest.fixture
def held(monkeypatch):
    """A template sheet that is made only when it may be."""
    may, asked = Event(), Event()

    def made(wanted, keys):
        asked.set()
        may.wait(20)
        return exported(wanted, keys)

    monkeypatch.setattr("workbook.tasks.exports.exported", made)
    return may, asked


def test_a_print_that_is_given_up_leaves_no_file_and_no_note(qtbot, window, tmp_path, held, monkeypatch):
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *given: (str(tmp_path / "blank.dxf"), ""))
    window.printing.save_cut_file()
    assert len(window.workspace.session.steps) == 1
    cancelled(qtbot, window)
    held[0].set()
    at_rest(window)
    qtbot.wait(300)
    assert window.workspace.session.steps == ()
    assert not (tmp_path / "blank.dxf").exists()


def test_a_print_is_of_the_work_as_it_was_when_it_was_asked_for(qtbot, window, tmp_path, held, monkeypatch):
    may, asked = held
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *given: (str(tmp_path / "blank.dxf"), ""))
    window.printing.save_cut_file()
    then = as_it_is(window.workspace)
    qtbot.waitUntil(asked.is_set)
    window.workspace.edit("blade.length", 163.0)
    may.set()
    at_rest(window)
    assert (tmp_path / "blank.dxf").read_bytes() == cut_file(then)["petty.dxf"]
    assert cut_file(as_it_is(window.workspace)) != cut_file(then)


def test_edits_while_the_file_is_written_come_with_the_next(qtbot, window, tmp_path, monkeypatch):
    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *given: (str(tmp_path / "shop.shopbook"), ""))
    window.filing.save()
    at_rest(window)
    for number in range(12):
        window.workspace.edit("blade.length", 130.0 + number)
        window.filing.publish()
        window.workspace.edit("blade.height", 30.0 + number / 10)
    qtbot.waitUntil(lambda: window.workspace.session.saved, timeout=10_000)
    kept = read(tmp_path / "shop.shopbook").body.document
    assert kept == window.workspace.session.document


def test_what_is_to_be_read_back_is_asked_for_once(window, tmp_path, monkeypatch):
    """What is written beside the window may change it between two questions: here every second one finds nothing."""
    real, answers = Session.to_prove.fget, []

    def every_other(session):
        answers.append(real(session) if len(answers) % 2 == 0 else None)
        return answers[-1]

    monkeypatch.setattr(QFileDialog, "getSaveFileName", lambda *given: (str(tmp_path / "shop.shopbook"), ""))
    monkeypatch.setattr(Session, "to_prove", property(every_other))
    monkeypatch.setattr("workbook.storage.session._SMALL", 10)
    window.filing.save()
    at_rest(window)
    assert any(answers)
