"""Blanks put elsewhere by hand and exchanged: nothing is lost, spots are told, and what has room lies clear."""

from collections import Counter
from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.nesting.arranging import exchanged, put, unused_bars
from workbook.nesting.by_hand import bed
from workbook.nesting.model import BarUse, Layout, NestingJob, Part, Piece, Stock, written
from workbook.nesting.verify import faults
from workbook.structs import replace


def spots(layout):
    return [(b, i) for b, use in enumerate(layout.bars) for i in range(len(use.pieces))]


def blank_at(layout, spot):
    return layout.bars[spot[0]].pieces[spot[1]]


def counted(layout):
    return Counter(piece.part for use in layout.bars for piece in use.pieces)


def test_a_blank_put_on_another_bar_leaves_its_own_and_an_empty_bar_is_not_taken(laid_demo):
    alone = replace(laid_demo.layout, bars=(BarUse(laid_demo.layout.bars[0].stock, laid_demo.layout.bars[0].pieces[:1]),
                                            laid_demo.layout.bars[1]))  # fmt: skip
    piece = alone.bars[0].pieces[0]
    arranged = put(alone, (0, 0), piece, 1)
    layout = arranged.layout
    assert len(layout.bars) == 1
    assert blank_at(layout, arranged.now[0, 0]) == piece
    assert sorted(arranged.now.values()) == spots(layout)
    assert len(layout.bars[0].pieces) == len(alone.bars[1].pieces) + 1


def test_a_blank_goes_to_a_bar_not_used_yet(laid_demo):
    job, layout = laid_demo.nesting, laid_demo.layout
    spot = next((b, i) for b, i in spots(layout) if len(layout.bars[b].pieces) > 1)
    part = blank_at(layout, spot).part
    stock = unused_bars(job, layout, part)[0]
    to = len(layout.bars)
    first = bed(job, BarUse(stock, ())).at_end_a(blank_at(layout, spot))
    arranged = put(layout, spot, first, to, stock)
    assert arranged.now[spot] == (to, 0)
    assert arranged.layout.bars[to] == BarUse(stock, (first,))
    assert counted(arranged.layout) == counted(layout)
    assert faults(job, arranged.layout) == []
    assert written(job, first)[:, 0].min() == pytest.approx(job.bar_end, abs=1e-3)


def test_only_bars_that_are_left_and_suit_are_offered(laid_demo):
    job, layout = laid_demo.nesting, laid_demo.layout
    uses = Counter(use.stock for use in layout.bars)
    for part in range(len(job.parts)):
        offered = unused_bars(job, layout, part)
        left = {s for s, bar in enumerate(job.stock) if bar.count is None or bar.count > uses[s]}
        assert set(offered) == {s for s in left if (part, s) in job.suits}
        bought = [job.stock[s].source == "buy" for s in offered]
        assert bought == sorted(bought), "the rack comes first"


@given(st.data())
def test_two_exchanged_lie_where_the_other_did_and_nothing_else_moves(laid_demo, data):
    job, layout = laid_demo.nesting, laid_demo.layout
    first, second = data.draw(st.sampled_from(spots(layout))), data.draw(st.sampled_from(spots(layout)))
    if first == second:
        return
    arranged = exchanged(job, layout, first, second)
    ways = [(blank_at(layout, a).part, layout.bars[b[0]].stock) in job.suits for a, b in ((first, second), (second, first))]
    assert (arranged is not None) == all(ways)
    if arranged is None:
        return
    assert arranged.now == {spot: {first: second, second: first}.get(spot, spot) for spot in spots(layout)}
    for spot in spots(layout):
        if spot not in (first, second):
            assert blank_at(arranged.layout, spot) == blank_at(layout, spot)
    assert blank_at(arranged.layout, second).part == blank_at(layout, first).part
    assert blank_at(arranged.layout, first).part == blank_at(layout, second).part


def test_blanks_alike_change_places_exactly(laid_demo):
    job, layout = laid_demo.nesting, laid_demo.layout
    pairs = [
        (a, b)
        for a in spots(layout)
        for b in spots(layout)
        if a < b and blank_at(layout, a).part == blank_at(layout, b).part and layout.bars[a[0]].stock == layout.bars[b[0]].stock
    ]
    for first, second in pairs:
        arranged = exchanged(job, layout, first, second)
        assert written(job, blank_at(arranged.layout, second)) == pytest.approx(written(job, blank_at(layout, second)))
        assert faults(job, arranged.layout) == []
    assert pairs


def test_a_short_one_and_a_long_one_exchanged_take_up_the_room_that_each_has():
    """Two lanes of a bar 100 wide, each with a long and a short blank, whose ends meet at x = 200: the exchange has room."""
    long, short = (np.array([(0.0, 0.0), (length, 0.0), (length, 30.0), (0.0, 30.0)]) for length in (180.0, 90.0))
    parts = (Part(name="long", steel="s", outline=long, quantity=1), Part(name="short", steel="s", outline=short, quantity=1))
    bar = Stock(name="bar", width=40.0, length=400.0, price=Decimal(1), count=1, source="rack")
    job = NestingJob(parts=parts, stock=(bar,), suits=frozenset({(0, 0), (1, 0)}), separation=2.0, bar_end=1.0, bar_edge=1.0)
    lies = (Piece(0, 2.0, 5.0, 0.0, mirrored=False), Piece(1, 300.0, 5.0, 0.0, mirrored=False))
    arranged = exchanged(job, Layout((BarUse(0, lies),)), (0, 0), (0, 1))
    assert faults(job, arranged.layout) == []
    a, b = (written(job, piece)[:, 0] for piece in arranged.layout.bars[0].pieces)
    assert a.max() - a.min() == pytest.approx(90.0), "the short one is where the long one was"
    assert a.max() <= 182.0
    assert b.min() >= 182.0 + 2.0, "the long one lies at the other end, moved no farther than it must"
    assert b.max() == pytest.approx(390.0, abs=1.0)
