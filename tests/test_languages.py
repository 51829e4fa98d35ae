"""The language that is spoken: the one chosen, else the system's, else English; and that nothing speaks before."""

import os
import subprocess
import sys

import pytest
from babel.messages import Catalog
from babel.messages.mofile import write_mo

from workbook import languages, texts
from workbook.languages import KEPT, offered, speak
from workbook.system import spoken


@pytest.fixture
def place(monkeypatch, tmp_path):
    """A program with a German catalogue and no French one, and a user's folder without a choice."""
    folder = tmp_path / "resources" / "languages"
    folder.mkdir(parents=True)
    catalogue = Catalog(locale="de")
    catalogue.add("Cut", "Schnitt")
    with (folder / "de.mo").open("wb") as file:
        write_mo(file, catalogue)
    monkeypatch.setattr(languages, "_HERE", tmp_path)
    monkeypatch.setattr(texts, "_catalogue", None)
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    monkeypatch.setenv(texts.CATALOGUE, "")  # so that it is as it was afterwards
    monkeypatch.delenv(texts.CATALOGUE)
    (tmp_path / "data").mkdir()
    return tmp_path


@pytest.mark.parametrize(
    ("of_system", "kept", "told", "code"),
    [
        (["de"], "", "Schnitt", "de"),
        (["pl", "de"], "", "Schnitt", "de"),
        (["de"], "en", "Cut", ""),
        (["en"], "de\n", "Schnitt", "de"),
        (["de"], "xx", "Schnitt", "de"),
        (["de"], "\xff", "Schnitt", "de"),
        (["fr"], "", "Cut", ""),  # its catalogue is missing
        ([], "", "Cut", ""),
    ],
)
def test_the_one_chosen_else_the_systems(monkeypatch, place, of_system, kept, told, code):
    monkeypatch.setattr(spoken, "languages", lambda: of_system)
    if kept:
        (place / "data" / KEPT).write_text(kept, encoding="latin-1")
    speak()
    assert (texts._("Cut"), texts.language()) == (told, code)
    assert os.environ[texts.CATALOGUE] == (str(place / "resources" / "languages" / "de.mo") if code else "")


def test_what_the_environment_names_counts(monkeypatch, place):
    monkeypatch.setattr(spoken, "languages", lambda: ["de"])
    monkeypatch.setenv(texts.CATALOGUE, "")
    speak()
    assert texts._("Cut") == "Cut"


def test_nothing_with_tables_of_texts_is_loaded_before_the_language_is_chosen():
    code = "import sys, workbook.__main__; print(*sorted(name for name in sys.modules if name.startswith('workbook.')))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    known = {"__main__", "languages", "later", "texts", "system", "system.folders", "system.memory", "system.spoken"}
    assert set(done.stdout.split()) == {f"workbook.{name}" for name in known}


def test_a_language_without_its_catalogue_is_not_offered(place):
    assert offered() == {"en": "English", "de": "Deutsch"}
