"""Paths of lines, arcs and Beziers: flattening, bounds, placement."""

from math import atan, degrees, hypot, pi

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from shapely import points as shapely_points
from shapely.geometry import LineString

from tests.strategies import numbers, placements, points, segments
from workbook.geometry.path import (
    Arc,
    Bezier,
    Line,
    Path,
    arc_beziers,
    arc_circle,
    bezier_at,
    bezier_points,
    bounds,
    circle,
    curvature,
    flatten,
    polyline,
    quarter,
    reverse,
    segment_points,
    span_at,
    tangents,
    upright_span,
)


def dense(segment, count=400):
    """Points of a segment from its own equation."""
    t = np.linspace(0, 1, count)
    match segment:
        case Line(a, b):
            return np.outer(1 - t, a) + np.outer(t, b)
        case Bezier():
            return bezier_points(segment, t)
        case Arc(a, _, bulge):
            (cx, cy), r = arc_circle(segment)
            angles = np.arctan2(a[1] - cy, a[0] - cx) + 4 * atan(bulge) * t
            return np.column_stack((cx + r * np.cos(angles), cy + r * np.sin(angles)))


def chords(segment, tolerance):
    return LineString(np.vstack([segment_points(segment, tolerance), segment.end, segment.end]))


@given(segments(), st.sampled_from((0.5, 0.05, 0.01, 0.001)))
def test_no_chord_strays_further_than_the_tolerance(segment, tolerance):
    away = chords(segment, tolerance).distance(shapely_points(dense(segment)))
    assert away.max() <= tolerance * 1.0001 + 1e-9


@given(segments())
def test_flattening_begins_at_the_start_and_every_point_is_on_the_curve(segment):
    found = segment_points(segment, 0.05)
    assert found[0] == pytest.approx(segment.start, abs=1e-6)
    curve = LineString(dense(segment, 4000))
    assert curve.distance(shapely_points(found)).max() < 0.01


@given(points(), points(), numbers(0.01, 3.0), st.sampled_from((-1, 1)))
def test_an_arc_runs_from_its_start_to_its_end_on_its_circle(start, end, size, sign):
    if hypot(end[0] - start[0], end[1] - start[1]) > 1:
        arc = Arc(start, end, sign * size)
        (cx, cy), radius = arc_circle(arc)
        assert hypot(start[0] - cx, start[1] - cy) == pytest.approx(radius)
        assert hypot(end[0] - cx, end[1] - cy) == pytest.approx(radius)
        assert dense(arc)[-1] == pytest.approx(end, abs=1e-6)


def test_a_positive_bulge_turns_counter_clockwise():
    arc = Arc((1.0, 0.0), (0.0, 1.0), 0.41421356237)
    assert arc_circle(arc)[0] == pytest.approx((0.0, 0.0), abs=1e-9)
    assert [degrees(a) for a in tangents(arc)] == pytest.approx([90.0, 180.0])


@given(segments())
def test_tangents_point_along_the_curve(segment):
    if (
        isinstance(segment, Bezier)
        and min(hypot(*np.subtract(segment.c1, segment.start)), hypot(*np.subtract(segment.c2, segment.end))) < 5
    ):
        return
    found = dense(segment, 20_001)
    for direction, (a, b) in zip(tangents(segment), ((found[0], found[1]), (found[-2], found[-1])), strict=True):
        turn = (direction - np.arctan2(b[1] - a[1], b[0] - a[0]) + pi) % (2 * pi) - pi
        assert abs(turn) < 0.01


def test_tangents_of_a_bezier_whose_control_points_lie_on_its_ends():
    straight = Bezier((0.0, 0.0), (0.0, 0.0), (3.0, 3.0), (3.0, 3.0))
    assert [degrees(a) for a in tangents(straight)] == pytest.approx([45.0, 45.0])


@given(segments(), placements())
def test_placing_a_path_places_its_points(segment, where):
    path = Path((segment,), closed=False)
    placed = where.path(path).segments[0]
    assert np.allclose(dense(placed), where.points(dense(segment)), atol=1e-5)


@given(points(), placements())
def test_placing_one_point_or_many_is_the_same(point, where):
    assert where.point(point) == pytest.approx(where.points(np.array([point]))[0], abs=1e-9)


