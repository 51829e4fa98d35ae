"""Yield, learning and money beside what textbooks print, what scipy and Python's exact fractions find."""

from decimal import Decimal
from fractions import Fraction
from math import ceil, log2

import numpy as np
import pytest

from workbook.shop.job import Bar
from workbook.shop.labour import nth, run
from workbook.shop.pricing import PriceMethod, Pricing, price_for
from workbook.shop.steel import mass
from workbook.shop.yields import starts_for


@pytest.mark.outside("scipy.stats.nbinom: blanks lost before so many are good")
@pytest.mark.parametrize("good", [1, 5, 12, 40])
@pytest.mark.parametrize("share", [0.6, 0.85, 0.97])
def test_blanks_to_start_are_those_of_the_negative_binomial_law(good, share):
    from scipy import stats  # it takes a second, and every worker collects all tests

    for confidence in (0.8, 0.9, 0.95, 0.99):
        assert starts_for(good, share, confidence) == good + int(stats.nbinom.ppf(confidence, good, share))


@pytest.mark.outside("a public course on learning curves: 50 minutes, then 40, the fourth 32, at 80 %")
def test_every_doubling_takes_four_fifths():
    assert [nth(50, 0.80, n) for n in (1, 2, 4)] == pytest.approx([50, 40, 32])


@pytest.mark.outside("textbook of operations management, table of unit factors: 0.634 for the 20th at 90 %")
def test_the_twentieth_piece_at_ninety_per_cent():
    assert nth(1, 0.90, 20) == pytest.approx(0.634, abs=5e-4)


@pytest.mark.outside(
    "textbook of work systems, Crawford's model: twenty pieces at 80 % are 0.258 % under the integral's estimate"
)
def test_twenty_pieces_take_as_much_less_than_the_integral_as_a_textbook_says():
    power = log2(0.80) + 1
    estimate = 10 * (20.5**power - 0.5**power) / power
    assert (estimate / run(10, 0.80, 20) - 1) * 100 == pytest.approx(0.258, abs=5e-4)


@pytest.mark.outside("scipy.special.zeta: the sum of the power law, as the difference of two zeta functions")
@pytest.mark.parametrize("pieces", [3, 17, 200])
def test_a_run_adds_up_as_zeta_functions_do(pieces):
    from scipy.special import zeta  # it takes a second, and every worker collects all tests

    rate = 0.45  # below a half the sum to infinity is finite
    assert run(1.0, rate, pieces) == pytest.approx(zeta(-log2(rate), 1) - zeta(-log2(rate), pieces + 1), rel=1e-9)


@pytest.mark.outside("Python's exact fractions: the least whole cents that keep the margin")
@pytest.mark.parametrize("cost", ["0.01", "99.99", "1234.56"])
@pytest.mark.parametrize("share", ["0.1", "0.35", "0.6"])
def test_a_margin_is_kept_by_the_least_cents(cost, share):
    cents = ceil(Fraction(cost) / (1 - Fraction(share)) * 100)
    assert price_for(Decimal(cost), Pricing(way=PriceMethod.MARGIN, share=float(share))) * 100 == cents


@pytest.mark.outside("scipy.constants: pound and inch; the handbook's 0.2836 lb/in3")
def test_a_bar_weighs_its_cubic_inches():
    from scipy import constants  # it takes a moment, and every worker collects all tests

    for thick, wide, long in ((1 / 8, 1.5, 48), (3 / 32, 2, 36), (1 / 4, 1, 12)):
        mm = constants.inch * 1000
        bar = Bar(name="", steel="1084", thickness=thick * mm, width=wide * mm, length=long * mm)
        pounds = mass(bar, 7.85) / (constants.pound * 1000)
        assert pounds == pytest.approx(0.2836 * np.prod((thick, wide, long)), rel=2e-4)
