"""The bound by sections is a bound: against the best there is, known by construction or tried out."""

from decimal import Decimal
from itertools import islice

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.counts import tries
from tests.strategies import nesting_jobs
from workbook.nesting.bounds import area_bound
from workbook.nesting.model import NestingJob, Part, Stock, bought_for
from workbook.nesting.search import plain_layouts
from workbook.nesting.section_bound import MEASURES, price_bound
from workbook.structs import replace


def rectangle(length, width):
    return np.array([(0, 0), (length, 0), (length, width), (0, width)], float)


def job_of(sizes, counts, bars, separation=0.0, margin=0.0):
    parts = tuple(Part(name=str(s), steel="s", outline=rectangle(*s), quantity=n) for s, n in zip(sizes, counts, strict=True))
    stock = tuple(Stock(name=str(b), width=b[0], length=b[1], price=Decimal(b[2]), count=None, source="buy") for b in bars)
    suits = frozenset((p, s) for p in range(len(parts)) for s in range(len(stock)))
    return NestingJob(parts=parts, stock=stock, suits=suits, separation=separation, bar_end=margin, bar_edge=margin)


@given(st.lists(st.integers(0, 1000).map(lambda n: n / 1000), min_size=1, max_size=8))
def test_measures_add_up_to_no_more_than_one_where_sections_do(sections):
    total = sum(sections)
    fitting = np.array(sections) if total <= 1 else np.array(sections) / total
    for measure in MEASURES:
        assert measure(fitting).sum() <= 1 + 1e-9


@pytest.mark.parametrize("separation", [0.0, 2.0])
def test_rectangles_higher_than_half_the_bar_lie_in_one_lane(separation):
    """Of 100 x 30 on bars of 55 x 320 three go on a bar, whatever is done; by area seven would go on two."""
    job = job_of([(100.0, 30.0)], [7], [(55.0, 320.0, "10")], separation)
    assert price_bound(job, (6,))[0] == Decimal(20)
    assert price_bound(job, (7,)) == (Decimal(30), "sections")
    assert area_bound(job, [7]) == Decimal(20)


def test_a_cut_up_bar_is_known_to_need_that_bar():
    """Rectangles sawn out of one full bar of 100 x 1000: the best is that bar, and the bound does not exceed it."""
    sizes = [(400.0, 60.0), (400.0, 40.0), (600.0, 30.0), (350.0, 70.0), (250.0, 70.0)]
    job = job_of(sizes, [1] * 5, [(100.0, 1000.0, "50"), (100.0, 500.0, "26")])
    assert price_bound(job, (1,) * 5)[0] == Decimal(50)


def with_rack(bought, rack):
    """Three plates of 100 x 30; one bar for sale takes two of them and one on the rack takes three, or two bought take all."""
    sale, own = (
        Stock(name=source, width=55.0, length=length, price=Decimal(price), count=count, source=source)
        for source, length, price, count in (("buy", 220.0, bought, None), ("rack", 320.0, rack, 1))
    )
    part = Part(name="plate", steel="s", outline=rectangle(100.0, 30.0), quantity=3)
    return NestingJob(
        parts=(part,), stock=(sale, own), suits=frozenset({(0, 0), (0, 1)}), separation=0.0, bar_end=0.0, bar_edge=0.0
    )


def test_the_bound_of_layouts_that_buy_no_more_counts_the_rack_that_they_need():
    """Two bars bought for 8 would do. A layout that buys none needs the one on the rack, worth 30; one that buys a bar too."""
    job = with_rack("4", "30")
    assert price_bound(job, (3,))[0] == Decimal(8)
    assert price_bound(job, (3,), Decimal(8))[0] == Decimal(8)
    assert price_bound(job, (3,), Decimal(4))[0] == Decimal(30)
    assert price_bound(job, (3,), Decimal(0))[0] == Decimal(30)


def test_what_one_group_must_buy_the_others_may_not():
    """Beside it blanks of another steel that only a bought bar of 10 takes: of 14 spent on bars, 4 are left for the first."""
    first = with_rack("4", "30")
    other = Part(name="other", steel="t", outline=rectangle(100.0, 30.0), quantity=1)
    sale = Stock(name="t", width=55.0, length=220.0, price=Decimal(10), count=None, source="buy")
    job = replace(first, parts=(*first.parts, other), stock=(*first.stock, sale), suits=frozenset({(0, 0), (0, 1), (1, 2)}))
    assert price_bound(job, (3, 1))[0] == Decimal(18)
    assert price_bound(job, (3, 1), Decimal(18))[0] == Decimal(18)
    assert price_bound(job, (3, 1), Decimal(17))[0] == Decimal(40)


def test_a_bound_is_a_price_that_bars_can_add_up_to():
    """Bars of 6 and 9: by fractions 7 plates need more than 12, so they cost 15 at least."""
    job = job_of([(100.0, 30.0)], [4], [(55.0, 220.0, "6.00"), (55.0, 320.0, "9.00")])
    assert price_bound(job, (4,))[0] == Decimal(12)
    assert price_bound(job, (5,))[0] == Decimal(15)


def test_a_bar_that_goes_on_beyond_its_full_width_counts_as_a_whole():
    """Three plates lie on an L-shaped bar, the third in its leg: the bound may not ask for another bar."""
    bar = Stock(name="L", width=55.0, length=220.0, price=Decimal(5), count=1, source="rack", beyond=100.0, tongue=30.0)
    part = Part(name="plate", steel="s", outline=rectangle(100.0, 30.0), quantity=3)
    fresh = replace(bar, name="fresh", beyond=0.0, tongue=0.0, price=Decimal(9), source="buy", count=None)
    job = NestingJob(
        parts=(part,), stock=(bar, fresh), suits=frozenset({(0, 0), (0, 1)}), separation=0.0, bar_end=0.0, bar_edge=0.0
    )
    assert price_bound(job, (3,))[0] == Decimal(5)


@settings(max_examples=tries(20, 160))
@given(nesting_jobs())
def test_no_layout_costs_less(job):
    for progress in islice(plain_layouts(job, 0), 3):
        placed = [0] * len(job.parts)
        for use in progress.best.bars:
            for piece in use.pieces:
                placed[piece.part] += 1
        paid = sum((job.stock[use.stock].price for use in progress.best.bars), Decimal(0))
        assert price_bound(job, tuple(placed))[0] <= paid
        assert price_bound(job, tuple(placed), bought_for(job, progress.best))[0] <= paid
