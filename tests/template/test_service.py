"""A blank made ready for a cutting service: holes, kerf, tabs; offsets and tabs of plain figures known beforehand."""

from itertools import pairwise
from math import pi

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from shapely.geometry import LineString, Point, Polygon

from workbook.formats.family import family
from workbook.geometry.offset import moved_out
from workbook.geometry.path import Arc, Line, Path, circle, flatten, path_length, polyline
from workbook.geometry.tabs import tabbed
from workbook.template.cut_blank import cut_blank, fit_of
from workbook.template.service import Service
from workbook.template.shape import shape

SQUARE = polyline([(0, 0), (40, 0), (40, 40), (0, 40)], closed=True)
NOTCHED = polyline([(0, 0), (40, 0), (40, 40), (25, 40), (25, 20), (15, 20), (15, 40), (0, 40)], closed=True)


def area(path):
    return Polygon(flatten(path, 0.0005)).area


def test_a_square_moved_out_is_larger_by_its_sides_and_quarter_rounds():
    """a^2 + 4 a d + pi d^2 (Steiner's formula); four lines and four arcs."""
    moved = moved_out(SQUARE, 2.0)
    assert area(moved) == pytest.approx(1600 + 320 + 4 * pi, rel=1e-4)
    assert [type(s) for s in moved.segments] == [Line, Arc] * 4


def test_a_square_moved_in_keeps_its_corners():
    moved = moved_out(SQUARE, -2.0)
    assert area(moved) == pytest.approx(36 * 36)
    assert all(isinstance(s, Line) for s in moved.segments)


def test_a_circle_moved_out_is_a_circle():
    """pi (r + d)^2."""
    assert area(moved_out(circle((3, 4), 10.0), 0.5)) == pytest.approx(pi * 10.5**2, rel=1e-4)


def test_a_slot_moved_out_is_narrower_until_it_would_close():
    assert area(moved_out(NOTCHED, 1.0)) == pytest.approx(Polygon(flatten(NOTCHED)).buffer(1.0, quad_segs=64).area, rel=1e-4)
    with pytest.raises(ValueError, match="close up"):
        moved_out(NOTCHED, 6.0)


def test_an_inside_radius_that_is_too_small_is_refused_in_words():
    rows = [(0.0, 0.0), (40.0, 0.0), (40.0, 30.0), (22.0, 30.0)]
    sides = [Line(a, b) for a, b in pairwise(rows)]
    round_notch = Arc((22.0, 30.0), (18.0, 30.0), -1.0)
    path = Path((*sides, round_notch, Line((18.0, 30.0), (0.0, 30.0)), Line((0.0, 30.0), (0.0, 0.0))))
    assert area(moved_out(path, 1.0)) > area(path)
    with pytest.raises(ValueError, match=r"inside radius of 2\.00 mm"):
        moved_out(path, 2.5)


@given(st.integers(1, 8), st.floats(0.3, 4.0))
def test_tabs_are_so_many_of_that_width_and_evenly_spread(count, width):
    pieces = tabbed(SQUARE, count, width)
    assert len(pieces) == count
    assert sum(map(path_length, pieces)) == pytest.approx(160 - count * width)
    for piece, following in zip(pieces, (*pieces[1:], pieces[0]), strict=True):
        gap = np.hypot(*np.subtract(following.segments[0].start, piece.segments[-1].end))
        assert gap <= width + 1e-6
        assert path_length(piece) == pytest.approx(160 / count - width)
    ring = Polygon([(0, 0), (40, 0), (40, 40), (0, 40)]).exterior
    assert all(ring.distance(Point(place)) < 1e-9 for piece in pieces for place in flatten(piece))


def test_tabs_keep_off_the_cutting_edge(tools):
    blank = shape(family("petty"), tools)
    cut = cut_blank(blank, Service(tabs=3, tab=1.0))
    edge = LineString(flatten(Path(blank.curves.edge, closed=False), 0.01))
    whole = Polygon(flatten(blank.outline, 0.001)).exterior
    gaps = [s for i, p in enumerate(cut.outline) for s in (p.segments[-1].end, cut.outline[(i + 1) % 3].segments[0].start)]
    assert min(edge.distance(LineString([gap, gap])) for gap in gaps) > 3
    assert max(whole.distance(LineString([gap, gap])) for gap in gaps) < 0.01
    assert cut.pierces == 3 + len(blank.holes)


def test_too_many_tabs_are_refused_in_words():
    with pytest.raises(ValueError, match="too little to cut"):
        tabbed(SQUARE, 20, 3.0)


def test_holes_are_cut_under_size_or_left_to_the_drill(tools):
    """Pins and bolts of 3.2 to 6.35 mm in 2 mm steel; a service that cuts nothing under 2.5 times that leaves some."""
    blank = shape(family("petty"), tools)
    cut = cut_blank(blank, Service(hole_share=2.5, drilled_under=0.5))
    least = 2.5 * blank.thickness
    assert {h.mark for h in cut.left_out} == {h.mark for h in blank.holes if h.diameter - 0.5 < least}
    assert cut.left_out
    assert cut.circles
    sizes = dict(cut.circles)
    for hole in blank.holes:
        assert (hole in cut.left_out) or sizes[hole.centre] == pytest.approx(hole.diameter - 0.5)


def test_slender_blanks_are_fitted_closer():
    assert fit_of(SQUARE) == 0.005
    assert fit_of(polyline([(0, 0), (400, 0), (400, 4), (0, 4)], closed=True)) == pytest.approx(0.00055 * 1600 / 808)
