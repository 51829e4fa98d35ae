"""Between tabulated values."""

import itertools

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import numbers
from workbook.geometry.interpolation import interpolated

tables = st.lists(st.tuples(numbers(0, 20), numbers(-50, 50)), min_size=1, max_size=9)


@given(tables, numbers(-30, 200))
def test_one_value_is_as_numpy_finds_many(steps, x):
    places, values = np.cumsum([step for step, _ in steps]).tolist(), [value for _, value in steps]
    rising = all(b > a for a, b in itertools.pairwise(places))
    found = interpolated(x, places, values)
    assert min(values) - 1e-9 <= found <= max(values) + 1e-9
    if rising:
        assert found == pytest.approx(float(np.interp(x, places, values)), abs=1e-9)
