"""In what order the lines between blanks are sawn, with how few turns, and how long a bar takes at the saw."""

from itertools import pairwise, permutations, product
from math import pi

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon

from tests.counts import tries
from tests.sheets.test_bar_by_hand import RUN, S1, blank, plan, rectangle
from workbook.geometry.drawing import Text
from workbook.nesting.cuts import CutGroup, CutPlan
from workbook.nesting.offcuts import SideOffcut
from workbook.sheets.bar import Between, between
from workbook.sheets.bar_order import in_saw_order, time_at_saw
from workbook.sheets.bar_saw import Way, saw_order, saw_time
from workbook.sheets.bar_sheet import all_pages
from workbook.structs import replace
from workbook.tasks.tables_out import cut_rows

BAR = (400.0, 60.0)


def test_lines_that_all_begin_at_one_end_take_no_turn():
    lines = [((0.0, 20.0), (150.0, 22.0)), ((0.0, 40.0), (170.0, 38.0))]
    assert saw_order(lines, (), BAR).turns == 0


def test_a_line_from_end_b_is_sawn_after_the_only_turn():
    """The first and third are open at end A, the second at end B only."""
    lines = [((0.0, 20.0), (150.0, 20.0)), ((260.0, 30.0), (400.0, 30.0)), ((0.0, 45.0), (180.0, 45.0))]
    order = saw_order(lines, (), BAR)
    assert order.turns == 1
    assert order.numbers in ((0, 2, 1), (1, 0, 2))


def test_a_line_that_begins_on_another_waits_for_it():
    """The branch leaves the line along the bar at 100 and ends at a blank: it is sawn after that line, with no turn."""
    along, branch = ((0.0, 30.0), (200.0, 30.0)), ((100.0, 30.0), (190.0, 45.0))
    order = saw_order([branch, along], (), BAR)
    assert (order.numbers, order.turns) == ((1, 0), 0)


def test_a_line_may_begin_at_a_straight_cut_and_one_across_needs_the_piece_across():
    cut, along, across = ((200.0, 0.0), (200.0, 60.0)), ((50.0, 30.0), (200.0, 30.0)), ((50.0, 0.0), (52.0, 30.0))
    order = saw_order([along, across], [cut], BAR)
    assert sorted(order.numbers) == [0, 1]
    assert order.turns == 1


def test_a_line_that_begins_nowhere_comes_last():
    inside, open_line = ((100.0, 30.0), (150.0, 30.0)), ((0.0, 10.0), (90.0, 10.0))
    assert saw_order([inside, open_line], (), BAR).numbers == (1, 0)


def ways_of(line):
    """As the way is worked out here: along the bar, it is begun at its left end with end A first, at its right with end B."""
    (x0, y0), (x1, y1) = line
    if abs(x1 - x0) < abs(y1 - y0):
        return {Way.ACROSS: (line[0], line[1])}
    return {Way.END_A: (min(line),), Way.END_B: (max(line),)}


def fewest(lines):
    """The fewest turns, by trying every order and every way of each line."""
    best = None
    for order in permutations(range(len(lines))):
        for ways in product(Way, repeat=len(lines)):
            done, fine = [], True
            for n, way in zip(order, ways, strict=True):
                places = ways_of(lines[n]).get(way, ())
                edges = [LineString([(0, 0), (400, 0), (400, 60), (0, 60), (0, 0)]), *(LineString(lines[k]) for k in done)]
                if not any(edge.distance(LineString([place, place])) < 0.05 for edge in edges for place in places):
                    fine = False
                    break
                done.append(n)
            if fine:
                turns = sum(a != b for a, b in pairwise(ways))
                best = turns if best is None else min(best, turns)
    return best


@st.composite
def combs(draw):
    """A few lines: each begins at an edge, or on one drawn before."""
    lines = []
    for n in range(draw(st.integers(1, 3))):
        starts = [(0.0, draw(st.integers(5, 55))), (400.0, draw(st.integers(5, 55))), (draw(st.integers(50, 350)), 0.0)]
        starts += [((a[0] + b[0]) / 2, (a[1] + b[1]) / 2) for a, b in lines]
        begin = draw(st.sampled_from(starts))
        end = (draw(st.integers(20, 380)) + 0.25 + n / 10, draw(st.integers(8, 52)) + 0.5)
        lines.append(((float(begin[0]), float(begin[1])), end))
    return [tuple(sorted(line)) for line in lines]


@given(combs())
@settings(max_examples=tries(40, 300), deadline=None)
def test_no_order_has_fewer_turns(lines):
    assert saw_order(lines, (), BAR).turns == fewest(lines)


def test_the_time_is_the_length_over_the_feed_by_thickness_with_every_beginning_and_turn():
    """300 mm of lines, 60 of a cut and 140 round a blank are 500: at 50 a minute in 3.175 mm, 20 in twice that thickness.

    Half a minute more for each of two lines, the cut and the way round, and for each of three turns.
    """
    lines, cut = [((0.0, 30.0), (200.0, 30.0)), ((0.0, 10.0), (100.0, 10.0))], [((250.0, 0.0), (250.0, 60.0))]
    found = saw_time(lines, cut, 140.0, 3, 50.0, 6.35)
    assert (found.length, found.turns) == (500.0, 3)
    assert found.minutes == pytest.approx(20.0 + 4 * 0.5 + 3 * 0.5)


