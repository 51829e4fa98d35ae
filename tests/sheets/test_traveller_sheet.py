"""The traveller on paper: every blade and stage once, rows high and serials large enough, nothing over anything."""

import pytest

from tests.sheets.test_bench_card import boxes
from tests.sheets.test_packing import texts
from workbook.document.queries import job_of
from workbook.formats.font import measure
from workbook.geometry.drawing import Curve
from workbook.geometry.path import flatten
from workbook.problems import JobError
from workbook.sheets.paper import PAPERS, PrintRun
from workbook.sheets.traveller_sheet import ROW, SERIAL, TravellerColumn, TravellerRow, TravellerSheet, traveller_drafts
from workbook.tasks.demo import demo_document
from workbook.tasks.exports import Wanted, exported, proposed
from workbook.tasks.exports.making import traveller_of
from workbook.tasks.load import shaped
from workbook.tasks.sheets import run_of

NAMES = ("Lay out and scribe", "Saw and profile", "Grind before hardening", "Straighten and correct", "Mark, pack and send")


def sheet(blades, stages=14):
    columns = tuple(
        TravellerColumn(
            name=f"{NAMES[n % 5]} {n}", planned=f"{10 * n}", hold=n % 4 == 3,
            asks=("heel", "middle", "point") if n % 3 == 2 else (),
            caution=f"Caution of stage {n}, in a few words.",
        )
        for n in range(stages)
    )  # fmt: skip
    rows = tuple(
        TravellerRow(
            serial=f"T{n}", words="Drop-point hunter, The Slipway galley", scales=f"M-{n}",
            cells=tuple(("11-26", "", None)[(n + k) % 3] for k in range(stages)),
        )
        for n in range(blades)
    )  # fmt: skip
    return TravellerSheet(name="Batch 7", under="begun 2026-11-09", rows=rows, columns=columns)


def run_on(paper):
    return PrintRun(paper=PAPERS[paper], unit="mm", measure=measure, job="job")


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("blades", [1, 5, 12, 40])
def test_every_blade_has_a_row_for_every_stage_and_words_are_large_enough(paper, blades):
    made = sheet(blades)
    pages = list(traveller_drafts(run_on(paper), made))
    words = [mark for page in pages for mark in texts([page])]
    assert min(mark.size for mark in words) >= 9
    serials = [mark.text for mark in words if mark.bold and mark.size == SERIAL and mark.text.startswith("T")]
    tables = len(serials) / blades
    assert tables == int(tables)
    assert {text: serials.count(text) for text in set(serials)} == {row.serial: tables for row in made.rows}
    heads = " ".join(mark.text for mark in words if mark.bold and mark.size == 9)
    for column in made.columns:
        assert column.name.split()[-1] in heads.split()
    assert sum(mark.text == "11-26" for mark in words) == sum(row.cells.count("11-26") for row in made.rows)
    assert sum(mark.text == "–" for mark in words) == sum(row.cells.count(None) for row in made.rows)
    cautions = " ".join(mark.text for mark in words)
    assert all(cautions.count(column.caution) >= 1 for column in made.columns)
    assert ROW >= 9


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("blades", [5, 12])
def test_nothing_is_written_over_anything_or_beyond_the_page(paper, blades):
    run = run_on(paper)
    for page in traveller_drafts(run, sheet(blades)):
        placed = list(boxes(page.marks))
        assert all(box[0] >= run.margin - 0.1 and box[2] <= page.width - run.margin + 0.1 for box in placed)
        for n, (*a, words) in enumerate(placed):
            for *b, other in placed[n + 1 :]:
                assert not overlap(a, b), (words, other)
        lines = [flatten(mark.path) for mark in page.marks if isinstance(mark, Curve)]
        assert all((line >= run.margin - 0.5).all() for line in lines)
        assert all(line[:, 0].max() <= page.width - run.margin + 0.5 for line in lines)


def overlap(a, b):
    (ax0, ay0, ax1, ay1), (bx0, by0, bx1, by1) = a, b
    return min(ax1, bx1) - max(ax0, bx0) > 0.3 and min(ay1, by1) - max(ay0, by0) > 0.6


def wanted(demo, batch):
    return Wanted(model=demo, run=run_of(demo.job, "letter", ""), keys=(), document=demo_document(), batch=batch)


def test_the_demos_batch_is_as_on_the_page(demo):
    made = traveller_of(wanted(demo_model(), "autumn"))
    assert [row.serial for row in made.rows] == ["26-01", "26-02", "26-03", "26-04", "26-05"]
    fourth = made.rows[3]
    assert fourth.cells[4:7] == ("Oct 12", "cracked at t…", None)
    assert made.columns[3].hold
    assert made.columns[3].asks == ("heel", "middle", "point")


def demo_model():
    return shaped(job_of(demo_document()))


def test_a_batch_that_is_not_there_is_said(demo):
    for document in (None, type(demo_document())({})):
        asked = Wanted(model=demo, run=run_of(demo.job, "letter", ""), keys=(), document=document)
        with pytest.raises(JobError, match="there is no batch"):
            exported(asked, ["traveller"])


def test_its_file_is_named_after_the_batch(demo):
    asked = wanted(demo_model(), "winter")
    assert proposed(asked, "traveller") == next(iter(exported(asked, ["traveller"]))) == "traveller-batch-2.pdf"
