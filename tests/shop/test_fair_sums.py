"""Sums that misled a shop once, worked out here by another way than the program's."""

from decimal import Decimal
from itertools import product

import pytest

from workbook.shop.charges import Charges, Outside
from workbook.shop.labour import By, Sizes, Stage, of_knife
from workbook.shop.line_cost import LOSSES, MATERIALS, WORK, Batch, cost_of
from workbook.shop.materials import Material, MaterialKind
from workbook.shop.money import Money
from workbook.shop.needs import Use
from workbook.shop.yields import short_of
from workbook.structs import replace

HOUR = Decimal("30.00")
SURE = (Stage(name="Saw", set_up=60.0, minutes=10.0), Stage(name="Finish", set_up=30.0, minutes=20.0))
LOSSY = (Stage(name="Harden", set_up=0.0, minutes=12.0, good=0.8), Stage(name="Finish", set_up=0.0, minutes=20.0))
SENT = (Outside(name="Jet", batch=Decimal("40.00"), piece=Decimal("2.00")),)


def batch(quantity, starts, others=0, steel="0.00"):
    return Batch(quantity=quantity, starts=starts, steel=Decimal(steel), steel_how="", uses=(), money=Money(), others=others)


def charges(stages, outside=()):
    return Charges(hour=HOUR, overhead=0.0, allowance=0.0, learning=1.0, stages=stages, outside=outside)


def test_lines_of_an_order_share_its_set_ups():
    """Two lines of 2 and 6: 90 minutes of set-up once, 45.00 at 30.00 an hour, and 40.00 for the jet once; 30 minutes a knife."""
    whole = cost_of(batch(8, 8), charges(SURE, SENT)).amount
    parts = [cost_of(batch(n, n, others=8 - n), charges(SURE, SENT)).amount for n in (2, 6)]
    assert whole == Decimal("45.00") + 8 * Decimal("15.00") + Decimal("40.00") + 8 * Decimal("2.00")
    assert sum(parts) == whole
    assert parts[0] == Decimal("11.25") + Decimal("30.00") + Decimal("10.00") + Decimal("4.00")
    alone = sum(cost_of(batch(n, n), charges(SURE, SENT)).amount for n in (2, 6))
    assert alone - whole == Decimal("85.00")  # what each further line was charged


def by_all_ways(good, starts, share):
    """Every way the blanks may come out, each with its chance."""
    return sum(
        max(good - sum(ways), 0) * share ** sum(ways) * (1 - share) ** (starts - sum(ways))
        for ways in product((0, 1), repeat=starts)
    )


@pytest.mark.parametrize(
    ("good", "starts", "share"), [(1, 1, 0.93), (6, 8, 0.9), (8, 10, 0.5), (3, 3, 1.0), (4, 2, 1.0), (2, 9, 0.1)]
)
def test_how_many_are_short_as_expected(good, starts, share):
    assert short_of(good, starts, share) == pytest.approx(by_all_ways(good, starts, share))


@pytest.mark.parametrize(("quantity", "starts"), [(1, 1), (2, 3), (2, 2), (6, 8), (8, 10), (8, 12)])
def test_every_knife_carries_its_share_of_loss_however_many_are_started(quantity, starts):
    """A blank takes 5.00 of steel and 6.00 of work until it may be lost: 11.00 / 0.8 a good blade; then 10.00 to finish it."""
    found = cost_of(batch(quantity, starts, steel=f"{5 * starts}.00"), charges(LOSSY))
    finished = min(starts, quantity)
    assert found.amount == pytest.approx(quantity * Decimal("13.75") + finished * Decimal("10.00"), abs=Decimal("0.02"))


def test_a_spare_blade_is_worth_something_and_that_is_said():
    """Eight started for six at 0.8: 6.4 good as expected, and what is over and short by every way there is."""
    found = cost_of(batch(6, 8, steel="40.00"), charges(LOSSY))
    losses = found.part(LOSSES)
    short = by_all_ways(6, 8, 0.8)
    over = 8 * 0.8 - 6 + short
    assert float(losses.amount) == pytest.approx((short - over) * 11 / 0.8, abs=0.01)
    assert f"{over:.2f} spare" in losses.how
    assert found.part(WORK).amount == 8 * Decimal("6.00") + 6 * Decimal("10.00")


def test_without_losses_nothing_is_said_of_them():
    assert LOSSES not in {part.words for part in cost_of(batch(2, 2), charges(SURE)).parts}
    assert replace(batch(2, 2), others=6).share == 0.25


def test_minutes_grow_with_the_knife_and_a_template_may_have_its_own():
    """A blade of twice the area takes twice the grinding, a handle 1.2 times as long so much more; marking takes the same."""
    stages = (
        Stage(name="Grind", set_up=0.0, minutes=20.0, by=By.BLADE), Stage(name="Fit", set_up=0.0, minutes=50.0, by=By.HANDLE),
        Stage(name="Profile", set_up=0.0, minutes=18.0, by=By.OUTLINE), Stage(name="Mark", set_up=0.0, minutes=10.0),
    )  # fmt: skip
    usual = Sizes()
    large = Sizes(outline=1.5 * usual.outline, blade=2 * usual.blade, handle=1.2 * usual.handle)
    assert [s.minutes for s in of_knife(stages, large)] == pytest.approx([40.0, 60.0, 27.0, 10.0])
    assert of_knife(stages, usual) == stages
    own = of_knife(stages, large, own=68.5)
    assert [s.minutes for s in own] == pytest.approx([20.0, 30.0, 13.5, 5.0])  # a half of each: 137 in all
    whole = cost_of(replace(batch(3, 3), sizes=large), charges(stages))
    assert whole.amount == 3 * Decimal("68.50")  # 137 minutes at 30.00 an hour
    assert cost_of(replace(batch(3, 3), minutes=60.0), charges(stages)).amount == pytest.approx(
        Decimal("90.00"), abs=Decimal("0.03")
    )


def test_materials_are_counted_by_the_knives_wanted_or_by_the_blanks_started():
    """Half a pair at 4.00 for each of 3 knives is 6.00; a fifth of a belt at 5.00 for each of 4 blanks started 4.00."""
    pair = Material(name="maple", kind=MaterialKind.HANDLE, per="pair", price=Decimal("4.00"))
    belt = Material(name="belt", kind=MaterialKind.ABRASIVE, price=Decimal("5.00"))
    uses = (Use(material=pair, amount=0.5, why="handle"), Use(material=belt, amount=0.2, why="used up", of_starts=True))
    found = cost_of(replace(batch(3, 4), uses=uses), charges(SURE)).part(MATERIALS)
    assert [(part.words, part.amount) for part in found.parts] == [("maple", Decimal("6.00")), ("belt", Decimal("4.00"))]
    assert found.parts[0].how == "0.5 pair per knife × 3; $4.00 each; handle"
    assert found.parts[1].how == "0.2 piece per blank started × 4; $5.00 each; used up"
