"""The language that is spoken: the one chosen, else the system's, else English; and that nothing speaks before."""

import csv
import os
import re
import subprocess
import sys
from collections import Counter
from pathlib import Path
from string import Formatter

import pytest
from babel.messages import Catalog
from babel.messages.mofile import write_mo

from tests.texts import everything
from workbook import languages, texts
from workbook.languages import KEPT, LANGUAGES, offered, speak
from workbook.system import spoken

ROOT = Path(__file__).parents[1]


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


def whole_and_partly():
    """The catalogues of the project, by their codes."""
    sys.path.insert(0, str(ROOT / "packaging"))
    import catalogues

    return {file.stem: catalogues.read(file) for file in sorted(catalogues.FOLDER.glob("*.po"))}


def forms_of(message):
    """The texts of an entry and their translations, in pairs; none where it has no translation yet."""
    texts_, told = (each if isinstance(each, tuple | list) else (each,) for each in (message.id, message.string))
    return list(zip(texts_, told, strict=True)) if all(told) else []


def marks(text):
    """What a translation must have as often as its text: fields, marks of rich text, code and links, letters to press."""
    pressed = re.findall(r"&(?=\w)", text.replace("&&", ""))
    signs = [sign for sign in ("`", "**", "*", "\n") for _ in range(text.count(sign))]
    return Counter([*re.findall(r"</?\w+>|`[^`]*`|\]\([^)]*\)", text), *pressed, *signs, *fields_of(text)])


def fields_of(text):
    """The fields of a text, each with its format, which may hold forms of a word behind an n; braces where it has no fields."""
    try:
        fields = [(name, form) for _, name, form, _ in Formatter().parse(text) if name is not None]
        return [f"{name}:{'n words' if form.startswith('n ') else form}" for name, form in fields]
    except ValueError:
        return re.findall(r"[{}]", text)


@pytest.mark.parametrize("code", sorted(set(LANGUAGES) - {"en"}))
def test_translations_have_the_fields_and_marks_of_their_texts(code):
    catalogue = whole_and_partly()[code]
    wrong = {
        (text, told)
        for message in catalogue
        if message.id
        for text, told in forms_of(message)
        if marks(text) != marks(told) or text.endswith("…") != told.endswith("…") or told != told.strip() != text
    }
    assert not wrong


@pytest.mark.parametrize("code", sorted(set(LANGUAGES) - {"en"}))
def test_each_catalogue_has_the_texts_of_the_program_and_no_others(code):
    known = {forms if len(forms) > 1 else forms[0] for forms in everything()}
    assert {message.id for message in whole_and_partly()[code] if message.id} == known, (
        "bring it up to date: .venv/bin/python packaging/catalogues.py update"
    )


@pytest.mark.parametrize("code", sorted(set(LANGUAGES) - {"en"}))
def test_the_glossary_has_sixty_words_each_with_its_source(code):
    with (ROOT / "resources" / "languages" / f"glossary-{code}.csv").open(encoding="utf-8", newline="") as file:
        entries = list(csv.DictReader(file))
    assert len({entry["english"] for entry in entries}) == len(entries) >= 60
    known = re.compile(r"common practice, no source|(DIN|NF|EN|ISO) .*, (term|usage) from memory")
    lacking = [entry for entry in entries if not all(list(entry.values())[:2]) or not known.fullmatch(entry["source"])]
    assert not lacking
