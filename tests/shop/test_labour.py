"""Minutes, hours and chances at their ends."""

import pytest

from workbook.shop.charges import Charges
from workbook.shop.labour import By, Sizes, Stage, batch, nth, of_knife, run, times
from workbook.shop.ledger import exact
from workbook.shop.line_cost import hours, starts_words
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


def test_a_stage_takes_its_minutes_as_they_are_without_learning_or_an_allowance():
    """10 and 3 x 4 are 22; with a tenth more 24.2; of no piece not even the set-up."""
    stage = Stage(name="Saw", set_up=10.0, minutes=4.0)
    assert [batch(stage, 3), batch(stage, 3, 1.0, 0.1), batch(stage, 0)] == pytest.approx([22.0, 24.2, 0.0])
    assert [time.minutes for time in times((stage, stage), 3, 3)] == pytest.approx([22.0, 22.0])


def test_the_knife_that_minutes_are_for_takes_them_and_one_whose_minutes_are_known_takes_those():
    """Twice the blade's area, and 30 minutes in all for what would be 20 + 20."""
    stages = (Stage(name="Saw", set_up=1.0, minutes=20.0), Stage(name="Grind", set_up=2.0, minutes=10.0, by=By.BLADE))
    assert of_knife(stages, Sizes()) == stages
    large = of_knife(stages, Sizes(blade=6000.0))
    assert [stage.minutes for stage in large] == pytest.approx([20.0, 20.0])
    known = of_knife(stages, Sizes(blade=6000.0), 30.0)
    assert [(stage.minutes, stage.set_up) for stage in known] == [(pytest.approx(15.0), 1.0), (pytest.approx(15.0), 2.0)]
    idle = (Stage(name="Wait", set_up=1.0, minutes=0.0),)
    assert of_knife(idle, Sizes()) == idle
    assert [stage.minutes for stage in of_knife(idle * 2, Sizes(), 30.0)] == [15.0, 15.0]  # nobody knows where they go


def test_how_sure_some_blanks_make_enough_is_said():
    """Of three at 0.8 two or three come out: 3 x 0.64 x 0.2 + 0.512 = 0.896; of two both: 0.64."""
    charges = Charges(stages=(Stage(name="Harden", set_up=0.0, minutes=0.0, good=0.8),))
    said = "Start 3 for 2 (80% yield): 90% sure. Start 2: 64% sure"
    assert starts_words(2, 3, charges) == said
    assert starts_words(2, 2, charges) == "Start 2 for 2 (80% yield): 64% sure"


def test_a_count_is_kept_as_it_is_written():
    assert [str(exact(count)) for count in (1.5, 0.1, 2.0, 3)] == ["1.5", "0.1", "2", "3"]
