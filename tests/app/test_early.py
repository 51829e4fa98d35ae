"""Pages made a slice at a time before they are asked for: they are the same, and can be asked for at any moment."""

import pytest
from PySide6.QtCore import QCoreApplication, QEvent, Qt
from PySide6.QtGui import QGuiApplication
from PySide6.QtWidgets import QWidget

from tests.clock import settled, until
from tests.counts import some
from workbook.app.early import EarlyPages, InSlices
from workbook.app.look import Look
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.structs import replace
from workbook.tasks.demo import demo_document
from workbook.tasks.work import work_in

PAGES = ("grind", "stock", "quote", "lookup")


@pytest.fixture
def made(qtbot, tmp_path, monkeypatch):
    """Makes a window of a theme that shows."""
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    monkeypatch.setattr("workbook.app.start_order.BETWEEN_SLICES", 1)
    windows = []

    def make(theme="light"):
        window = Window(Workspace(work_in(demo_document()), Look(theme)))
        windows.append(window)
        window.resize(1440, 900)
        window.show()
        return window

    yield make
    for window in reversed(windows):
        window.end_quietly()
        window.close()


def early_done(window):
    window.early.begin()
    until(lambda: window.early.over)


def seen(window, name):
    """What a page looks like once all of it is there."""
    window.show_page(name)
    until(lambda: name != "quote" or not window.quote_page().steel.busy)
    window.setFocus()  # else a cursor blinks
    settled(0.3)
    QCoreApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete)
    return window.pages.currentWidget().grab().toImage()


@pytest.mark.parametrize("theme", some(["light", "dark"], 1))
def test_a_page_made_beforehand_looks_as_one_made_when_it_is_asked_for(made, theme):
    early, late = made(theme), made(theme)
    early_done(early)
    for name in PAGES:
        assert seen(early, name) == seen(late, name), name


def test_what_changed_after_it_was_made_shows(made):
    window = made()
    early_done(window)
    window.workspace.edit("blade.length", 150.0)
    window.workspace.choose_unit("mm")
    other = made()
    other.workspace.edit("blade.length", 150.0)
    other.workspace.choose_unit("mm")
    for name in PAGES:
        assert seen(window, name) == seen(other, name), name


def test_a_page_half_made_is_there_when_it_is_asked_for(made):
    window = made()
    window.early.made["stock"].go_on()
    assert window.early.made["stock"].page is None
    window.show_page("stock")
    assert window.pages.currentWidget() is window.stock_page()
    early_done(window)
    assert window.pages.currentWidget() is window.stock_page()


def test_no_layout_is_looked_for_before_the_quote_is_looked_at(made):
    window = made()
    early_done(window)
    page = window.early.made["quote"].page
    assert page.work is not None
    assert not page.steel.busy
    window.show_page("quote")
    assert page.steel.busy


def test_another_look_has_its_own_pages_beforehand(made):
    window = made()
    early_done(window)
    before = window.early.made["grind"].page
    window.use_look(replace(window.workspace.look, theme="dark"))
    until(lambda: window.early.over)
    assert window.early.made["grind"].page not in (None, before)


def test_what_is_wrong_with_a_page_is_told_when_it_is_asked_for(made, monkeypatch):
    window = made()
    window.bars_page()
    monkeypatch.setattr(window.pages, "addWidget", lambda page: 1 / 0)
    early_done(window)
    with pytest.raises(ZeroDivisionError):
        window.show_page("stock")
    monkeypatch.undo()
    window.show_page("stock")
    assert window.page_name() == "stock"


def test_nothing_is_made_in_the_middle_of_a_drag(made, monkeypatch):
    window = made()
    monkeypatch.setattr(QGuiApplication, "mouseButtons", lambda: Qt.MouseButton.LeftButton)
    window.early.begin()
    settled(0.5)
    assert window.early.made["grind"].page is None
    monkeypatch.undo()
    until(lambda: window.early.over)


def test_a_page_whose_slice_failed_is_begun_anew(qtbot):
    tries = []

    def make():
        tries.append(1)
        yield
        if len(tries) == 1:
            raise ZeroDivisionError
        return QWidget()

    made = InSlices(make)
    with pytest.raises(ZeroDivisionError):
        made.whole()
    page = made.whole()
    assert made.whole() is page
    assert len(tries) == 2


def test_no_page_is_made_beforehand_by_itself(made):
    window = made()
    settled(0.3)
    assert isinstance(window.early, EarlyPages)
    assert window.early.over
    assert window.early.made["stock"].page is None