def test_round_a_blank_that_lies_alone_all_its_outline_is_sawn():
    """200 by 30 in the middle of a wide bar: 460 round it, and at the corners a whole turn at 2 mm (clean-up, half a kerf)."""
    alone = blank("A", rectangle(100, 100, 300, 130))
    made = plan(
        blanks=(alone,), cuts=CutPlan((), (CutGroup((0,), 100.0, 300.0),)), between=(), size=(2.0, 300.0, 400.0), used=400.0
    )
    assert time_at_saw(made, 0, 100.0).length == pytest.approx(460.0 + 2 * pi * 2.0, rel=1e-3)


def test_beside_cuts_and_edges_nothing_is_sawn_twice():
    """The same blank with a cut across 2 mm before and behind it, and its sides 2 from the edges: only the cuts are sawn."""
    alone = blank("A", rectangle(100, 2, 300, 32))
    made = plan(blanks=(alone,), cuts=CutPlan((302.0, 98.0), (CutGroup((0,), 100.0, 300.0),)), between=(), edge=2.0,
                size=(2.0, 34.0, 400.0), used=400.0, separation=4.0)  # fmt: skip
    assert time_at_saw(made, 0, 100.0).length == pytest.approx(2 * 34.0, abs=0.1)


def test_the_cut_round_an_offcut_in_a_part_begins_at_the_cut_across_and_ends_at_the_edge():
    """Over S1, from the cut across at 220 on: along its lower edge 1 mm outside it, and up behind it at 431."""
    made = plan(beside=(SideOffcut(222.0, 42.0, 160.0, 18.0),))
    cuts = made.straight
    assert [cut.frees is None for cut in cuts] == [True, True, False]
    assert cuts[2].points == ((220.0, 41.0), (383.0, 41.0), (383.0, 60.0))
    assert cuts[2].at == (301.5, 41.0)


def test_an_offcut_along_the_bar_comes_off_before_the_cuts_across_which_end_at_it():
    """A lane under all blanks, 4 wide, to the cut at 435: it is sawn second, and the cut across at 220 begins at its edge."""
    made = plan(beside=(SideOffcut(0.0, 0.0, 434.0, 4.0),))
    first, lane, across = made.straight
    assert first.points == ((435.0, 0.0), (435.0, 60.0))
    assert lane.points == ((0.0, 5.0), (435.0, 5.0))
    assert across.points == ((220.0, 5.0), (220.0, 60.0))


def test_an_offcut_from_an_end_of_the_bar_to_a_cut_across_comes_off_after_that_cut():
    """Under S1, from the cut at 220 to that of the offcut at 435: nothing parts it at 220 before the bar is cut there."""
    made = plan(beside=(SideOffcut(222.0, 0.0, 212.0, 8.0),))
    cuts = made.straight
    assert [cut.frees is None for cut in cuts] == [True, True, False]
    assert cuts[2].points == ((220.0, 9.0), (435.0, 9.0))


def test_all_before_the_first_blank_comes_off_with_one_cut_across():
    made = plan(blanks=(S1,), cuts=CutPlan((435.0,), (CutGroup((0,), 230.0, 430.0),)), between=(),
                beside=(SideOffcut(0.0, 0.0, 227.0, 60.0),))  # fmt: skip
    assert made.straight[1].points == ((228.0, 0.0), (228.0, 60.0))


def test_no_line_between_blanks_runs_out_through_an_offcut_that_is_kept():
    """T1 and T2 end at 210; over the way out to the cut at 220 nothing lies, to the left a lane does, which the line ends at."""
    low, high = blank("A", rectangle(60, 5, 210, 25)), blank("B", rectangle(60, 35, 210, 55))
    made = plan(blanks=(low, high), cuts=CutPlan((220.0,), (CutGroup((0, 1), 60.0, 210.0),)), between=(), used=221.0,
                beside=(SideOffcut(0.0, 0.0, 50.0, 60.0),))  # fmt: skip
    (line,) = between(made, straight=False)
    lane = Polygon([(0, 0), (50, 0), (50, 60), (0, 60)])
    assert LineString(line.points).distance(lane) >= -1e-6
    assert not LineString(line.points).crosses(lane)
    assert line.points[0][0] == pytest.approx(51.0, abs=0.05), "on the cut, half a kerf outside the offcut"


def test_lines_are_numbered_in_the_order_in_which_they_are_sawn():
    early, late = Between("T1", "T2", ((10.0, 30.0), (210.0, 30.0))), Between("T1", "T2", ((0.0, 29.0), (100.0, 29.0)))
    made = plan(between=(early, late))
    order, turns = in_saw_order(made)
    assert order[0] == late, "only it begins at an edge"
    assert turns == 0


def words_of(made):
    return " ".join(
        " ".join(
            mark.text for page in all_pages(RUN, [made], ("scribing",)) for mark in page.marks if isinstance(mark, Text)
        ).split()
    )


def test_the_sheet_and_the_table_tell_offcuts_beside_blanks_and_the_time_at_the_saw():
    made = plan(beside=(SideOffcut(222.0, 42.0, 160.0, 18.0),))
    made = replace(made, at_saw=time_at_saw(made, 2, 50.0))
    said = words_of(made)
    assert "Cut 3 frees the offcut of 160.0 × 18.0 mm." in said
    assert "Scribe every blank first" in said
    assert "Offcut beside blanks, 222.0 mm from end A" in said
    assert "2 turns, about" in said
    assert "Cut 4 separates T1 and T2." in said
    rows = cut_rows([made], "mm")
    assert rows[3] == ["1: bar", "3", "round an offcut", "222.000", "offcut 160.000 x 18.000"]


def test_where_a_service_cuts_no_saw_is_told():
    made = plan(service=True, beside=(SideOffcut(222.0, 42.0, 160.0, 18.0),))
    assert made.straight == ()
    assert "Saw:" not in words_of(made)
