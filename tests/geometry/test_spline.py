"""The clamped cubic spline through a handle's heights."""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import numbers
from workbook.geometry.path import bezier_points, curvature
from workbook.geometry.spline import spline

knots = st.lists(numbers(2, 40), min_size=2, max_size=6).flatmap(
    lambda steps: st.tuples(st.just(np.cumsum(steps)), st.lists(numbers(-20, 20), min_size=len(steps), max_size=len(steps)))
)
slopes = numbers(-2, 2)


def slope(curve, end):
    (x0, y0), (x1, y1) = (curve.c2, curve.end) if end else (curve.start, curve.c1)
    return (y1 - y0) / (x1 - x0)


@given(knots, slopes, slopes)
def test_it_goes_through_its_points_with_the_slopes_given(places, first, last):
    xs, ys = places
    curves = spline(list(zip(xs.tolist(), ys, strict=True)), first, last)
    assert np.allclose([c.start for c in curves] + [curves[-1].end], np.column_stack((xs, ys)))
    assert slope(curves[0], False) == pytest.approx(first, abs=1e-6)
    assert slope(curves[-1], True) == pytest.approx(last, abs=1e-6)


@given(knots, slopes, slopes)
def test_it_joins_without_a_kink_and_with_one_curvature(places, first, last):
    xs, ys = places
    curves = spline(list(zip(xs.tolist(), ys, strict=True)), first, last)
    for a, b in itertools.pairwise(curves):
        assert slope(a, True) == pytest.approx(slope(b, False), abs=1e-6)
        assert curvature(a, np.array([1.0])) == pytest.approx(curvature(b, np.array([0.0])), abs=1e-6)


@given(st.lists(numbers(-3, 3), min_size=4, max_size=4))
def test_it_gives_back_a_cubic(coefficients):
    cubic = np.polynomial.Polynomial(coefficients)
    xs = np.array([0.0, 1.0, 2.5, 4.0])
    curves = spline(list(zip(xs.tolist(), cubic(xs).tolist(), strict=True)), cubic.deriv()(0.0), cubic.deriv()(4.0))
    for curve in curves:
        found = bezier_points(curve, np.linspace(0, 1, 9))
        assert found[:, 1] == pytest.approx(cubic(found[:, 0]), abs=1e-6)


def test_points_may_run_backwards():
    curves = spline([(10.0, 0.0), (5.0, 2.0), (0.0, 0.0)], 0.0, 0.0)
    assert (curves[0].start, curves[-1].end) == ((10.0, 0.0), (0.0, 0.0))
    assert slope(curves[0], True) == pytest.approx(0.0)
