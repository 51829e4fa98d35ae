"""What the compiled search finds verifies before anyone looks; `--hypothesis-profile=search` for over ten thousand layouts."""

from decimal import Decimal
from itertools import islice

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.nesting.engine.conftest import CROSS, HOOK, WEDGE, job
from tests.strategies import kept_jobs, nesting_jobs
from workbook.geometry.polygon import of_points
from workbook.nesting.bounds import groups
from workbook.nesting.engine.search import _group, layouts
from workbook.nesting.engine.standings import layout_of
from workbook.nesting.section_bound import price_bound
from workbook.nesting.verify import faults
from workbook.structs import replace

STEPS = 12


@given(st.one_of(nesting_jobs(), kept_jobs()), st.integers(0, 2**32))
def test_nothing_found_is_ever_refused(wanted, seed):
    """Every standing of every group as it comes from the search, before `faults` has had its say."""
    for parts, stock in groups(wanted):
        group = _group(wanted, parts, stock, seed)
        for _ in islice(group.going, STEPS):
            layout = layout_of(group.job, group.search.ground, group.search.now)
            assert faults(group.job, layout) == []


@pytest.mark.parametrize("hulls", [False, True])
def test_outlines_that_turn_back_on_themselves_and_others_lie_on_one_bar(petty, hulls):
    wanted = job([petty, HOOK, CROSS, WEDGE], [2, 3, 2, 2], width=80.0, length=900.0, hulls=hulls)
    *_, last = islice(layouts(wanted, 1), 40)
    assert not last.best.left_over
    assert faults(wanted, last.best) == []


def test_two_hooks_lie_in_each_other():
    """A hook of 60 x 30 with a mouth 10 high: nested they are shorter than end to end on a bar that takes one lane."""
    wanted = job([HOOK], [2], width=40.0, length=300.0, separation=1.0)
    *_, last = islice(layouts(wanted, 0), 60)
    reach = max(piece.placement().points(HOOK)[:, 0].max() for piece in last.best.bars[0].pieces)
    assert reach < 1 + 60 + 1 + 60


def test_a_tilt_is_used_when_a_blank_fits_only_so():
    """A bar 100 long takes a strip of 108 only askew."""
    strip = np.array([(0, 0), (108, 0), (108, 3), (0, 3)], float)
    wanted = job([strip], [1], width=60.0, length=102.0, tilt=np.radians(25))
    *_, last = islice(layouts(wanted, 0), 2)
    assert not last.best.left_over
    assert abs(np.sin(last.best.bars[0].pieces[0].angle)) > 0.3


def test_a_margin_of_the_edge_other_than_half_the_separation_is_kept(petty):
    for edge in (0.0, 0.3, 4.0):
        wanted = job([petty], [4], width=70.0, length=700.0, bar_edge=edge, bar_end=5.0)
        *_, last = islice(layouts(wanted, 0), 30)
        assert faults(wanted, last.best) == []
        assert not last.best.left_over


RING = np.array([(0, 0), (80, 0), (80, 50), (0, 50)], float)
HOLE = np.array([(10, 10), (70, 10), (70, 40), (10, 40)], float)
SLIP = np.array([(0, 0), (50, 0), (50, 20), (0, 20)], float)


def test_an_opening_is_lain_in_where_it_is_asked_for_and_not_otherwise():
    """A frame of 80 x 50 with an opening of 60 x 30, and a slip of 50 x 20: on a bar of 84 x 54 both go only one in the other."""
    plain = job([RING, SLIP], [1, 1], width=54.0, length=84.0, bar_end=2.0, bar_edge=2.0)
    *_, last = islice(layouts(plain, 0), 8)
    assert last.best.left_over
    parts = (replace(plain.parts[0], openings=(HOLE,)), plain.parts[1])
    asked = replace(plain, parts=parts)
    *_, last = islice(layouts(asked, 0), 8)
    assert not last.best.left_over
    assert faults(asked, last.best) == []
    assert faults(plain, last.best) != []
    assert price_bound(asked, (1, 1))[0] <= plain.stock[0].price


@given(nesting_jobs(), st.integers(0, 99))
def test_blanks_with_openings_are_laid_out_soundly(wanted, seed):
    shrunk = tuple(replace(p, openings=(p.outline * 0.6 + p.outline.mean(axis=0) * 0.4,)) for p in wanted.parts)
    sound = [p for p in shrunk if of_points(p.outline).contains(of_points(p.openings[0]))]
    if len(sound) < len(shrunk):
        return
    job_ = replace(wanted, parts=shrunk)
    for progress in islice(layouts(job_, seed), 4):
        assert faults(job_, progress.best) == []
        placed = tuple(sum(piece.part == p for use in progress.best.bars for piece in use.pieces) for p in range(len(shrunk)))
        assert price_bound(job_, placed)[0] <= sum((job_.stock[use.stock].price for use in progress.best.bars), Decimal(0))
