"""The widest turn of a line within its room, against corridors whose widest turn is known."""

from math import cos, inf, pi, radians, sin, sqrt

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.counts import tries
from tests.strategies import numbers
from workbook.geometry.steering import STEP, evenly, widest_turn


def arc(radius, sweep):
    return np.array([(radius * sin(t), radius * (1 - cos(t))) for t in np.linspace(0, sweep, 2000)])


def round_corridor(radius, half):
    """Room in a corridor so wide to either side of a circle that begins at the origin."""
    return lambda points: half - np.abs(np.hypot(points[:, 0], points[:, 1] - radius) - radius)


def no_room(points):
    return np.full(len(points), -1.0)


@pytest.mark.parametrize("radius", [10.0, 40.0, 120.0])
def test_without_room_the_turn_is_the_lines_own(radius):
    assert widest_turn(arc(radius, pi / 2), no_room) == pytest.approx(radius, rel=0.02)


@pytest.mark.parametrize(("half", "to"), [(0.8, 0.4), (1.4, 0.1), (2.5, 0.1)])
def test_round_a_sharp_corner_the_turn_is_the_circle_that_just_passes(half, to):
    """A corridor 2 w wide turns square: the circle touching both outer walls and the inner corner has R (1 - 1/sqrt 2) = 2 w.

    A little more is possible with legs that slant; points a millimetre apart make it less, the more the narrower it is.
    """

    def clear(points):
        x, y = points.T
        outer = np.minimum(half - x, y + half)
        inner = np.hypot(np.maximum(x + half, 0.0), np.maximum(half - y, 0.0))
        return np.where((x < -half) & (y > half), -1.0, np.minimum(outer, inner))

    line = [(-60.0, 0.0), (0.0, 0.0), (0.0, 60.0)]
    assert widest_turn(line, clear) == pytest.approx(2 * half / (1 - 1 / sqrt(2)), rel=to)


@settings(max_examples=tries(7, 60))
@given(numbers(60, 200), numbers(20, 60))
def test_an_arc_no_deeper_than_its_corridor_is_sawn_nearly_straight(radius, degrees):
    """A chord lies R (1 - cos(sweep / 2)) from its arc; a corridor that wide in all holds a straight line."""
    sweep = radians(degrees)
    depth = radius * (1 - cos(sweep / 2))
    assert widest_turn(arc(radius, sweep), round_corridor(radius, 0.6 * depth), 4 * radius) >= 4 * radius
    assert widest_turn(arc(radius, sweep), round_corridor(radius, 0.2 * depth), 4 * radius) < 2.5 * radius


@settings(max_examples=10)
@given(numbers(20, 100), numbers(0.2, 2))
def test_room_never_makes_a_turn_tighter(radius, half):
    assert widest_turn(arc(radius, 1.2), round_corridor(radius, half)) >= 0.97 * radius


def test_a_search_ends_when_the_turn_is_wide_enough():
    assert 30 <= widest_turn(arc(25.0, 1.2), round_corridor(25.0, 2.0), 30.0) < 40


@given(st.integers(2, 40))
def test_a_straight_line_has_no_turn(count):
    assert widest_turn(np.column_stack([np.arange(count) * 2.0, np.arange(count) * 1.0]), no_room) == inf


def test_points_along_a_line_are_as_far_apart_as_asked():
    line = evenly([(0, 0), (10, 0), (10, 10)], 2 * STEP)
    assert len(line) == 11
    assert np.hypot(*np.diff(line, axis=0).T) == pytest.approx(2.0)
