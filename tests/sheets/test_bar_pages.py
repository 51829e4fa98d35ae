"""The pages of a bar: what stands where, worked out from the bar and its blanks; nothing over anything else or off the paper."""

import itertools
from math import cos, sin

import pytest

from tests.sheets.test_bar_sheets import RUN, bar, laid
from tests.sheets.test_bench_card import boxes
from workbook.formats.font import measure
from workbook.geometry.drawing import Disc, Text
from workbook.nesting.cuts import CutPlan
from workbook.sheets.bar import BarPlan, steel_marks
from workbook.sheets.bar_sheet import all_pages
from workbook.tasks.sheets import bar_plans


@pytest.fixture(scope="module")
def plans():
    """A wide bar with twelve blanks of four templates."""
    return bar_plans(laid(("petty", "santoku-type", "paring", "chefs"), bar(120.0), each=3))


def plan(**values):
    """A bar of 2 x 40 x 900 mm without blanks, with these fields of it."""
    usual = {
        "number": 1, "name": "bar", "steel": "O1", "nominal": (2.0, 40.0, 900.0), "size": (2.0, 40.0, 900.0),
        "read": (False, False, False), "source": "rack", "blanks": (), "cuts": CutPlan((), ()), "between": (),
        "separation": 2.4, "clean_up": 0.8, "kerf": 1.0, "service": False, "edge": 0.8, "end": 0.8, "used": 500.0, "keep": 150.0,
    }  # fmt: skip
    return BarPlan(**(usual | values))


@pytest.mark.parametrize(("used", "keep", "kept"), [(750.0, 150.0, True), (750.1, 150.0, False), (900.0, 0.0, False)])
def test_an_offcut_goes_back_to_the_rack_from_the_length_that_is_kept(used, keep, kept):
    made = plan(used=used, keep=keep)
    assert made.offcut == pytest.approx(900.0 - used)
    assert made.keeps_offcut is kept


def texts(page):
    return [mark for mark in page.marks if isinstance(mark, Text)]


def test_no_words_of_a_bars_pages_lie_over_each_other_and_all_stand_over_the_foot(plans):
    for made in plans:
        for page in all_pages(RUN, [made], ("scribing",)):
            found = [box for box in boxes(page.marks) if not box[4].isdigit()]  # cut numbers lie on the picture
            clashes = [
                (a[4], b[4])
                for a, b in itertools.combinations(found, 2)
                if min(a[2], b[2]) - max(a[0], b[0]) > 0.3 and min(a[3], b[3]) - max(a[1], b[1]) > 0.3
            ]
            assert clashes == []
            body = [box for box in found if box[1] > RUN.margin + 4.0]
            assert min(box[1] for box in body) >= RUN.margin + 6.0  # the words of the check bars, over the foot
            assert min(box[0] for box in found) >= RUN.margin - 0.01
            assert max(box[2] for box in found) <= page.width - RUN.margin + 0.01


def test_the_lines_under_each_other_keep_their_distance(plans):
    """Of what stands in the same column, no line is nearer to the next than its letters are high."""
    for made in plans:
        for page in all_pages(RUN, [made], ("scribing",)):
            columns = {}
            for mark in texts(page):
                columns.setdefault((round(mark.at[0], 1), mark.anchor, mark.size), []).append(mark.at[1])
            for (_, _, size), ys in columns.items():
                steps = [b - a for a, b in itertools.pairwise(sorted(ys))]
                assert all(step > size * 25.4 / 72 * 0.7 for step in steps), (size, steps)


def test_every_hole_of_the_true_bar_is_a_circle_of_its_own_size_where_it_lies(plans):
    """Where is worked out from where the blank lies: mirrored in its middle line, turned about its origin, moved."""
    wanted = []
    for made in plans:
        for blank in made.blanks:
            at = blank.placement
            for hole in blank.shape.holes:
                x, y = hole.centre[0], hole.centre[1] * (-1 if at.mirrored else 1)
                spot = (at.x + x * cos(at.angle) - y * sin(at.angle), at.y + x * sin(at.angle) + y * cos(at.angle))
                wanted.append((*spot, hole.diameter / 2))
    drawn = [
        (*mark.centre, mark.radius)
        for made in plans
        for mark in steel_marks(made, measure, text_size=16.0, holes=True)
        if isinstance(mark, Disc)
    ]
    assert len(wanted) > 20
    assert [pytest.approx(each, abs=1e-6) for each in sorted(wanted)] == sorted(drawn)


def test_how_far_the_last_blank_reaches_is_said_with_the_first_part_of_the_true_bar(plans):
    """As its outline does."""
    for made in plans:
        last = max(float(blank.outline[:, 0].max()) for blank in made.blanks)
        (closing,) = (
            mark.text for page in all_pages(RUN, [made], ("true",)) for mark in texts(page) if "Closing check" in mark.text
        )
        assert "part 1 of" in closing
        said = closing.removesuffix(" in").rpartition(" ")[2]
        assert float(said) == pytest.approx(last / 25.4, abs=0.0006)
