"""The bound found bit by bit: it never falls, ends where it does when found at once, and no layout beats it."""

from decimal import Decimal

from hypothesis import given, settings

from tests.counts import tries
from tests.strategies import nesting_jobs
from workbook.nesting.bounds import area_bound
from workbook.nesting.model import Layout, bought_for, laid_out
from workbook.nesting.search import plain_layouts
from workbook.nesting.section_bound import price_bound
from workbook.structs import replace
from workbook.tasks.bounding import Bounding

LONG = 1e9


def all_of(bounding, layout):
    found = [bounding.known(layout)]
    while bounding.more:
        found.append(bounding.of(layout))
    return found


@settings(max_examples=tries(12, 100))
@given(nesting_jobs())
def test_it_only_gets_better_up_to_the_bound_found_at_once(job):
    layout = next(plain_layouts(job, 0)).best
    blanks = laid_out(layout, len(job.parts))
    found = all_of(Bounding(job, LONG), layout)
    assert found[0] == (area_bound(job, blanks), "area")
    prices = [price for price, _ in found]
    assert prices == sorted(prices)
    assert found[-1] == price_bound(job, blanks, bought_for(job, layout))
    assert prices[-1] <= sum((job.stock[use.stock].price for use in layout.bars), Decimal(0))


def test_a_layout_of_other_blanks_has_a_bound_of_its_own(laid_demo):
    bounding = Bounding(laid_demo.nesting, LONG)
    whole = all_of(bounding, laid_demo.layout)[-1]
    fewer = Layout(laid_demo.layout.bars[:1])
    assert all_of(bounding, fewer)[-1][0] < whole[0]
    assert all_of(bounding, laid_demo.layout)[-1] == whole


def test_programmes_without_time_leave_at_least_the_bound_by_area_and_no_more_than_with_time(laid_demo):
    """A small one may be solved before its time is looked at."""
    price, _by = all_of(Bounding(laid_demo.nesting, 0.0), laid_demo.layout)[-1]
    whole, _by = all_of(Bounding(laid_demo.nesting, LONG), laid_demo.layout)[-1]
    assert area_bound(laid_demo.nesting, laid_out(laid_demo.layout, len(laid_demo.nesting.parts))) <= price <= whole


def test_a_layout_that_buys_less_goes_on_from_the_bound_there_is_and_one_that_buys_more_begins_anew(laid_demo):
    """The demo's bought bars, all and all but one: where more may be bought, less is sure."""
    job, layout = laid_demo.nesting, laid_demo.layout
    bounding = Bounding(job, LONG)
    first = all_of(bounding, layout)[-1]
    bought = [use for use in layout.bars if job.stock[use.stock].source == "buy"]
    more = replace(layout, bars=(*layout.bars, replace(bought[0], pieces=())))
    assert bounding.known(more)[1] == "area"
    assert all_of(bounding, more)[-1][0] <= first[0]
    assert all_of(bounding, layout)[-1][0] == first[0]
