"""The README and the help tell the truth about keys and commands, and are easy to read."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from tests.readability import length, sentences
from workbook.app.help_topics import TOPICS
from workbook.cli.main import main
from workbook.formats.family import family_ids
from workbook.formats.job import _BAR, _JOB, _MAKE, _MEASURED, _SAW, _SERVICE, _SETTINGS, _TOOLS
from workbook.formats.job_template import _FREE, _HOLE
from workbook.template.parameters import PARAMETERS

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
HELP = {name: (ROOT / "resources" / "help" / f"{name}.md").read_text(encoding="utf-8") for name, _title in TOPICS}
TABLES = {"job": _JOB, "saw": _SAW, "settings": _SETTINGS, "tools": _TOOLS, "service": _SERVICE, "bar": _BAR, "make": _MAKE}
COMMANDS = (
    "lay-out", "templates", "sheets", "estimate", "check", "fits", "grind", "preflight", "book", "demo", "contact-sheet",
)  # fmt: skip
MEAN, LONGEST = 16, 30  # words of a sentence
LINES = 250


def test_the_table_of_keys_is_that_of_the_rows():
    table = subprocess.run([sys.executable, ROOT / "packaging" / "keys.py", "--check"], cwd=ROOT, check=False)
    assert table.returncode == 0, "Write it anew: .venv/bin/python packaging/keys.py"


def test_every_key_of_the_job_file_is_in_the_table():
    keys = [f"{table}.{key}" for table, keys in TABLES.items() for key in keys] + [f"template.{p.path}" for p in PARAMETERS]
    assert [key for key in keys if f"`{key}`" not in HELP["job-file"] and f"`{key}." not in HELP["job-file"]] == []


def test_the_table_names_no_key_that_nobody_reads():
    known = {f"{table}.{key}" for table, keys in TABLES.items() for key in keys} | {f"template.{p.path}" for p in PARAMETERS}
    own = ("name", "family", "rolling", "bar", "outline", "units")
    known |= {f"template.{key}" for key in (*own, *(f"hole.{k}" for k in _HOLE), *(f"free.{k}" for k in _FREE))}
    known = (known - {"bar.measured"}) | {f"bar.measured.{key}" for key in _MEASURED}
    named = set(re.findall(r"`((?:job|saw|settings|tools|service|template|bar|make)\.[a-z_.]+)`", HELP["job-file"]))
    assert named == known


@pytest.mark.parametrize("command", COMMANDS)
def test_every_command_is_in_the_help_and_has_its_own(command, capsys):
    assert f"`{command}" in HELP["commands"]
    with pytest.raises(SystemExit) as done:
        main([command, "--help"])
    assert done.value.code == 0
    assert command in capsys.readouterr().out


def test_every_picture_is_there():
    pictures = re.findall(r"\((packaging/pictures/[a-z-]+\.png)\)", README)
    assert len(pictures) >= 3
    assert all((ROOT / picture).is_file() for picture in pictures)


def test_family_ids_are_names_in_lower_case_with_hyphens():
    assert all(re.fullmatch(r"[a-z]+(-[a-z]+)*", name) for name in family_ids())


def test_the_readme_is_short():
    assert len(README.splitlines()) < LINES


@pytest.mark.parametrize("page", ["readme", *HELP])
def test_sentences_are_short(page):
    found = list(sentences(README if page == "readme" else HELP[page]))
    lengths = [length(each) for each in found]
    assert len(found) > 8
    assert [each for each in found if length(each) > LONGEST] == []
    assert sum(lengths) / len(lengths) < MEAN


def test_a_sentence_is_counted_by_its_words():
    page = "# Head\n\nOne two three four. Five `six seven` eight\nnine!\n\n- ten eleven twelve\n\n    code is not read\n"
    assert [length(each) for each in sentences(page)] == [4, 4, 3]


@pytest.mark.parametrize("text", [README, *HELP.values()])
def test_every_link_leads_to_a_page(text):
    links = re.findall(r"\]\(((?:resources/help/)?[a-z-]+\.md)\)", text)
    assert all((ROOT / link).is_file() or Path(link).stem in HELP for link in links)


def test_every_page_of_the_help_has_its_topic():
    assert {path.stem for path in (ROOT / "resources" / "help").glob("*.md")} == HELP.keys()
