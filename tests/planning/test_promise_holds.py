"""How often the promised dates hold in shops that are made another way than the forecast makes them.

A shop's true minutes are anywhere near today's; its evenings vary with a long tail; blades are lost one by one, and at times a
whole load. The maker works by due dates, and what he does is simulated by the plain bench of `plainly.py`.
"""

import random
from math import exp

import pytest

from tests.counts import tries
from tests.planning.cases import ROUTE, evenings
from tests.planning.plainly import PlainBench
from workbook.planning.model import DAY, Lot, Operation
from workbook.planning.ordering import PlanSearch
from workbook.planning.promise import Forecast, StageChances, Uncertain
from workbook.structs import replace

GOOD = {"harden": 0.96, "grind after": 0.97}
CHANCES = {
    stage: StageChances(error=0.3, good=20 * GOOD.get(stage, 1), lost=20 * (1 - GOOD.get(stage, 1))) for stage, *_rest in ROUTE
}
ORDERS = 3


def route(pieces):
    return tuple(
        Operation(stage=stage, set_up=set_up, each=each, pieces=pieces, kind=kind, wait=wait, holds=holds)
        for stage, set_up, each, kind, wait, holds in ROUTE
    )


def shop(chance):
    lots = []
    for number in range(ORDERS):
        ordered = chance.choice((2, 3, 4))
        spare = chance.choice((0, 1))
        lot = Lot(key=f"{number}", operations=route(ordered + spare), knives=ordered, due=(number + 1) * 20 * DAY)
        lots.append(Uncertain(lot=lot, spare=spare, again=route(1)))
    return lots


def happens(chance, lots, stints, *, load_lost=False):
    """When each order is done in truth."""
    truth = {stage: exp(chance.gauss(0, 0.25)) for stage, *_rest in ROUTE}
    bench, done = PlainBench(stints), []
    for own in lots:  # by due date
        ready, again, lost = 0.0, [], 0
        for operation in own.lot.operations:
            pieces = operation.pieces - lost
            if pieces:
                ready = bench.put(true_work(chance, truth, operation, pieces), ready)
            gone = sum(chance.random() > GOOD.get(operation.stage, 1.0) for _piece in range(pieces))
            if load_lost and operation.stage == "harden" and chance.random() < 0.1:
                gone = pieces
            lost += gone
            short = min(max(lost - own.spare, 0), gone)
            again += [(ready, short)] if short else []
        for begin, short in again:
            remade = begin
            for operation in own.again:
                remade = bench.put(true_work(chance, truth, operation, short), remade)
            ready = max(ready, remade)
        done.append(ready)
    return done


def true_work(chance, truth, operation, pieces):
    """Some evenings go as planned, some are a little slower, a few go wrong."""
    slow = chance.choice((0.9, 1.0, 1.0, 1.1, 1.15, 1.5)) * truth[operation.stage]
    return replace(operation, set_up=operation.set_up * slow, each=operation.each * slow, pieces=pieces)


def held(hours, weeks=(), *, load_lost=False, shops=40, seed=3):
    """How often the dates held, even and likely, and their width in days. `hours`: what becomes of the stints."""
    chance, found = random.Random(seed), []
    for _shop in range(shops):
        lots, stints = shop(chance), evenings(count=300)
        plan = PlanSearch([each.lot for each in lots], stints, 1).plan()
        made = Forecast(lots, stints, plan, CHANCES, random.Random(9), weeks)
        for _draw in range(64):
            made.draw()
        truth = happens(chance, lots, hours(chance, stints), load_lost=load_lost)
        for n, when in enumerate(truth):
            promise = made.promise([n])
            found.append((when <= promise.even, when <= promise.likely, (promise.likely - promise.even) / DAY))
    return tuple(sum(each[n] for each in found) / len(found) for n in range(3))


def kept(chance, stints):
    return stints


def one_week_sick(chance, stints):
    sick = chance.randrange(0, 8) * 7
    return [each for n, each in enumerate(stints) if not sick <= n < sick + 7]


def half_kept(chance, stints):
    return [each for each in stints if chance.random() < 0.5]


@pytest.mark.parametrize(
    ("name", "hours", "weeks", "load_lost", "least"),
    [
        ("hours kept", kept, (), False, 0.8),
        ("hours kept, one load in ten lost", kept, (), True, 0.8),
        ("a week sick", one_week_sick, (), False, 0.0),
        ("half of the evenings, not known", half_kept, (), False, 0.0),
        ("half of the evenings, as in the last twelve weeks", half_kept, (0.5,) * 12, False, 0.8),
    ],
)
def test_the_likely_date_holds(name, hours, weeks, load_lost, least):
    even, likely, width = held(hours, weeks, load_lost=load_lost, shops=tries(12, 120))
    print(f"{name}: even {even:.0%}, likely {likely:.0%}, {width:.1f} days between")
    assert likely >= least
    assert likely >= even
