"""A reader that hangs, grows, dies or fails harms nothing: the maker is told."""

import multiprocessing
import os
import time

import pytest

from workbook.problems import JobError, Mistake
from workbook.tasks import guarded as guarding
from workbook.tasks.guarded import guarded, tried

WITHOUT_LIMIT = pytest.mark.skipif(os.name == "nt", reason="Windows has no such limit")


@pytest.fixture(autouse=True)
def _readers_as_the_program_starts_them(monkeypatch):
    """Not copied, as elsewhere in the suite: their limit of memory counts what they bring."""
    monkeypatch.setattr(guarding, "_context", lambda: multiprocessing.get_context("spawn"))


def squared(number):
    return number * number


def hangs():
    time.sleep(60)


def grows():
    return [bytes(10_000_000) for _ in range(100_000)]  # addresses alone: nothing is written there


def dies():
    os._exit(3)


def fails():
    raise ValueError("of a library's own")


def refuses():
    raise JobError([Mistake(place="DXF", what="has no outline.")])


def test_what_is_read_comes_back():
    assert guarded(squared, 12) == 144


@pytest.mark.parametrize(
    ("reader", "said"),
    [
        (dies, "more than this program can read"),
        (fails, "cannot be read: ValueError"),
        (refuses, "DXF: has no outline."),
        pytest.param(
            grows,
            "more than this program can read",
            marks=pytest.mark.skipif(os.name == "nt", reason="Windows has no such limit"),
        ),
    ],
)
def test_a_reader_that_fails_is_told_in_words(reader, said):
    with pytest.raises(JobError, match=said):
        guarded(reader)


def test_a_reader_that_hangs_is_killed(monkeypatch):
    monkeypatch.setattr(guarding, "SECONDS", 1.5)
    began = time.monotonic()
    with pytest.raises(JobError, match="takes more than 2 s to read"):
        guarded(hangs)
    assert time.monotonic() - began < 10


def of_file(path):
    """What a file's text names is what happens."""
    {"fails": fails, "refuses": refuses, "grows": grows, "dies": dies, "hangs": hangs}[path.read_text()]()


@pytest.mark.parametrize("merely_wrong", ["fails", "refuses"])
def test_a_file_that_is_merely_wrong_passes_the_trial(tmp_path, merely_wrong):
    (tmp_path / "file").write_text(merely_wrong)
    assert tried(of_file, tmp_path / "file") is None


def test_a_file_that_kills_its_reader_does_not(tmp_path):
    (tmp_path / "file").write_text("dies")
    with pytest.raises(JobError, match="more than this program can read"):
        tried(of_file, tmp_path / "file")


@WITHOUT_LIMIT
def test_nor_does_one_that_fills_the_memory(tmp_path):
    (tmp_path / "file").write_text("grows")
    with pytest.raises(JobError, match="more than this program can read"):
        tried(of_file, tmp_path / "file")


def by_name(name):
    """What a name says is what happens; a number is squared."""
    return squared(name) if isinstance(name, int) else {"fails": fails, "refuses": refuses, "dies": dies, "hangs": hangs}[name]()


def test_several_are_read_side_by_side_and_one_that_harms_its_reader_harms_no_other(monkeypatch):
    monkeypatch.setattr(guarding, "SECONDS", 4.0)
    given = [3, "dies", 4, "refuses", "dies", 5, "hangs", "fails", 6, 7]
    found = guarding.guarded_all(by_name, [(each,) for each in given])
    assert [each for each in found if not isinstance(each, JobError)] == [9, 16, 25, 36, 49]
    said = {what: str(each.lines()) for what, each in zip(given, found, strict=True) if isinstance(each, JobError)}
    assert "more than this program can read" in said["dies"]
    assert "has no outline" in said["refuses"]
    assert "takes more than 4 s" in said["hangs"]
    assert "ValueError" in said["fails"]


def test_nothing_to_read_is_nothing_read():
    assert guarding.guarded_all(squared, []) == []
