"""A report to send: what is in it, and that nothing of the shop is but its counts."""

import io
import zipfile
from pathlib import Path

import pytest

from workbook.paths import data_folder, keep_data
from workbook.system.owners import own_folder
from workbook.tasks.demo import demo_document, demo_workbook
from workbook.tasks.report_pack import ReportFile, packed, parts


@pytest.fixture
def place(monkeypatch, tmp_path):
    monkeypatch.setenv("MAKERS_WORKBOOK_DATA", str(tmp_path / "data"))
    return tmp_path


def test_the_program_and_counts_of_records_are_told_and_nothing_of_what_they_say(place):
    (part,) = parts(demo_document(), ["Qt 6, offscreen"], None)
    assert (part.name, part.usual) == ("program.txt", True)
    assert "Qt 6, offscreen" in part.text
    assert "OrderRecord: 3" in part.text.splitlines()
    assert not any(words in part.text for words in ("galley", "Moreno", "harvest", "265"))


def test_the_five_newest_reports_go_along_the_newest_first_without_the_users_name(place):
    own_folder(data_folder() / "reports")
    for day in range(1, 8):
        keep_data(f"reports/2026-11-0{day}.txt", f"File {Path.home()}/shop.shopbook, day {day}".encode())
    keep_data("window.json", b'{"width":1440}')
    found = parts(demo_document(), [], None)
    assert [part.name for part in found] == [
        "program.txt", "window.json", *(f"reports/2026-11-0{day}.txt" for day in (7, 6, 5, 4, 3))
    ]  # fmt: skip
    assert found[2].text == "File ~/shop.shopbook, day 7"


def test_the_shop_book_is_offered_but_not_packed_by_itself(place):
    book = place / "harbour.shopbook"
    book.write_bytes(demo_workbook())
    *_others, last = parts(demo_document(), [], book)
    assert (last.name, last.usual, last.content) == ("harbour.shopbook", False, book.read_bytes())
    assert "customers" in last.text
    assert [part.name for part in parts(demo_document(), [], place / "gone.shopbook")] == ["program.txt"]


def test_what_is_packed_can_be_read_by_any_zip_reader_and_is_the_same_each_time(place):
    chosen = [ReportFile("program.txt", b"one"), ReportFile("reports/a.txt", "zwölf".encode())]
    content = packed(chosen)
    with zipfile.ZipFile(io.BytesIO(content)) as archive:
        assert archive.testzip() is None
        assert {name: archive.read(name) for name in archive.namelist()} == {part.name: part.content for part in chosen}
    assert packed(chosen) == content
