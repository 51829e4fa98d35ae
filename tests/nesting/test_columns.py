"""Columns and clash intervals: safe, and exact where the shape allows."""

from math import pi

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from tests.strategies import nesting_jobs, numbers, rings
from workbook.nesting.fits import STEP
from workbook.nesting.plain.columns import ColumnTables, columns, pose


@given(rings(), numbers(0, 3))
def test_columns_enclose_the_polygon(ring, before):
    start = float(ring[:, 0].min()) - before
    low, high = columns(ring, start)
    shape = Polygon(ring)
    for i, (bottom, top) in enumerate(zip(low, high, strict=True)):
        x0, x1 = start + i * STEP, start + (i + 1) * STEP
        strip = shape.intersection(Polygon([(x0, -99), (x1, -99), (x1, 99), (x0, 99)]))
        if strip.area > 1e-9:
            assert bottom <= strip.bounds[1] + 1e-9
            assert top >= strip.bounds[3] - 1e-9


@given(rings())
def test_columns_are_no_wider_than_the_polygon(ring):
    start = float(ring[:, 0].min())
    low, high = columns(ring, start)
    assert low.min() == pytest.approx(ring[:, 1].min())
    assert high.max() == pytest.approx(ring[:, 1].max())


def test_columns_of_a_slope_are_exact_at_the_column_borders():
    low, high = columns(np.array([(0.0, 0.0), (4.0, 0.0), (4.0, 2.0)]), 0.0)
    assert low.tolist()[:4] == [0.0, 0.0, 0.0, 0.0]
    assert high.tolist()[:4] == [0.5, 1.0, 1.5, 2.0]


@given(nesting_jobs(), st.integers(-40, 40), numbers(-1.0, 1.0))
def test_poses_outside_the_clash_interval_keep_their_distance(job, shift, beyond):
    """At any shift, just under and just over the interval, the finished outlines are the separation apart."""
    tables = ColumnTables(job)
    fixed, moving = tables.poses[0][0], tables.poses[-1][1]
    under, over = tables.clash(fixed, moving)
    at = shift % len(under)
    for height in (under[at] - 1e-6, over[at] + 1e-6):
        assert distance(job, fixed, moving, at - (len(moving.low) - 1), height) >= job.separation - 1e-6


@given(nesting_jobs())
def test_two_blanks_seen_from_the_other_clash_likewise(job):
    tables = ColumnTables(job)
    fixed, moving = tables.poses[0][0], tables.poses[-1][1]
    tables.clash(fixed, moving)
    for kept, made in zip(tables.clash(moving, fixed), ColumnTables(job).clash(moving, fixed), strict=True):
        assert kept == pytest.approx(made)


def distance(job, fixed, moving, columns_along, height):
    """Distance of two finished outlines (or hulls) so many columns apart at their lower ends."""
    first, second = placed(job, fixed, 0.0, 0.0), placed(job, moving, columns_along * STEP, height)
    if job.hulls:
        first, second = first.convex_hull, second.convex_hull
    return first.distance(second)


def placed(job, posed, x, y):
    c, s = np.cos(posed.angle), np.sin(posed.angle)
    flip = -1.0 if posed.mirrored else 1.0
    turned = job.parts[posed.part].outline @ np.array([[c, -s * flip], [s, c * flip]]).T
    return Polygon(np.add(turned, (x - posed.extent[0], y)))


@given(nesting_jobs())
@settings(max_examples=8)
def test_every_part_has_its_turned_and_mirrored_poses(job):
    each = 12 if job.tilt else 4
    assert [len(poses) for poses in ColumnTables(job).poses] == [each] * len(job.parts)
    assert {round(p.angle, 6) for p in ColumnTables(job).poses[0]} >= {0.0, round(pi, 6)}


@given(nesting_jobs())
@settings(max_examples=8)
def test_half_a_turn_keeps_the_reach(job):
    assert pose(job, 0, 0.0, False).reach == pytest.approx(pose(job, 0, pi, False).reach)


def test_a_segment_along_a_column_border_is_in_the_columns():
    low, high = columns(np.array([(0.0, 0.0), (2.0, 0.0), (2.0, 5.0), (0.0, 5.0)]), 0.0)
    assert (low.min(), high.max(), len(low)) == (0.0, 5.0, 2)
    assert LineString([(0, low[0]), (0, high[0])]).length == 5.0
