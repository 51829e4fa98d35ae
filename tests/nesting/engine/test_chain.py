"""One lane: the annealed chain is as short as the best of all orders."""

from itertools import permutations

import numpy as np
from pytest import approx

from tests.nesting.engine.conftest import WEDGE, job
from workbook.nesting.engine.chain import LEVELS, best_chain, chain_length, lane
from workbook.nesting.engine.field import field
from workbook.nesting.engine.kernel import chance_from

WIDTH = 20.0


def test_the_best_of_all_orders_is_found():
    tip = np.array([(0, 0), (30, 0), (10, 12)], float)
    made = field(job([WEDGE, tip], [2, 2], width=WIDTH), range(2))
    own = lane(made.poses, made.shapes, np.arange(2), made.tables.last, WIDTH)
    part = np.array([0, 0, 1, 1])
    cost, back = np.zeros((4, len(own.head))), np.zeros((4, len(own.head)), np.int64)
    best = min(
        chain_length(np.array(order), own.first, own.last, own.offset, own.head, own.tail, cost, back)[0]
        for order in set(permutations(part))
    )
    pose, x, _ = best_chain(own, part, 2000, chance_from(1))
    assert (x + made.poses.right[pose]).max() == approx(best)


def test_wedges_lie_head_to_tail():
    """Two wedges 50 long, 14 to 4 wide: in a lane 20 wide (half a separation all round) they share most of their length."""
    made = field(job([WEDGE], [2], width=WIDTH + 2), range(1))
    own = lane(made.poses, made.shapes, np.arange(1), made.tables.last, WIDTH + 4)
    pose, x, _ = best_chain(own, np.zeros(2, np.int64), 200, chance_from(0))
    assert (x + made.poses.right[pose]).max() < 2 * 50 + 2 * 2
    assert len(own.head) == 4 * LEVELS
