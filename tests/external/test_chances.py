"""Quantiles of the beta and Student's t distributions, and what a shop's share good is told as, against scipy."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from workbook.making.learned import yield_of
from workbook.shop.chances import beta_chance, beta_quantile, t_quantile

CHANCES = (0.05, 0.1, 0.5, 0.9, 0.95)


@pytest.mark.outside("scipy.stats")
@given(st.floats(0.01, 0.99), st.floats(0.3, 2000), st.floats(0.3, 2000))
def test_the_beta_distribution(x, a, b):
    assert beta_chance(x, a, b) == pytest.approx(stats.beta.cdf(x, a, b), abs=1e-10)


@pytest.mark.outside("scipy.stats")
@pytest.mark.parametrize("chance", CHANCES)
@pytest.mark.parametrize(("a", "b"), [(19.2, 0.8), (20, 1), (5.5, 14.5), (0.7, 0.7), (215.2, 4.8), (1019, 1)])
def test_quantiles_of_beta(chance, a, b):
    assert beta_quantile(chance, a, b) == pytest.approx(stats.beta.ppf(chance, a, b), abs=1e-9)


@pytest.mark.outside("scipy.stats")
@pytest.mark.parametrize("chance", CHANCES)
@pytest.mark.parametrize("freedom", [1.0, 2.5, 4.0, 11.7, 30.0, 200.0])
def test_quantiles_of_students_t(chance, freedom):
    assert t_quantile(chance, freedom) == pytest.approx(stats.t.ppf(chance, freedom), rel=1e-6, abs=1e-6)


@pytest.mark.outside("scipy.stats")
@given(st.floats(0.5, 0.99), st.integers(0, 300), st.integers(1, 40))
def test_a_share_good_is_the_posterior_of_twenty_blades_and_those_counted(guess, good, lost):
    """Beta prior with binomial data: Beta(a + good, b + lost) (Gelman and others, Bayesian Data Analysis, 3rd ed., 2.4)."""
    posterior = stats.beta(20 * guess + good, 20 * (1 - guess) + lost)
    told = yield_of(guess, good, lost)
    assert told.share == pytest.approx(posterior.mean())
    assert (told.low, told.high) == (pytest.approx(posterior.ppf(0.05), abs=1e-6), pytest.approx(posterior.ppf(0.95), abs=1e-6))
