"""What no layout can beat, against every choice tried out."""

from decimal import Decimal
from itertools import product
from math import inf

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import nesting_jobs, numbers
from workbook.geometry.polygon import of_points
from workbook.nesting.bounds import Offer, area_bound, groups, grown_area, least_price
from workbook.nesting.model import NestingJob, Part, Stock

SQUARE = np.array([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)])
offers = st.lists(
    st.builds(Offer, st.integers(0, 40).map(float), st.integers(1, 30).map(float), st.sampled_from((None, 0, 1, 2))),
    min_size=1,
    max_size=4,
)


def tried_out(choice, area):
    """The least price of all ways to take whole bars."""
    most = [7 if o.count is None else o.count for o in choice]
    ways = product(*(range(n + 1) for n in most))
    enough = (n for n in ways if sum(k * o.room for k, o in zip(n, choice, strict=True)) >= area)
    return min((sum(k * o.price for k, o in zip(n, choice, strict=True)) for n in enough), default=inf)


@given(offers, numbers(0.5, 7.0))
def test_the_least_price_is_the_least_of_all_choices(choice, area):
    """With at most seven bars of room 1 or more, seven of each kind are enough to try."""
    assert least_price(choice, area) == pytest.approx(tried_out(choice, area))


def test_two_small_bars_may_be_cheaper_than_a_large_one():
    assert least_price([Offer(10.0, 100.0, None), Offer(4.0, 45.0, None)], 90.0) == 8.0
    assert least_price([Offer(10.0, 100.0, None), Offer(4.0, 45.0, None)], 91.0) == 10.0


def test_bars_that_are_too_few_have_no_price():
    assert least_price([Offer(1.0, 10.0, 3)], 30.5) == inf
    assert least_price([], 1.0) == inf


def test_a_search_too_large_ends_below_the_true_price():
    many = [Offer(100.0 + i / 7, 99.0 + i / 13, None) for i in range(40)]
    assert 0 < least_price(many, 5000.0) <= 51 * 101


@given(nesting_jobs())
def test_a_grown_outline_is_larger_by_its_edge_and_corners(job):
    for index, part in enumerate(job.parts):
        shape = of_points(part.outline)
        shape = shape.convex_hull if job.hulls else shape
        r = job.separation / 2
        most = shape.area + shape.length * r + np.pi * r * r
        assert shape.area - 1e-9 <= grown_area(job, index) <= most + 1e-9


def test_the_area_bound_counts_whole_bars():
    stock = (Stock(name="bar", width=12.0, length=34.0, price=Decimal("3.30"), count=None, source="buy"),)
    part = Part(name="square", steel="s", outline=SQUARE, quantity=4)
    job = NestingJob(parts=(part,), stock=stock, suits=frozenset({(0, 0)}), separation=1.0, bar_end=1.0, bar_edge=1.0)
    assert area_bound(job, [3]) == Decimal("3.30")
    assert area_bound(job, [4]) == Decimal("6.60")
    assert area_bound(job, [0]) == 0


def test_parts_that_share_no_bar_are_bounded_apart():
    stock = tuple(Stock(name=n, width=12.0, length=34.0, price=Decimal(3), count=None, source="buy") for n in "ab")
    parts = tuple(Part(name=n, steel=n, outline=SQUARE, quantity=1) for n in "ab")
    job = NestingJob(parts=parts, stock=stock, suits=frozenset({(0, 0), (1, 1)}), separation=1.0, bar_end=1.0, bar_edge=1.0)
    assert groups(job) == [([0], [0]), ([1], [1])]
    assert area_bound(job, [1, 1]) == 6


def test_parts_joined_through_a_third_are_one_group():
    stock = tuple(Stock(name=n, width=12.0, length=34.0, price=Decimal(3), count=None, source="buy") for n in "ab")
    parts = tuple(Part(name=n, steel="s", outline=SQUARE, quantity=1) for n in "xyz")
    suits = frozenset({(0, 0), (1, 1), (2, 0), (2, 1)})
    job = NestingJob(parts=parts, stock=stock, suits=suits, separation=1.0, bar_end=1.0, bar_edge=1.0)
    assert groups(job) == [([0, 1, 2], [0, 1])]
