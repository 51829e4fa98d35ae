"""The start of the window as a process of its own: its first picture, what works then, and what follows."""

import json
import os
import re
import subprocess
import sys
from importlib.util import find_spec

import pytest
from PySide6.QtCore import QEvent, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QApplication, QMenu

from tests.app.waiting import at_rest
from tests.named import template_of
from workbook.app import start_order
from workbook.app.look import Look
from workbook.app.window import Window
from workbook.app.workspace import Workspace
from workbook.structs import replace
from workbook.tasks.demo import demo_job
from workbook.tasks.work import work_on

_SCRIPT = """
import json, os, sys
from workbook.app.faster_start import start_faster
start_faster()
import builtins
from PySide6.QtCore import QTimer
from workbook.app.canvas.board import Board
from workbook.app.pages.draw.page import DrawPage
paint, judge, told = Board.paintEvent, DrawPage._judge, {}

def painted(board, event):
    paint(board, event)
    if "first" not in told:
        window = board.window()
        told["first"] = {
            "arrays": "numpy" in sys.modules or "shapely" in sys.modules,
            "rough": board.scene.rough,
            "titles": [action.text() for action in window.menuBar().actions()],
            "board": [board.width(), board.height()],
            "holes": window.draw.table.rowCount(),
            "to_edge": window.draw.table.item(0, 6).text(),
            "shelf": window.draw.shelf.list.model().rowCount(),
        }
        if sys.argv[1] == "edit":
            window.workspace.edit("blade.length", 150.0)
        QTimer.singleShot(300, lambda: settled(board, window))

def settled(board, window):
    told["then"] = {
        "rough": board.scene.rough,
        "board": [board.width(), board.height()],
        "actions": [len(action.menu().actions()) for action in window.menuBar().actions()],
        "checks": [part.accessibleName() for part in window.draw.checks.children() if hasattr(part, "accessibleName")],
        "to_edge": window.draw.table.item(0, 6).text(),
        "length": window.workspace.chosen_template.blade.length,
        "import": builtins.__import__.__name__,
    }
    print(json.dumps(told))
    sys.stdout.flush()
    os._exit(0)

Board.paintEvent = painted
from workbook.app.main import main as window
window([])
"""


@pytest.fixture(scope="module", params=["look", "edit"])
def told(request, tmp_path_factory):
    """What a start said of its first picture and of what stood a moment later; once with an edit made at the first picture."""
    env = os.environ | {"QT_QPA_PLATFORM": "offscreen", "MAKERS_WORKBOOK_DATA": str(tmp_path_factory.mktemp("data"))}
    done = subprocess.run([sys.executable, "-c", _SCRIPT, request.param], env=env, capture_output=True, text=True, timeout=60)
    assert done.returncode == 0, done.stderr
    return {**json.loads(done.stdout.splitlines()[-1]), "choice": request.param}


def test_the_first_picture_waits_for_no_arrays(told):
    first = told["first"]
    assert (first["arrays"], first["rough"]) == (False, True)
    assert (first["holes"], first["to_edge"], first["shelf"]) == (5, "", 3)


def test_it_has_the_layout_of_what_follows(told):
    assert told["first"]["board"] == told["then"]["board"]
    assert told["first"]["titles"] == [
        "&File", "&Edit", "&View", "&Go", "&Template", "&Stock", "&Orders", "&Layout", "&Make", "&Help",
    ]  # fmt: skip


def test_checks_lines_and_menus_follow(told):
    then = told["then"]
    assert not then["rough"]
    assert all(then["actions"])
    assert any(re.fullmatch(r"All \d+ checks passed", told_) for told_ in then["checks"])
    assert then["to_edge"].endswith(" d")


def test_an_edit_made_at_the_first_picture_is_kept(told):
    assert told["then"]["length"] == (150.0 if told["choice"] == "edit" else 139.7)


def test_python_imports_by_itself_again(told):
    """The toolkit's own import reads the source of every module for a feature that is used nowhere."""
    assert told["then"]["import"] != "__feature_import__"


def undo_words(window):
    """What the menu Edit that is seen says of undo."""
    (edit,) = (action.menu() for action in window.menuBar().actions() if action.text() == "&Edit")
    return next(action.text() for action in edit.actions() if action.objectName() == "undo")


@pytest.mark.parametrize("again", ["other work", "another look", "seen twice"])
def test_the_menu_that_is_seen_says_what_is_undone_whatever_was_done_before(window, again):
    menus = len(window.menuBar().findChildren(QMenu))
    if again == "other work":
        window.filing.new()
        at_rest(window)
    elif again == "another look":
        window.use_look(replace(window.workspace.look, theme="dark"))
    else:
        window._furnished = False
        window._furnish()
    window.workspace.edit("blade.length", 150.0)
    assert undo_words(window).startswith("&Undo: ")
    window.workspace.undo()
    assert undo_words(window) == "&Undo"
    assert len(window.menuBar().findChildren(QMenu)) == menus


def test_a_key_pressed_before_the_menus_have_actions_is_not_lost(qtbot, tmp_path, monkeypatch):
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    monkeypatch.setattr("workbook.app.window.are_loaded", lambda: False)
    window = Window(Workspace(work_on(demo_job().job), Look("light")))
    qtbot.addWidget(window)
    window.workspace.edit("blade.length", 150.0)
    assert not any(action.menu().actions() for action in window.menuBar().actions())
    key = QKeyEvent(QEvent.Type.KeyPress, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    QApplication.sendEvent(window.rail.button(0), key)
    assert template_of(window.workspace, "Petty").blade.length == 139.7
    assert all(action.menu().actions() for action in window.menuBar().actions())
    window.workspace.edit("blade.length", 150.0)
    assert undo_words(window).startswith("&Undo: ")


def test_what_is_brought_after_a_start_is_there():
    wanted = [name for name in (*start_order.BESIDE, *start_order.ONE_BY_ONE) if name.startswith("workbook.")]
    assert [name for name in wanted if find_spec(name) is None] == []
