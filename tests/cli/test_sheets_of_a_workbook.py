"""Sheets of a workbook by command: the traveller of the batch that is asked for, and what cannot be had is said."""

import pypdfium2
import pytest

from workbook.cli.main import main
from workbook.document.making import batches, blades_of, name_of_batch
from workbook.tasks.demo import demo_document, write_demo

DOCUMENT = demo_document()


@pytest.fixture(scope="module")
def job(tmp_path_factory):
    return write_demo(tmp_path_factory.mktemp("demo") / "demo")


def words_of(file):
    return " ".join(page.get_textpage().get_text_bounded() for page in pypdfium2.PdfDocument(file.read_bytes()))


@pytest.mark.parametrize("asked", [(), *(("--batch", str(batch.number)) for batch in batches(DOCUMENT))])
def test_the_traveller_of_the_batch_that_is_asked_for_is_written_with_its_blades(job, tmp_path, asked):
    batch = next((each for each in batches(DOCUMENT) if asked[1:] == (str(each.number),)), batches(DOCUMENT)[0])
    code = main(["sheets", str(job.with_suffix(".shopbook")), "--out", str(tmp_path / "out"), "--what", "traveller", *asked])
    assert code == 0
    (file,) = (tmp_path / "out").glob("*.pdf")
    words = words_of(file)
    assert name_of_batch(batch) in words
    assert blades_of(DOCUMENT, batch.id)
    assert {piece.serial for piece in blades_of(DOCUMENT, batch.id)} <= set(words.split())


def test_the_heat_treatment_sheet_of_a_batch_holds_its_load(job, tmp_path):
    code = main(["sheets", str(job.with_suffix(".shopbook")), "--out", str(tmp_path / "out"), "--what", "heat", "--batch", "1"])
    assert code == 0
    words = words_of(tmp_path / "out" / "heat-autumn-run.pdf")
    assert {"26-01", "1525", "60.5"} <= set(words.split())


def test_labels_tags_and_scales_of_a_batch_hold_its_serials(job, tmp_path):
    what = ("--what", "scales,blade-labels,tags", "--batch", "1")
    assert main(["sheets", str(job.with_suffix(".shopbook")), "--out", str(tmp_path / "out"), *what]) == 0
    names = ("scales-autumn-run.pdf", "labels-autumn-run.pdf", "tags-autumn-run.pdf")
    assert sorted(file.name for file in (tmp_path / "out").glob("*.pdf")) == sorted(names)
    good = {"26-01", "26-02", "26-03", "26-05"}  # one cracked in the heat
    for name in names:
        words = set(words_of(tmp_path / "out" / name).replace(":", " ").split())
        assert good <= words
        assert "26-04" not in words


def test_cutting_files_of_a_workbooks_templates_are_those_of_its_job(job, tmp_path):
    for name, file in (("book", job.with_suffix(".shopbook")), ("job", job)):
        assert main(["sheets", str(file), "--out", str(tmp_path / name), "--what", "cutting,svg"]) == 0
    book, of_job = (
        {file.name: file.read_bytes() for file in (tmp_path / name).rglob("*.svg")} for name in ("book", "job")
    )  # a DXF holds the moment it was written
    assert book == of_job != {}


@pytest.mark.parametrize(
    ("suffix", "arguments", "said"),
    [
        (".toml", ("--what", "traveller"), "traveller belongs to a shop book. Name a .shopbook file in place of the job."),
        (".toml", ("--what", "cards", "--batch", "1"), "--batch belongs to a shop book."),
        (".shopbook", ("--what", "traveller", "--batch", "77"), "--batch: there is no batch 77. The batches are 1, 2"),
    ],
)
def test_what_cannot_be_had_is_said_and_nothing_is_written(job, tmp_path, capsys, suffix, arguments, said):
    assert main(["sheets", str(job.with_suffix(suffix)), "--out", str(tmp_path / "out"), *arguments]) == 1
    assert said in capsys.readouterr().err.replace("\n", " ")
    assert not (tmp_path / "out").exists()


def test_a_number_that_is_none_is_refused_as_usage(job, tmp_path, capsys):
    with pytest.raises(SystemExit) as left:
        main(["sheets", str(job), "--out", str(tmp_path), "--what", "traveller", "--batch", "two"])
    assert left.value.code == 2
    assert "--batch: type a whole number" in capsys.readouterr().err
