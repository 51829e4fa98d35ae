"""The last word on a layout: faults planted by hand are all found."""

from collections import Counter
from decimal import Decimal

import numpy as np
import pytest

from workbook.nesting.model import BarUse, Layout, NestingJob, Part, Piece, Stock
from workbook.nesting.verify import faults
from workbook.structs import replace

BLANK = np.array([(0.0, 0.0), (30.0, 0.0), (30.0, 10.0), (0.0, 10.0)])
NOTCHED = np.array([(0.0, 0.0), (30.0, 0.0), (30.0, 20.0), (20.0, 20.0), (20.0, 4.0), (10.0, 4.0), (10.0, 20.0), (0.0, 20.0)])
JOB = NestingJob(
    parts=(Part(name="blank", steel="s", outline=BLANK, quantity=3),),
    stock=(
        Stock(name="bar", width=12.0, length=64.0, price=Decimal(5), count=None, source="buy"),
        Stock(name="rack", width=12.0, length=40.0, price=Decimal(5), count=1, source="rack"),
    ),
    suits=frozenset({(0, 0), (0, 1)}),
    separation=1.0,
    bar_end=1.0,
    bar_edge=1.0,
)


def at(x, y=1.0, angle=0.0, mirrored=False):
    return Piece(0, x, y, angle, mirrored)


SOUND = Layout((BarUse(0, (at(1.0), at(32.0))), BarUse(1, (at(1.0),))))


def with_pieces(*pieces):
    return Layout((BarUse(0, pieces), SOUND.bars[1]))


def test_a_sound_layout_has_no_faults():
    assert faults(JOB, SOUND) == []


def test_a_layout_up_to_every_limit_is_sound_turned_and_mirrored():
    assert faults(JOB, with_pieces(at(31.0, 11.0, np.pi), at(32.0, 11.0, 0.0, True))) == []


@pytest.mark.parametrize(
    "pieces",
    [
        (at(1.0), at(31.999)),
        (at(1.0), at(1.0)),
        (at(1.0), at(25.0, 1.0)),
    ],
)
def test_blanks_too_near_each_other_are_found(pieces):
    (fault,) = faults(JOB, with_pieces(*pieces))
    assert "bar 1: blank and blank are" in fault
    assert "(min. 1.0000)" in fault


@pytest.mark.parametrize("moved", [at(0.999), at(1.0, 0.999), at(1.0, 1.001), at(33.001), at(-40.0)])
def test_a_blank_too_near_the_bars_edge_is_found(moved):
    found = faults(replace(JOB, parts=(replace(JOB.parts[0], quantity=2),)), with_pieces(moved))
    assert len(found) == 1
    assert "too near the bar's edge" in found[0]


def test_a_missing_blank_is_found():
    assert faults(JOB, Layout(SOUND.bars[:1])) == ["blank: 2 accounted for of 3"]


def test_a_doubled_blank_is_found():
    found = faults(JOB, Layout((*SOUND.bars, SOUND.bars[0])))
    assert "blank: 5 accounted for of 3" in found


def test_a_blank_said_to_be_left_over_counts():
    assert faults(JOB, Layout(SOUND.bars[:1], ((0, 1),))) == []
    assert faults(JOB, Layout(SOUND.bars[:1], ((0, 2),))) == ["blank: 4 accounted for of 3"]


def test_an_overdrawn_rack_is_found():
    found = faults(JOB, Layout((SOUND.bars[1], SOUND.bars[1], BarUse(1, (at(2.0),)))))
    assert found == ["rack: 3 used, 1 on hand"]


def test_a_bar_of_the_wrong_steel_is_found():
    assert Counter(faults(replace(JOB, suits=frozenset({(0, 0)})), SOUND)) == {"bar 2: blank does not suit this bar": 1}


def test_a_blank_in_anothers_hollow_is_sound_unless_cuts_are_straight():
    tongue = np.array([(0.0, 0.0), (6.0, 0.0), (6.0, 12.0), (0.0, 12.0)])
    parts = (
        Part(name="fork", steel="s", outline=NOTCHED, quantity=1),
        Part(name="tongue", steel="s", outline=tongue, quantity=1),
    )
    stock = (Stock(name="bar", width=30.0, length=40.0, price=Decimal(5), count=1, source="rack"),)
    job = replace(JOB, parts=parts, stock=stock, suits=frozenset({(0, 0), (1, 0)}))
    layout = Layout((BarUse(0, (Piece(0, 2.0, 2.0, 0.0, False), Piece(1, 14.0, 8.0, 0.0, False))),))
    assert faults(job, layout) == []
    assert len(faults(replace(job, hulls=True), layout)) == 1


def test_a_bar_with_an_edge_of_its_own_is_held_to_it():
    tight = replace(JOB, stock=(replace(JOB.stock[0], edge=1.5, width=13.0), JOB.stock[1]))
    two = replace(tight, parts=(replace(JOB.parts[0], quantity=2),))
    assert faults(two, Layout((BarUse(0, (at(1.0, 1.5),)), BarUse(1, (at(1.0),))))) == []
    (fault,) = faults(two, Layout((BarUse(0, (at(1.0, 1.4),)), BarUse(1, (at(1.0),)))))
    assert "0.1000 mm too near" in fault


def test_a_spine_may_lie_on_either_edge_and_nothing_else_may():
    """Upright the spine, which is up in the outline's frame, lies on the upper edge; turned or mirrored on the lower."""
    job = replace(JOB, parts=(replace(JOB.parts[0], on_edge=True, quantity=2),))
    for spine_out in (at(1.0, 2.0), at(31.0, 10.0, np.pi), at(1.0, 10.0, 0.0, True), at(31.0, 2.0, np.pi, True)):
        assert faults(job, with_pieces(spine_out)) == []
    for spine_in in (at(1.0, 0.5), at(31.0, 11.5, np.pi), at(1.0, 11.5, 0.0, True)):
        assert len(faults(job, with_pieces(spine_in))) == 1
    assert len(faults(job, with_pieces(at(1.0, 2.1)))) == 1


def test_blanks_that_were_to_stay_and_do_not_are_found():
    kept = replace(JOB, kept=(BarUse(0, (at(1.0),)),))
    assert faults(kept, SOUND) == []
    assert faults(kept, with_pieces(at(1.5), at(32.5))) == ["bar 1: a blank that should have stayed was moved"]
    assert "bar 1: bar should have stayed" in faults(kept, Layout(SOUND.bars[::-1]))
    assert "bar 1: bar should have stayed" in faults(kept, Layout((), ((0, 3),)))
