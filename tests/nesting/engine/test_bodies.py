"""Bodies: together they cover the outline and little more."""

from math import cos, pi, sin

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from shapely import union_all
from shapely.geometry import MultiPoint, Polygon

from tests.nesting.engine.conftest import CROSS, HOOK, WEDGE
from workbook.nesting.engine.bodies import MOST_BODIES, SMALL_POCKET, bodies


def area(body):
    """What a body covers: its slabs, each a convex quadrilateral or less."""
    slabs = zip(body.x, body.x[1:], body.y, strict=False)
    return union_all([MultiPoint([(x0, a), (x1, b), (x0, c), (x1, d)]).convex_hull for x0, x1, (a, b, c, d) in slabs])


@st.composite
def stars(draw):
    """Outlines seen whole from their middle, some of them very jagged."""
    radii = draw(st.lists(st.floats(5.0, 60.0), min_size=5, max_size=14))
    turns = [(2 * pi * (i + 0.25) / len(radii)) for i in range(len(radii))]
    return np.array([(r * cos(t), r * sin(t)) for r, t in zip(radii, turns, strict=True)])


def test_a_blade_along_the_bar_is_one_body(petty, chefs):
    assert [len(bodies(petty)), len(bodies(chefs)), len(bodies(WEDGE))] == [1, 1, 1]


def test_a_hook_is_cut_where_its_sections_part():
    found = bodies(HOOK)
    assert len(found) > 1
    assert union_all([area(b) for b in found]).area == approx(Polygon(HOOK).area)


@given(stars())
def test_bodies_cover_the_outline(outline):
    shape = Polygon(outline)
    covered = union_all([area(b) for b in bodies(outline)])
    assert shape.difference(covered.buffer(1e-6)).area < 1e-6


@given(stars())
def test_there_are_never_many(outline):
    assert 1 <= len(bodies(outline)) <= MOST_BODIES


def test_a_small_pocket_is_filled_and_a_large_one_is_not():
    notch = np.array([(0, 0), (100, 0), (100, 40), (50, 40), (50, 20), (49, 21), (49, 40), (0, 40)], float)
    undercut = np.array([(0, 0), (100, 0), (100, 40), (60, 40), (60, 20), (55, 19.9), (59.5, 22), (59.5, 40), (0, 40)], float)
    assert len(bodies(notch)) == 1  # straight down: no pocket at all
    added = union_all([area(b) for b in bodies(undercut)]).area - Polygon(undercut).area
    assert len(bodies(undercut)) == 1
    assert 0 < added < SMALL_POCKET * Polygon(undercut).area * 3


def test_a_cross_standing_up_is_one_body_and_lying_more():
    assert len(bodies(CROSS)) == 1
    assert len(bodies(CROSS[:, ::-1])) >= 1
