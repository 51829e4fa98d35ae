"""The one door to shapely."""

from math import pi

import numpy as np
import pytest
from hypothesis import given
from shapely.geometry import Point

from tests.strategies import numbers, rings
from workbook.geometry.path import circle, polyline
from workbook.geometry.polygon import closest_pair, corners, crossing, edge_distance, grown, hull, lower_hull, of_points, polygon

SQUARE = polyline([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)], closed=True)


def test_a_crossing_is_found_where_it_is():
    bow = polyline([(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)], closed=True)
    assert crossing(polygon(bow)) == pytest.approx((5.0, 5.0))
    assert crossing(polygon(SQUARE)) is None


@given(rings(), numbers(0.1, 10))
def test_a_grown_shape_holds_everything_within_the_distance_and_little_more(ring, by):
    shape = of_points(ring)
    larger = grown(shape, by)
    assert larger.contains(shape)
    assert larger.exterior.distance(shape) >= by - 1e-9
    assert max(shape.distance(Point(p)) for p in larger.exterior.coords) <= by * 1.005


def test_the_chord_over_a_corner_that_hardly_turns_lies_outside_too():
    roof = of_points([(0.0, 0.0), (100.0, 0.0), (100.0, 20.0), (50.0, 23.6), (0.0, 20.0)])
    assert grown(roof, 4.0).exterior.distance(roof) >= 4.0 - 1e-9


def test_a_shape_shrinks_by_a_negative_distance():
    assert grown(polygon(SQUARE), -2.0).area == pytest.approx(36.0)


@given(rings())
def test_a_hull_holds_the_shape_and_is_convex(ring):
    shape = of_points(ring)
    found = hull(shape)
    assert found.buffer(1e-9).contains(shape)
    edges = np.diff(np.asarray(found.exterior.coords), axis=0)
    turns = edges[:, 0] * np.roll(edges[:, 1], -1) - edges[:, 1] * np.roll(edges[:, 0], -1)
    assert (turns >= -1e-6).all() or (turns <= 1e-6).all()


def test_distance_to_the_edge_is_negative_outside():
    assert edge_distance(SQUARE, (5.0, 3.0)) == 3.0
    assert edge_distance(SQUARE, (5.0, -3.0)) == -3.0


def test_pairs_nearer_than_the_reach_are_found_once():
    shapes = [of_points([(x, 0.0), (x + 1.0, 0.0), (x + 1.0, 1.0), (x, 1.0)]) for x in (0.0, 1.5, 3.5, 9.0)]
    assert closest_pair(shapes, 0.6) == [(0, 1)]
    assert closest_pair(shapes, 1.1) == [(0, 1), (1, 2)]
    assert closest_pair(shapes[:1], 5.0) == []


def test_a_circles_area_is_pi_r_squared():
    assert polygon(circle((1.0, 2.0), 10.0), 0.001).area == pytest.approx(100 * pi, rel=2e-4)


def test_corners_do_not_repeat_the_first():
    assert corners(polygon(SQUARE)).tolist() == [[0.0, 0.0], [10.0, 0.0], [10.0, 10.0], [0.0, 10.0]]


@given(rings())
def test_the_lower_hull_is_the_lower_side_of_the_hull(ring):
    """Beside the other library's convex hull: no corner of the ring lies under it, and its corners are corners of that."""
    chain = lower_hull(ring)
    whole = hull(of_points(ring))
    assert all(whole.exterior.distance(Point(p)) < 1e-9 for p in chain)
    assert (np.interp(ring[:, 0], chain[:, 0], chain[:, 1]) <= ring[:, 1] + 1e-9).all()
    assert (chain[0][0], chain[-1][0]) == (ring[:, 0].min(), ring[:, 0].max())
