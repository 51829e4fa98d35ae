"""Dialogs beside the window: none outlives its end, nor the work it was opened for."""

import re
from itertools import product

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtWidgets import QApplication, QDialog, QMessageBox

from tests.app.waiting import at_rest
from tests.counts import FULL, some
from tests.named import key_of
from tests.sentences import words_of
from workbook.app.dialogs.finder import Finder
from workbook.app.dialogs.table import show_dialog
from workbook.app.dialogs.trace import TraceDialog
from workbook.formats.picture import Picture
from workbook.storage.trouble import StorageTrouble

NAMES = (
    "history", "settings", "rates", "finder", "screen", "scaling", "sizes", "help", "export", "hours", "own-numbers", "real-cost",
    "expenses", "finished", "about", "report", "keys",
)  # fmt: skip
CLOSED_BY = ("Escape", "its own button")
WAYS = list(product(CLOSED_BY, NAMES)) if FULL else [(CLOSED_BY[n % 2], name) for n, name in enumerate(NAMES)]


@pytest.fixture(autouse=True)
def _no_worker_stays(window):
    yield
    window.end_pages()


def opened(window, name):
    before = set(window.findChildren(QDialog))
    show_dialog(window, name)
    (made,) = (dialog for dialog in window.findChildren(QDialog) if dialog not in before)
    made.activateWindow()
    QApplication.processEvents()
    return made


def everything_said(window):
    """Whatever the workspace can tell, is told."""
    space = window.workspace
    first, *others = space.model.job.keys
    space.choose((others or [first])[-1])
    space.choose(first)
    space.edit("blade.length", space.chosen_template.blade.length + 1)
    space.undo()
    space.add_family("chefs")
    space.duplicate()
    space.remove()
    space.choose_unit("mm")
    space.choose_unit("in")
    space.refused.emit()
    window.filing.new()
    at_rest(window)
    space.choose_unit("mm")


def test_each_is_called_in_words(window):
    titles = [opened(window, name).windowTitle() for name in NAMES]
    assert len(set(titles)) == len(NAMES)
    for title in titles:
        assert re.fullmatch(r"[A-Z][a-z']*( [a-z']+)*", title), f"{title} is no name in words"


@pytest.mark.parametrize(("by", "name"), some(WAYS, 3))
def test_a_dialog_that_was_closed_hears_nothing_more(qtbot, window, name, by):
    dialog = opened(window, name)
    gone = []
    dialog.destroyed.connect(lambda: gone.append(name))
    if by == "Escape":
        qtbot.keyClick(QApplication.focusWidget() or dialog, Qt.Key.Key_Escape)
    else:
        dialog.close()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert gone == [name]
    everything_said(window)  # a slot that fails would fail the test


@pytest.mark.parametrize("name", some(NAMES, 4))
def test_a_dialog_that_is_left_open_is_closed_when_other_work_opens(window, name):
    dialog = opened(window, name)
    gone = []
    dialog.destroyed.connect(lambda: gone.append(name))
    window.filing.new()
    at_rest(window)
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    assert gone == [name]
    everything_said(window)


def test_what_is_traced_and_what_is_said_stay_when_other_work_opens(window):
    trace = TraceDialog(window, window.workspace, Picture(width=40, height=30, pixels=bytes(40 * 30 * 3)), "Traced")
    trace.show()
    window.say_storage("Title", StorageTrouble("Something is wrong.", ""))
    (said,) = window.findChildren(QMessageBox)
    window.filing.new()
    at_rest(window)
    assert trace.isVisible()
    assert said.isVisible()
    trace.form.field("how").activated.emit(2)
    trace.close()


def test_a_dialog_is_opened_though_another_is_open_and_twice_it_is_the_same(window):
    window.say_storage("Title", StorageTrouble("Something is wrong.", ""))
    first = opened(window, "help")
    first.close()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    again = opened(window, "help")  # and not the message
    show_dialog(window, "help")
    assert [dialog for dialog in window.findChildren(QDialog) if dialog.property("dialog") == "help"] == [again]


def test_the_finder_does_what_it_lists_though_a_menu_was_filled_anew(qtbot, window):
    finder = opened(window, "finder")
    assert isinstance(finder, Finder)
    qtbot.keyClicks(finder.field, "blade of paring")
    for action in window.menuBar().actions():
        action.menu().aboutToShow.emit()
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    qtbot.keyClick(finder.field, Qt.Key.Key_Return)
    assert "blade copied from Paring" in words_of(window.workspace.session.steps[-1])


def test_the_finder_lists_anew_what_is_no_longer_there(qtbot, window):
    finder = opened(window, "finder")
    window.workspace.choose(key_of(window.workspace, "Paring"))
    window.workspace.remove()
    window.workspace.choose(key_of(window.workspace, "Petty"))
    qtbot.keyClicks(finder.field, "blade of paring")
    qtbot.keyClick(finder.field, Qt.Key.Key_Return)
    assert finder.isVisible()
    assert finder.nothing.isVisible() and finder.nothing.text().startswith("Nothing has all of “blade of paring”.")
    assert [
        finder.list.item(n).text() for n in range(finder.list.count()) if "lade of Paring" in finder.list.item(n).text()
    ] == []
