"""The guided local search: its moves are the best there are, and it ends without overlap."""

import json
import os
import subprocess
import sys

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st
from pytest import approx
from shapely.geometry import Polygon

from tests.counts import tries
from workbook.nesting.engine.kernel import chance_from
from workbook.nesting.engine.moves import best_place
from workbook.nesting.engine.overlaps import STEP, Near, Places, Scratch, pair_overlap
from workbook.nesting.engine.separation import separate, sort_by_shift
from workbook.nesting.model import written


def scattered(made, part, room, seed):
    """Blanks anywhere on one bar."""
    chance = np.random.default_rng(seed)
    pose = np.array([chance.integers(made.tables.first[p], made.tables.last[p]) for p in part])
    x = np.array([chance.integers(0, room.shift[t, 0] + 1) for t in pose])
    y = np.array([chance.uniform(0, room.height[t, 0]) for t in pose])
    return Places(pose, np.zeros(len(part), np.int64), x, y)


def cost(made, places, weights, i, pose, x, y):
    """What blank i would cost at a place."""
    moved = places.copy()
    moved.pose[i], moved.x[i], moved.y[i] = pose, x, y
    return sum(weights[i, j] * pair_overlap(made.tables, moved, min(i, j), max(i, j)) for j in range(len(places.pose)) if j != i)


def moved(made, room, places, weights, part, i, now, span=0):
    """What `best_place` finds."""
    n, size = len(part), 400
    order = np.arange(n)
    sort_by_shift(order, places.x)
    near = Near(*np.empty((4, size), np.int64), *np.empty((6, size)), np.empty(2 * size + 2))
    scratch = Scratch(*np.empty((3, 64), np.int64), np.empty(64), np.empty(4000))
    return best_place(
        made.tables, room, places, order, weights, part[i], i, now, span, near, scratch, chance_from(1), np.zeros(1)
    )


@settings(max_examples=tries(12, 100))
@given(st.integers(0, 10_000))
def test_no_place_costs_less_than_the_one_found(mixed, seed):
    """Against every shift of every pose, at heights all over the bar."""
    _, made = mixed
    part = np.array([0, 2, 3, 3])
    room = made.room([(260.0, 52.0)])
    places = scattered(made, part, room, seed)
    weights = np.random.default_rng(seed).uniform(1.0, 3.0, (4, 4))
    weights = weights + weights.T
    found, pose, _, x, y = moved(made, room, places, weights, part, 3, 1e9)
    assert found == approx(cost(made, places, weights, 3, pose, x, y), abs=1e-4)
    for t in range(made.tables.first[3], made.tables.last[3]):
        for shift in range(0, room.shift[t, 0] + 1, 3):
            for height in np.linspace(0.0, room.height[t, 0], 9):
                assert cost(made, places, weights, 3, t, shift, height) >= found - 1e-4


def test_a_move_with_a_span_stays_near(mixed):
    _, made = mixed
    part = np.array([0, 3, 3])
    room = made.room([(400.0, 60.0)])
    places = scattered(made, part, room, 4)
    _, pose, _, x, _ = moved(made, room, places, np.ones((3, 3)), part, 2, 1e9, span=40)
    assert pose >= 0
    assert abs(x - places.x[2]) <= 40 + 16  # whole blocks of shifts


def test_overlap_is_none_or_more_than_the_step(mixed):
    _, made = mixed
    part = np.array([0, 1, 2, 3])
    for seed in range(20):
        places = scattered(made, part, made.room([(420.0, 58.0)]), seed)
        found = [pair_overlap(made.tables, places, a, b) for a in range(4) for b in range(a + 1, 4)]
        assert all(value == 0.0 or value >= STEP for value in found)


def test_it_ends_without_overlap_where_there_is_room(mixed):
    job, made = mixed
    part = np.array([0, 0, 1, 2, 2, 3, 3, 3])
    room = made.room([(900.0, 60.0)])
    for seed in range(4):
        places = scattered(made, part, room, seed)
        loss, _ = separate(
            made.tables, room, part, np.ones(8, np.int64), places, np.ones((8, 8)), 400, places.copy(), chance_from(seed)
        )
        assert loss == 0.0
        shapes = [
            Polygon(written(job, made.poses.piece(int(t), x, y, (0.0, 0.0))))
            for t, x, y in zip(places.pose, made.along(places.x), places.y, strict=True)
        ]
        assert min(a.distance(b) for i, a in enumerate(shapes) for b in shapes[:i]) >= job.separation - 1e-6


def test_blanks_that_are_not_free_stay(mixed):
    _, made = mixed
    part = np.array([0, 3, 3])
    room = made.room([(400.0, 60.0)])
    places = Places(made.tables.first[part].copy(), np.zeros(3, np.int64), np.array([0, 10, 20]), np.zeros(3))
    separate(made.tables, room, part, np.array([0, 1, 1]), places, np.ones((3, 3)), 100, places.copy(), chance_from(0))
    assert (places.x[0], places.y[0]) == (0, 0.0)


SAME = """
import json, sys
from workbook.nesting.engine.warm import _triangles
from workbook.nesting.engine.strip import StripSearch
search = StripSearch(_triangles(), [0, 0, 0], 22.0, 5)
going = search.steps()
for _ in range(12):
    next(going)
print(json.dumps([search.sure.length, search.sure.x.tolist(), search.sure.y.tolist(), search.work]))
"""


def test_every_kernel_does_the_same_uncompiled():
    """A small search through tables, filling, chains, separation and compaction, compiled and as plain Python."""
    lines = []
    for plain in ("0", "1"):
        setting = os.environ | {"NUMBA_DISABLE_JIT": plain}
        run = subprocess.run([sys.executable, "-c", SAME], env=setting, capture_output=True, text=True, check=True)
        lines.append(json.loads(run.stdout))
    for compiled, plain in zip(*lines, strict=True):
        assert compiled == approx(plain, abs=1e-6)
