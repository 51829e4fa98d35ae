"""Offcuts beside blanks: worked by hand for plates, and for real layouts held against the outlines by shapely."""

from decimal import Decimal
from itertools import combinations, islice

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from tests.counts import tries
from tests.strategies import nesting_jobs
from workbook.nesting.model import BarUse, NestingJob, Part, Piece, Stock, used_length, written
from workbook.nesting.offcuts import Least, SideOffcut, side_offcuts
from workbook.nesting.search import layouts
from workbook.structs import replace

SHORT, LONG, LOW = (
    np.array([(0.0, 0.0), (length, 0.0), (length, width), (0.0, width)])
    for length, width in ((100.0, 30.0), (300.0, 30.0), (100.0, 20.0))
)
PLATES = tuple(
    Part(name=name, steel="s", outline=outline, quantity=9) for name, outline in zip("abc", (SHORT, LONG, LOW), strict=True)
)
LOW_PART = PLATES[2]
BAR = Stock(name="bar", width=70.0, length=420.0, price=Decimal(10), count=None, source="rack")
JOB = NestingJob(
    parts=PLATES, stock=(BAR,), suits=frozenset({(0, 0), (1, 0), (2, 0)}), separation=3.0, bar_end=2.0, bar_edge=1.0,
    lost_at_end=2.0,
)  # fmt: skip
KERF = 1.0


def lying(*places):
    return BarUse(0, tuple(Piece(part, x, y, 0.0, mirrored=False) for part, x, y in places))


def test_a_lane_beside_a_short_blank_is_kept_up_to_the_offcut_behind_the_long_one():
    """The long one ends at 302, so the offcut begins at 304 behind a cut of 1; the short one ends at 102, and 2 more are lost.

    Columns are whole millimetres and 2 wide round a blank: the lane is from 104 to 303, and from 33 + 2 up to the edge.
    """
    (lane,) = side_offcuts(JOB, lying((1, 2, 1), (0, 2, 35)), Least(100.0, 19.0), KERF)
    assert (lane.x, lane.x + lane.length) == (104.0, 303.0)
    assert (lane.y, lane.y + lane.width) == (33.0, 70.0)


def test_what_is_shorter_or_narrower_than_the_least_is_not_kept():
    use = lying((1, 2, 1), (0, 2, 35))
    assert side_offcuts(JOB, use, Least(100.0, 37.1), KERF) == ()
    assert len(side_offcuts(JOB, use, Least(100.0, 37.0), KERF)) == 1
    at_end = replace(JOB, stock=(replace(BAR, length=330.0),))  # nothing is kept behind: the lane is 226 long
    assert side_offcuts(at_end, use, Least(226.1, 19.0), KERF) == ()
    assert len(side_offcuts(at_end, use, Least(226.0, 19.0), KERF)) == 1


def test_before_the_first_blank_all_the_width_is_kept():
    """The blank begins at 250: 248 are left of the bar's whole width."""
    found = side_offcuts(JOB, lying((0, 250, 1)), Least(100.0, 40.0), KERF)
    assert found == (SideOffcut(0, 0.0, 248.0, 70.0),)


def test_a_lane_over_several_blanks_begins_at_an_end_of_the_bar_and_one_between_cuts_ends_at_the_next():
    """Three low blanks in a row with room for a cut between them: over all of them lies one lane, 70 - 21 - 2 wide.

    The last ends at 310, so the offcut begins at 312. Where high ones lie on both sides of a low one, the saw cuts at 103.5
    and 207.5: the lane lies between, in whole millimetres, and 2 from the high ones.
    """
    (lane,) = side_offcuts(JOB, lying((2, 2, 1), (2, 106, 1), (2, 210, 1)), Least(50.0, 19.0), KERF)
    assert lane == SideOffcut(0, 23.0, 311.0, 47.0)
    high = lying((0, 2, 1), (0, 2, 37), (2, 106, 1), (0, 210, 1), (0, 210, 37))
    (lane,) = side_offcuts(JOB, high, Least(50.0, 19.0), KERF)
    assert (lane.y, lane.width) == (23.0, 47.0)
    assert (lane.x, lane.x + lane.length) == (104.0, 207.0)


