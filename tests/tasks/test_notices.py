"""Licences: every package that the program is installed with is told, with its text."""

import re
from importlib.metadata import Distribution, PackageNotFoundError, distribution
from pathlib import Path

import pytest

from workbook.tasks import notices
from workbook.tasks.notices import Notice

LOCK = Path(__file__).parents[2] / "packaging" / "lock" / "runtime.txt"


def key(name: str) -> str:
    return re.sub(r"[-_.]+", "-", name).lower()


@pytest.fixture(scope="module")
def found() -> dict[str, Notice]:
    return {notice.name: notice for notice in notices.notices()}


def installed(name: str) -> bool:
    try:
        distribution(name)
    except PackageNotFoundError:
        return False
    return True


def test_every_package_of_the_lock_is_told_and_nothing_else(found):
    locked = {key(line.split("==")[0]) for line in LOCK.read_text().splitlines() if re.match(r"[\w.-]+==", line)}
    assert len(locked) > 15
    assert set(found) == {"makers-workbook", *filter(installed, locked)}


def test_every_part_has_its_licence_and_its_text(found):
    lacking = [notice.name for notice in found.values() if not notice.licence or len(notice.text) < 500]
    assert not lacking


def test_the_program_s_own_licence_comes_first():
    own = notices.notices()[0]
    assert (own.name, own.licence) == ("makers-workbook", "MIT")
    assert own.text.startswith("MIT License")


@pytest.mark.parametrize("name", ["pyside6-essentials", "shiboken6", "shapely"])
def test_libraries_that_may_be_replaced_are_said_to_be(found, name):
    words, text = found[name].text.split("\n", 1)
    assert "replace" in words
    assert "GNU LESSER GENERAL PUBLIC LICENSE" in text


def test_texts_of_qt_are_both_that_its_licence_is_made_of(found):
    assert "GNU GENERAL PUBLIC LICENSE\n                       Version 3" in found["pyside6-essentials"].text


def test_a_package_without_a_text_is_found_out(tmp_path):
    folder = tmp_path / "bare-1.0.dist-info"
    folder.mkdir()
    (folder / "METADATA").write_text("Metadata-Version: 2.1\nName: bare\nVersion: 1.0\nClassifier: License :: Public Domain\n")
    (folder / "RECORD").write_text("bare-1.0.dist-info/METADATA,,\n")
    assert notices.notice_of(Distribution.at(folder)) == Notice("bare", "1.0", "Public Domain", "")


def test_names_of_authors_are_read_in_either_writing(tmp_path):
    for coding in ("utf-8", "latin-1"):
        (tmp_path / coding).write_bytes("© Ångström".encode(coding))
        assert notices.text_of(tmp_path / coding) == "© Ångström"


def test_what_only_the_packed_program_brings_is_read_from_its_files(tmp_path):
    (tmp_path / "python.txt").write_text("python\t3.11.2\tPSF-2.0\nA. HISTORY\n\n", encoding="utf-8")
    assert list(notices.packed_in(tmp_path)) == [Notice("python", "3.11.2", "PSF-2.0", "A. HISTORY")]
