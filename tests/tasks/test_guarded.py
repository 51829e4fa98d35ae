"""A reader that hangs, grows, dies or fails harms nothing: the maker is told."""

import os
import time

import pytest

from workbook.problems import JobError, Mistake
from workbook.tasks import guarded as guarding
from workbook.tasks.guarded import guarded

WITHOUT_LIMIT = pytest.mark.skipif(os.name == "nt", reason="Windows has no such limit")


def squared(number):
    return number * number


def hangs():
    time.sleep(60)


def grows():
    return [bytearray(10_000_000) for _ in range(100_000)]


def dies():
    os._exit(3)


def fails():
    raise ValueError("of a library's own")


def refuses():
    raise JobError([Mistake(place="DXF", what="holds no outline.")])


def test_what_is_read_comes_back():
    assert guarded(squared, 12) == 144


@pytest.mark.parametrize(
    ("reader", "said"),
    [
        (dies, "more than this program can read"),
        (fails, "cannot be read: ValueError"),
        (refuses, "DXF: holds no outline."),
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
