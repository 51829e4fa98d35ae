"""Costs, prices, taxes and shares add up to the cent, in any order."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.shop.charges import Charges, Outside, starts_of
from workbook.shop.entry import EntryError
from workbook.shop.labour import Stage
from workbook.shop.line_cost import Batch, by_size, cost_of, starts_words
from workbook.shop.materials import Material, MaterialKind
from workbook.shop.money import CENT, Money, cents, priced
from workbook.shop.needs import Use
from workbook.shop.order_entry import order_entry
from workbook.shop.pricing import PriceMethod, Pricing, margin, price_for
from workbook.shop.quote import QuoteLine, totals
from workbook.shop.worked import opened
from workbook.structs import replace

amounts = st.decimals(min_value=0, max_value=5000, places=2)
shares = st.floats(0, 0.4)


def line(quantity, each):
    return QuoteLine(words="Petty", details=(), quantity=quantity, each=each, cost=Decimal(0))


lines = st.lists(st.builds(line, st.integers(1, 40), amounts), max_size=6).map(tuple)


@given(lines, amounts, amounts, shares, st.floats(0, 1))
def test_an_order_adds_up_to_the_cent_whatever_the_order_of_its_lines(lines, discount, delivery, tax, deposit):
    one, other = (totals(order, discount, delivery, tax, deposit) for order in (lines, lines[::-1]))
    assert one.due == one.lines - one.discount + one.delivery + one.tax == other.due
    assert one.deposit + one.rest == one.due
    assert sum(one.tax_of_lines) == one.tax
    assert one.discount <= one.lines
    assert all(amount == cents(amount) for amount in (one.due, one.tax, one.deposit, one.rest))


uses = st.builds(
    lambda price, amount, of_starts: Use(
        material=Material(name="glue", kind=MaterialKind.ADHESIVE, price=price), amount=amount, why="used up", of_starts=of_starts
    ),
    amounts, st.floats(0.01, 3), st.booleans(),
)  # fmt: skip
stages = st.lists(
    st.builds(
        lambda s, m, g: Stage(name="stage", set_up=s, minutes=m, good=g), st.floats(0, 90), st.floats(0, 90), st.floats(0.7, 1)
    ),
    min_size=1, max_size=5,
).map(tuple)  # fmt: skip


@given(st.integers(1, 30), amounts, st.lists(uses, max_size=4).map(tuple), stages, shares, st.floats(0.6, 1), amounts)
def test_every_amount_is_the_sum_of_what_it_opens_to(quantity, steel, used, stages, share, learning, outside):
    charges = Charges(
        stages=stages, overhead=share, allowance=share, learning=learning, outside=(Outside(name="jet", batch=outside),)
    )
    batch = Batch(quantity=quantity, starts=starts_of(quantity, charges), steel=steel, steel_how="", uses=used, money=Money())
    whole = cost_of(batch, charges)
    for amount in (whole, whole.each(quantity)):
        for _, part in opened(amount):
            assert not part.parts or sum(p.amount for p in part.parts) == part.amount
            assert part.amount == cents(part.amount)
    assert abs(whole.each(quantity).amount * quantity - whole.amount) <= CENT * quantity


def test_blanks_that_may_still_be_lost_are_all_worked_on_and_then_only_those_wanted():
    stages = (
        Stage(name="saw", set_up=0, minutes=10),
        Stage(name="harden", set_up=0, minutes=10, good=0.5),
        Stage(name="handle", set_up=0, minutes=10),
    )
    charges = replace(Charges(), stages=stages, allowance=0.0, hour=Decimal(60))
    batch = Batch(quantity=2, starts=5, steel=Decimal(0), steel_how="", uses=(), money=Money())
    work = cost_of(batch, charges).part("Work")
    assert [part.amount for part in work.parts] == [50, 50, 20]


@given(amounts, st.floats(0, 0.9), st.sampled_from([Decimal("0.01"), Decimal(1), Decimal(5)]))
def test_a_price_keeps_at_least_the_margin_asked_for_and_lies_on_its_step(cost, share, step):
    price = price_for(cost, Pricing(way=PriceMethod.MARGIN, share=share), step)
    assert price % step == 0
    assert not cost or margin(price, cost) >= share - 1e-9
    assert price - cost / (1 - Decimal(repr(share))) < step


def test_a_shop_that_says_nothing_asks_for_thirty_five_per_cent_of_the_price():
    """65.00 / (1 - 0.35)."""
    assert price_for(Decimal("65.00"), Pricing()) == Decimal("100.00")


def test_a_larger_batch_of_sure_blanks_never_costs_more_each():
    charges = replace(Charges(), stages=(Stage(name="all", set_up=60, minutes=25),))
    batch = Batch(quantity=4, starts=4, steel=Decimal(40), steel_how="", uses=(), money=Money())
    costs = [point.cost for point in by_size(batch, charges, Pricing(), range(1, 30))]
    assert costs == sorted(costs, reverse=True)
    assert costs[0] > costs[-1]


def test_the_number_of_starts_is_said_with_how_sure_it_makes():
    assert starts_words(6, 8, replace(Charges(), stages=(Stage(name="", set_up=0, minutes=0, good=0.9),))) == (
        "Start 8 for 6 (90% yield): 96% sure. Start 7: 85% sure"
    )


def test_money_below_nothing_is_written_with_its_sign_in_front():
    assert priced(Decimal("-4.50"), Money("USD")) == "-$4.50"
    assert priced(Decimal("-4.50"), Money("SEK")) == "-4.50 SEK"


SHELF, STEELS = ("Petty", "Paring", "Parer"), ("52100", "O1")


def test_an_order_is_typed_in_one_line():
    wish = order_entry("6 petty of 52100 for A. Moreno by 2027-1-15", SHELF, STEELS)
    assert (wish.quantity, wish.template, wish.steel, wish.customer, wish.wanted) == (
        6,
        "Petty",
        "52100",
        "A. Moreno",
        "2027-01-15",
    )
    short = order_entry("2 x pet", SHELF, STEELS)
    assert (short.quantity, short.template, short.steel, short.customer, short.wanted) == (2, "Petty", "", "", "")


@pytest.mark.parametrize(
    ("text", "customer", "steel", "wanted"),
    [
        ("6 petty for Bank of Scotland", "Bank of Scotland", "", ""),
        ("6 petty for Jim by hand", "Jim by hand", "", ""),
        ("6 petty of O1 for The Inn of Two by the Sea by 2027-01-05", "The Inn of Two by the Sea", "O1", "2027-01-05"),
        ("6 petty for R. Okafor of O1 by 2027-01-05", "R. Okafor", "O1", "2027-01-05"),
        ("6 petty by 2027-01-05", "", "", "2027-01-05"),
        ("6 petty in o1", "", "O1", ""),
        ("6 petty for A for B", "A for B", "", ""),
    ],
)
def test_a_name_may_have_any_words(text, customer, steel, wanted):
    wish = order_entry(text, SHELF, STEELS)
    assert (wish.customer, wish.steel, wish.wanted) == (customer, steel, wanted)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("petty", "Type a quantity and a template"),
        ("0 petty", "A line can have 1 to"),
        ("3 par", "more than one template name starts with this"),
        ("3 sword", "no template has this name"),
        ("3 petty of mud", "No bar is of “mud”"),
        ("3 petty by 2027-02-30", "is not a date"),
        ("3 petty by soon", "is not a date"),
        ("", "Type a quantity and a template"),
    ],
)
def test_what_cannot_be_read_is_said(text, says):
    with pytest.raises(EntryError, match=says):
        order_entry(text, SHELF, STEELS)


@given(st.text(max_size=60))
def test_no_line_brings_anything_but_an_order_or_words(text):
    try:
        wish = order_entry(text, SHELF, STEELS)
    except EntryError as trouble:
        assert str(trouble)
    else:
        assert wish.template in SHELF
