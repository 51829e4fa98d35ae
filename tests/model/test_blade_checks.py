"""What is said of readings, of bench numbers made up by hand."""

import pytest

from tests.sheets.test_bench_words import MADE
from workbook.document.making_records import BatchRecord
from workbook.document.shop_records import PieceRecord
from workbook.making.entry import MeasuredAt
from workbook.model.blade_checks import hand_of, is_hard, reading_checks
from workbook.shop.charges import STAGES
from workbook.shop.job import Measured
from workbook.shop.labour import StageAsks
from workbook.tasks.demo import demo_job


def said(what, value, where="point", *, hard=False, unit="mm"):
    """Of a blade whose edge is to be 0.5 mm before and 0.3 after, each face leaning one in twenty, 0.1 mm left on each face."""
    return list(reading_checks(MADE, MeasuredAt(what=what, where=where, value=value), hard=hard, unit=unit))


@pytest.mark.parametrize("value", [0.46, 0.5, 0.54])
def test_an_edge_within_a_twentieth_is_not_spoken_of(value):
    assert said("edge", value) == []


def test_a_thin_edge_before_hardening_can_be_taken_back():
    """0.1 mm too thin; two faces of one in twenty thicken by a tenth of what comes off the edge: 1 mm."""
    assert said("edge", 0.4) == [
        "0.10 mm thinner than the target 0.50 mm at the tip. Harden with care, or take 1.00 mm off the edge. "
        "A bevel cannot give steel back."
    ]
    (inches,) = said("edge", 0.5 - 0.1016, unit="in")
    assert inches.startswith("0.004 in thinner than")


def test_a_thick_edge_is_ground_on_and_a_thin_one_after_hardening_is_what_it_is():
    assert said("edge", 0.7, "heel") == ["0.20 mm thicker than the target 0.50 mm at the heel. Keep grinding."]
    (hard,) = said("edge", 0.2, hard=True)
    assert hard.startswith("0.10 mm thinner than the target 0.30 mm at the tip. It lasts fewer sharpenings")


def test_a_bow_that_grinding_cannot_take_out_is_never_straightened_cold():
    assert said("bow", 0.2, "") == []
    (words,) = said("bow", 0.25, "")
    assert words.startswith("Bow 0.25 mm: more than the 0.20 mm left to grind on both faces.")
    assert "never cold as quenched" in words


def test_what_comes_with_or_after_hardening_is_hard():
    batch = BatchRecord(id="b", place=0.0, number=1, stages=STAGES)
    hard = {stage.name: is_hard(batch, stage.name) for stage in STAGES}
    assert [name for name, yes in hard.items() if not yes] == [stage.name for stage in STAGES[:4]]
    assert not any(is_hard(BatchRecord(id="b", place=0.0, number=1, stages=STAGES[:4]), s.name) for s in STAGES[:4])
    assert [stage.asks for stage in STAGES].count(StageAsks.HARDNESS) == 1


def test_the_bar_is_that_of_the_blade_as_it_was_read():
    piece = PieceRecord(id="p", place=0.0, serial="T1", of="Petty", name="Petty", revision=1, steel="52100", bar="flat")
    model = demo_job()
    assert hand_of(model, piece).thickness == model.shapes["Petty"].thickness
    cut = PieceRecord(
        id="p", place=0.0, serial="T1", of="Petty", name="Petty", revision=1, steel="52100", bar="flat", thickness=2.4,
        measured=Measured(thickness=2.38, far=2.31),
    )  # fmt: skip
    assert (hand_of(model, cut).thickness, hand_of(model, cut).read) == (2.31, True)
