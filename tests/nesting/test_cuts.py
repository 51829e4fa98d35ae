"""In what order a bar comes apart."""

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings

from tests.counts import tries
from tests.strategies import nesting_jobs
from workbook.nesting.cuts import cut_plan
from workbook.nesting.model import BarUse, NestingJob, Part, Piece, Stock, written
from workbook.nesting.search import layouts

BLANK = np.array([(0.0, 0.0), (30.0, 0.0), (30.0, 10.0), (0.0, 10.0)])
JOB = NestingJob(
    parts=(Part(name="blank", steel="s", outline=BLANK, quantity=3),),
    stock=(Stock(name="bar", width=40.0, length=200.0, price=Decimal(5), count=1, source="rack"),),
    suits=frozenset({(0, 0)}),
    separation=2.0,
    bar_end=1.0,
    bar_edge=1.0,
)


def use(*places):
    return BarUse(0, tuple(Piece(0, x, y, 0.0, False) for x, y in places))


def test_a_cut_runs_half_a_separation_behind_each_blank():
    plan = cut_plan(JOB, use((1, 1), (34, 1), (70, 1)), None)
    assert plan.across == (65.0, 32.0)
    assert [group.pieces for group in plan.groups] == [(0,), (1,), (2,)]


def test_an_offcut_that_is_kept_is_cut_free_first():
    assert cut_plan(JOB, use((1, 1), (34, 1)), 66.0).across == (66.0, 32.0)


def test_blanks_that_overlap_along_the_bar_come_off_together():
    plan = cut_plan(JOB, use((1, 1), (20, 15), (60, 1)), None)
    assert [group.pieces for group in plan.groups] == [(0, 1), (2,)]
    assert plan.across == (51.0,)
    assert (plan.groups[0].start, plan.groups[0].end) == (1.0, 50.0)


def test_a_long_blank_over_several_short_ones_keeps_them_in_one_group():
    plan = cut_plan(JOB, use((1, 1), (10, 15), (29, 28)), None)
    assert [group.pieces for group in plan.groups] == [(0, 1, 2)]
    assert plan.across == ()


@given(nesting_jobs())
@settings(max_examples=tries(10, 80))
def test_no_straight_cut_crosses_a_blank_and_every_blank_is_in_one_group(job):
    for bar in next(layouts(job, 0)).best.bars:
        plan = cut_plan(job, bar, None)
        assert sorted(i for group in plan.groups for i in group.pieces) == list(range(len(bar.pieces)))
        assert list(plan.across) == sorted(plan.across, reverse=True)
        for piece in bar.pieces:
            x = written(job, piece)[:, 0]
            assert not any(x.min() < cut < x.max() for cut in plan.across)
        assert len(plan.across) == pytest.approx(len(plan.groups) - 1)