@given(placements(), points(), points())
def test_a_placement_keeps_distances_but_for_its_scale(where, a, b):
    p, q = where.point(a), where.point(b)
    assert hypot(p[0] - q[0], p[1] - q[1]) == pytest.approx(where.scale * hypot(a[0] - b[0], a[1] - b[1]), abs=1e-6)


def test_a_mirrored_placement_mirrors_before_it_turns():
    from workbook.geometry.path import Placement

    assert Placement(10.0, 20.0, pi / 2, True).point((1.0, 2.0)) == pytest.approx((12.0, 21.0))
    assert Placement(0.0, 0.0, pi).point((3.0, 0.0)) == (-3.0, 0.0)


@given(segments())
def test_bounds_enclose_the_curve_and_no_more(segment):
    x0, y0, x1, y1 = bounds(Path((segment,), closed=False))
    found = dense(segment)
    (a, b), (c, d) = found.min(axis=0), found.max(axis=0)
    assert np.allclose((x0, y0, x1, y1), (a, b, c, d), atol=0.05)
    assert min(a - x0, b - y0, x1 - c, y1 - d) >= -1e-6


@given(segments(), st.floats(0, 1))
def test_a_point_of_a_bezier_is_one_of_its_many(segment, t):
    assume(isinstance(segment, Bezier))
    assert bezier_at(segment, [t])[0] == pytest.approx(bezier_points(segment, np.array([t]))[0], abs=1e-9)


@given(st.floats(-110, 110))
def test_the_span_of_an_outline_at_one_x_is_that_at_many(x):
    ring = Path((Arc((100.0, 0.0), (-100.0, 0.0), 0.6), Bezier((-100.0, 0.0), (-40.0, -90.0), (30.0, 60.0), (100.0, 0.0))))
    span, (low, high) = span_at(ring, x), upright_span(ring, np.array([x]))
    assert (span is None and np.isnan(high[0])) or span == pytest.approx((low[0], high[0]), abs=1e-9)


@given(segments())
def test_a_reversed_path_is_the_same_curve_run_backwards(segment):
    path = Path((segment, Line(segment.end, (500.0, 500.0))), closed=False)
    back = reverse(path)
    assert reverse(back) == path
    assert back.segments[0].start == (500.0, 500.0)
    assert np.allclose(dense(back.segments[1]), dense(segment)[::-1], atol=1e-5)


def test_flattened_points_cannot_be_changed_by_mistake():
    with pytest.raises(ValueError, match="read-only"):
        flatten(circle((0.0, 0.0), 5.0))[0] = 0.0


def test_a_closed_path_does_not_repeat_its_first_point():
    square = polyline([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)], closed=True)
    assert len(flatten(square)) == 4
    assert len(flatten(polyline([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0)]))) == 3


def test_a_circle_is_round_and_counter_clockwise():
    found = flatten(circle((3.0, 4.0), 5.0), 0.001)
    assert np.hypot(*(found - (3.0, 4.0)).T) == pytest.approx(np.full(len(found), 5.0))
    assert LineString(np.vstack([found, found[:1]])).is_ring
    assert found[1][1] > found[0][1]


def test_curvature_of_a_near_circle_is_one_over_its_radius():
    """A quarter circle as a Bezier with 0.5523 strays by 2 parts in 10 000 (common practice in drawing, no source)."""
    curve = quarter((10.0, 0.0), (10.0, 10.0), (0.0, 10.0), 0.5523)
    assert curvature(curve, np.array([0.25, 0.5, 0.75])) == pytest.approx([0.1, 0.1, 0.1], rel=0.02)


@given(numbers(0.05, 0.95))
def test_a_quarter_never_waves(fullness):
    bend = curvature(quarter((10.0, 0.0), (14.0, 9.0), (0.0, 10.0), fullness), np.linspace(0, 1, 100))
    assert bend.min() > 0


@given(numbers(0.01, 3.0), st.sampled_from((-1, 1)))
def test_an_arc_drawn_as_beziers_stays_on_its_circle(size, sign):
    arc = Arc((0.0, 0.0), (30.0, 4.0), sign * size)
    (cx, cy), radius = arc_circle(arc)
    pieces = arc_beziers(arc)
    assert pieces[0].start == pytest.approx(arc.start, abs=1e-9)
    assert pieces[-1].end == pytest.approx(arc.end, abs=1e-7)
    for piece in pieces:
        away = np.hypot(*(dense(piece) - (cx, cy)).T) - radius
        assert np.abs(away).max() < 5e-6 * radius
