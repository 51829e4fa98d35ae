"""Minutes, hours and chances at their ends."""

import pytest

from workbook.shop.labour import Stage, nth, run, times
from workbook.shop.line_cost import hours
from workbook.shop.yields import enough


@pytest.mark.parametrize(
    ("minutes", "words"), [(0, "0 min"), (59.4, "59 min"), (59.6, "1 h 00 min"), (200, "3 h 20 min"), (605, "10 h 05 min")]
)
def test_minutes_are_said_as_hours_and_minutes(minutes, words):
    assert hours(minutes) == words


def test_a_part_of_a_piece_takes_that_part_of_the_next():
    """Two and a half at 80 %: 10 + 8 + half of the third, 10 x 3^log2(0.8)."""
    assert run(10, 0.8, 2.5) == pytest.approx(10 + 8 + nth(10, 0.8, 3) / 2)
    assert run(10, 0.8, 0.5) == pytest.approx(5)
    assert run(10, 1.0, 2.5) == 25


def test_no_blank_wanted_is_had_for_sure_and_too_few_started_never():
    assert enough(0, 3, 0.2) == 1
    assert enough(4, 3, 0.99) == 0
    assert enough(3, 3, 0.9) == pytest.approx(0.9**3)


def test_blanks_that_are_lost_are_worked_on_no_more():
    """Ten started, a tenth lost in the first stage, half in the second; then only the four wanted: by hand."""
    stages = [Stage(name=n, set_up=0, minutes=1, good=g) for n, g in (("a", 0.9), ("b", 0.5), ("c", 1.0))]
    assert [t.pieces for t in times(stages, 10, 4)] == pytest.approx([10, 9, 4])
    assert [t.minutes for t in times(stages, 10, 4)] == pytest.approx([10, 9, 4])