def test_where_the_offcut_behind_is_too_short_to_keep_a_lane_may_reach_the_end_of_the_bar():
    short = replace(JOB, stock=(replace(BAR, length=330.0),))
    (lane,) = side_offcuts(short, lying((1, 2, 1), (0, 2, 35)), Least(100.0, 19.0), KERF)
    assert lane.x + lane.length == 330.0


def test_both_edges_may_have_one_and_a_saw_cut_lies_between_them():
    wide = replace(JOB, stock=(replace(BAR, width=120.0),))
    found = side_offcuts(wide, lying((1, 2, 45)), Least(250.0, 20.0), KERF)
    assert [(each.y, each.y + each.width) for each in found] == [(0.0, 43.0), (77.0, 120.0)]
    alone = side_offcuts(wide, lying((0, 2, 45)), Least(50.0, 20.0), KERF)
    for one, other in combinations(alone, 2):
        assert area_of(one).distance(area_of(other)) >= KERF - 1e-9


def test_at_the_lower_edge_of_an_l_shaped_bar_an_offcut_ends_before_the_leg():
    """The leg goes on from 300 at the lower edge: an offcut there needs a cut of its own, before that."""
    bar = replace(BAR, width=100.0, length=300.0, beyond=200.0, tongue=60.0)
    long = replace(PLATES[1], outline=PLATES[1].outline * [4 / 3, 1.0])
    tailed = replace(JOB, parts=(long,), stock=(bar,), suits=frozenset({(0, 0)}))
    (lane, *_) = side_offcuts(tailed, BarUse(0, (Piece(0, 2.0, 27.0, 0.0, mirrored=False),)), Least(100.0, 20.0), KERF)
    assert lane.y == 0.0
    assert lane.x + lane.length < 300.0 - KERF


@pytest.mark.parametrize("tongue", [60.0, 0.0])
def test_at_the_upper_edge_only_what_is_above_the_leg_ends_with_the_full_width(tongue):
    """The blank lies low: above it 75 are free, of which the leg, or the steel under a slope, goes on for the lowest part."""
    bar = replace(BAR, width=110.0, length=300.0, beyond=200.0, tongue=tongue)
    tailed = replace(JOB, parts=(LOW_PART,), stock=(bar,), suits=frozenset({(0, 0)}))
    for lane in side_offcuts(tailed, BarUse(0, (Piece(0, 2.0, 2.0, 0.0, mirrored=False),)), Least(100.0, 20.0), KERF):
        if lane.x + lane.length >= 300.0 - KERF:
            assert tongue
            assert lane.y >= tongue


def area_of(offcut):
    return box(offcut.x, offcut.y, offcut.x + offcut.length, offcut.y + offcut.width)


@given(nesting_jobs(), st.floats(5, 200), st.floats(1, 40), st.floats(0.2, 3))
@settings(max_examples=tries(25, 200))
def test_no_offcut_comes_near_a_blank_or_another_cut_or_leaves_its_bar(job, length, width, kerf):
    job = replace(job, lost_at_end=max(job.lost_at_end, kerf))
    for layout in (progress.best for progress in islice(layouts(job, 0), 2)):
        for use in layout.bars:
            bar, least = job.stock[use.stock], Least(length, width)
            found, outlines = side_offcuts(job, use, least, kerf), [Polygon(written(job, piece)) for piece in use.pieces]
            for each in found:
                assert each.length >= length and each.width >= width
                assert each.x >= -1e-9 and each.x + each.length <= bar.length + 1e-9
                assert each.y >= -1e-9 and each.y + each.width <= bar.width + 1e-4
                assert min(each.y, bar.width - each.y - each.width) == pytest.approx(0.0, abs=1e-4)
                assert min(area_of(each).distance(outline) for outline in outlines) >= job.lost_at_end - 1e-4
                if bar.length - used_length(job, use) >= length:
                    assert each.x + each.length <= used_length(job, use) - kerf + 1e-6
            for one, other in combinations(found, 2):
                assert area_of(one).distance(area_of(other)) >= kerf - 1e-6
