"""The search: every layout it yields verifies, and the same seed gives the same one."""

from decimal import Decimal
from itertools import islice, pairwise

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx

from tests.counts import tries
from tests.strategies import nesting_jobs
from workbook.model.laying import start
from workbook.nesting.bounds import area_bound
from workbook.nesting.fits import unfit
from workbook.nesting.model import NestingJob, Part, Stock, used_length
from workbook.nesting.search import layouts, plain_layouts
from workbook.nesting.verify import faults
from workbook.structs import replace

BLANK = np.array([(0.0, 0.0), (30.0, 0.0), (30.0, 10.0), (0.0, 10.0)])


def job_of(quantity, *stock, **rules):
    """Blanks of 30 x 10 mm, 1 mm apart and 1 mm from every edge."""
    part = Part(name="blank", steel="s", outline=BLANK, quantity=quantity)
    rules = {"separation": 1.0, "bar_end": 1.0, "bar_edge": 1.0, **rules}
    return NestingJob(parts=(part,), stock=stock, suits=frozenset((0, s) for s in range(len(stock))), **rules)


def bar(length, price="5.00", count=None, source="buy", width=12.0, name="bar"):
    return Stock(name=name, width=width, length=length, price=Decimal(price), count=count, source=source)


def price(job, layout):
    return sum((job.stock[use.stock].price for use in layout.bars), Decimal(0))


def after(job, steps, seed=0):
    *_, last = islice(layouts(job, seed), steps)
    return last.best


@given(nesting_jobs(), st.integers(0, 2**32))
@settings(max_examples=tries(30, 240))
def test_every_layout_of_the_first_steps_verifies(job, seed):
    for progress in islice(layouts(job, seed), 4):
        assert faults(job, progress.best) == []


@given(nesting_jobs(), st.integers(0, 2**32))
@settings(max_examples=10)
def test_the_same_seed_and_steps_give_the_same_layout(job, seed):
    assert after(job, 4, seed) == after(job, 4, seed)


@given(nesting_jobs())
@settings(max_examples=tries(7, 60))
def test_a_layout_is_never_worse_than_the_one_before(job):
    def worth(layout):
        bought = sum((job.stock[u.stock].price for u in layout.bars if job.stock[u.stock].source == "buy"), Decimal(0))
        return sum(n for _, n in layout.left_over) > 0, bought

    found = [worth(progress.best) for progress in islice(layouts(job, 0), 6)]
    whole = [bought for left, bought in found if not left]
    assert whole == sorted(whole, reverse=True)
    assert [left for left, _ in found] == sorted((left for left, _ in found), reverse=True)


@given(nesting_jobs())
@settings(max_examples=tries(15, 120))
def test_no_layout_costs_less_than_the_area_bound(job):
    layout = after(job, 4)
    placed = [sum(piece.part == p for use in layout.bars for piece in use.pieces) for p in range(len(job.parts))]
    assert area_bound(job, placed) <= price(job, layout)


def test_a_bar_takes_as_many_blanks_as_its_length_holds():
    """5 blanks of 30 mm want 5 x 30 + 4 gaps + 2 ends = 156 mm; they begin on whole millimetres, which may cost one each."""
    assert [len(use.pieces) for use in after(job_of(5, bar(161.0)), 1).bars] == [5]
    assert [len(use.pieces) for use in after(job_of(5, bar(155.9)), 1).bars] == [4, 1]


def test_a_bar_a_hair_too_short_for_one_blank_is_not_used():
    assert unfit(job_of(1, bar(31.9))) == [0]
    assert unfit(job_of(1, bar(32.1))) == []
    assert unfit(job_of(1, bar(100.0, width=11.9))) == [0]


def test_a_bar_of_exactly_the_blank_and_its_margins_takes_it():
    job = job_of(1, bar(32.0))
    assert faults(job, after(job, 1)) == []
    assert after(job, 1).left_over == ()


def test_margins_finer_than_the_written_decimals_are_kept():
    job = job_of(3, bar(100.0), bar_end=1.190625, bar_edge=0.396875)
    layout = after(job, 3)
    assert layout.left_over == ()
    assert faults(job, layout) == []


