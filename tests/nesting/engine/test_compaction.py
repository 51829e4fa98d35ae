"""Compaction never lets blanks overlap, never lengthens, and mends small overlaps."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.counts import tries
from workbook.nesting.engine.compaction import Strip, compacted, reach_of
from workbook.nesting.engine.fill import NOWHERE, fill
from workbook.nesting.engine.intervals import TOUCH
from workbook.nesting.engine.lines import closest_join, deepest, worst
from workbook.nesting.engine.overlaps import Places

WIDTH = 60.0


def filled(made, part, order):
    """A first layout of blanks in an order."""
    n = len(part)
    places = Places(made.tables.first[part].copy(), np.full(n, NOWHERE), np.zeros(n, np.int64), np.zeros(n))
    assert fill(made.tables, made.room([(3000.0, WIDTH)]), part, order, places) == n
    x = made.along(places.x)
    return Strip(places.pose, x, places.y, reach_of(made, places.pose, x))


@settings(max_examples=tries(10, 80))
@given(st.permutations(range(7)))
def test_a_filled_bar_gets_no_longer_and_stays_clear(mixed, order):
    _, made = mixed
    part = np.array([0, 0, 1, 2, 3, 3, 3])
    start = filled(made, part, np.array(order))
    assert worst(made.shapes, *start.places) <= TOUCH
    found = compacted(made, start, WIDTH, reach=6.0, rounds=6, gain=0.3)
    assert found is not None
    assert found.length <= start.length
    assert worst(made.shapes, *found.places) <= TOUCH
    assert (found.y >= -1e-9).all()
    assert (found.y + made.poses.height[found.pose] <= WIDTH + 1e-9).all()


def test_blanks_pushed_a_little_into_each_other_come_free(mixed):
    _, made = mixed
    start = filled(made, np.array([0, 1, 2, 3, 3]), np.arange(5))
    squeezed = Strip(start.pose, start.x * 0.995, start.y, start.length)
    assert worst(made.shapes, *squeezed.places) > TOUCH
    found = compacted(made, squeezed, WIDTH, reach=6.0, rounds=12, gain=0.3)
    assert found is not None
    assert worst(made.shapes, *found.places) <= TOUCH


def test_a_second_layout_joins_as_near_as_it_may(mixed):
    _, made = mixed
    strip = filled(made, np.array([0, 3, 3]), np.arange(3))
    s = closest_join(made.shapes, *strip.places, *strip.places, strip.length + 2.0, 0.0)

    def clear(at):
        pairs = ((i, j) for i in range(3) for j in range(3))
        return all(
            deepest(made.shapes, strip.pose[i], strip.pose[j], strip.x[j] + at - strip.x[i], strip.y[j] - strip.y[i]) <= TOUCH
            for i, j in pairs
        )

    assert clear(s)
    assert not clear(s - 0.5)
