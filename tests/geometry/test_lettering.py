"""Labels moved apart along a row, and built fractions."""

import itertools

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import numbers
from workbook.geometry.lettering import FIGURES, RAISED, TextRun, runs, spread, width

labels = st.lists(st.tuples(numbers(-200, 200), numbers(1, 40)), min_size=1, max_size=8)


def in_order(places, widths, centres):
    order = sorted(range(len(places)), key=lambda i: places[i])
    return [(centres[i], widths[i]) for i in order]


@given(labels, numbers(0, 5))
def test_labels_never_overlap_and_keep_their_order(row, gap):
    places, widths = zip(*row, strict=True)
    found = in_order(places, widths, spread(places, widths, gap))
    for (a, wide), (b, next_wide) in itertools.pairwise(found):
        assert b - a >= (wide + next_wide) / 2 + gap - 1e-6


@given(labels, numbers(0, 5))
def test_a_row_with_room_is_left_where_it_is(row, gap):
    widths = [w for _, w in row]
    places = [60.0 * i for i in range(len(row))]
    assert spread(places, widths, gap) == pytest.approx(places)


@given(labels, numbers(0, 5))
def test_labels_between_limits_stay_between_them_and_apart(row, gap):
    places, widths = zip(*row, strict=True)
    need = sum(widths) + gap * len(widths)
    low, high = -need / 2 - 7, need / 2 + 7
    centres = spread(places, widths, gap, low, high)
    for (a, wide), (b, next_wide) in zip(*(in_order(places, widths, centres)[i:] for i in (0, 1)), strict=False):
        assert b - a >= (wide + next_wide) / 2 + gap - 1e-6
    for centre, wide in zip(centres, widths, strict=True):
        assert low - 1e-6 <= centre - wide / 2
        assert centre + wide / 2 <= high + 1e-6


@given(labels)
def test_two_labels_at_one_place_move_the_same_way_each(row):
    place, wide = row[0]
    assert spread([place, place], [wide, wide], 2.0) == pytest.approx([place - wide / 2 - 1, place + wide / 2 + 1])


def test_no_labels_are_no_trouble():
    assert spread([], [], 1.0) == []


def test_a_built_fraction_is_a_raised_numerator_a_slash_and_a_small_denominator():
    assert runs("10 1⁄8 in") == [
        TextRun("10 "),
        TextRun("1", FIGURES, RAISED),
        TextRun("/", 0.95),
        TextRun("8", FIGURES),
        TextRun(" in"),
    ]
    assert runs("plain 1/8") == [TextRun("plain 1/8")]
    assert runs("") == []


def test_the_width_of_a_line_is_that_of_its_pieces():
    def measure(text, size, bold):
        return len(text) * size * (2 if bold else 1)

    assert width("a3⁄4", 10.0, False, measure) == pytest.approx(10 + FIGURES * 10 + 9.5 + FIGURES * 10)
    assert width("ab", 10.0, True, measure) == 40.0


@given(st.text(alphabet="0123456789⁄/ in", max_size=12))
def test_pieces_lose_no_character(text):
    assert "".join(run.text for run in runs(text)).replace("/", "⁄") == text.replace("/", "⁄")
