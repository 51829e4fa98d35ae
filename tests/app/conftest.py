"""The real window on the demo, offscreen unless a display is asked for."""

import gc
import os

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QColor
from PySide6.QtTest import QTest
from PySide6.QtWidgets import QApplication, QWidget

from tests.app.waiting import at_rest
from tests.at_ease import serve_at_ease
from tests.sentences import words_of
from workbook.app.collecting import collect
from workbook.app.look import Look, _pen, tokens
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.document.action_words import WORDS
from workbook.document.words.telling import UNTOLD
from workbook.later import load
from workbook.tasks.demo import demo_job
from workbook.tasks.work import work_on

OFTEN = gc.get_threshold()  # as Python has it: before the tests are run


@pytest.fixture(autouse=True, scope="session")
def _kept_colours_and_pens_stay_as_they_are():
    """Whatever was painted meanwhile."""
    yield
    for theme, roles in tokens()["colour"].items():
        for role, code in roles.items():
            assert Look(theme).colour(role) == QColor(code)
            for line in tokens()["lines"]:
                assert Look(theme).pen(line, role) == _pen.__wrapped__(theme, line, role)


@pytest.fixture(autouse=True, scope="session")
def _windows_have_their_menus_at_once():
    """Whichever test is the first; how a start does without arrays and polygons is tried by programs of their own."""
    load()


@pytest.fixture(autouse=True, scope="session")
def _garbage_is_collected_on_this_thread_alone():
    """As in the program: what belongs to Qt must not end in another."""
    seldom = gc.get_threshold()
    gc.disable()
    gc.set_threshold(*OFTEN)
    yield
    gc.set_threshold(*seldom)
    gc.enable()


@pytest.fixture(autouse=True, scope="session")
def _what_comes_after_a_start_comes_late():
    """The second page, its worker and what is heard from outside: a tenth of a test's window that stands for half a second."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("workbook.app.start_order.AFTER_MENUS", 60_000)
        yield


@pytest.fixture(autouse=True, scope="session")
def _windows_are_painted_when_a_test_waits():
    """Not after its set-up, its call and its end too, which is a fifth of the time: see the next."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("pytestqt.plugin._process_events", lambda: None)
        yield


@pytest.fixture(autouse=True)
def _what_a_test_left_to_do_is_done_and_its_garbage_goes():
    yield
    if QApplication.instance() is not None:
        QApplication.processEvents()
        release_buttons()
    collect()


def release_buttons():
    """Buttons of the mouse that a test left pressed: Qt holds them for the next, where nothing is done in the midst of a drag."""
    for button in (Qt.MouseButton.LeftButton, Qt.MouseButton.RightButton):
        if QApplication.mouseButtons() & button:
            anything = QWidget()
            anything.show()
            QTest.mouseRelease(anything, button)
    assert QApplication.mouseButtons() == Qt.MouseButton.NoButton


@pytest.fixture(autouse=True)
def _one_nesting_worker(request, monkeypatch):
    """Two take half of the machine from the other tests, and one at work a tenth; what they do at work is tried on its own."""
    if request.path.stem not in ("test_search", "test_clock"):
        monkeypatch.setattr("workbook.app.search.cores", lambda: 1)
        monkeypatch.setattr("workbook.tasks.worker.serve", serve_at_ease)


@pytest.fixture
def window(qtbot, tmp_path, monkeypatch):
    """The window on new work on the demo, with the data folder its own. All that was done in it must have its words."""
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    made = Window(Workspace(work_on(demo_job().job), Look("light")))
    qtbot.addWidget(made)
    made.resize(1440, 900)
    made.setUpdatesEnabled(False)  # it has the keyboard before it is painted, which many tests do not look at
    with qtbot.waitActive(made):
        made.show()
    made.setUpdatesEnabled(True)
    yield made
    for step in made.workspace.session.steps:
        assert step.action.id in WORDS, step.action
        assert UNTOLD not in words_of(step), step.action


@pytest.fixture
def page(qtbot, window):
    """Lay out with a layout, its search at an end."""
    window.show_page("layout")
    made = window.bars_page()
    qtbot.waitUntil(lambda: made.laid is not None, timeout=60_000)
    made.search.stop()
    at_rest(window)
    yield made
    made.search.close()


@pytest.fixture
def field(window):
    """Finds a field of the panel by its parameter, opening its group."""

    def find(path):
        window.draw.panel.findChild(object, f"group-{path.split('.')[0]}").set_open(True)
        return window.draw.panel.findChild(object, path)

    return find
