"""Which bar a blade is made of. Expected values are worked out by hand beside each."""

import pytest

from workbook.formats.family import family
from workbook.shop import in_hand as hands
from workbook.shop.in_hand import Source, bars_for, nominal_bar
from workbook.shop.job import NOMINAL, Bar, Choice, CutBlank, Job, Make, Measured
from workbook.structs import replace

PETTY = replace(family("petty"), name="Petty", blade=replace(family("petty").blade, thickness=2.0))


def bar(name, size, *, have=0, buy=False, steel="O1", **measured):
    return Bar(
        name=name, steel=steel, thickness=size, width=50.0, length=900.0, have=have, buy=buy, measured=Measured(**measured)
    )


def job(*bars, make=("O1",), **more):
    wishes = tuple(Make(template="Petty", steel=steel, quantity=1) for steel in make)
    return Job(name="j", unit="mm", templates=(PETTY,), bars=bars, make=wishes, **more)


def cut(serial, thickness=2.4, steel="O1", name="old", **measured):
    read = Measured(**measured)
    return CutBlank(template="Petty", serial=serial, bar=name, steel=steel, thickness=thickness, width=50.0, measured=read)


def in_hand(job, name):
    return hands.in_hand(job, name, bars_for(job, name))


def told(hand):
    return hand.source, hand.bar, hand.thickness, hand.read


def test_the_only_bar_is_it_though_it_is_thicker():
    assert told(in_hand(job(bar("thick", 2.4, buy=True)), "Petty")) == (Source.SALE, "thick", 2.4, False)


def test_the_rack_comes_before_what_is_for_sale_and_what_was_read_before_what_was_not():
    bars = (bar("sale", 2.0, buy=True), bar("rack", 2.0, have=1), bar("read", 2.4, have=1, thickness=2.37, far=2.35))
    assert [hand.bar for hand in bars_for(job(*bars), "Petty")] == ["read", "rack", "sale", NOMINAL]
    assert told(in_hand(job(*bars), "Petty")) == (Source.RACK, "read", 2.35, True)


def test_one_that_is_to_be_bought_was_read_by_nobody():
    """Readings of a bar that lay on the rack once are of one that is gone."""
    assert told(in_hand(job(bar("gone", 2.4, buy=True, thickness=2.31)), "Petty")) == (Source.SALE, "gone", 2.4, False)


def test_what_was_read_of_a_bar_on_the_rack_counts_and_of_one_for_sale_its_nominal():
    """Its width too: 49.2 as read, 50 as it is sold."""
    read = {"thickness": 2.31, "width": 49.2}
    rack, sale = (in_hand(job(bar("b", 2.4, **more, **read)), "Petty") for more in ({"have": 1}, {"buy": True}))
    assert (rack.rack, rack.thickness, rack.width) == (True, 2.31, 49.2)
    assert (sale.rack, sale.thickness, sale.width) == (False, 2.4, 50.0)


def test_a_bar_on_the_rack_that_is_also_for_sale_stands_once():
    hands = bars_for(job(bar("both", 2.4, have=1, buy=True, thickness=2.31)), "Petty")
    assert [told(hand)[:3] for hand in hands] == [(Source.RACK, "both", 2.31), (Source.NOMINAL, NOMINAL, 2.0)]


@pytest.mark.parametrize(
    "other", [bar("steel", 2.0, have=1, steel="52100"), bar("thin", 1.8, have=1), bar("thick", 2.6, have=1), bar("none", 2.0)]
)
def test_what_does_not_suit_is_no_choice(other):
    """Of another steel than is wanted; under 2.0 by more than 0.1; over it by more than 0.5; not there and not for sale."""
    assert told(in_hand(job(other), "Petty")) == (Source.NOMINAL, NOMINAL, 2.0, False)


def test_without_anything_to_be_made_a_bar_of_any_steel_will_do():
    assert in_hand(job(bar("steel", 2.1, have=1, steel="52100"), make=()), "Petty").steel == "52100"


def test_only_a_reading_of_thickness_is_a_reading_of_it():
    assert told(in_hand(job(bar("wide", 2.0, have=1, width=49.7)), "Petty")) == (Source.RACK, "wide", 2.0, False)


@pytest.mark.parametrize(
    ("choice", "expected"),
    [
        (Choice("sale"), (Source.SALE, "sale", 2.1, False)),
        (Choice(NOMINAL), (Source.NOMINAL, NOMINAL, 2.0, False)),
        (Choice("old", cut=True), (Source.CUT, "old", 2.33, True)),
        (Choice("gone"), (Source.RACK, "rack", 2.0, False)),  # the likeliest
    ],
)
def test_what_the_maker_chose_is_it_while_it_is_there(choice, expected):
    bars = (bar("rack", 2.0, have=1), bar("sale", 2.1, buy=True))
    made = job(*bars, chosen=(("Petty", choice),), cut=(cut("P1", thickness=2.4, middle=2.33),))
    # the reading middle=2.33 is the only one, and the least
    assert told(in_hand(made, "Petty")) == expected


def test_when_all_are_cut_it_is_the_bar_the_last_were_cut_from():
    """Blanks of one bar stand together; one that is still to be made is of the rack again."""
    was = (cut("P1", name="first"), cut("P2", name="last", thickness=2.2), cut("P3", name="last", thickness=2.2))
    rack = bar("rack", 2.0, have=1)
    hand = in_hand(job(rack, make=(), cut=was), "Petty")
    assert (told(hand), hand.serials) == ((Source.CUT, "last", 2.2, False), ("P2", "P3"))
    assert in_hand(job(rack, cut=was), "Petty").bar == "rack"


@pytest.mark.parametrize(("thickness", "over"), [(2.02, 0.0), (1.98, 0.0), (2.4, 0.4), (1.95, -0.05)])
def test_what_calipers_may_be_wrong_by_is_no_difference(thickness, over):
    assert replace(nominal_bar(2.0), thickness=thickness).over == pytest.approx(over)


def test_a_bar_of_the_rack_and_one_bought_of_one_thickness_are_told_together():
    """Neither was read: one card for both, and what is wrong with the one on the rack is not lost."""
    both = bar("both", 2.0, have=1, buy=True)
    rack, sale = (hands.bar_laid_on(PETTY, both, (serial,), bought=bought) for serial, bought in (("P1", False), ("P2", True)))
    other = hands.bar_laid_on(PETTY, bar("other", 2.0, have=1), ("P3",), bought=False)
    found = hands.with_more(hands.with_more(sale, rack), other)
    assert (found.names, found.serials, found.rack) == (["both", "other"], ("P2", "P1", "P3"), True)
