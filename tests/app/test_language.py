"""Qt's own texts in the language of the program. The German words are Qt's own translation."""

import os
import subprocess
import sys

import pytest
from babel.messages import Catalog
from babel.messages.mofile import write_mo

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
