"""Yield, hours, prices and weights against published values; the source stands beside each."""

from decimal import Decimal

import pytest

from workbook.formats.tables import facts
from workbook.shop.charges import Charges, starts_of
from workbook.shop.job import Bar
from workbook.shop.labour import Stage, batch, nth, run, share_good
from workbook.shop.pricing import PriceMethod, Pricing, margin, markup, price_for
from workbook.shop.steel import mass
from workbook.shop.yields import MOST, enough, starts_for
from workbook.structs import replace
from workbook.units import INCH

POUND = 453.59237

# good wanted, yield of each: starts by good / yield, for 80, 90, 95, 99 %, and how sure the first is
# binomial distribution (MIL-HDBK-338B 5.3.7.1), computed with a general statistics library
STARTS = (
    (1, 0.8, 2, 1, 2, 2, 3, 0.96),
    (5, 0.9, 6, 6, 7, 7, 8, 0.885735),
    (5, 0.98, 6, 5, 5, 6, 6, 0.994313),
    (10, 0.8, 13, 14, 15, 16, 18, 0.747324),
    (12, 0.9, 14, 14, 15, 16, 17, 0.84164),
    (20, 0.95, 22, 22, 22, 23, 24, 0.905177),
    (50, 0.8, 63, 66, 68, 69, 73, 0.622556),
    (50, 0.98, 52, 52, 52, 53, 54, 0.914066),
)


@pytest.mark.own_working("binomial law, worked out for this project")
@pytest.mark.parametrize(("good", "share", "expected", "for_80", "for_90", "for_95", "for_99", "sure"), STARTS)
def test_blanks_to_start_are_those_of_the_binomial_law(good, share, expected, for_80, for_90, for_95, for_99, sure):
    assert [starts_for(good, share, c) for c in (0.80, 0.90, 0.95, 0.99)] == [for_80, for_90, for_95, for_99]
    assert enough(good, expected, share) == pytest.approx(sure, abs=1e-6)


@pytest.mark.outside("scipy.stats.binom, survival function")
@pytest.mark.parametrize("good", [1, 3, 12, 40])
@pytest.mark.parametrize("share", [0.5, 0.83, 0.97])
def test_the_chance_is_that_of_a_general_library(good, share):
    """scipy.stats.binom, survival function."""
    from scipy import stats  # it takes a second, and every worker collects all tests

    for starts in range(good, good + 12):
        assert enough(good, starts, share) == pytest.approx(stats.binom.sf(good - 1, starts, share), abs=1e-10)


@pytest.mark.outside("a published exercise of the binomial law: ten pieces, 12 % rejected")
def test_a_published_exercise_of_rejects():
    """Ten pieces of which 12 % are rejected: at most two rejects in 0.891, at least two in 0.342 (a statistics exercise)."""
    assert enough(8, 10, 0.88) == pytest.approx(0.891, abs=0.0005)
    assert 1 - enough(9, 10, 0.88) == pytest.approx(0.342, abs=0.0005)


@pytest.mark.own_working("binomial law, worked out for this project")
def test_three_stages_lose_as_one_of_their_product():
    """12 good at .95 x .97 x .98: 14 by arithmetic are enough 85.2 % of the time, 15 for 90 % (binomial, exact)."""
    stages = tuple(Stage(name=f"{n}", set_up=0, minutes=0, good=good) for n, good in enumerate((0.95, 0.97, 0.98)))
    assert enough(12, 14, share_good(stages)) == pytest.approx(0.8520322074, abs=1e-8)
    assert starts_of(12, replace(Charges(), stages=stages, confidence=0.90)) == 15


@pytest.mark.own_working("arithmetic")
def test_a_batch_of_five_with_an_hours_set_up_takes_37_minutes_each():
    """Set-up / Q + run: 60, 25, 5 (industrial engineering)."""
    assert batch(Stage(name="", set_up=60, minutes=25), 5) / 5 == 37


@pytest.mark.own_working("a value from memory")
def test_standard_time_is_normal_time_with_its_allowance():
    """10 min at 110 % with 15 %: 12.65 min (work-study textbooks, a value from memory)."""
    assert batch(Stage(name="", set_up=0, minutes=11), 1, allowance=0.15) == pytest.approx(12.65)


@pytest.mark.own_working("the power law, worked out for this project")
def test_the_learning_curve_in_its_unit_reading():
    """Crawford's unit model: exact values of the power law."""
    assert nth(10, 0.80, 8) == pytest.approx(5.12)
    assert run(10, 0.80, 4) == pytest.approx(31.421, abs=0.001)
    assert nth(10, 0.85, 10) == pytest.approx(5.828204, abs=1e-4)
    assert run(10, 0.85, 10) == pytest.approx(71.16062727, abs=1e-3)
    assert nth(4, 0.90, 25) == pytest.approx(2.452272825, abs=1e-4)
    assert run(10, 1.0, 4) == 40


@pytest.mark.own_working("by definition")
def test_margin_is_of_the_price_and_markup_of_the_cost():
    """By definition: 100 at a margin of 40 % is 166.67; a markup of 50 % is a margin of a third."""
    assert price_for(Decimal(100), Pricing(way=PriceMethod.MARGIN, share=0.4)) == Decimal("166.67")
    sold = price_for(Decimal(100), Pricing(way=PriceMethod.MARKUP, share=0.5))
    assert sold == 150
    assert margin(sold, Decimal(100)) == pytest.approx(1 / 3)
    assert markup(sold, Decimal(100)) == pytest.approx(0.5)


@pytest.mark.own_working("by definition")
def test_an_hour_carries_its_burden():
    """$30 an hour with 60 %: $48 (definition)."""
    assert Decimal(30) * (1 + Decimal(repr(0.6))) == 48


@pytest.mark.outside("steel handbook, flat bars, lb/ft")
@pytest.mark.parametrize(("thickness", "width", "pounds"), [(0.25, 2, 1.70), (0.125, 1.5, 0.638), (0.1875, 1.5, 0.957)])
def test_a_foot_of_bar_weighs_what_the_handbook_says(thickness, width, pounds):
    """Steel handbook, flat bars, lb/ft; the rule 3.40 w t is rounded to its third place."""
    bar = Bar(name="", steel="1084", thickness=thickness * INCH, width=width * INCH, length=12 * INCH)
    assert mass(bar, 7.85) / POUND == pytest.approx(pounds, abs=0.003)
    assert facts().density("1084") == pytest.approx(7.85, abs=0.05)


@pytest.mark.own_working("a limit of our own")
def test_a_yield_that_is_no_yield_starts_the_most_there_is_and_says_how_sure_that_is():
    assert starts_for(40, 0.01, 0.9) == MOST
    assert enough(40, MOST, 0.01) < 0.01
    assert starts_for(2 * MOST, 0.5, 0.9) == 2 * MOST
