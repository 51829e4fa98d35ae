"""The bars' PDF from a process of its own: the same bytes as when it is made here, and made here when that process dies."""

import pytest

from tests.written import bars_pdf
from workbook.cli import lay_out
from workbook.cli.lay_out import layout_files
from workbook.cli.main import main
from workbook.tasks.beside import PdfBeside
from workbook.tasks.exports import bars
from workbook.tasks.sheets import bar_plans, run_of, today

PDF = "bars.pdf"


@pytest.fixture
def beside(laid_demo):
    with PdfBeside(run_of(laid_demo.model.job, "a4", today(laid_demo.model.job.region))) as made:
        yield made


def test_the_pdf_is_the_one_that_is_made_here(laid_demo, beside):
    plans, files = layout_files(laid_demo, "a4", beside)
    assert [plan.number for plan in plans] == list(range(1, len(laid_demo.layout.bars) + 1))
    assert files[PDF] == bars_pdf(laid_demo, "a4", today(laid_demo.model.job.region))
    assert files == layout_files(laid_demo, "a4")[1]


def test_it_comes_from_the_other_process(laid_demo, beside, monkeypatch):
    monkeypatch.setattr(bars, "plans_pdf", lambda *_: b"made here")
    assert layout_files(laid_demo, "a4", beside)[1][PDF].startswith(b"%PDF")


@pytest.mark.parametrize("when", ["before", "between"])
def test_it_is_made_here_when_that_process_dies(laid_demo, beside, monkeypatch, when):
    monkeypatch.setattr(bars, "plans_pdf", lambda *_: b"made here")
    if when == "between":
        beside.add(bar_plans(laid_demo)[0])
    beside._process.kill()
    beside._process.join()
    assert layout_files(laid_demo, "a4", beside)[1][PDF] == b"made here"


def test_the_command_takes_it_for_many_blanks(demo_file, tmp_path, monkeypatch):
    """And what the command writes is the same with it and without."""
    made = {}
    for many in (1, 10_000):
        monkeypatch.setattr(lay_out, "_MANY", many)
        out = tmp_path / str(many)
        options = ["lay-out", str(demo_file), "--out", str(out), "--steps", "1", "--quiet"]
        assert main(options) == 0
        made[many] = {file.name: file.read_bytes() for file in out.iterdir()}
    assert made[1] == made[10_000]
