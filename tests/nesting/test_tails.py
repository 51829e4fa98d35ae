"""Bars cut off slanting or with a corner missing: what may lie on them, and both searches use what is beyond the full width."""

from decimal import Decimal
from itertools import islice
from math import hypot

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely.geometry import Polygon, box

from tests.counts import tries
from tests.strategies import nesting_jobs
from workbook.nesting.by_hand import bed
from workbook.nesting.fits import fits_alone, missing, unfit
from workbook.nesting.model import BarUse, Layout, NestingJob, Part, Piece, Stock, written
from workbook.nesting.search import layouts, plain_layouts
from workbook.nesting.tails import _Whole
from workbook.nesting.verify import faults
from workbook.structs import replace

LONG, SHORT = (np.array([(0.0, 0.0), (length, 0.0), (length, 20.0), (0.0, 20.0)]) for length in (280.0, 150.0))
LONG_PART, SHORT_PART = (
    Part(name=name, steel="s", outline=outline, quantity=1) for name, outline in (("long", LONG), ("short", SHORT))
)
L_SHAPED = Stock(name="L", width=60.0, length=160.0, price=Decimal(5), count=1, source="offcut", beyond=140.0, tongue=30.0)
SLANTED = Stock(name="slanted", width=60.0, length=200.0, price=Decimal(5), count=1, source="offcut", beyond=60.0)
FRESH = Stock(name="fresh", width=60.0, length=300.0, price=Decimal(20), count=None, source="buy")


def job(parts, stock):
    suits = frozenset((p, s) for p in range(len(parts)) for s in range(len(stock)))
    return NestingJob(parts=parts, stock=stock, suits=suits, separation=3.0, bar_end=2.0, bar_edge=2.0, lost_at_end=2.0)


SEARCHES = pytest.mark.parametrize("search", [layouts, plain_layouts], ids=["compiled", "plain"])


def best(search, nesting, steps=20):
    *_, last = islice(search(nesting, 0), steps)
    return last.best


@SEARCHES
def test_a_blank_longer_than_the_full_width_lies_in_the_leg_of_an_l_shaped_offcut(search):
    """280 by 20 in a leg 300 long and 30 wide, 2 from its edges and ends; beside it, above the leg, 156 by 26 are left."""
    nesting = job((LONG_PART, SHORT_PART), (L_SHAPED, FRESH))
    found = best(search, nesting)
    assert [use.stock for use in found.bars] == [0], "no bar is bought"
    assert faults(nesting, found) == []
    reach = max(written(nesting, piece)[:, 0].max() for piece in found.bars[0].pieces)
    assert 280.0 < reach <= 298.0


@SEARCHES
def test_what_does_not_fit_beyond_goes_to_another_bar(search):
    """Two of 280 do not fit: the second would lie where the corner is missing."""
    nesting = job((replace(LONG_PART, quantity=2),), (L_SHAPED, FRESH))
    found = best(search, nesting)
    assert sorted(use.stock for use in found.bars) in ([0, 1], [1])
    assert faults(nesting, found) == []
    assert not found.left_over


@SEARCHES
def test_a_bar_with_a_tail_is_not_taken_where_nothing_lies_on_it(search):
    """One bar for sale at 1 holds both: the offcut worth 5 stays on the rack."""
    nesting = job((LONG_PART, SHORT_PART), (L_SHAPED, replace(FRESH, price=Decimal(1), source="rack", count=1)))
    found = best(search, nesting, 60)
    assert [use.stock for use in found.bars] == [1]


def test_how_long_a_blank_fits_on_a_slanting_offcut_is_worked_out_from_its_slope():
    """260 long below and 200 above, 60 wide: the slope is one in one. A blank 20 high at the lower edge reaches to where it is 2
    from the slope measured square to it: at height 22 the end is at 260 - 22, less 2 times the root of 2."""
    most = 260.0 - 22.0 - 2.0 * hypot(1.0, 1.0) - 2.0
    for length, fits in ((most - 0.01, True), (most + 0.01, False)):
        part = replace(SHORT_PART, outline=np.array([(0.0, 0.0), (length, 0.0), (length, 20.0), (0.0, 20.0)]))
        assert fits_alone(job((part,), (SLANTED,)), 0, 0) is fits
        assert unfit(job((part,), (SLANTED,))) == ([] if fits else [0])


@SEARCHES
def test_the_search_lays_a_blank_there(search):
    part = replace(SHORT_PART, outline=np.array([(0.0, 0.0), (230.0, 0.0), (230.0, 20.0), (0.0, 20.0)]))
    nesting = job((part,), (SLANTED, FRESH))
    found = best(search, nesting)
    assert [use.stock for use in found.bars] == [0]
    assert faults(nesting, found) == []


def test_a_blank_over_what_is_missing_is_a_fault_and_by_hand_it_is_said_and_moved_clear():
    nesting = job((SHORT_PART,), (L_SHAPED,))
    piece = Piece(0, 140.0, 8.0, 0.0, mirrored=False)  # its end lies over the leg, its side 2 below where the corner begins
    low, high = replace(piece, y=7.9), replace(piece, y=8.1)
    assert faults(nesting, Layout((BarUse(0, (low,)),))) == []
    assert len(faults(nesting, Layout((BarUse(0, (high,)),)))) == 1
    over = replace(piece, y=30.0)
    stands = bed(nesting, BarUse(0, (over,)), 0).standing(over)
    assert stands.edge == "the missing corner"
    assert stands.room < 0
    clear = bed(nesting, BarUse(0, (over,)), 0).clear_of(over)
    assert faults(nesting, Layout((BarUse(0, (clear,)),))) == []


