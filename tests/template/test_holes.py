"""Holes: patterns to places, marks and drills."""

import itertools

import pytest

from workbook.formats.family import family
from workbook.structs import replace
from workbook.template.drills import Drill, nearest_drill, smallest_drill
from workbook.template.handle import middle
from workbook.template.holes import holes
from workbook.template.model import HolePattern, HoleWish, Purpose, TangForm
from workbook.template.parameters import changed
from workbook.template.shape import loops, punch_marks, shape
from workbook.template.tools import drills_for

PETTY = family("petty")
LENGTH = PETTY.handle.length
SERIES = tuple(Drill(f"{d} mm", d, "metric") for d in (4.0, 4.5, 5.0, 6.0))


def placed(tools, *patterns):
    return holes(replace(PETTY, patterns=patterns), tools)


def pattern(**values):
    return HolePattern(**{"purpose": Purpose.PIN, "size": 4.0, **values})


def test_a_row_runs_from_its_first_to_its_last_place(tools):
    found = placed(tools, pattern(count=3, first=20.0, last=24.0))
    assert [hole.centre[0] for hole in found] == pytest.approx([-20.0, -(20.0 + LENGTH - 24.0) / 2, -(LENGTH - 24.0)])


def test_holes_lie_on_the_handles_middle_line(tools):
    for hole in placed(tools, pattern(count=4)):
        assert hole.centre[1] == pytest.approx(middle(PETTY.handle, hole.centre[0]))


def test_a_single_hole_is_measured_from_the_front_or_from_the_butt(tools):
    assert placed(tools, pattern(first=31.0))[0].centre[0] == -31.0
    assert placed(tools, pattern(last=14.0, from_butt=True))[0].centre[0] == pytest.approx(14.0 - LENGTH)


def test_filling_holes_leave_their_web_on_both_sides(tools):
    rows = (pattern(count=2, first=20.0, last=20.0), pattern(purpose=Purpose.EPOXY, size=8.0, count=9, fill=True, web=3.0))
    found = placed(tools, *rows)
    assert len(found) == 2 + int((LENGTH - 40 - 4 - 2 * 3 + 3) // 11)
    for a, b in itertools.pairwise(found):
        assert a.centre[0] - b.centre[0] - (a.size + b.size) / 2 >= 3.0 - 1e-9


def test_nothing_fills_a_space_too_small_for_it(tools):
    rows = (pattern(count=2, first=50.0, last=LENGTH - 60.0), pattern(purpose=Purpose.EPOXY, size=8.0, fill=True, web=3.0))
    assert [hole.purpose for hole in placed(tools, *rows)] == [Purpose.PIN, Purpose.PIN]


def test_marks_count_each_purpose_from_the_front(tools):
    assert [hole.mark for hole in holes(PETTY, tools)] == ["B1", "E1", "P1", "E2", "B2"]


def test_holes_given_one_by_one_replace_the_pattern(tools):
    wishes = (HoleWish(purpose=Purpose.BOLT, size=5.0, x=-60.0, y=1.0), HoleWish(purpose=Purpose.BOLT, size=5.0, x=-20.0, y=0.0))
    found = holes(replace(PETTY, holes=wishes), tools)
    assert [(hole.mark, hole.centre) for hole in found] == [("B1", (-20.0, 0.0)), ("B2", (-60.0, 1.0))]
    assert holes(replace(PETTY, holes=()), tools) == ()


def test_the_smallest_drill_is_at_least_the_size():
    assert smallest_drill(SERIES, 4.2).diameter == 4.5
    assert smallest_drill(SERIES, 4.5).diameter == 4.5
    assert smallest_drill(SERIES, 9.0).diameter == 6.0


def test_the_nearest_drill_may_be_smaller():
    assert [nearest_drill(SERIES, d).diameter for d in (3.0, 4.2, 4.3, 5.4, 5.6, 9.0)] == [4.0, 4.0, 4.5, 5.0, 6.0, 6.0]


def test_a_scale_hole_is_a_thou_over_its_pin_and_the_tang_hole_the_makers_clearance_more(tools):
    """3/16 in: #12 (0.189) clears 0.0015 in; 0.001 + 0.005 in over 0.1875 is 0.1935 in, #10 exactly (ASME B94.11M)."""
    wish = HoleWish(purpose=Purpose.BOLT, size=4.7625, x=-20.0, y=0.0)
    (hole,) = holes(replace(PETTY, holes=(wish,)), tools)
    assert hole.scale_drill.label == "#12"
    assert hole.drill.label == "#10"
    assert hole.diameter == hole.drill.diameter


def test_an_epoxy_hole_has_no_hole_in_the_scale(tools):
    wish = HoleWish(purpose=Purpose.EPOXY, size=6.35, x=-20.0, y=0.0)
    (hole,) = holes(replace(PETTY, holes=(wish,)), tools)
    assert hole.scale_drill is None
    assert hole.drill.label == "1/4"


def test_a_metric_maker_gets_metric_drills(tools):
    from workbook.formats.tables import facts

    assert {d.series for d in drills_for(facts().drills, "mm")} == {"metric"}
    assert {d.series for d in tools.drills} == {"number", "letter", "fraction"}


def test_a_drill_is_named_with_its_size_beside_it():
    number = Drill("#12", 0.189 * 25.4, "number")
    assert number.named("in") == "#12 (0.189)"
    assert number.named("mm") == "#12 (4.80)"
    assert SERIES[0].named("mm") == "4.0 mm"


def test_the_first_and_the_last_hole_place_a_blank(tools):
    blank = shape(PETTY, tools)
    assert punch_marks(blank) == (blank.holes[0].centre, blank.holes[-1].centre)
    point, butt = punch_marks(shape(family("kiridashi"), tools))
    assert (point[0], butt[0]) == (pytest.approx(42, abs=0.01), pytest.approx(-105, abs=0.01))


def test_every_loop_to_be_cut_is_told_the_outline_first(tools):
    blank = shape(changed(family("drop-point-hunter"), "tang.form", TangForm.SKELETON), tools)
    found = loops(blank)
    assert found[0] == blank.outline
    assert len(found) == 1 + len(blank.openings) + len(blank.holes)
    assert len(blank.openings) >= 1
