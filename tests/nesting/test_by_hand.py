"""Blanks moved by hand: what is said of them is what the verification of layouts says, and moved clear they are clear."""

from decimal import Decimal
from math import cos, hypot, pi, sin, sqrt

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.geometry.polygon import of_points
from workbook.nesting.arranging import put
from workbook.nesting.by_hand import bed, by_steps, clashing, flipped, turned
from workbook.nesting.model import BarUse, NestingJob, Part, Piece, Stock, written
from workbook.nesting.verify import faults
from workbook.structs import replace


def spots(laid):
    return [(b, i) for b, use in enumerate(laid.layout.bars) for i in range(len(use.pieces))]


@given(st.data(), st.floats(-60, 60), st.floats(-20, 20))
def test_a_moved_blank_clashes_exactly_where_the_verification_finds_a_fault(laid_demo, data, dx, dy):
    bar, index = data.draw(st.sampled_from(spots(laid_demo)))
    use, job = laid_demo.layout.bars[bar], laid_demo.nesting
    piece = by_steps(use.pieces[index], dx, dy, 0.5)
    arranged = put(laid_demo.layout, (bar, index), piece, bar)
    layout = arranged.layout
    assert arranged.now == {spot: spot for spot in spots(laid_demo)}
    stands = bed(job, layout.bars[bar], index).standing(piece)
    assert stands.clear == (not faults(job, layout))
    assert stands.clear == (index not in clashing(job, layout.bars[bar]))
    if stands.gap > 0 and stands.neighbour is not None:
        own, other = (of_points(written(job, layout.bars[bar].pieces[i])) for i in (index, stands.neighbour))
        assert stands.gap == pytest.approx(own.distance(other))


@given(st.data(), st.floats(-25, 25), st.floats(-12, 12))
def test_a_blank_moved_clear_goes_the_shortest_way_to_where_it_may_lie(laid_demo, data, dx, dy):
    bar, index = data.draw(st.sampled_from(spots(laid_demo)))
    use, job = laid_demo.layout.bars[bar], laid_demo.nesting
    piece = by_steps(use.pieces[index], dx, dy, 0.1)
    over = bed(job, use, index)
    found = over.clear_of(piece)
    if found is None:
        return
    assert over.standing(found).clear
    moved = hypot(found.x - piece.x, found.y - piece.y)
    for step in range(min(int(moved), 40)):
        for way in (0.0, pi / 2, pi, -pi / 2):
            shorter = replace(piece, x=piece.x + step * round(cos(way)), y=piece.y + step * round(sin(way)))
            assert not over.standing(shorter).clear, "a shorter move would have been enough"
    if over.standing(piece).clear:
        assert moved < 1e-9


def test_wedges_part_at_a_right_angle_to_their_slopes():
    """Two right-angled triangles lie slope against slope, too near by 6 mm measured across the slope: 45 degrees is shortest."""
    wedge = np.array([(0.0, 0.0), (40.0, 0.0), (0.0, 40.0)])
    part = Part(name="wedge", steel="s", outline=wedge, quantity=2)
    bar = Stock(name="bar", width=200.0, length=200.0, price=Decimal(1), count=1, source="rack")
    job = NestingJob(parts=(part,), stock=(bar,), suits=frozenset({(0, 0)}), separation=2.0, bar_end=1.0, bar_edge=1.0)
    still = Piece(0, 60.0, 60.0, 0.0, mirrored=False)
    apart = 20.0 * sqrt(2) * 2 + 2.0 - 6.0  # from one right angle to the other, along the line between them
    other = Piece(0, 60.0 + apart / sqrt(2), 60.0 + apart / sqrt(2), pi, mirrored=False)
    found = bed(job, BarUse(0, (still, other)), 1).clear_of(other)
    assert (found.x - other.x, found.y - other.y) == pytest.approx((6 / sqrt(2), 6 / sqrt(2)), abs=0.001)


@given(st.data())
def test_turned_or_flipped_twice_a_blank_lies_as_it_did(laid_demo, data):
    bar, index = data.draw(st.sampled_from(spots(laid_demo)))
    piece = laid_demo.layout.bars[bar].pieces[index]
    for way in (turned, flipped):
        once, twice = way(laid_demo.nesting, piece), way(laid_demo.nesting, way(laid_demo.nesting, piece))
        assert (written(laid_demo.nesting, twice) - written(laid_demo.nesting, piece)).max() < 0.001
        before, after = written(laid_demo.nesting, piece), written(laid_demo.nesting, once)
        assert (before.min(axis=0) + before.max(axis=0)) == pytest.approx(after.min(axis=0) + after.max(axis=0), abs=0.001)
    assert turned(laid_demo.nesting, piece).angle == pytest.approx((piece.angle + pi) % (2 * pi))
    assert flipped(laid_demo.nesting, piece).mirrored is not piece.mirrored


def test_a_blank_near_the_edge_springs_to_the_margin(laid_demo):
    use, job = laid_demo.layout.bars[0], laid_demo.nesting
    over, low = bed(job, use, 0), written(job, use.pieces[0])[:, 1].min()
    piece = replace(use.pieces[0], y=use.pieces[0].y - low + job.edge(use.stock) + 0.7)
    assert written(job, over.against(piece, 1.5))[:, 1].min() == pytest.approx(job.edge(use.stock), abs=1e-3)
    assert over.against(piece, 0.5).y == pytest.approx(piece.y)
