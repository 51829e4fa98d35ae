"""Keyboard shortcuts: given, refused where another has them, kept for the next start, and set back."""

import json

import pytest
from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QAbstractButton

from workbook.app import own_keys
from workbook.app.dialogs.keys import Keys
from workbook.paths import kept_data

NAME = "File: Export or print…"


@pytest.fixture(autouse=True)
def _nothing_is_remembered():
    own_keys.kept_keys.cache_clear()
    yield
    own_keys.kept_keys.cache_clear()


@pytest.fixture
def dialog(qtbot, window):
    shown = Keys(window)
    qtbot.addWidget(shown)
    shown.show()
    return shown


def choose(dialog, name):
    (item,) = dialog.list.findItems(name, Qt.MatchFlag.MatchExactly)
    dialog.list.setCurrentItem(item)
    return item


def press(qtbot, dialog, action):
    button = next(each for each in dialog.findChildren(QAbstractButton) if each.property("action") == action)
    qtbot.mouseClick(button, Qt.MouseButton.LeftButton)


def key_of(window, name):
    actions = window.menuBar().findChildren(QAction)
    return next(item.shortcut().toString() for item in actions if item.property(own_keys.NAME) == name)


def test_every_action_is_listed_with_its_key(dialog):
    rows = {
        dialog.list.topLevelItem(n).text(0): dialog.list.topLevelItem(n).text(1) for n in range(dialog.list.topLevelItemCount())
    }
    assert len(rows) > 40
    assert rows[NAME] == "Ctrl+E"
    assert rows["Template: Rename…"] == ""


def test_a_key_is_given_and_kept_for_the_next_start(qtbot, window, dialog):
    choose(dialog, NAME)
    qtbot.keyClick(dialog.edit, Qt.Key.Key_J, Qt.KeyboardModifier.ControlModifier)
    press(qtbot, dialog, "use-key")
    assert key_of(window, NAME) == "Ctrl+J"
    assert dialog.list.currentItem().text(1) == "Ctrl+J"
    assert json.loads(kept_data("keys.json")) == {NAME: "Ctrl+J"}
    own_keys.kept_keys.cache_clear()
    item = QAction()
    own_keys.give(item, NAME, QKeySequence("Ctrl+E"))
    assert item.shortcut().toString() == "Ctrl+J"
    press(qtbot, dialog, "usual-key")
    assert key_of(window, NAME) == "Ctrl+E"
    assert json.loads(kept_data("keys.json")) == {}


@pytest.mark.parametrize(("key", "owner"), [(Qt.Key.Key_K, "Edit: Find an action…"), (Qt.Key.Key_1, "Draw")])
def test_a_key_that_another_has_is_refused_with_its_name(qtbot, window, dialog, key, owner):
    choose(dialog, NAME)
    qtbot.keyClick(dialog.edit, key, Qt.KeyboardModifier.ControlModifier)
    assert owner in dialog.told.text()
    assert not dialog.use.isEnabled()
    assert key_of(window, NAME) == "Ctrl+E"


def test_an_action_can_be_without_a_key_and_another_take_it(qtbot, window, dialog):
    choose(dialog, NAME)
    dialog.edit.clear()
    press(qtbot, dialog, "use-key")
    assert key_of(window, NAME) == ""
    choose(dialog, "Template: Rename…")
    qtbot.keyClick(dialog.edit, Qt.Key.Key_E, Qt.KeyboardModifier.ControlModifier)
    press(qtbot, dialog, "use-key")
    assert key_of(window, "Template: Rename…") == "Ctrl+E"
    choose(dialog, NAME)
    press(qtbot, dialog, "usual-key")  # which another has by now
    assert "Template: Rename" in dialog.told.text()
    assert key_of(window, NAME) == ""


def test_keys_that_cannot_be_read_are_the_usual_ones(window):
    own_keys.keep_data("keys.json", b"[1]")
    own_keys.kept_keys.cache_clear()
    item = QAction()
    own_keys.give(item, NAME, QKeySequence("Ctrl+E"))
    assert item.shortcut().toString() == "Ctrl+E"