def test_blanks_with_corners_that_hardly_turn_are_kept_apart():
    roof = np.array([(0.0, 0.0), (50.0, -3.6), (100.0, 0.0), (100.0, 20.0), (50.0, 23.6), (0.0, 20.0)])
    tight = 3 * 27.2 + 2 * 8.0 + 2 * 1.0 + 0.02
    part = Part(name="roof", steel="s", outline=roof, quantity=3)
    job = replace(job_of(3, bar(104.0, width=tight)), parts=(part,), separation=8.0)
    layout = after(job, 2)
    assert faults(job, layout) == []
    assert [len(use.pieces) for use in layout.bars] == [3]


def test_what_finds_no_room_is_left_over():
    layout = after(job_of(5, bar(70.0, count=2)), 3)
    assert layout.left_over == ((0, 1),)


def test_rack_bars_are_used_before_any_is_bought():
    rack, shop = bar(70.0, "9.00", 1, "rack", name="rack"), bar(70.0, "5.00", None, "buy", name="shop")
    job = job_of(2, shop, rack)
    assert [job.stock[use.stock].name for use in after(job, 8).bars] == ["rack"]


def test_the_cheaper_of_two_bars_that_do_is_bought():
    job = job_of(2, bar(70.0, "9.00", name="dear"), bar(70.0, "5.00", name="cheap"))
    assert [job.stock[use.stock].name for use in after(job, 8).bars] == ["cheap"]


def test_a_blank_no_bar_suits_is_left_over_and_the_rest_laid_out():
    job = job_of(1, bar(70.0))
    other = replace(job.parts[0], name="other steel", quantity=2)
    layout = after(replace(job, parts=(*job.parts, other)), 3)
    assert layout.left_over == ((1, 2),)
    assert [len(use.pieces) for use in layout.bars] == [1]


def test_used_length_ends_with_the_clean_up_and_the_kerf():
    job = job_of(1, bar(70.0), lost_at_end=2.5)
    (use,) = after(job, 1).bars
    assert used_length(job, use) == approx(1.0 + 30.0 + 2.5, abs=0.01)
    short = job_of(1, bar(32.0), lost_at_end=2.5)
    assert used_length(short, after(short, 1).bars[0]) == 32.0


def test_steps_count_up_and_say_when_they_improved():
    found = list(islice(layouts(job_of(4, bar(70.0)), 3), 5))
    assert [progress.step for progress in found] == [1, 2, 3, 4, 5]
    for before, now in pairwise(found):
        assert now.improved or now.best == before.best


def test_the_demo_lays_out_in_its_first_step_and_verifies(demo):
    job = start(demo)
    layout = after(job, 1)
    assert faults(job, layout) == []
    assert sum(len(use.pieces) for use in layout.bars) == 14


def lying(rolling, width=60.0):
    """Angles in which blanks lie that may lie so to the bar, by either search."""
    part = Part(name="blank", steel="s", outline=BLANK, quantity=4, directions=rolling)
    made = replace(job_of(4, bar(200.0, width=width)), parts=(part,))
    found = [after(made, 6), list(islice(plain_layouts(made, 0), 3))[-1].best]
    assert not any(faults(made, layout) or layout.left_over for layout in found)
    return {abs(round(np.sin(piece.angle))) for layout in found for use in layout.bars for piece in use.pieces}


def test_blanks_lie_in_the_directions_they_may_have_to_the_rolling():
    assert lying((0.0,)) == {0}
    assert lying((np.pi / 2,)) == {1}
    assert lying((0.0, np.pi / 2), width=12.0) == {0}  # across there is no room


def test_a_blank_too_long_for_the_width_cannot_lie_across():
    across = Part(name="blank", steel="s", outline=BLANK, quantity=1, directions=(np.pi / 2,))
    assert unfit(replace(job_of(1, bar(200.0, width=31.9)), parts=(across,))) == [0]
    assert unfit(replace(job_of(1, bar(200.0, width=32.0)), parts=(across,))) == []


def test_offcuts_are_used_by_price_or_first_as_the_maker_chooses():
    """A dear offcut and a cheap whole bar, both on the rack."""
    rack = (bar(100.0, "9.00", 1, "offcut", name="offcut"), bar(200.0, "2.00", 1, "rack", name="bar"))
    for first, used in ((False, "bar"), (True, "offcut")):
        wanted = replace(job_of(2, *rack), offcuts_first=first)
        for found in (after(wanted, 30), list(islice(plain_layouts(wanted, 0), 30))[-1].best):
            assert [wanted.stock[use.stock].name for use in found.bars] == [used]
