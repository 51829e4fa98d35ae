"""Facts are a value: whoever counts, counts by those it was given. The numbers here are invented for the test."""

from decimal import Decimal

import pytest

from workbook.formats.tables import facts, rows
from workbook.model.laying import finish, start
from workbook.model.model import model_of
from workbook.model.results import bought
from workbook.shop.facts import Facts
from workbook.shop.job import PricePer
from workbook.shop.steel import full_price
from workbook.structs import replace
from workbook.tasks.demo import demo_job
from workbook.tasks.searching import search

HEAVY = 15.7  # g/cm3, twice carbon steel's


def heavy(name):
    """The shipped tables, in which every steel weighs twice as much."""
    if name != "look_up/steels":
        return rows(name)
    return [{**row, "g_per_cm3": str(HEAVY)} for row in rows(name)]


def by_weight(known):
    """The demo with bars sold by the kilogram, laid out by some facts."""
    job = demo_job().job
    bars = tuple(replace(bar, per=PricePer.KILOGRAM, price=Decimal("10.00"), have=0, buy=True) for bar in job.bars)
    return model_of(replace(job, bars=bars), known)


def test_what_bars_cost_by_weight_follows_the_facts_that_were_given():
    spent = []
    for known in (facts(), Facts(heavy)):
        model = by_weight(known)
        nesting = start(model)
        *_, last = search(nesting, 0, lambda step: step >= 2, repeatable=True)
        laid = finish(model, nesting, last, 0)
        assert laid.costs.bars == sum(n * full_price(bar, known.density(bar.steel)) for bar, n in bought(laid))
        spent.append(laid.costs.bars)
    assert spent[1] > spent[0] * Decimal("1.9")


def test_each_table_is_read_once_and_only_when_it_is_asked_for():
    asked = []

    def told(name):
        asked.append(name)
        return rows(name)

    own = Facts(told)
    assert asked == []
    assert own.density("1.3505") == own.density("52100") == facts().density("52100")
    assert own.quench_words("O1") == facts().quench_words("O1")
    assert sorted(asked) == ["look_up/heat_treatment", "look_up/steels"]


@pytest.mark.parametrize("steel", ["", "my own heat"])
def test_an_unknown_steel_weighs_as_carbon_steel(steel):
    own = Facts(lambda name: [{"material": "carbon steel", "g_per_cm3": "7.5"}] if name == "densities" else [])
    assert own.known_density(steel) is None
    assert own.density(steel) == 7.5
