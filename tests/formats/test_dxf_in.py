"""Outlines from DXF files made by other programs: curves, gaps and units."""

from math import cos, pi, sin

import ezdxf
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.formats.dxf_drawings import CORNERS, PENTAGON, STADIUM, area, pentagon, stadium, template
from workbook.geometry.path import Arc, flatten
from workbook.problems import JobError


def test_loose_lines_become_the_outline(drawing):
    assert area(drawing(pentagon)) == pytest.approx(PENTAGON)


@pytest.mark.parametrize("close", [True, False])
def test_a_polyline_with_bulges_keeps_its_arcs(drawing, close):
    found = drawing(lambda space: stadium(space, close))
    assert area(found) == pytest.approx(STADIUM, rel=5e-5)
    assert sum(isinstance(s, Arc) for s in found.outline.segments) == 2


@pytest.mark.parametrize("close", [True, False])
def test_an_old_polyline_is_read_as_well(drawing, close):
    rows = [(20, 0, 0), (180, 0, 1), (180, 40, 0), (20, 40, 1)] + ([] if close else [(20, 0, 0)])
    found = drawing(lambda space: space.add_polyline2d(rows, format="xyb", close=close), version="R12", unit="mm")
    assert area(found) == pytest.approx(STADIUM, rel=5e-5)


def test_lines_and_arcs_are_joined(drawing):
    def draw(space):
        space.add_line((20, 0), (180, 0))
        space.add_arc((180, 20), 20, 270, 90)
        space.add_line((20, 40), (180, 40))
        space.add_arc((20, 20), 20, 90, 270)

    found = drawing(draw)
    assert area(found) == pytest.approx(STADIUM, rel=5e-5)
    assert sum(isinstance(s, Arc) for s in found.outline.segments) == 2


def test_circles_are_holes_where_they_are(drawing):
    def draw(space):
        stadium(space)
        for x in (60, 100, 140):
            space.add_circle((x, 20), 3)

    found = drawing(draw)
    assert np.allclose(sorted(c for c, _ in found.circles), [(60.0, 20.0), (100.0, 20.0), (140.0, 20.0)])
    assert [d for _, d in found.circles] == pytest.approx([6.0, 6.0, 6.0], abs=1e-4)


def test_a_hole_of_two_arcs_is_a_hole(drawing):
    def draw(space):
        stadium(space)
        space.add_arc((60, 20), 3, 0, 180)
        space.add_arc((60, 20), 3, 180, 360)

    ((centre, diameter),) = drawing(draw).circles
    assert (centre, diameter) == (pytest.approx((60.0, 20.0), abs=1e-4), pytest.approx(6.0, abs=1e-4))


def test_an_ellipse_is_followed_within_a_hundredth(drawing):
    found = drawing(lambda space: space.add_ellipse((100, 20), (100, 0), 0.2))
    points = flatten(found.outline)
    away = np.abs(np.hypot((points[:, 0] - 100) / 100, (points[:, 1] - 20) / 20) - 1) * 20
    assert away.max() < 0.01
    assert area(found) == pytest.approx(pi * 100 * 20, rel=1e-3)


def test_a_spline_is_followed_and_closed(drawing):
    ring = [(100 + 90 * cos(a), 20 + 18 * sin(a)) for a in np.linspace(0, 2 * pi, 40)]
    found = drawing(lambda space: space.add_spline(ring))
    assert area(found) == pytest.approx(pi * 90 * 18, rel=0.01)


@given(st.permutations(range(5)), st.lists(st.booleans(), min_size=5, max_size=5))
@settings(max_examples=10)
def test_lines_in_any_order_and_direction_make_the_outline(tmp_path_factory, order, turned):
    document = ezdxf.new()
    document.header["$INSUNITS"] = 4
    sides = list(zip(CORNERS, CORNERS[1:] + CORNERS[:1], strict=True))
    for i in order:
        document.modelspace().add_line(*(sides[i][::-1] if turned[i] else sides[i]))
    file = tmp_path_factory.mktemp("dxf") / "drawn.dxf"
    document.saveas(file)
    assert area(template(file)) == pytest.approx(PENTAGON)


@pytest.mark.parametrize(("gap", "scale", "code"), [(0.09, 1.0, 4), (0.0035, 1 / 25.4, 1)])
def test_gaps_up_to_a_tenth_of_a_millimetre_are_closed_and_told(drawing, gap, scale, code):
    found = drawing(lambda space: pentagon(space, scale, gap), code)
    assert area(found) == pytest.approx(PENTAGON, rel=1e-3)
    assert any("closed 5 gaps, the widest 0.09" in r or "closed 5 gaps, the widest 0.089" in r for r in found.remarks)


def test_a_wider_gap_is_refused_with_its_place(drawing):
    def draw(space):
        pentagon(space)
        space.delete_entity(space[-1])
        space.add_line((0, 30), (0, 0.5))

    with pytest.raises(
        JobError, match=r"open between \(0\.00, 0\.00\) and \(0\.00, 0\.50\) mm|open between \(0\.00, 0\.50\) and"
    ):
        drawing(draw)


@pytest.mark.parametrize(("code", "mm"), [(1, 25.4), (4, 1.0), (5, 10.0), (9, 0.0254), (13, 0.001), (14, 100.0)])
def test_the_unit_is_the_files(drawing, code, mm):
    """DXF reference, $INSUNITS: 1 inch, 4 mm, 5 cm, 9 mil, 13 micrometre, 14 dm."""
    found = drawing(lambda space: pentagon(space, 1 / mm), code)
    assert area(found) == pytest.approx(PENTAGON, rel=1e-6)


def test_a_unit_asked_for_serves_a_file_without_one(drawing):
    found = drawing(lambda space: pentagon(space, 1 / 25.4), 0, "in")
    assert area(found) == pytest.approx(PENTAGON, rel=1e-6)
    assert "read as in, as the job says" in found.remarks


def test_a_unit_asked_for_against_the_files_is_refused(drawing):
    with pytest.raises(JobError, match="says that 1 unit is 1 mm, but the job says in"):
        drawing(lambda space: pentagon(space, 1 / 25.4), 4, "in")


@pytest.mark.parametrize("code", [0, 3, 20])
def test_a_file_without_a_unit_asks_for_it(drawing, code):
    with pytest.raises(JobError, match=r"has no unit\. In a job file, write units"):
        drawing(pentagon, code)


def test_a_file_in_the_wrong_unit_is_noticed(drawing):
    with pytest.raises(JobError, match="Is the unit right"):
        drawing(lambda space: pentagon(space, 1 / 25.4))
