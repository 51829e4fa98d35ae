"""What bars weigh and cost, and what a layout's pieces cost."""

from decimal import Decimal
from itertools import islice

import numpy as np
import pytest
from hypothesis import given, settings

from tests.counts import tries
from tests.strategies import nesting_jobs, numbers
from workbook.nesting.model import BarUse, Layout, NestingJob, Part, Piece, Stock
from workbook.nesting.offcuts import Least
from workbook.nesting.search import layouts
from workbook.shop.costing import costs
from workbook.shop.job import Bar, PricePer
from workbook.shop.steel import full_price, mass, material_price
from workbook.structs import replace

BLANK = np.array([(0.0, 0.0), (30.0, 0.0), (30.0, 10.0), (0.0, 10.0)])
HALF = np.array([(0.0, 0.0), (30.0, 0.0), (30.0, 5.0), (0.0, 5.0)])
JOB = NestingJob(
    parts=(
        Part(name="whole", steel="s", outline=BLANK, quantity=1),
        Part(name="half", steel="s", outline=HALF, quantity=1),
    ),
    stock=(Stock(name="bar", width=20.0, length=200.0, price=Decimal("10.00"), count=None, source="buy"),),
    suits=frozenset({(0, 0), (1, 0)}),
    separation=1.0,
    bar_end=1.0,
    bar_edge=1.0,
    lost_at_end=2.0,
)
LAYOUT = Layout((BarUse(0, (Piece(0, 1.0, 1.0, 0.0, False), Piece(1, 67.0, 1.0, 0.0, False))),))


@given(nesting_jobs(), numbers(0, 300))
@settings(max_examples=tries(12, 100))
def test_all_pieces_together_cost_the_material(job, keep):
    for layout in (progress.best for progress in islice(layouts(job, 0), 2)):
        money = costs(job, layout, Decimal(0), Least(keep, keep / 10), 1.0)
        assert sum((c for each in money.each for c in each.pieces), Decimal(0)) == money.material
        assert money.material == money.bars - money.credit
        assert money.bars == sum((job.stock[use.stock].price for use in layout.bars), Decimal(0))
        assert 0 <= money.credit <= money.bars
        assert 0 <= money.bought <= money.bars


def test_a_long_offcut_is_worth_its_share_of_the_bar_and_pieces_share_the_rest_by_area():
    """1 + 96 + 2 mm are used of 200; 101 mm left are worth $5.05; of $4.95 the larger blank bears two thirds."""
    money = costs(JOB, LAYOUT, Decimal("1.00"), Least(100.0, 5.0), 1.0)
    (bar,) = money.each
    assert (bar.used, bar.offcut, bar.credit) == (pytest.approx(99.0), pytest.approx(101.0), Decimal("5.05"))
    assert bar.pieces == (Decimal("3.30"), Decimal("1.65"))
    assert bar.utilisation == pytest.approx(450 / 4000)
    assert money.utilisation == bar.utilisation
    assert money.bound == Decimal("1.00")


def test_an_offcut_beside_blanks_is_worth_its_share_of_the_bar_by_area():
    """Behind the first blank, which ends at 31, the saw cuts at 31.5 and leaves 32 to 200: 35 mm of it to the next blank less 2
    all round, of the whole width; above that one 20 - 6 - 2 mm are left for its 30 mm, and more beside it."""
    money = costs(JOB, LAYOUT, Decimal(0), Least(25.0, 8.0), 1.0)
    (bar,) = money.each
    area = sum(each.length * each.width for each in bar.beside)
    assert area > 0
    assert bar.credit == (Decimal(10) * Decimal(repr((101 * 20 + area) / 4000))).quantize(Decimal("0.01"))
    assert sum(bar.pieces) == Decimal(10) - bar.credit


@pytest.mark.parametrize(("keep", "credited"), [(201.5, True), (0.0, False)])
def test_a_short_offcut_or_one_not_credited_is_worth_nothing(keep, credited):
    money = costs(JOB, LAYOUT, Decimal(0), Least(keep, 5.0), 1.0, credited=credited)
    assert (money.credit, money.material) == (0, Decimal("10.00"))


def test_only_bars_bought_are_money_to_spend():
    rack = replace(JOB, stock=(replace(JOB.stock[0], source="rack", count=1),))
    assert costs(JOB, LAYOUT, Decimal(0), Least(100.0, 5.0), 1.0).bought == Decimal("10.00")
    assert costs(rack, LAYOUT, Decimal(0), Least(100.0, 5.0), 1.0).bought == 0


def bar(**values):
    sizes = {"thickness": 2.0, "width": 50.0, "length": 1000.0}
    return Bar(**{"name": "b", "steel": "s", "price": Decimal("12.00"), **sizes, **values})


@pytest.mark.parametrize(
    ("per", "wanted"), [(PricePer.BAR, "12.00"), (PricePer.METRE, "12.00"), (PricePer.FOOT, "39.37"), (PricePer.KILOGRAM, "9.42")]
)
def test_steel_is_priced_by_the_bar_the_foot_the_metre_or_the_kilogram(per, wanted):
    """1000 mm are 3.28084 ft by definition; 2 x 50 x 1000 mm at 7.85 g/cm3 are 785 g."""
    assert material_price(bar(per=per), 7.85) == Decimal(wanted)


def test_a_bar_bought_anew_is_whole_whatever_the_one_on_the_rack_lacks():
    """2 x 50 x 1000 at 7.85 are 785 g: 9.42 at 12 a kg; with a corner of 200 x 25 missing 5000 mm2 less, 706.5 g and 8.48."""
    lacks = bar(per=PricePer.KILOGRAM, corner_length=200.0, corner_width=25.0)
    assert material_price(lacks, 7.85) == Decimal("8.48")
    assert full_price(lacks, 7.85) == Decimal("9.42")


def test_a_bar_weighs_its_size_times_its_density():
    assert mass(bar(), 7.85) == pytest.approx(785.0)


def test_carriage_and_the_cut_charge_come_on_top():
    dear = bar(shipping=Decimal("3.10"), cut_charge=Decimal("1.505"))
    assert full_price(dear, 7.85) == Decimal("12.00") + Decimal("3.10") + Decimal("1.50")
