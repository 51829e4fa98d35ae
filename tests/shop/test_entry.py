"""One typed line is one bar or material; what is not understood is said."""

from decimal import Decimal

import pytest

from workbook.shop.entry import MATERIAL_EXAMPLE, EntryError, bar_entries, bar_entry, material_entry
from workbook.shop.job import Edges, PricePer
from workbook.shop.materials import MaterialKind
from workbook.shop.order_entry import order_entry
from workbook.units import HABITS, INCH


@pytest.mark.parametrize(
    ("text", "unit", "steel", "sizes"),
    [
        (HABITS["in"].bar, "in", "52100", (3 / 32 * INCH, 2 * INCH, 36 * INCH)),
        (HABITS["mm"].bar, "mm", "1.2842", (2.5, 50.0, 1000.0)),
        ("AISI 1084 1/8x1 1/2x48, 9.00", "in", "AISI 1084", (INCH / 8, 1.5 * INCH, 48 * INCH)),
        ("D2 1 1/4 x 3 x 12, 80", "in", "D2", (1.25 * INCH, 3 * INCH, 12 * INCH)),
        ("1.2842 2,5 × 50 × 1000, 20", "mm", "1.2842", (2.5, 50.0, 1000.0)),
        ("O1 3 mm x 2 in x 36 in, 20", "in", "O1", (3.0, 2 * INCH, 36 * INCH)),
        ("1075 5/64 x 2-1/2 x 36, 20", "in", "1075", (5 / 64 * INCH, 2.5 * INCH, 36 * INCH)),
    ],
)
def test_steel_and_sizes(text, unit, steel, sizes):
    bar = bar_entry(text, unit)
    assert bar.steel == steel
    assert (bar.thickness, bar.width, bar.length) == pytest.approx(sizes)


def test_price_count_and_words():
    bar = bar_entry(HABITS["in"].bar, "in")
    assert (bar.name, bar.price, bar.per, bar.have, bar.buy) == ("52100 3/32 x 2 x 36", Decimal("31.00"), PricePer.BAR, 2, False)
    bar = bar_entry("O1 1/8 x 2 x 36; $4.20/ft; sawn; buy; 3", "in")
    assert (bar.price, bar.per, bar.edges, bar.have, bar.buy) == (Decimal("4.20"), PricePer.FOOT, Edges.SAWN, 3, True)
    bar = bar_entry("O1 1/8 x 2 x 11 5/8, 7, 1, offcut", "in")
    assert (bar.offcut, bar.have, bar.length) == (True, 1, pytest.approx(11.625 * INCH))
    assert bar_entry("O1 1/8 x 2 x 36, 4", "in").buy
    assert [bar_entry(f"O1 1/4 x 2 x 36, 4{words}", "in").hot_rolled for words in ("", ", hot-rolled", ", hot rolled")] == [
        0,
        1,
        1,
    ]
    offcut = bar_entry("52100 3/32 x 2 1/2 x 12, offcut", "in")
    assert (offcut.have, offcut.buy, offcut.offcut) == (1, False, True)
    offcut = bar_entry("52100 3/32 x 2 1/2 x 12, 3, offcut", "in")
    assert (offcut.have, offcut.price) == (3, 0)
    assert bar_entry("1.2842 2.5 x 50 x 1000, 31,50, 2", "mm").price == Decimal("31.50")


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("", "Type the steel and three sizes"),
        ("52100 3/32 x 2", "Type the steel and three sizes"),
        ("3/32 x 2 x 36", "The steel or the thickness is missing"),
        ("52100 thick x 2 x 36", "is not the thickness of a bar"),
        ("52100 3/0 x 2 x 36", "is not the thickness of a bar"),
        ("52100 3/32 x 2 x 36 miles", "is not a length"),
        ("52100 3/32 x 200 x 36", "is not the width of a bar"),
        ("52100 3/32 x 2 x 36", "Add its price, or the number on the rack"),
        ("52100 3/32 x 2 x 36,31", "Type a space after each comma"),
        ("52100 3/32 x 2 x 36, -3", "is not a price"),
        ("52100 3/32 x 2 x 36, a lot", "is not a price"),
        ("52100 3/32 x 2 x 36, 3.00/stone", "not /stone"),
        ("52100 3/32 x 2 x 36, 3.00, 2, 5", "is not understood"),
        ("52100 3/32 x 2 x 36, 3.00, -2", "is not understood"),
    ],
)
def test_what_is_wrong_with_a_bar_is_said(text, why):
    with pytest.raises(EntryError, match=why):
        bar_entry(text, "in")


