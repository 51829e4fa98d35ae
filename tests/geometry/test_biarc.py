"""Beziers as true arcs: near, tangent, few."""

from itertools import pairwise
from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import points as shapely_points
from shapely.geometry import LineString

from tests.counts import tries
from tests.strategies import numbers
from workbook.formats.family import family, family_ids
from workbook.geometry.biarc import with_arcs
from workbook.geometry.path import Arc, Bezier, Line, Path, bezier_points, flatten, quarter, segment_points, tangents
from workbook.template.blade import blade_curves
from workbook.template.handle import butt, handle_back, handle_belly

CURVES = [
    (name, i)
    for name in family_ids()
    for i, s in enumerate(
        (*blade_curves(family(name)).edge, *blade_curves(family(name)).spine, *handle_back(family(name).handle),
         *butt(family(name).handle), *handle_belly(family(name).handle))
    )
    if isinstance(s, Bezier)
]  # fmt: skip


def curve_of(name, i):
    t = family(name)
    curves = blade_curves(t)
    return (*curves.edge, *curves.spine, *handle_back(t.handle), *butt(t.handle), *handle_belly(t.handle))[i]


def away(curve, path):
    """Largest distance between a Bezier and the arcs fitted to it, measured both ways."""
    exact = bezier_points(curve, np.linspace(0, 1, 2001))
    arcs = np.vstack([segment_points(s, 0.0002) for s in path.segments] + [np.array([path.segments[-1].end])])
    there = LineString(arcs).distance(shapely_points(exact)).max()
    return max(there, LineString(exact).distance(shapely_points(arcs)).max())


def turn(a, b):
    """The angle between two directions."""
    return abs((b - a + pi) % (2 * pi) - pi)


def kinks(path):
    for a, b in pairwise(path.segments):
        yield turn(tangents(a)[1], tangents(b)[0])


@given(st.sampled_from(CURVES), st.sampled_from((0.01, 0.05, 0.002)))
def test_the_arcs_of_a_knifes_curves_stray_no_further_than_the_tolerance(which, tolerance):
    curve = curve_of(*which)
    path = with_arcs(Path((curve,), closed=False), tolerance)
    assert all(isinstance(s, (Arc, Line)) for s in path.segments)
    assert away(curve, path) <= tolerance


@given(numbers(20, 250), numbers(2, 60), numbers(0.35, 0.9), numbers(0.2, 0.95))
@settings(max_examples=tries(30, 240))
def test_the_arcs_of_any_single_sweep_stay_near_and_smooth(length, drop, fullness, where):
    curve = quarter((length, -drop), (length * where, 0.0), (0.0, 0.0), fullness)
    path = with_arcs(Path((curve,), closed=False))
    assert away(curve, path) <= 0.01
    assert max(kinks(path), default=0.0) < 1e-6


@given(st.sampled_from(CURVES))
def test_arcs_meet_without_a_kink_and_keep_the_ends_and_their_directions(which):
    curve = curve_of(*which)
    path = with_arcs(Path((curve,), closed=False))
    assert max(kinks(path), default=0.0) < 1e-4
    assert (path.segments[0].start, path.segments[-1].end) == (curve.start, curve.end)
    assert turn(tangents(path.segments[0])[0], tangents(curve)[0]) == pytest.approx(0, abs=1e-6)
    assert turn(tangents(path.segments[-1])[1], tangents(curve)[1]) == pytest.approx(0, abs=1e-6)


@given(st.sampled_from(CURVES))
def test_every_arc_begins_where_the_last_one_ended(which):
    path = with_arcs(Path((curve_of(*which),), closed=False))
    assert all(a.end == b.start for a, b in zip(path.segments, path.segments[1:], strict=False))


def test_a_whole_outline_takes_tens_of_arcs_not_hundreds(tools):
    from workbook.template.shape import shape

    for name in family_ids():
        assert len(with_arcs(shape(family(name), tools).outline).segments) < 90


def test_lines_and_arcs_are_left_as_they_are():
    path = Path((Line((0.0, 0.0), (5.0, 0.0)), Arc((5.0, 0.0), (0.0, 0.0), 1.0)))
    assert with_arcs(path) == path


def test_a_curve_with_a_bend_both_ways_is_followed():
    curve = Bezier((0.0, 0.0), (40.0, 30.0), (20.0, -30.0), (60.0, 0.0))
    path = with_arcs(Path((curve,), closed=False))
    assert away(curve, path) <= 0.01


def test_a_straight_bezier_stays_straight():
    path = with_arcs(Path((Bezier((0.0, 0.0), (10.0, 0.0), (20.0, 0.0), (30.0, 0.0)),), closed=False))
    assert np.abs(flatten(path)[:, 1]).max() < 1e-9
