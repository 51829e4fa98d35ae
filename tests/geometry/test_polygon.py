"""The one door to shapely."""

from math import pi

import numpy as np
import pytest
from hypothesis import given
from shapely.geometry import Point

from tests.strategies import numbers, rings
from workbook.geometry.path import circle, polyline
from workbook.geometry.polygon import closest_pair, corners, crossing, edge_distance, grown, hull, of_points, polygon, union

SQUARE = polyline([(0.0, 0.0), (10.0, 0.0), (10.0, 10.0), (0.0, 10.0)], closed=True)


def test_a_crossing_is_found_where_it_is():
    bow = polyline([(0.0, 0.0), (10.0, 10.0), (10.0, 0.0), (0.0, 10.0)], closed=True)
    assert crossing(polygon(bow)) == pytest.approx((5.0, 5.0))
    assert crossing(polygon(SQUARE)) is None


@given(rings(), numbers(0.1, 10))
def test_a_grown_shape_holds_everything_within_the_distance(ring, by):
    shape = of_points(ring)
    larger = grown(shape, by)
    around = Point(0, 0).buffer(by, quad_segs=64)
    for x, y in ring:
        assert larger.buffer(1e-9).contains(of_points(corners(around) + (x, y)))
    assert larger.exterior.distance(shape) >= by - 1e-9
    assert larger.exterior.distance(shape) <= by * 1.0021 + 1e-9


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


def test_a_union_counts_what_is_shared_once():
    shapes = [polygon(SQUARE), of_points([(5.0, 0.0), (15.0, 0.0), (15.0, 10.0), (5.0, 10.0)])]
    assert union(shapes).area == pytest.approx(150.0)
