"""Sequences: what is laid one after another is clear of the others, and annealing finds the best of all sequences."""

from itertools import permutations, product

import numpy as np
import pytest
from pytest import approx

from tests.nesting.engine.conftest import WEDGE, job
from workbook.nesting.engine.field import field
from workbook.nesting.engine.intervals import TOUCH
from workbook.nesting.engine.kernel import chance_from
from workbook.nesting.engine.lines import worst
from workbook.nesting.engine.overlaps import Places
from workbook.nesting.engine.sequence import anneal_sequence, lay

WIDTH, BACK = 34.0, 200
TIP = np.array([(0, 0), (30, 0), (10, 12)], float)


def laid(made, top, order, pose, up):
    """The length and places of one sequence."""
    n = len(order)
    places = Places(np.array(pose), np.zeros(n, np.int64), np.zeros(n, np.int64), np.zeros(n))
    rows, heights = np.empty((3, 40 * n), np.int64), np.empty((3, 40 * n))
    order, up = np.array(order), np.array(up)
    return lay(made.tables, top, made.poses.right, order, up, 0, BACK, 1e9, places, rows, heights), places


@pytest.mark.parametrize("seed", range(30))
def test_what_is_laid_is_clear_and_in_the_bar(mixed, seed):
    _, made = mixed
    width, chance = 66.0, np.random.default_rng(seed)
    top = made.room([(1e6, width)]).height[:, 0]
    part = np.repeat(np.arange(4), [2, 1, 2, 3])
    pose = [chance.choice([t for t in range(made.tables.first[p], made.tables.last[p]) if top[t] >= 0]) for p in part]
    length, places = laid(made, top, chance.permutation(8), pose, chance.integers(0, 2, 8))
    x = made.along(places.x)
    assert worst(made.shapes, places.pose, x, places.y) <= TOUCH
    assert ((places.y >= 0) & (places.y <= top[places.pose] + TOUCH)).all()
    assert length == approx((x + made.poses.right[places.pose]).max())


def test_from_above_is_from_below_seen_from_the_other_side():
    made = field(job([WEDGE], [3], width=WIDTH), range(1))
    top = made.room([(1e6, WIDTH)]).height[:, 0]
    upright, mirrored = 0, 2  # a pose turned over its length
    one, low = laid(made, top, [0, 1, 2], [upright] * 3, [0] * 3)
    other, high = laid(made, top, [0, 1, 2], [mirrored] * 3, [1] * 3)
    assert one == approx(other)
    assert low.y == approx(top[upright] - high.y, abs=1e-5)


def test_the_best_of_all_sequences_is_found():
    made = field(job([WEDGE, TIP], [2, 1], width=WIDTH), range(2))
    top = made.room([(1e6, WIDTH)]).height[:, 0]
    part, choices = np.array([0, 0, 1]), [range(4), range(4), range(4, 8)]
    best = min(
        laid(made, top, order, pose, up)[0]
        for order in permutations(range(3))
        for pose in product(*choices)
        for up in product((0, 1), repeat=3)
    )
    places = Places(np.array([0, 0, 4]), np.zeros(3, np.int64), np.zeros(3, np.int64), np.zeros(3))
    order, up = np.arange(3), np.zeros(3, np.int64)
    found = anneal_sequence(made.tables, top, made.poses.right, part, order, up, places, 3000, 25.0, 0.5, chance_from(2))
    assert found == approx(best)
    assert (made.along(places.x) + made.poses.right[places.pose]).max() == approx(best)


def test_no_blank_leans_where_it_does_not_fit():
    bar = np.array([(0, 0), (80, 0), (80, 10), (0, 10)], float)
    made = field(job([bar], [4], width=12.5, tilt=0.1), range(1)).leaning()
    top = made.room([(1e6, 12.5)]).height[:, 0]
    assert (top < 0).any() and (top >= 0).any()
    places = Places(np.zeros(4, np.int64), np.zeros(4, np.int64), np.zeros(4, np.int64), np.zeros(4))
    part, order, up = np.zeros(4, np.int64), np.arange(4), np.zeros(4, np.int64)
    anneal_sequence(made.tables, top, made.poses.right, part, order, up, places, 500, 25.0, 0.5, chance_from(0))
    assert (top[places.pose] >= 0).all()