def test_materials():
    made = material_entry(MATERIAL_EXAMPLE)
    assert (made.name, made.kind, made.per, made.price, made.have) == (
        "curly maple",
        MaterialKind.HANDLE,
        "pair",
        Decimal(14),
        3.0,
    )
    made = material_entry("epoxy, 12.50, kit, adhesive")
    assert (made.kind, made.per, made.price, made.have) == (MaterialKind.ADHESIVE, "kit", Decimal("12.50"), 0.0)
    assert material_entry("belts").per == "piece"
    made = material_entry("stock bolts,bolt,pair,3.50, 10")
    assert (made.name, made.kind, made.per, made.price, made.have) == (
        "stock bolts",
        MaterialKind.BOLT,
        "pair",
        Decimal("3.50"),
        10,
    )
    for text, why in (
        ("", "Type a name first"),
        ("a, b, c", "is not understood"),
        ("bolts,bolt,pair,3.50,10", "Type a space after each comma"),
        ("a, 1, 2, 3", "Type two numbers"),
    ):
        with pytest.raises(EntryError, match=why):
            material_entry(text)


def test_a_line_may_name_several_lengths_that_a_bar_is_sold_in():
    bars = bar_entries("1084 1/8 x 1 1/2 x 24 or 36 or 48, 4.20/ft", "in")
    assert [round(bar.length / 25.4) for bar in bars] == [24, 36, 48]
    assert {(bar.steel, bar.price, bar.per, bar.buy) for bar in bars} == {("1084", Decimal("4.20"), PricePer.FOOT, True)}
    assert [bar.name for bar in bars] == [f"1084 1/8 x 1 1/2 x {n}" for n in (24, 36, 48)]
    (one,) = bar_entries("52100 3/32 x 2 x 36, 31.00, 2", "in")
    assert one == bar_entry("52100 3/32 x 2 x 36, 31.00, 2", "in")
    assert [bar.length for bar in bar_entries("1.2842 2,5 x 50 x 500 or 1000, 9.00/m", "mm")] == [500.0, 1000.0]


def test_several_lengths_have_no_price_of_one_bar():
    with pytest.raises(EntryError, match="price per foot"):
        bar_entries("1084 1/8 x 1 1/2 x 24 or 36, 20.00", "in")


@pytest.mark.parametrize(
    ("text", "unit", "why"),
    [
        ("52100 3/32 x 2 x 36, 1,250, 2", "in", "“1,250” may be 1250 or 1.25"),
        ("52100 3/32 x 2 x 36, 1.250/ft", "in", "“1.250” may be 1250 or 1.25"),
        ("52100 3/32 x 2 x 36, 31,2", "in", "may be a decimal mark, or separate two numbers"),
        ("1.2842 2.5 x 1.250 x 1000, 31", "mm", "“1.250” may be 1250 or 1.25"),
    ],
)
def test_what_can_be_read_two_ways_is_asked_about(text, unit, why):
    with pytest.raises(EntryError, match=why):
        bar_entry(text, unit)


def test_an_amount_with_its_thousands_is_read_where_it_can_be_read_one_way():
    assert bar_entry("52100 3/32 x 2 x 36; 1,250.00; 2", "in").price == Decimal(1250)
    assert material_entry("ivory nut, handle, 1.250,00, 2").price == Decimal(1250)
    assert material_entry("bolts, 14,00, 3") == material_entry("bolts, 14.00, 3")
    for text in ("maple, pair, 14,3", "maple, pair, 1,250", "maple, pair, 12, 1.250"):
        with pytest.raises(EntryError, match="may be"):
            material_entry(text)


def test_an_order_of_more_figures_than_there_are_is_told():
    with pytest.raises(EntryError, match="A line can have 1 to 10000"):
        order_entry("9" * 5000 + " Petty", ["Petty"], [])


def test_a_steels_name_leaves_room_for_the_sizes_in_its_bars_name():
    """A name has 200 letters; 40 are for the sizes."""
    assert bar_entry(f"{'A' * 160} 1/8 x 1 x 36, 31.00", "in").steel == "A" * 160
    with pytest.raises(EntryError, match="at most 160 letters"):
        bar_entry(f"{'A' * 161} 1/8 x 1 x 36, 31.00", "in")


@pytest.mark.parametrize("between", [" ", ", "])
def test_a_word_such_as_offcut_may_follow_the_sizes_with_or_without_a_comma(between):
    (bar,) = bar_entries(f"1084 1/8 x 1 1/2 x 12{between}offcut", "in")
    assert (bar.offcut, bar.have, bar.length) == (True, 1, pytest.approx(304.8))
    two = bar_entries(f"1084 1/8 x 1 1/2 x 12 or 14{between}offcut", "in")
    assert [(bar.offcut, round(bar.length / 25.4)) for bar in two] == [(True, 12), (True, 14)]
    (rough,) = bar_entries(f"1084 3 x 40 x 900{between}hot-rolled{between}sawn, 9.5, 2", "mm")
    assert (rough.hot_rolled, rough.edges, rough.price, rough.have) == (True, Edges.SAWN, Decimal("9.5"), 2)
