"""What a bar's sheet says of its cuts, and where its numbers and paragraphs stand."""

import re
from itertools import pairwise

import numpy as np
import pytest

from tests.sheets.test_bar_sheets import KITCHEN, RUN, bar, laid
from workbook.geometry.drawing import Text
from workbook.sheets.bar import Between
from workbook.sheets.bar_sheet import all_pages
from workbook.shop.job import Cutting
from workbook.tasks.sheets import bar_plans


def texts(plans):
    """Every text of the plans' pages, page by page."""
    return [[mark for mark in page.marks if isinstance(mark, Text)] for page in all_pages(RUN, plans)]


def said(plans):
    """All words, as they run on."""
    return " ".join(" ".join(mark.text for page in texts(plans) for mark in page).split())


@pytest.mark.parametrize(
    ("points", "middle"),
    [(((0.0, 0.0), (10.0, 4.0)), (5.0, 2.0)), (((0.0, 0.0), (4.0, 6.0), (10.0, 0.0)), (4.0, 6.0))],
)
def test_a_lines_number_stands_half_way_along(points, middle):
    assert Between("A", "B", points).middle == middle


def test_a_service_is_told_that_there_is_no_saw_order():
    assert "Cut by a service: no saw order." in said(bar_plans(laid(("petty",), bar(63.5), Cutting.SERVICE)))


def test_every_line_between_blanks_is_named_once_in_the_saw_order_and_frees_every_blank():
    plan = bar_plans(laid(KITCHEN, bar(150.0)))[0]
    words = said([plan])
    order = words[words.index("mid-gap:") : words.rindex("Hole centers")]
    first = len(plan.cuts.across) + 1
    named = [int(n) for cuts in re.findall(r"Cuts? ([0-9 +]+) (?:free|separate)", order) for n in cuts.split(" + ")]
    assert sorted(named) == list(range(first, first + len(plan.between)))
    assert len(named) > 5
    assert all(blank.serial in order for blank in plan.blanks)


def test_cuts_across_are_counted_and_the_one_that_frees_the_offcut_is_named():
    (plan, *_) = bar_plans(laid(("petty",), bar(63.5), each=3))
    count, words = len(plan.cuts.across), said([plan])
    assert ("Cut 1 frees the offcut." in words) == bool(plan.keeps_offcut and count)
    first = 2 if plan.keeps_offcut else 1
    assert (f"Cuts {first} to {count} straight across" in words) == (count >= first)


def test_paragraphs_beside_each_other_do_not_run_together():
    """Lines of text that begin at one place across stand at least three quarters of their size apart."""
    for page in texts(bar_plans(laid(KITCHEN, bar(90.0)))):
        columns = {}
        for mark in page:
            columns.setdefault(round(mark.at[0], 2), []).append(mark)
        for column in columns.values():
            rows = sorted(column, key=lambda mark: -mark.at[1])
            for upper, lower in pairwise(rows):
                apart = upper.at[1] - lower.at[1]
                assert apart > 0.75 * min(upper.size, lower.size) * 25.4 / 72 or np.isclose(apart, 0), (upper.text, lower.text)


def test_two_blanks_come_off_together_and_one_alone_is_sawn_round():
    two = bar_plans(laid(("petty",), bar(90.0, 300.0), each=2))
    assert any("T1, T2 come off together" in said([plan]) for plan in two)
    one = bar_plans(laid(("petty",), bar(63.5, 300.0), each=1))
    assert "come off together" not in said(one)


def test_the_rows_of_a_bars_picture_follow_each_other_over_its_whole_length():
    """Each row but the first says where it goes on, evenly, to the sixty-fourth."""
    (plan, *_) = bar_plans(laid(("petty",), bar(63.5, 3000.0), each=16))
    end = plan.used + 40 if plan.offcut > 60 else 3000.0
    goes_on = re.findall(r"from (\d+)(?: (\d+)\u2044(\d+))? in, measured from end A", said([plan]))
    begins = [int(whole) + int(top or 0) / int(under or 1) for whole, top, under in goes_on]
    assert len(begins) > 2
    assert begins == pytest.approx([end / 25.4 * i / (len(begins) + 1) for i in range(1, len(begins) + 1)], abs=1 / 64)
