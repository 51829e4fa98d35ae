"""The chain's part of the bound is a bound: shapely says so of random outlines, and of orders whose best chain is known."""

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import numbers, rings
from workbook.geometry.polygon import of_points
from workbook.nesting.chain_bound import TURNS, _always_clash, _poses, chain, least_shift, reach_of
from workbook.nesting.model import NestingJob, Part, Stock
from workbook.nesting.section_bound import price_bound

WEDGE = np.array([(0, 0), (100, 0), (100, 4), (0, 20)], float)


def job_of(outline, quantity, width, length, *, separation=0.0, **rules):
    part = Part(name="part", steel="s", outline=outline, quantity=quantity)
    stock = Stock(name="bar", width=width, length=length, price=Decimal(10), count=None, source="buy")
    return NestingJob(
        parts=(part,), stock=(stock,), suits=frozenset({(0, 0)}), separation=separation, bar_end=0.0, bar_edge=0.0, **rules
    )


@given(rings(), numbers(0.0, 4.0), st.integers(0, 3), st.integers(0, 3), numbers(1.0, 1.9), numbers(0, 1), numbers(0, 1))
def test_nearer_than_the_least_shift_two_blanks_clash_at_every_height(ring, separation, a, b, lanes, where, rise):
    job = job_of(ring, 2, 1.0, 1.0, separation=separation)
    poses = _poses(job, 0)
    width = lanes * poses[0].height
    dx = where * least_shift(poses[a], poses[b], width, reach_of(poses[a], poses[b])) * (1 - 1e-9)
    spare = width - poses[0].height
    low, high = ring.min(axis=0), ring.max(axis=0)
    first, second = (of_points((ring - (low + high) / 2) * TURNS[k]).buffer(separation / 2) for k in (a, b))
    moved = np.array([dx, (2 * rise - 1) * spare])
    if dx > 0:
        assert first.intersects(of_points(np.asarray(second.exterior.coords)[:-1] + moved))


@given(rings(), rings(), numbers(0.0, 4.0), st.integers(0, 3), st.integers(0, 3), numbers(1.0, 1.9))
def test_no_shift_is_passed_over_at_which_a_height_is_free(ring, other, separation, a, b, lanes):
    """Column by column at every shift, with nothing left out."""
    (first, second) = (_poses(job_of(each, 2, 1.0, 1.0, separation=separation), 0)[k] for each, k in ((ring, a), (other, b)))
    width = lanes * max(first.height, second.height)
    rises = first.height - width, width - second.height
    free = next((s for s in range(len(first.low)) if not _always_clash(first, second, s, rises)), len(first.low))
    assert least_shift(first, second, width, reach_of(first, second)) == max(0.0, free - 0.5)


def test_what_sections_cannot_see_the_chain_does():
    """Blocks of 20 x 30 with low arms of 40 x 8 at either side on a bar of 31: arms pass each other, none passes a block.

    So one follows another after 60: five take 4 x 60 + 100 = 340. Blocks (20 long each) and sections leave room for more.
    """
    armed = np.array(
        [(0, 2), (40, 2), (40, 0), (60, 0), (60, 2), (100, 2), (100, 10), (60, 10), (60, 30), (40, 30), (40, 10), (0, 10)],
        float,
    )
    assert price_bound(job_of(armed, 5, 31.0, 330.0), (5,)) == (Decimal(20), "chains")
    assert price_bound(job_of(armed, 5, 31.0, 340.0), (5,))[0] == Decimal(10)


def test_wedges_lie_head_to_tail_and_the_bound_knows():
    """Wedges of 100 x 20 tapering to 4, on a bar of 24: turned about they share 24 of height, two on every 100 mm."""
    job = job_of(WEDGE, 8, 24.0, 400.0)
    assert price_bound(job, (8,))[0] == Decimal(10)


def test_wedges_that_cannot_lie_head_to_tail_need_the_bars_their_chain_needs():
    """On a bar of 21 the thin end of one goes over the thin end of the next only as far as both leave room.

    At x the wedge is 20 - 0.16 x high, so two thin ends meet over a length d with 2 (4 + 0.16 d / 2) <= 21 at its middle
    and 4 + 4 + 0.16 d <= 21 at its ends: d <= 81.25. Thick ends do not pass each other. Best chain of four: two pairs,
    2 (200 - 81.25) = 237.5; one bar of 230 is not enough, one of 238 is.
    """
    assert price_bound(job_of(WEDGE, 4, 21.0, 230.0), (4,))[0] == Decimal(20)
    assert price_bound(job_of(WEDGE, 4, 21.0, 238.0), (4,))[0] == Decimal(10)


def test_bars_of_more_lanes_and_leaning_blanks_have_no_chain():
    assert chain(job_of(WEDGE, 4, 45.0, 230.0), [0], 0) is None
    assert chain(job_of(WEDGE, 4, 21.0, 230.0, tilt=0.02), [0], 0) is None
    assert chain(job_of(WEDGE, 4, 21.0, 230.0), [], 0) is None


@pytest.mark.parametrize("quantity", [2, 3, 5])
def test_rectangles_behind_each_other_need_their_lengths(quantity):
    """Rectangles of 60 x 30 with 2 between on a bar of 50; a millimetre a blank is what the grid may lose."""
    rectangle = np.array([(0, 0), (60, 0), (60, 30), (0, 30)], float)
    need = 62 * quantity
    assert price_bound(job_of(rectangle, quantity, 50.0, need - 2 + 0.01, separation=2.0), (quantity,))[0] == Decimal(10)
    short = job_of(rectangle, quantity, 50.0, need - 2 - quantity, separation=2.0)
    assert price_bound(short, (quantity,))[0] != Decimal(10)
