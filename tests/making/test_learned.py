"""What is learned from entries: worked out by hand, and how often the spread holds the truth in shops made by chance."""

import random
from math import exp, log, sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.counts import tries
from workbook.making.learned import Run, is_unusual, minutes_of, yield_of
from workbook.structs import replace


def run(minutes, planned=100.0, pieces=5, of="petty", family="chef"):
    return Run(stage="Grind", of=of, family=family, pieces=pieces, minutes=minutes, planned=planned)


def test_nothing_entered_leaves_todays_minutes_with_a_wide_spread():
    told = minutes_of([], "petty", "chef")
    assert (told.ratio, told.pieces, told.runs) == (1.0, 0, 0)
    assert told.low == pytest.approx(exp(-1.6527 * 0.35), rel=1e-3)  # t of 200 degrees at 95 %: 1.6525 (any table of t)
    assert told.low * told.high == pytest.approx(1.0)


def test_five_blades_of_another_template_and_family_count_half():
    """One run of 5 blades at 1.44 times the plan, with 5 for the guess: the root of it."""
    told = minutes_of([run(144)], "bowie", "hunter")
    assert told.ratio == pytest.approx(1.2)
    assert (told.pieces, told.runs) == (5, 1)


def test_its_own_runs_pull_at_each_level():
    """All, family, template: after three pulls by half an eighth of the guess is left."""
    assert log(minutes_of([run(144)], "petty", "chef").ratio) == pytest.approx(log(1.44) * 7 / 8)
    assert log(minutes_of([run(144)], "slicer", "chef").ratio) == pytest.approx(log(1.44) * 3 / 4)
    mixed = [run(144, of="bowie", family="hunter"), run(100)]
    assert minutes_of(mixed, "petty", "chef").runs == 1
    assert minutes_of(mixed, "slicer", "").runs == 2


def test_an_evening_of_mixed_templates_counts_once():
    even, mixed = [run(100) for _ in range(4)], run(300, of="", family="")
    assert minutes_of([*even, mixed], "", "").ratio == 1.0
    assert minutes_of([*even, mixed], "", "").runs == 5


def test_one_long_evening_does_not_move_the_median():
    even = [run(100) for _ in range(6)]
    assert minutes_of([*even, run(500)], "petty", "chef").ratio == 1.0


def test_late_runs_count_more():
    old, new = [run(100) for _ in range(12)], [run(150) for _ in range(10)]
    assert minutes_of([*old, *new], "petty", "chef").ratio > 1.3
    assert minutes_of([*new, *old], "petty", "chef").ratio < 1.1


@given(st.lists(st.tuples(st.floats(5, 500), st.integers(1, 12)), min_size=1, max_size=30))
def test_the_ratio_lies_within_its_spread_and_between_the_runs_and_the_guess(drawn):
    runs = [run(minutes, pieces=pieces) for minutes, pieces in drawn]
    told = minutes_of(runs, "petty", "chef")
    assert told.low <= told.ratio <= told.high
    ends = [1.0, *(each.minutes / each.planned for each in runs)]
    assert min(ends) - 1e-9 <= told.ratio <= max(ends) + 1e-9


def test_the_spread_narrows_as_runs_come():
    widths = [
        (told := minutes_of([run(100 + n % 3) for n in range(count)], "petty", "chef")).high / told.low for count in (1, 4, 16)
    ]
    assert widths == sorted(widths, reverse=True)


@pytest.mark.parametrize("noise", [0.15, 0.3])
def test_nine_times_in_ten_the_spread_holds_the_truth(noise):
    """Shops whose true time is anywhere near today's; evenings vary by a log-normal; 12 runs of a template among others."""
    chance, held, shops = random.Random(5), 0, tries(400, 4000)
    for _shop in range(shops):
        truth = exp(chance.gauss(0, 0.3))
        runs = [run(100 * truth * exp(chance.gauss(0, noise)), pieces=chance.randint(2, 8)) for _ in range(12)]
        told = minutes_of(runs, "petty", "chef")
        held += told.low <= truth <= told.high
    assert 0.85 <= held / shops <= 0.97, held / shops


def test_a_share_that_comes_out_good_worked_out():
    """Today's share .95 worth 20 blades is 19 and 1; with 27 good and 3 lost 46 of 50."""
    told = yield_of(0.95, 27, 3)
    assert told.share == pytest.approx(46 / 50)
    assert told.low < told.share < told.high
    spread = sqrt(0.92 * 0.08 / 51)  # of a beta distribution: a b / ((a + b)^2 (a + b + 1))
    assert told.high - told.low == pytest.approx(2 * 1.645 * spread, rel=0.06)


def test_nothing_lost_is_no_proof_of_a_perfect_stage():
    told = yield_of(1.0, 12, 0)
    assert told.high == 1.0
    assert 0.9 < told.low < told.share < 1.0


def test_an_unusual_time_is_far_outside_its_own_past():
    past = [run(minutes) for minutes in (95, 100, 105, 98, 103, 101)]
    assert is_unusual(run(200), past)
    assert is_unusual(run(40), past)
    assert not is_unusual(run(115), past)
    assert not is_unusual(run(200), past[:4]), "too few to tell"


def test_times_that_all_agree_do_not_make_a_minute_unusual():
    past = [run(100) for _ in range(8)]
    assert not is_unusual(run(110), past)
    assert is_unusual(replace(past[0], minutes=140), past)
