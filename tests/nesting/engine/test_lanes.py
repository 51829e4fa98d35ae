"""Layouts in lanes: rectangles in rows, triangles that fill one another's gaps, and a search that begins from them."""

import numpy as np

from tests.nesting.engine.conftest import HOOK, job
from workbook.nesting.engine.field import field
from workbook.nesting.engine.intervals import TOUCH
from workbook.nesting.engine.lanes import stacked
from workbook.nesting.engine.lines import worst
from workbook.nesting.engine.strip import StripSearch

PLATE = np.array([(0, 0), (50, 0), (50, 10), (0, 10)], float)
ROOF = np.array([(0, 0), (60, 0), (30, 20)], float)
SEPARATION = 2.0


def layouts(outline, blanks, room):
    """The layouts on a bar with so much room across, half a separation all round included."""
    made = field(job([outline], [blanks], width=room), range(1))
    return made, stacked(made, 0, blanks, room)


def test_plates_lie_in_rows():
    made, found = layouts(PLATE, 9, 36.1)  # three of 10 + 2, and a little
    assert [len(np.unique(strip.y)) for strip in found] == [3, 2, 1]
    for strip, columns in zip(found, (3, 5, 9), strict=True):
        assert columns * 52 <= strip.length <= columns * 53  # a period is a whole number of cells
        assert worst(made.shapes, *strip.places) <= TOUCH


def test_roofs_fill_the_gaps_of_others_upside_down():
    """Two rows of triangles need only what the separation adds: measured across their slopes it is 2 / cos(slope)."""
    slope = np.arctan2(20, 30)
    least = 20 + SEPARATION + SEPARATION / np.cos(slope)
    made, found = layouts(ROOF, 8, least + 0.6)
    two = found[0]
    assert len(np.unique(two.y)) == 2
    assert worst(made.shapes, *two.places) <= TOUCH
    assert two.length < 4 * 62 + 31 + 8


def test_no_lane_without_a_bar_wide_enough():
    assert layouts(PLATE, 9, 11.0)[1] == []


def test_an_outline_that_turns_back_on_itself():
    _made, found = layouts(HOOK, 6, 70.0)
    assert len(found) >= 2
    assert len(found[0].x) == 6


def test_the_search_begins_from_lanes():
    made = field(job([ROOF], [12], width=50.0), range(1))
    search = StripSearch(made, [0] * 12, 50.0, 0)
    list(search.starts())
    assert search.alike
    assert search.sure.length <= min(strip.length for strip in stacked(made, 0, 12, 50.0))
    assert worst(made.shapes, *search.sure.places) <= TOUCH
