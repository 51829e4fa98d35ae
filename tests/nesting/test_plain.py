"""The plain search: sound however far it goes, near the compiled one's prices, the same whatever it remembers."""

from collections import Counter
from itertools import islice

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.bench import costs
from tests.counts import some, tries
from tests.strategies import nesting_jobs
from workbook.nesting.model import BarUse
from workbook.nesting.plain import placing
from workbook.nesting.plain.columns import WIDE, ColumnTables
from workbook.nesting.plain.exchange import Exchange
from workbook.nesting.search import plain_layouts
from workbook.nesting.verify import faults
from workbook.structs import replace


def after(job, steps, seed=0):
    *_, last = islice(plain_layouts(job, seed), steps)
    return last.best


def price(job, layout):
    return float(sum(job.stock[use.stock].price for use in layout.bars))


@given(nesting_jobs(), st.integers(0, 2**32))
@settings(max_examples=tries(12, 100))
def test_every_layout_verifies_and_none_costs_more_than_the_one_before(job, seed):
    def worth(layout):
        left = sum(n * abs(area(job.parts[part].outline)) for part, n in layout.left_over)
        counted = sum(float(job.counts(use.stock)) for use in layout.bars if job.stock[use.stock].source != "buy")
        return round(left, 3), sum(job.stock[u.stock].price for u in layout.bars if job.stock[u.stock].source == "buy"), counted

    found = [progress.best for progress in islice(plain_layouts(job, seed), 40)]
    assert not any(faults(job, layout) for layout in found)
    assert [worth(layout) for layout in found] == sorted((worth(layout) for layout in found), reverse=True)


def area(points):
    x, y = points.T
    return float(x @ np.roll(y, -1) - y @ np.roll(x, -1)) / 2


@pytest.mark.parametrize(("order", "steps", "best"), some([("16", 100, 61.0), ("30", 70, 115.0)], 1))
def test_bars_cost_at_most_a_tenth_more_than_the_compiled_search_finds(order, steps, best):
    """`best` is what tests/bench/costs.py shows for that after 20 s."""
    job = costs.job(order)
    layout = after(job, steps)
    assert not layout.left_over
    assert price(job, layout) <= 1.1 * best


def test_it_finds_the_same_when_it_remembers_little(monkeypatch):
    job = costs.job("16")
    remembered = after(job, 45)
    monkeypatch.setattr(placing, "_MOST_KEPT", 25)
    assert after(job, 45) == remembered


def test_bars_that_are_kept_stay_and_are_filled_up():
    job = costs.job("8")
    first = after(job, 1)
    kept = tuple(BarUse(use.stock, use.pieces[:1]) for use in first.bars)
    layout = after(replace(job, kept=kept), 40)
    assert not faults(replace(job, kept=kept), layout)
    assert not layout.left_over
    for use, wanted in zip(layout.bars, kept, strict=False):
        assert (use.stock, use.pieces.count(wanted.pieces[0])) == (wanted.stock, 1)


@pytest.mark.parametrize("length", [0.5, 2.0, 38.0])
def test_a_bar_that_is_all_margin_takes_nothing_and_does_no_harm(length):
    """Margins of 2 mm and 2 mm between blanks leave nothing of 2 mm, and less of a shorter bar."""
    job = costs.job("8")
    none = replace(job.stock[0], name="none", length=length, width=length)
    suits = frozenset({*job.suits, *((p, len(job.stock)) for p in range(len(job.parts)))})
    layout = after(replace(job, stock=(*job.stock, none), suits=suits, bar_edge=2.0, bar_end=2.0), 40)
    assert not layout.left_over
    assert all(use.stock < len(job.stock) for use in layout.bars)


@given(nesting_jobs())
@settings(max_examples=tries(10, 80))
def test_a_stretch_is_taken_where_each_of_its_columns_is(job):
    tables = ColumnTables(job)
    fixed, family = tables.poses[0][0], tables.families[-1][0]
    clash = tables.against(fixed, family)
    for at in range(clash.wide_under.shape[1]):
        under, over = clash.under[:, at : at + WIDE], clash.over[:, at : at + WIDE]
        assert (clash.wide_under[:, at] == under.max(axis=1)).all()
        assert (clash.wide_over[:, at] == over.min(axis=1)).all()


def test_an_exchange_is_cheaper_large_enough_and_to_be_had():
    exchange = Exchange({0: 10.0, 1: 18.0, 2: 40.0}, {0: 100.0, 1: 200.0, 2: 500.0}, {0: 9, 1: 1, 2: 9})
    chance, taken = np.random.default_rng(0), Counter[int]()
    found = {exchange.chosen(190.0, 25.0, taken, chance, same=False) for _ in range(50)}
    assert {chosen.stock for chosen in found} == {(1,), (0, 0)}
    assert {exchange.chosen(190.0, 25.0, Counter({1: 1}), chance, same=False).stock for _ in range(20)} == {(0, 0)}
    assert exchange.chosen(190.0, 18.0, taken, chance, same=False) is None
    assert exchange.chosen(190.0, 18.0, taken, chance, same=True).stock == (1,)


def test_an_exchange_learns_how_full_bars_get():
    exchange = Exchange({0: 10.0}, {0: 100.0}, {0: 9})
    chance = np.random.default_rng(0)
    before = exchange.chosen(100.0, 99.0, Counter(), chance, same=False)
    for _ in range(30):
        exchange.learn(before, success=False)
    assert exchange.chosen(100.0, 99.0, Counter(), chance, same=False).likely < before.likely
