"""Qt's own texts in the language of the program. The German words are Qt's own translation."""

import os
import subprocess
import sys

import pytest
from babel.messages import Catalog
from babel.messages.mofile import write_mo

from workbook.app import menus
from workbook.languages import chosen
from workbook.texts import CATALOGUE

CODE = """
from PySide6.QtWidgets import QApplication, QDialogButtonBox
from workbook.app.language import translate_qt
from workbook.texts import language
application = QApplication([])
translated = translate_qt(application)
box = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
print(language(), translated, box.buttons()[0].text(), sep="|")
"""


@pytest.mark.parametrize(("code", "told"), [("de", "de|True|Abbrechen"), ("eo", "eo|False|Cancel"), ("", "|False|Cancel")])
def test_qts_texts_are_in_the_language_of_the_catalogue(tmp_path, code, told):
    if code:
        with (tmp_path / "own.mo").open("wb") as file:
            write_mo(file, Catalog(locale=code))
    named = {CATALOGUE: str(tmp_path / "own.mo")} if code else {}
    surroundings = {**os.environ, "QT_QPA_PLATFORM": "offscreen", **named}
    done = subprocess.run([sys.executable, "-c", CODE], env=surroundings, capture_output=True, text=True, check=True)
    assert done.stdout.strip().replace("&", "") == told


def test_the_menu_keeps_the_choice_for_the_next_start(qtbot, window, monkeypatch):
    monkeypatch.setattr(menus, "offered", lambda: {"en": "English", "de": "Deutsch"})
    window.use_look(window.workspace.look)  # builds the window anew, with its menus
    menu = next(action for action in window.menuBar().actions() if action.text() == "&View").menu()
    (entry,) = [action for action in menu.actions() if action.text() == "&Language"]
    entries = {action.text(): action for action in entry.menu().actions()}
    assert list(entries) == ["Language of the system", "English", "Deutsch"]
    assert chosen() == ""
    entries["Deutsch"].trigger()
    assert chosen() == "de"
    assert window.status.text().startswith("Close the program and start it again")
    entries["Language of the system"].trigger()
    assert chosen() == ""
