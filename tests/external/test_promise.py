"""Promised dates where the answer is known: a log-normal time, binomial losses, a negative binomial number of evenings."""

import random
from math import exp, hypot

import pytest
from scipy import stats

from workbook.planning.model import DAY, Lot, Operation, Stint
from workbook.planning.ordering import PlanSearch
from workbook.planning.promise import Forecast, StageChances, Uncertain, kept_share

DRAWS = 4000


def forecast(lots, stints, stages, kept=(), seed=1):
    plan = PlanSearch([each.lot for each in lots], stints, 1).plan()
    made = Forecast(lots, stints, plan, stages, random.Random(seed), kept)
    for _draw in range(DRAWS):
        made.draw()
    return made


def work(minutes, pieces=1, stage="grind"):
    return Operation(stage=stage, set_up=0, each=minutes, pieces=pieces)


@pytest.mark.own_working("a sum of minutes")
def test_nothing_unknown_is_promised_to_the_minute():
    lots = [Uncertain(lot=Lot(key="A", operations=(work(60), work(30, stage="sharpen"))))]
    promise = forecast(lots, [Stint(start=0, end=DAY)], {}).promise([0])
    assert (promise.even, promise.likely) == (90, 90)


@pytest.mark.outside("scipy.stats.lognorm")
@pytest.mark.parametrize("error", [0.1, 0.35])
def test_one_stage_is_done_by_a_log_normal_time(error):
    """The logarithm of its time is the sum of two normal ones: what is not known of the stage, and an evening's own .25."""
    lots = [Uncertain(lot=Lot(key="A", operations=(work(600),)))]
    promise = forecast(lots, [Stint(start=0, end=100 * DAY)], {"grind": StageChances(error=error)}).promise([0])
    known = stats.lognorm(s=hypot(error, 0.25), scale=600)
    assert promise.even == pytest.approx(known.ppf(0.5), rel=0.03)
    assert promise.likely == pytest.approx(known.ppf(0.9), rel=0.04)


@pytest.mark.outside("scipy.stats.binom")
@pytest.mark.parametrize(("pieces", "spare"), [(6, 0), (8, 1), (12, 2)])
def test_an_order_is_late_as_often_as_more_blades_are_lost_than_there_are_to_spare(pieces, spare):
    """Ten thousand blades seen with 8 % lost: the number lost is binomial. A blade made again takes until another day."""
    lot = Lot(key="A", operations=(work(1, pieces),))
    lots = [Uncertain(lot=lot, spare=spare, again=(work(1),))]
    stints = [Stint(start=day * DAY, end=day * DAY + pieces) for day in range(30)]
    drawn = forecast(lots, stints, {"grind": StageChances(good=9200, lost=800)}).drawn
    late = sum(done[0] > DAY for done in drawn) / DRAWS
    assert late == pytest.approx(stats.binom(pieces, 0.08).sf(spare), abs=0.025)


@pytest.mark.outside("scipy.stats.nbinom")
@pytest.mark.parametrize("worked", [0.0, 0.5])
def test_evenings_that_are_kept_by_chance_come_to_a_negative_binomial_number(worked):
    """Ten whole evenings, the first now; of the others each is kept with one chance: those missed until the ninth are known."""
    share = kept_share([worked] * 4, 4)
    assert share == (4 * worked + 1) / 5
    lots = [Uncertain(lot=Lot(key="A", operations=(work(60, 10),)))]
    stints = [Stint(start=day * DAY, end=day * DAY + 60) for day in range(200)]
    promise = forecast(lots, stints, {}, [worked] * 4).promise([0])
    missed = stats.nbinom(9, share)
    assert abs(promise.even // DAY - (9 + missed.ppf(0.5))) <= 1
    assert abs(promise.likely // DAY - (9 + missed.ppf(0.9))) <= 1


@pytest.mark.outside("scipy.stats.lognorm")
def test_a_spread_counts_once_for_all_blades_of_a_stage():
    """What is not known of a stage is the same for all its lots: two lots spread as one of twice the work."""
    one, other = (Uncertain(lot=Lot(key=key, operations=(work(300),))) for key in "AB")
    both = forecast([one, other], [Stint(start=0, end=100 * DAY)], {"grind": StageChances(error=0.35)}).promise([0, 1])
    apart = stats.lognorm(s=hypot(0.35, 0.25 / 2**0.5), scale=600 * exp(0.25**2 / 4))
    assert both.likely == pytest.approx(apart.ppf(0.9), rel=0.05)
