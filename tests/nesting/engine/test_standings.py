"""A layout found elsewhere becomes the very standing it was, and a search that is sent one goes on from it."""

from itertools import islice

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.counts import tries
from tests.nesting.engine.conftest import HOOK, WEDGE, job
from tests.strategies import kept_jobs, nesting_jobs
from workbook.nesting.aims import aims
from workbook.nesting.bounds import groups
from workbook.nesting.engine.search import _group, layouts
from workbook.nesting.engine.standings import layout_of, standing_of
from workbook.nesting.verify import faults


def placed(layout):
    """Bars with their pieces, to a thousandth of a written step."""
    return [(use.stock, sorted(_row(piece) for piece in use.pieces)) for use in layout.bars]


def _row(piece):
    return piece.part, round(piece.x, 7), round(piece.y, 7), piece.angle, piece.mirrored


@given(st.one_of(nesting_jobs(), kept_jobs()), st.integers(0, 99))
def test_a_layout_becomes_the_standing_it_was(wanted, seed):
    for parts, stock in groups(wanted):
        group = _group(wanted, parts, stock, seed)
        for _ in islice(group.going, 6):
            pass
        layout = layout_of(group.job, group.search.ground, group.search.now)
        standing = standing_of(group.job, group.search.ground, layout)
        assert standing is not None
        assert placed(layout_of(group.job, group.search.ground, standing)) == placed(layout)


@settings(max_examples=tries(7, 60))
@given(nesting_jobs())
def test_a_search_that_is_sent_a_better_layout_is_no_worse_than_it(wanted):
    *_, good = islice(layouts(wanted, 1), 15)
    searching = layouts(wanted, 2)
    if next(searching).done:
        return
    found = searching.send(good.best)
    assert aims(wanted, found.best) <= aims(wanted, good.best)
    assert faults(wanted, found.best) == []


def test_a_layout_in_poses_the_search_has_not_is_left_alone():
    """Leaning blanks are laid out by one that may lean; one that may not goes on with its own."""
    strip = np.array([(0, 0), (108, 0), (108, 3), (0, 3)], float)
    leaning = job([strip, WEDGE, HOOK], [1, 2, 1], width=60.0, length=160.0, tilt=np.radians(25))
    *_, tilted = islice(layouts(leaning, 0), 3)
    upright = job([strip, WEDGE, HOOK], [1, 2, 1], width=60.0, length=160.0)
    searching = layouts(upright, 0)
    own = next(searching).best
    found = searching.send(tilted.best)
    assert faults(upright, found.best) == []
    assert aims(upright, found.best) <= aims(upright, own)
