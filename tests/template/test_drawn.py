"""Outlines from files: which loop is the outline, which are holes, what is refused."""

import numpy as np
import pytest
from shapely import LineString, Point

from workbook.geometry.loops import LayerCurve, Loops
from workbook.geometry.path import Path, circle, polyline, reverse
from workbook.problems import JobError
from workbook.template.checks import check
from workbook.template.drawn import assemble, shape_of_drawn

PLATE = polyline([(0.0, 0.0), (200.0, 0.0), (200.0, 30.0), (0.0, 30.0)], closed=True)
SLOT = polyline([(60.0, 10.0), (90.0, 10.0), (90.0, 20.0), (60.0, 20.0)], closed=True)


def drawn(*paths, open_paths=(), **counts):
    closed, loose = [LayerCurve(path) for path in paths], [LayerCurve(path) for path in open_paths]
    return assemble(Loops(closed=closed, open=loose, **counts), "old.dxf", [])


def test_the_largest_loop_is_the_outline_and_circles_in_it_are_holes():
    found = drawn(circle((20.0, 15.0), 2.5), SLOT, PLATE)
    assert found.outline == PLATE
    assert found.circles == (((20.0, 15.0), 5.0),)
    assert found.openings == (SLOT,)


def test_a_clockwise_outline_is_turned_round():
    assert drawn(reverse(PLATE)).outline == PLATE


def test_a_circle_larger_than_an_inch_is_an_opening():
    wide = polyline([(0.0, 0.0), (200.0, 0.0), (200.0, 60.0), (0.0, 60.0)], closed=True)
    found = drawn(wide, circle((50.0, 30.0), 13.0))
    assert (len(found.circles), len(found.openings)) == (0, 1)


def test_a_polygon_of_few_sides_is_not_a_hole():
    hexagon = polyline([(25.0, 15.0), (22.5, 19.3), (17.5, 19.3), (15.0, 15.0), (17.5, 10.7), (22.5, 10.7)], closed=True)
    assert drawn(PLATE, hexagon).circles == ()


def test_a_hole_keeps_the_size_drawn_and_gets_the_name_of_its_drill(tools):
    """1/4 in is 6.35 mm by definition; no drill is within 0.03 mm of 5.1 mm but #7, 0.2010 in (ASME B94.11M)."""
    blank = shape_of_drawn(drawn(PLATE, circle((20.0, 15.0), 3.175), circle((180.0, 15.0), 2.55)), tools)
    assert [(hole.mark, hole.drill.label) for hole in blank.holes] == [("H1", "#7"), ("H2", "1/4")]
    assert [hole.diameter for hole in blank.holes] == pytest.approx([5.1, 6.35], abs=1e-4)


def test_a_hole_no_drill_makes_is_named_by_its_size(tools):
    (hole,) = shape_of_drawn(drawn(PLATE, circle((20.0, 15.0), 2.57)), tools).holes
    assert (hole.drill.label, hole.diameter) == ("5.14 mm", pytest.approx(5.14, abs=1e-4))


def test_holes_of_a_drawn_outline_are_checked_as_any_other(tools):
    blank = shape_of_drawn(drawn(PLATE, circle((20.0, 26.0), 2.5)), tools)
    assert [p.severity.value for p in check(blank, tools)] == ["warn"]


@pytest.mark.parametrize(
    ("paths", "open_paths", "words"),
    [
        ((), (), "has no outline"),
        ((), (Path(PLATE.segments[:3], closed=False),), r"open between \(0.00, 0.00\) and \(0.00, 30.00\) mm"),
        ((PLATE, polyline([(300.0, 0.0), (450.0, 0.0), (450.0, 30.0), (300.0, 30.0)], closed=True)), (), "more than one outline"),
        ((polyline([(0.0, 0.0), (200.0, 30.0), (200.0, 0.0), (0.0, 31.0)], closed=True),), (), r"crosses itself at \("),
        ((polyline([(0.0, 0.0), (7.0, 0.0), (7.0, 1.0)], closed=True),), (), "is 7 mm long"),
        ((polyline([(0.0, 0.0), (1501.0, 0.0), (0.0, 9.0)], closed=True),), (), "is 1,501 mm long"),
        ((PLATE, polyline([(190.0, 10.0), (210.0, 10.0), (210.0, 14.0), (190.0, 14.0)], closed=True)), (), "crosses the outline"),
    ],
)
def test_what_is_no_single_sound_outline_is_refused_with_the_place(paths, open_paths, words):
    with pytest.raises(JobError, match=words):
        drawn(*paths, open_paths=open_paths)


def test_repairs_are_told():
    small = circle((300.0, 10.0), 3.0)
    found = drawn(PLATE, small, open_paths=(polyline([(0.0, 50.0), (9.0, 50.0)]),), gaps_closed=2, widest_gap=0.05, doubled=1)
    assert found.remarks[0].startswith("the outline is ")
    assert found.remarks[1:] == (
        "closed 2 gaps, the widest 0.050 mm",
        "removed 1 doubled piece",
        "left out 1 open chain",
        "left out 1 small loop outside the outline",
    )


def test_an_outline_of_thousands_of_points_keeps_the_corners_that_matter():
    """Points 0.3 mm apart on an ellipse, a straight back and a sharp corner: every one left out lies within 0.005 mm."""
    turn = np.linspace(-np.pi / 2, np.pi / 2, 1500)
    points = [*zip(200.0 + 40.0 * np.cos(turn), 20.0 + 20.0 * np.sin(turn), strict=True)]
    points += [(x, 40.0) for x in np.linspace(199.0, 0.0, 500)] + [(0.0, 0.0)]
    found = drawn(polyline(points, closed=True), SLOT)
    kept = {segment.start for segment in found.outline.segments}
    assert {(0.0, 40.0), (0.0, 0.0)} < kept < set(points)
    assert len(kept) < 200
    line = LineString([*(segment.start for segment in found.outline.segments), found.outline.segments[0].start])
    assert max(line.distance(Point(point)) for point in points) <= 0.005
    assert f"left out {2001 - len(kept)} corners that lie within 0.005 mm of the line without them" in found.remarks
    assert found.openings == (SLOT,)
