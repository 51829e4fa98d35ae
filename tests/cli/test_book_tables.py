"""A workbook's records as tables: all of them, read back by the standard library, and nothing that a spreadsheet would run."""

import csv
import io
import json

import pytest

from workbook.cli.main import main
from workbook.document.codec import decoded
from workbook.document.document import Document
from workbook.document.records import KINDS, kind_of
from workbook.storage.migrations import VERSION
from workbook.structs import replace
from workbook.tasks.demo import demo_document, write_demo
from workbook.tasks.exports.book_tables import book_tables


def rows_of(content):
    return list(csv.DictReader(io.StringIO(content.decode(), newline="")))


def test_every_record_of_the_demo_is_in_the_tables_and_in_the_json():
    document = demo_document()
    files = book_tables(document)
    told = json.loads(files["book.json"])
    assert told["version"] == VERSION
    for kind, record in KINDS.items():
        records = list(document.all(record))
        assert len(told["records"].get(kind, [])) == len(records)
        name = f"{kind.replace(' ', '-')}.csv"
        assert (name in files) is bool(records)
        if records:
            assert [row["id"] for row in rows_of(files[name])] == [each.id for each in records]
    back = [decoded(KINDS[kind], value) for kind, values in told["records"].items() for value in values]
    assert {record.id: record for record in back} == document.records


def test_a_cell_holds_what_the_record_does():
    rows = {row["id"]: row for row in rows_of(book_tables(demo_document())["entry.csv"])}
    assert rows["entry1"]["entry.minutes"] == "32.0"
    assert json.loads(rows["entry1"]["entry.pieces"]) == ["a1", "a2", "a3", "a4", "a5"]
    (material,) = [r for r in rows_of(book_tables(demo_document())["material.csv"]) if r["id"] == "leather"]
    assert (material["material.name"], material["material.kind"]) == ("vegetable-tanned leather, 8 oz", "sheath")


def test_what_a_spreadsheet_would_run_is_text():
    document = demo_document()
    customer = next(record for record in document.records.values() if kind_of(record) == "customer")
    evil = Document({**document.records, customer.id: replace(customer, name='=HYPERLINK("x")')})
    row = next(row for row in rows_of(book_tables(evil)["customer.csv"]) if row["id"] == customer.id)
    assert row["name"].startswith("'=")


def test_the_command_writes_them(tmp_path, capsys):
    job = write_demo(tmp_path / "demo")
    assert main(["book", str(job.with_suffix(".shopbook")), "--tables", str(tmp_path / "out")]) == 0
    assert json.loads((tmp_path / "out" / "book.json").read_bytes())["records"]["piece"]
    assert "entry.csv" in capsys.readouterr().out


@pytest.mark.parametrize("content", [b"", b"no workbook", None])
def test_what_is_no_workbook_is_said_and_nothing_is_written(tmp_path, capsys, content):
    file = tmp_path / "mine.shopbook"
    if content is not None:
        file.write_bytes(content)
    assert main(["book", str(file), "--tables", str(tmp_path / "out")]) == 1
    assert "mine.shopbook" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()
