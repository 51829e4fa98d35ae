"""The README tells the truth about keys, commands and families."""

import re
import subprocess
import sys
from pathlib import Path

import pytest

from workbook.cli.main import main
from workbook.formats.family import family_ids
from workbook.formats.job import _BAR, _JOB, _MAKE, _MEASURED, _SAW, _SERVICE, _SETTINGS, _TOOLS
from workbook.formats.job_template import _FREE, _HOLE
from workbook.template.parameters import PARAMETERS

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")
TABLES = {"job": _JOB, "saw": _SAW, "settings": _SETTINGS, "tools": _TOOLS, "service": _SERVICE, "bar": _BAR, "make": _MAKE}


def test_the_table_of_keys_is_that_of_the_rows():
    table = subprocess.run([sys.executable, ROOT / "packaging" / "keys.py", "--check"], cwd=ROOT, check=False)
    assert table.returncode == 0, "Write it anew: .venv/bin/python packaging/keys.py"


def test_every_key_of_the_job_file_is_in_the_table():
    keys = [f"{table}.{key}" for table, keys in TABLES.items() for key in keys] + [f"template.{p.path}" for p in PARAMETERS]
    assert [key for key in keys if f"`{key}`" not in README and f"`{key}." not in README] == []


def test_the_table_names_no_key_that_nobody_reads():
    known = {f"{table}.{key}" for table, keys in TABLES.items() for key in keys} | {f"template.{p.path}" for p in PARAMETERS}
    own = ("name", "family", "rolling", "bar", "outline", "units")
    known |= {f"template.{key}" for key in (*own, *(f"hole.{k}" for k in _HOLE), *(f"free.{k}" for k in _FREE))}
    known = (known - {"bar.measured"}) | {f"bar.measured.{key}" for key in _MEASURED}
    named = set(
        re.findall(
            r"`((?:job|saw|settings|tools|service|template|bar|make)\.[a-z_.]+)`",
            README.split("## The job file")[1].split("###")[0],
        )
    )
    assert named == known


@pytest.mark.parametrize("command", ["lay-out", "templates", "estimate", "check", "fits", "grind", "demo", "contact-sheet"])
def test_every_command_is_in_the_readme_and_has_help(command, capsys):
    assert f"`{command}" in README
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
