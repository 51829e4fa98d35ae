"""Speed of keeping work, as ratios: an edit beside a bare write and sync of the same size, opening ten thousand records."""

import os

import pytest

from tests.storage.conftest import line, setting
from workbook.document.document import Document
from workbook.storage.body import BookBody
from workbook.storage.file import written
from workbook.storage.opening import begin, open_path

MANY = 10_000


def test_an_edit(benchmark, tmp_path):
    session = begin(tmp_path / "sessions")
    numbers = iter(range(1, 10**9))
    benchmark.extra_info["beside"] = "test_a_bare_write_and_sync"
    benchmark(lambda: session.edit(setting(session.document, 1, next(numbers)), "2026-01-02T03:04:05"))


def test_a_bare_write_and_sync(benchmark, tmp_path):
    """What a journal of this size costs at least: one append and one fdatasync."""
    handle = os.open(tmp_path / "bare", os.O_WRONLY | os.O_CREAT | os.O_APPEND)
    row = b"x" * 4096

    def once():
        os.write(handle, row)
        os.fdatasync(handle)

    benchmark(once)
    os.close(handle)


@pytest.fixture(scope="module")
def large(tmp_path_factory):
    """A workbook of ten thousand order lines."""
    file = tmp_path_factory.mktemp("large") / "large.shopbook"
    file.write_bytes(written(BookBody(Document({f"line{n}": line(n, n % 90 + 1) for n in range(MANY)}))))
    return file


def test_opening_ten_thousand_records(benchmark, large, tmp_path):
    folders = iter(tmp_path / str(n) for n in range(10**6))
    benchmark.pedantic(lambda: open_path(next(folders), large), rounds=5)


def test_publishing_ten_thousand_records(benchmark, large, tmp_path):
    session = open_path(tmp_path / "sessions", large)
    session.save_as(tmp_path / "copy.shopbook")
    numbers = iter(range(1, 10**9))

    def once():
        session.edit(setting(session.document, 1, next(numbers)), "2026-11-27T10:00")
        session.publish()

    benchmark.pedantic(once, rounds=5)