@pytest.mark.parametrize("bar", [L_SHAPED, SLANTED])
def test_what_is_missing_and_what_is_there_make_the_whole_rectangle(bar):
    whole = box(0, 0, bar.length + bar.beyond, bar.width)
    corner = whole.intersection(Polygon(missing(bar)))
    there = 30.0 * 140.0 if bar.tongue else 60.0 * 60.0 / 2
    assert corner.area == pytest.approx(bar.beyond * bar.width - there)
    assert box(0, 0, bar.length, bar.width).intersection(corner).area == pytest.approx(0.0, abs=1e-6)


@given(nesting_jobs(), st.floats(0.05, 0.9), st.floats(0.0, 0.9), st.integers(0, 99))
@settings(max_examples=tries(8, 150), deadline=None)
def test_every_layout_on_bars_with_tails_is_sound(nesting, share, tongue, seed):
    """Any job, with its rack bars shortened to part of their full width; every layout is held against what is there."""
    stock = tuple(
        bar if bar.source == "buy" else replace(
            bar, length=bar.length * share, beyond=bar.length * (1 - share), count=1 if bar.count is None else min(bar.count, 2),
            tongue=round(tongue * bar.width, 2) if tongue > 0.1 else 0.0,
        )
        for bar in nesting.stock
    )  # fmt: skip
    tailed = replace(nesting, stock=stock, kept=(), marks=())
    for search in (layouts, plain_layouts):
        for progress in islice(search(tailed, seed), 6):
            assert faults(tailed, progress.best) == []
            for use in progress.best.bars:
                bar, margin = stock[use.stock], max(tailed.bar_end, tailed.edge(use.stock))
                steel = box(0, 0, bar.length + bar.beyond, bar.width).difference(
                    Polygon(missing(bar)) if bar.beyond else Polygon()
                )
                for piece in use.pieces:
                    outline = Polygon(written(tailed, piece))
                    assert outline.within(steel.buffer(1e-3))
                    if bar.beyond:
                        assert outline.distance(Polygon(missing(bar))) >= margin - 1e-4


@SEARCHES
def test_a_search_with_tails_repeats_itself_and_tells_what_was_sent_to_it(search):
    nesting = job((LONG_PART, replace(SHORT_PART, quantity=3)), (L_SHAPED, SLANTED, FRESH))
    first, again = (list(islice(search(nesting, 3), 12)) for _ in range(2))
    assert [p.best for p in first] == [p.best for p in again]
    steps = search(nesting, 3)
    begun = next(steps)
    better = first[-1].best
    assert steps.send(better).best in (better, begun.best, first[-1].best)


@SEARCHES
def test_blanks_that_stay_beyond_the_full_width_stay(search):
    stays = Piece(0, 10.0, 2.5, 0.0, mirrored=False)
    nesting = replace(job((LONG_PART, SHORT_PART), (L_SHAPED, FRESH)), kept=(BarUse(0, (stays,)),))
    found = best(search, nesting)
    assert found.bars[0].stock == 0
    assert stays in found.bars[0].pieces
    assert faults(nesting, found) == []


@SEARCHES
def test_of_two_bars_with_tails_the_cheaper_is_taken_where_one_blank_needs_a_tail(search):
    """One long blank and two short ones: the dear L-shaped bar and a plain one hold them too, but so does the cheap one."""
    dear, cheap = replace(L_SHAPED, name="dear", price=Decimal(50)), replace(L_SHAPED, name="cheap", price=Decimal(8))
    plain = Stock(name="plain", width=60.0, length=160.0, price=Decimal(5), count=2, source="rack")
    nesting = job((LONG_PART, replace(SHORT_PART, quantity=3)), (dear, cheap, plain))
    found = best(search, nesting, 60)
    assert faults(nesting, found) == []
    assert sum(nesting.stock[use.stock].price for use in found.bars) == Decimal(13)


@pytest.mark.parametrize("order", [(0, 1), (1, 0)])
def test_a_layout_with_tails_is_told_to_the_form_that_takes_them_whatever_its_order(order):
    nesting = job((LONG_PART, SHORT_PART), (L_SHAPED, SLANTED))
    pieces = (Piece(0, 2.0, 5.0, 0.0, mirrored=False), Piece(1, 5.0, 5.0, 0.0, mirrored=False))
    uses = (BarUse(0, pieces[:1]), BarUse(1, pieces[1:]))
    layout = Layout(tuple(uses[n] for n in order))
    assert faults(nesting, layout) == []
    whole = _Whole(nesting, frozenset({(0, 1), (1, 1)}))
    told = whole.form(layout)
    assert told is not None
    assert sorted(whole.real(told).bars, key=lambda use: use.stock) == list(uses)


def test_beside_a_missing_corner_the_margin_of_the_edge_counts_at_the_end_too():
    """Edge 6, end 3: a blank 151 long fits a bar of full width for 160 to 3 from its end, but not beside the corner."""
    part = replace(SHORT_PART, outline=np.array([(0.0, 0.0), (152.0, 0.0), (152.0, 46.0), (0.0, 46.0)]))
    nesting = replace(job((part,), (L_SHAPED,)), bar_edge=6.0, bar_end=3.0)
    assert unfit(nesting) == [0]
    shorter = replace(part, outline=part.outline * [150.9 / 152.0, 1.0])
    fits = replace(nesting, parts=(shorter,))
    assert unfit(fits) == []
    assert faults(fits, best(layouts, fits)) == []
