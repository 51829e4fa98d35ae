"""Least squares within bounds against certified values and against another solver."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.counts import tries
from workbook.geometry.least_squares import fitted

MISRA_X = np.array([77.6, 114.9, 141.1, 190.8, 239.9, 289.0, 332.8, 378.4, 434.8, 477.3, 536.8, 593.1, 689.1, 760.0])
MISRA_Y = np.array([10.07, 14.73, 17.94, 23.93, 29.61, 35.18, 40.02, 44.82, 50.76, 55.05, 61.01, 66.40, 75.47, 81.78])


@pytest.mark.outside("NIST StRD, nonlinear regression, Misra1a: certified parameters, from both certified starts")
@pytest.mark.parametrize("start", [(500.0, 1e-4), (250.0, 5e-4)])
def test_certified_parameters_are_found(start: tuple[float, float]) -> None:
    def errors(b: np.ndarray) -> np.ndarray:
        return b[0] * (1 - np.exp(-b[1] * MISRA_X)) - MISRA_Y

    high, scale = np.array([2000.0, 0.1]), np.array([100.0, 1e-4])
    found = fitted(errors, np.array(start), np.zeros(2), high, scale, enough=1e-12, steps=400)
    assert found == pytest.approx([2.3894212918e02, 5.5015643181e-04], rel=1e-6)


@pytest.mark.outside("scipy.optimize.lsq_linear: bounded linear least squares")
@settings(max_examples=tries(20, 200))
@given(st.integers(0, 2**32 - 1))
def test_a_linear_problem_ends_within_its_bounds_as_low_as_another_solver(seed: int) -> None:
    from scipy.optimize import lsq_linear

    rng = np.random.default_rng(seed)
    matrix, wanted = rng.normal(size=(12, 4)), rng.normal(size=12) * 3
    low, high = -rng.uniform(0.05, 1, 4), rng.uniform(0.05, 1, 4)
    other = lsq_linear(matrix, wanted, (low, high), tol=1e-12)
    found = fitted(lambda x: matrix @ x - wanted, np.zeros(4), low, high, high - low, enough=1e-9, steps=300)
    assert np.all((low <= found) & (found <= high))
    assert np.sum((matrix @ found - wanted) ** 2) / 2 == pytest.approx(other.cost, rel=1e-3)


@pytest.mark.outside("scipy.optimize.least_squares with the loss soft_l1")
@settings(max_examples=tries(20, 100))
@given(st.integers(0, 2**32 - 1))
def test_outliers_count_as_little_as_with_another_solver(seed: int) -> None:
    from scipy.optimize import least_squares

    rng = np.random.default_rng(seed)
    x = np.linspace(0, 10, 40)
    y = 2 + 0.5 * x + rng.normal(0, 0.05, 40)
    y[rng.choice(40, 5, replace=False)] += 20.0
    wide = np.full(2, 100.0)
    other = least_squares(lambda b: b[0] + b[1] * x - y, np.zeros(2), loss="soft_l1", f_scale=0.1, xtol=1e-12, ftol=1e-12)
    found = fitted(lambda b: b[0] + b[1] * x - y, np.zeros(2), -wide, wide, np.ones(2), outlier=0.1, enough=1e-10, steps=500)
    assert found == pytest.approx(other.x, abs=2e-3)
    assert found == pytest.approx([2, 0.5], abs=0.1)  # which the five do not draw away


@pytest.mark.own_working("the least of a slope lies at its bound")
def test_what_would_go_on_comes_as_near_its_bound_as_it_may() -> None:
    found = fitted(lambda x: x - 5.0, np.array([0.5]), np.zeros(1), np.ones(1), np.ones(1), enough=1e-9, steps=300)
    assert found == pytest.approx([1.0], abs=1e-3)


@pytest.mark.own_working("a bound without room")
def test_bounds_without_room_are_refused() -> None:
    with pytest.raises(ValueError, match="low bound"):
        fitted(lambda x: x, np.zeros(1), np.ones(1), np.ones(1), np.ones(1))
