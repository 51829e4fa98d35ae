"""Tables against shapely on the outlines themselves: what they call free is, what they forbid is too near."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from pytest import approx
from shapely.geometry import Polygon

from workbook.nesting.engine.intervals import BLOCK, BLOCKS
from workbook.nesting.engine.poses import COARSE
from workbook.nesting.engine.slabs import clash
from workbook.nesting.model import written

WASTE = 4 * COARSE  # mm; how much farther apart than asked the tables may keep two blanks


def placed(mixed, pose, x, y):
    job, made = mixed
    return Polygon(written(job, made.poses.piece(pose, x, y, (0.0, 0.0))))


def heights(tables, a, b, shift):
    """The open intervals of heights that clash."""
    found = []
    for p in range(tables.body[a], tables.body[a + 1]):
        for q in range(tables.body[b], tables.body[b + 1]):
            first = tables.start[p] - tables.stop[q]
            if first <= shift <= tables.stop[p] - tables.start[q]:
                low, high = tables.interval[tables.at[p, q] + shift - first]
                if low < high:
                    found.append((float(low), float(high)))
    return found


@given(st.data())
def test_places_outside_every_interval_are_far_enough_apart(mixed, data):
    job, made = mixed
    count = len(made.poses.part)
    a, b = (data.draw(st.integers(0, count - 1)) for _ in range(2))
    shift = data.draw(st.integers(-int(made.poses.cells[b]) - 2, int(made.poses.cells[a]) + 2))
    walls = heights(made.tables, a, b, shift)
    y = data.draw(st.sampled_from([0.0, *(low for low, _ in walls), *(high for _, high in walls)]))
    if not any(low + 1e-5 < y < high - 1e-5 for low, high in walls):
        gap = placed(mixed, a, 0.0, 0.0).distance(placed(mixed, b, shift * made.cell, y))
        assert gap >= job.separation - 1e-6


@given(st.data())
def test_places_inside_an_interval_are_too_near(mixed, data):
    """On blades, which are one body: there nothing is lost but the coarseness of the grown outline."""
    job, made = mixed
    blades = [t for t in range(len(made.poses.part)) if made.poses.part[t] < 2]
    a, b = (data.draw(st.sampled_from(blades)) for _ in range(2))
    shift = data.draw(st.integers(1 - int(made.poses.cells[b]), int(made.poses.cells[a]) - 1))
    for low, high in heights(made.tables, a, b, shift):
        y = data.draw(st.floats(0.0, 1.0)) * (high - low) + low
        gap = placed(mixed, a, 0.0, 0.0).distance(placed(mixed, b, shift * made.cell, y))
        assert gap < job.separation + WASTE


def test_turned_and_mirrored_pairs_are_as_exact_as_the_others(mixed):
    """They are copied, not computed: each is compared with the computation."""
    _, made = mixed
    tables = made.tables
    for p in range(0, len(tables.start), 3):
        for q in range(len(tables.start)):
            first = tables.start[p] - tables.stop[q]
            for s in range(first, tables.stop[p] - tables.start[q] + 1, 11):
                low, high = clash(made.shapes, p, q, s * made.cell)
                own = tables.interval[tables.at[p, q] + s - first]
                if low < high or own[0] < own[1]:
                    assert own == approx((low, high), abs=1e-3)


@pytest.mark.parametrize(("name", "size"), [("window", BLOCK), ("wide_window", BLOCK * BLOCKS)])
def test_windows_hold_what_all_their_shifts_forbid(mixed, name, size):
    tables = mixed[1].tables
    for p, q in ((0, 1), (2, 9), (len(tables.start) - 1, 3)):
        begin = tables.at[p, q]
        own = tables.interval[begin : begin + tables.stop[p] - tables.start[p] + tables.stop[q] - tables.start[q] + 1]
        wanted = [(own[k : k + size, 0].max(), own[k : k + size, 1].min()) for k in range(len(own))]
        assert getattr(tables, name)[begin : begin + len(own)] == approx(np.array(wanted))
