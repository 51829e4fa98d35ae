"""A bar planned by hand, of plates with straight sides: where each mark of its sheets stands, worked out from its numbers.

The bar is 60 wide and 900 long. T1 and T2 lie over each other from 10 to 210, S1 alone from 230 to 430.
"""

import re
from itertools import combinations, pairwise

import numpy as np
import pytest
from fontTools.ttLib import TTFont
from shapely.geometry import LineString, Point, Polygon

from tests.sheets.test_bench_card import boxes
from workbook.formats.font import measure
from workbook.geometry.drawing import Clip, Copy, Disc, Text, shifted
from workbook.geometry.lettering import width
from workbook.geometry.path import Placement, polyline
from workbook.nesting.cuts import CutGroup, CutPlan
from workbook.paths import resource
from workbook.sheets.bar import BarPlan, Between, Blank, TightTurn, between, profile_of, steel_marks
from workbook.sheets.bar_sheet import all_pages
from workbook.sheets.bar_words import sizes_words
from workbook.sheets.paper import PAPERS, PrintRun
from workbook.structs import replace
from workbook.template.drills import Drill
from workbook.template.holes import Hole
from workbook.template.model import Purpose
from workbook.template.shape import Shape

RUN = PrintRun(paper=PAPERS["letter"], unit="mm", measure=measure, job="job")
WIDE, HIGH, MARGIN = 8.5 * 25.4, 11 * 25.4, 25.4 / 4  # letter upright, and what a printer cannot reach
NARROW = WIDE - 2 * MARGIN - 19.0  # beside the upright check bar
FOOT = MARGIN + 10.5  # the foot and the level check bar stand under this
CHECKS = ("100 mm", "4 in", "X and Y: measure both. If one is off, print at 100%")  # the words of the check bars
DRILL = Drill("4.8", 4.8, "metric")


def rectangle(x0, y0, x1, y1):
    return [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]


def blank(serial, corners, holes=(), placement=None):
    """A plate of these corners, with holes at these places; as it lies, unless it is placed otherwise."""
    placement = placement or Placement()
    drilled = tuple(
        Hole(mark=f"P{n}", purpose=Purpose.PIN, size=4.7, centre=at, drill=DRILL, scale_drill=DRILL)
        for n, at in enumerate(holes, 1)
    )
    shape = Shape(name=serial, outline=polyline(corners, closed=True), holes=drilled, thickness=2.0)
    lying = placement.points(np.asarray(corners, float))
    return Blank(serial=serial, shape=shape, placement=placement, outline=lying, profile=profile_of(lying))


T1 = blank("T1", rectangle(10, 5, 210, 25), [(40.0, 15.0), (180.0, 12.0)])
T2 = blank("T2", rectangle(10, 35, 210, 55), [(40.0, 45.0), (180.0, 42.0)])
S1 = blank("S1", rectangle(230, 10, 430, 40), [(260.0, 25.0), (400.0, 20.0)])
LINE = Between("T1", "T2", ((10.0, 30.0), (210.0, 30.0)))


def plan(**other):
    values = {
        "number": 1, "name": "bar", "steel": "O1", "nominal": (2.0, 60.0, 900.0), "size": (2.0, 60.0, 900.0),
        "read": (False, False, False), "source": "buy", "blanks": (T1, T2, S1), "between": (LINE,),
        "cuts": CutPlan((435.0, 220.0), (CutGroup((0, 1), 10.0, 210.0), CutGroup((2,), 230.0, 430.0))),
        "separation": 10.0, "clean_up": 1.0, "kerf": 2.0, "service": False, "edge": 5.0, "end": 10.0, "used": 436.0,
        "keep": 150.0,
    }  # fmt: skip
    return BarPlan(**{**values, **other})


def pages(made, run=RUN):
    """The sheets to scribe from."""
    return list(all_pages(run, [made], ("scribing",)))


def strips(made):
    """The pages of the bar at true size."""
    return list(all_pages(RUN, [made], ("true",)))


def parts_of(made):
    """The parts of the bar at true size, in their order."""
    return [mark for page in strips(made) for mark in page.marks if isinstance(mark, Clip)]


def texts(page):
    return [mark for mark in page.marks if isinstance(mark, Text)]


def words(page):
    return [mark.text for mark in texts(page)]


def said(page):
    return " ".join(" ".join(words(page)).split())


def points(mark):
    """The corners of a line of straight parts."""
    return [segment.start for segment in mark.path.segments] + [mark.path.segments[-1].end]


def rows(page):
    """The rows of a bar's picture."""
    return [mark for mark in page.marks if isinstance(mark, Clip)]


def inside(row, kind=object):
    return [mark for mark in row.marks if isinstance(mark, kind)]


def bar_on(row):
    """Where the bar's edges lie on the paper: x0, y0, x1, y1."""
    (outline,) = (mark for mark in row.marks if getattr(mark, "layer", "") == "BAR")
    x, y = np.transpose(points(outline))
    return x.min(), y.min(), x.max(), y.max()


def lines_of(marks, line):
    return [points(mark) for mark in marks if getattr(mark, "line", "") == line and hasattr(mark, "path")]


def test_the_rows_of_the_picture_fill_the_page_each_with_its_half_of_the_bar():
    """900 mm are two rows, each of 450 from 2 mm inside the width beside the check bar to 2 mm inside it."""
    left, right = MARGIN + 2, MARGIN + NARROW - 2
    found = rows(pages(plan(used=890.0))[0])
    assert len(found) == 2
    for n, row in enumerate(found):
        x0, y0, x1, y1 = bar_on(row)
        assert (y1 - y0) / (x1 - x0) == pytest.approx(60 / 900)
        assert x0 + (x1 - x0) * n / 2 == pytest.approx(left)
        assert x0 + (x1 - x0) * (n + 1) / 2 == pytest.approx(right)
        assert row.window[0] <= left and right <= row.window[2] <= WIDE - MARGIN + 0.001
        assert row.window[1] < y0 < y1 < row.window[3]


def test_a_long_offcut_is_broken_off_in_the_picture():
    """436 of 900 mm are used: what is drawn ends 40 further on, in one row, at a line that is bent."""
    (page, *_) = pages(plan())
    (row,) = rows(page)
    x0, y0, x1, y1 = bar_on(row)
    assert x0 + (x1 - x0) * 476 / 900 == pytest.approx(MARGIN + NARROW - 2)
    (bent,) = (line for line in lines_of(page.marks, "dimension") if len(line) == 6)
    assert bent[0][0] == pytest.approx(MARGIN + NARROW - 2)
    assert bent[0][1] < y0 < y1 < bent[-1][1]


@pytest.mark.parametrize(("inches", "count"), [(22, 1), (23, 2), (44, 2), (45, 3)])
def test_a_bar_longer_than_twenty_two_inches_goes_on_in_another_row(inches, count):
    found = [row for page in pages(plan(size=(2.0, 60.0, inches * 25.4), used=inches * 25.4)) for row in rows(page)]
    assert len(found) == count


def test_every_end_of_a_blank_has_its_number_in_the_row_where_it_lies():
    """A leader begins just under the bar, straight under the place it is for."""
    (page, *_) = pages(plan(used=890.0))
    leaders = [line[0] for line in lines_of(page.marks, "extension")]
    for n, row in enumerate(rows(page)):
        x0, y0, x1, _ = bar_on(row)
        here = [x for x, y in leaders if 0.5 < y0 - y < 1.0]
        places = [10.0, 210.0, 230.0, 430.0] if n == 0 else []
        assert here == pytest.approx([x0 + (x1 - x0) * place / 900 for place in places])
    assert {"10.0", "210.0", "230.0", "430.0"} <= set(words(page))


def test_ends_at_one_place_to_the_tenth_are_numbered_once():
    near = replace(T2, outline=np.add(T2.outline, (0.04, 0.0)))
    (page, *_) = pages(plan(blanks=(T1, near, S1)))
    assert [mark.text for mark in texts(page) if mark.size == 16][: len("ends")].count("10.0") == 1


def test_holes_are_marked_by_crosses_whose_middles_are_the_punch_marks():
    row = rows(pages(plan())[0])[0]
    x0, y0, x1, _ = bar_on(row)
    scale = (x1 - x0) / 900
    crosses = [line for line in lines_of(row.marks, "extension") if np.ptp(line, axis=0).max() < 7 * scale]
    middles = sorted(tuple(np.mean(line, axis=0)) for line in crosses)
    wanted = sorted((x0 + x * scale, y0 + y * scale) for b in (T1, T2, S1) for x, y in b.punches() for _ in "-|")
    assert np.array(middles) == pytest.approx(np.array(wanted))
    rings = sorted(disc.radius for disc in inside(row, Disc))
    assert rings == pytest.approx([2.4 * scale] * 6)


def test_cuts_across_reach_as_far_past_either_edge_and_lines_between_blanks_lie_where_they_are():
    (row,) = rows(pages(plan())[0])
    for marks, (x0, y0, x1, y1), count in (
        (row.marks, bar_on(row), 2),
        (tiled(plan(), 1), (0.0, 0.0, 900.0, 60.0), 1),
    ):
        scale = (x1 - x0) / 900
        cuts = lines_of(marks, "saw")
        assert [line[0][0] for line in cuts] == pytest.approx([x0 + 435 * scale, x0 + 220 * scale][-count:])
        for (xa, low), (xb, high) in cuts:
            assert xa == xb
            assert low - y0 == pytest.approx(y1 - high)
            assert low < y0
        saw = [line for mark in marks if isinstance(mark, Copy) for line in lines_of(mark.marks, "saw")]
        assert np.array(saw[0]) == pytest.approx(np.array([(x0 + x * scale, y0 + 30 * scale) for x in (10, 210)]))


def tiled(made, number):
    """A part's marks, where they are on the bar."""
    clip = parts_of(made)[number]
    x0, y0, _, _ = bar_on(clip)
    return shifted(clip.marks, -x0, -y0)


def test_a_serial_stands_in_the_middle_of_its_blank_and_the_bar_is_its_rectangle():
    marks = steel_marks(plan(), measure, text_size=16.0, holes=False)
    places = {mark.text: mark.at for mark in marks if isinstance(mark, Text)}
    for one, (x, y) in {"T1": (110, 15), "T2": (110, 45), "S1": (330, 25)}.items():
        assert places[one][0] == pytest.approx(x)
        assert places[one][1] == pytest.approx(y - 2, abs=0.3)  # half the height of a figure of 16 points under it
    assert points(marks[0]) == [(0, 0), (900, 0), (900, 60), (0, 60), (0, 0)]


def test_a_number_stands_in_the_middle_of_its_disc():
    """By the font's own outlines: a figure 2 of 16 points."""
    (page, *_) = pages(plan())
    font = TTFont(resource("fonts", "LiberationSans-Bold.ttf"))
    figure = font["glyf"][font.getBestCmap()[ord("2")]]
    half = (figure.yMax + figure.yMin) / 2 / font["head"].unitsPerEm * 16 * 25.4 / 72
    discs = [mark for mark in page.marks if isinstance(mark, Disc)]
    assert len(discs) == 3
    for disc in discs:
        (number,) = (mark for mark in texts(page) if mark.at[0] == disc.centre[0] and abs(mark.at[1] - disc.centre[1]) < 3)
        assert number.at[1] + half == pytest.approx(disc.centre[1], abs=0.12)


def circled(page):
    """The circles with numbers in them, by their numbers."""
    discs = [mark for mark in page.marks if isinstance(mark, Disc)]
    return {
        next(mark.text for mark in texts(page) if mark.at[0] == disc.centre[0] and abs(mark.at[1] - disc.centre[1]) < 3): disc
        for disc in discs
    }


def test_numbers_of_cuts_across_stand_over_them_and_those_of_lines_beside_them_with_a_leader():
    (page, *_) = pages(plan())
    x0, y0, x1, y1 = bar_on(rows(page)[0])
    scale = (x1 - x0) / 900
    found = circled(page)
    assert [found[n].centre[0] for n in "12"] == pytest.approx([x0 + x * scale for x in (435, 220)])
    assert min(found["1"].centre[1], found["2"].centre[1]) > y1
    middle = (x0 + 110 * scale, y0 + 30 * scale)
    far = np.hypot(*np.subtract(found["3"].centre, middle))
    assert found["3"].radius < far < 30
    (leader,) = (line for line in lines_of(page.marks, "extension") if np.allclose(line[-1], middle))
    assert np.hypot(*np.subtract(leader[0], found["3"].centre)) == pytest.approx(found["3"].radius)


def test_numbers_of_lines_cover_nothing():
    """Neither outlines, lines, holes, punch marks nor serials, where there is room for them."""
    (page, *_) = pages(plan())
    disc, (row,) = circled(page)["3"], rows(page)
    ring = Point(disc.centre).buffer(disc.radius)
    x0, y0, x1, _ = bar_on(row)
    scale = (x1 - x0) / 900
    for one in (T1, T2, S1):
        assert ring.disjoint(LineString(np.add((x0, y0), scale * np.vstack([one.outline, one.outline[:1]]))))
        for at in one.punches():
            assert ring.disjoint(Point(np.add((x0, y0), np.multiply(scale, at))).buffer(2.4 * scale))
    for mark in inside(row, Text):
        (box_,) = boxes([mark])
        assert ring.disjoint(Polygon(rectangle(*box_[:4]))), mark.text


def test_a_serial_stands_over_no_hole():
    """In the middle is one: the serial goes aside, as near as it can."""
    holed = blank("T1", rectangle(10, 5, 210, 25), [(110.0, 15.0), (180.0, 12.0)])
    (mark,) = (m for m in steel_marks(plan(blanks=(holed,)), measure, text_size=16.0, holes=True) if isinstance(m, Text))
    half = width("T1", 16, True, measure) / 2
    assert half + 2.4 < abs(mark.at[0] - 110) < half + 2.4 + 7
    assert 10 + half < mark.at[0] < 210 - half


def many(count):
    """Blanks one after another on a long bar, and what is said of them."""
    blanks = tuple(
        blank(f"K{n}", rectangle(10 + 91 * n, 5, 91 + 91 * n, 30), [(20.0 + 91 * n, 15.0), (80.0 + 91 * n, 12.5)])
        for n in range(count)
    )
    cuts = CutPlan(tuple(5.0 + 91 * n for n in range(count, 0, -1)), tuple(CutGroup((n,), 0.0, 1.0) for n in range(count)))
    length = 91.0 * count + 260
    return plan(blanks=blanks, cuts=cuts, between=(), used=length - 180, size=(2.0, 60.0, length))


@pytest.mark.parametrize("unit", ["mm", "in"])
@pytest.mark.parametrize("made", [plan(), many(3), many(14), many(30)], ids=["hand", "3", "14", "30"])
def test_toldof_a_bar_sheet_lie_over_nothing_and_keep_clear_of_margins_and_foot(made, unit):
    every = pages(made, replace(RUN, unit=unit))
    for page in every:
        found = list(boxes(texts(page)))
        clashes = [
            (a[4], b[4])
            for a, b in combinations(found, 2)
            if min(a[2], b[2]) - max(a[0], b[0]) > 0.3 and min(a[3], b[3]) - max(a[1], b[1]) > 0.3
        ]
        assert clashes == []
        for x0, y0, x1, y1, text in found:
            assert x0 >= MARGIN - 0.01 and x1 <= WIDE - MARGIN + 0.01, text
            assert y0 >= FOOT or text.startswith("bar sheets") or text in CHECKS, text
            assert y1 <= HIGH - MARGIN, text
    told = [words(page)[-1].partition("page ")[2] for page in every]
    assert told == [f"{n} of {len(every)}" for n in range(1, len(every) + 1)]


def test_the_facts_begin_clear_of_the_table_over_them():
    page = next(page for page in pages(many(3)) if "Used from end A" in words(page))
    first = next(mark for mark in texts(page) if mark.text == "Used from end A")
    last = next(mark for mark in texts(page) if mark.text == "K2" and first.at[1] < mark.at[1] < first.at[1] + 15)
    assert last.at[1] - first.at[1] - first.size * 25.4 / 72 > 3.0


def test_a_plans_numbers_are_said():
    rows_ = {mark.text: value.text for page in pages(plan()) for mark, value in pairwise(texts(page))}
    assert rows_["Gap between blanks: kerf plus twice the clean-up"] == "10.0"
    assert rows_["Saw outside the line (leave the line) by"] == "1.0"
    assert rows_["Saw kerf"] == "2.0"
    assert rows_["Outline to long edges, to ends"] == "5.0, 10.0"
    assert rows_["Used from end A"] == "436.0 mm"
    assert rows_["Offcut for the rack, from the nominal length"] == "464.0 mm"
    assert "Left at end B, under the 470.0 mm minimum 464.0 mm" in order(plan(keep=470.0))


def test_lines_of_words_are_as_long_as_the_room_beside_the_numbers():
    """None ends farther right than the check bar, and none so soon that the next word had found room."""
    begin, end = MARGIN + 88 + 8, MARGIN + NARROW
    lines = [mark for page in pages(plan()) for mark in texts(page) if mark.at[0] == begin and mark.size == 9]
    assert len(lines) > 3
    for line, after in pairwise(lines):
        assert begin + width(line.text, 9, False, measure) <= end
        if after.at[1] < line.at[1] - 4.5:
            continue  # another paragraph
        longer = f"{line.text} {after.text.split()[0]}"
        assert begin + width(longer, 9, False, measure) > end


def order(made):
    return " ".join(said(page) for page in pages(made))


def test_the_saw_order_is_told_in_words():
    whole = order(plan())
    assert "Cut 1 frees the offcut. Cut 2 straight across." in whole
    assert "T1, T2 come off together. Then saw along the dashed lines in mid-gap: Cut 3 separates T1 and T2." in whole
    assert "S1 come" not in whole


def test_blanks_that_come_free_one_by_one_or_together_are_told_so():
    """Four in a row: sawn first between the second and the third, two come off together; of three, one comes off first."""
    four = tuple(blank(f"K{n}", rectangle(10, 2 + 14 * n, 210, 10 + 14 * n)) for n in range(4))
    all_lines = [Between(f"K{n}", f"K{n + 1}", ((10.0, 13.0 + 14 * n), (210.0, 13.0 + 14 * n))) for n in range(3)]
    cuts = CutPlan((220.0,), (CutGroup((0, 1, 2, 3), 10.0, 210.0),))
    middle_first = plan(blanks=four, between=(all_lines[1], all_lines[0], all_lines[2]), cuts=cuts)
    assert "Cut 2 frees K0 and K1. Cut 3 separates K0 and K1. Cut 4 separates K2 and K3." in order(middle_first)
    cuts = CutPlan((220.0,), (CutGroup((0, 1, 2), 10.0, 210.0),))
    three = replace(middle_first, blanks=four[:3], between=tuple(all_lines[:2]), cuts=cuts)
    assert "Cut 2 frees K0. Cut 3 separates K1 and K2." in order(three)


def test_a_tight_turn_is_told_by_the_number_its_line_has():
    """After two cuts across the one line is number 3."""
    assert "3 turns at a radius of 12.7 mm, tighter" in order(plan(tight=(TightTurn(LINE, 12.7),)))


@pytest.mark.parametrize(
    ("read", "told"),
    [
        ((False, False, False), "nominal, measure it: 2.0 × 60.0 × 900.0 mm"),
        ((True, True, True), "measured 2.00 × 60.00 × 900.00 mm"),
        ((True, False, False), "measured 2.00 mm thick; nominal, measure it: 60.0 mm wide, 900.0 mm long"),
    ],
)
def test_what_was_read_of_a_bar_is_told_from_what_is_nominal(read, told):
    assert sizes_words(plan(read=read), "mm") == told


def test_the_length_of_a_bar_that_is_out_of_square_is_that_of_its_shorter_edge():
    """900 mm were read along the longer edge, which is 6 mm longer."""
    slanting = plan(read=(True, True, True), size=(2.0, 60.0, 894.0), beyond=(6.0, 0.0))
    assert sizes_words(slanting, "mm") == "measured 2.00 mm thick, 60.00 mm wide, 894.00 mm long at the shorter edge"
    assert sizes_words(replace(slanting, read=(False, False, False)), "mm") == (
        "nominal, measure it: 2.0 mm thick, 60.0 mm wide, 894.0 mm long at the shorter edge"
    )


def test_holes_are_listed_with_their_places_in_two_tables_side_by_side():
    page = next(page for page in pages(plan()) if "Hole centers on the bar, for drilling before sawing" in words(page))
    tail = words(page)[words(page).index("Hole centers on the bar, for drilling before sawing") :]
    flat = " ".join(tail)
    assert flat.count("Tang drill") == 2
    for row in ("T1 P1 40.00 15.00 4.8", "T1 P2 180.00 12.00", "T2 P2 180.00 42.00", "S1 P1 260.00 25.00", "S1 P2 400.00 20.00"):
        assert row in flat


@pytest.mark.parametrize(
    ("angle", "mirrored", "told"),
    [
        (0.0, False, ("up", "right")),
        (0.0, True, ("down", "left")),
        (np.pi, False, ("down", "right")),
        (np.pi, True, ("up", "left")),
    ],
)
def test_how_a_blank_lies_is_told_by_its_spine_and_its_face(angle, mirrored, told):
    """Turned by half and mirrored over the axis: the spine changes sides with either, the face with the mirror only."""
    lying = blank("T1", rectangle(0, 0, 100, 20), [(10.0, 10.0), (90.0, 10.0)], Placement(150.0, 30.0, angle, mirrored))
    made = plan(blanks=(lying,), between=(), cuts=CutPlan((), (CutGroup((0,), 0.0, 1.0),)))
    found = words(pages(made)[0])
    at = found.index("T1", found.index("Stamp"))
    assert tuple(found[at + 1 : at + 3]) == told
    ends = ("150.0", "250.0") if angle == 0.0 else ("150.0", "50.0")
    assert tuple(found[at + 3 : at + 5]) == ends


@pytest.mark.parametrize(
    ("used", "keep", "kept"), [(899.5, 0.0, True), (900.0, 0.0, False), (750.0, 150.0, True), (751.0, 150.0, False)]
)
def test_an_offcut_is_kept_from_the_least_length_on_if_there_is_any(used, keep, kept):
    assert plan(used=used, keep=keep).keeps_offcut is kept


@pytest.mark.parametrize(("length", "shown"), [(368.0, 368.0), (369.0, 210.0)])
def test_the_whole_bar_is_drawn_at_true_size_where_its_offcut_takes_no_part_more(length, shown):
    """Two parts, one 203.2 wide over the check bar and one 184.2 beside it, 12 of them over each other, 3.5 beyond both ends."""
    made = plan(blanks=(T1, T2), used=200.0, size=(2.0, 60.0, length), cuts=CutPlan((), (CutGroup((0, 1), 10.0, 210.0),)))
    found = parts_of(made)
    assert len(found) == 2
    assert sum(part.window[2] - part.window[0] for part in found) - 12.0 - 7.0 == pytest.approx(shown)


def test_the_bar_at_true_size_says_how_long_it_is_when_it_is_joined():
    """446 mm and 7: 203.2, 184.2 and what is left, 12 over each other, under each other on one page."""
    (page,) = strips(plan())
    named = [mark.text for mark in texts(page) if "true size, part" in mark.text]
    assert [name.partition(".")[0] for name in named] == [f"Bar 1: O1, true size, part {n} of 3" for n in (1, 2, 3)]
    assert [name.endswith("Closing check: end A to the end of the last blank is 430.00 mm") for name in named] == [
        True,
        False,
        False,
    ]


def test_what_is_said_of_a_bar_wider_than_a_page_stands_over_the_foot():
    tall = plan(size=(2.0, 300.0, 900.0))
    for page in strips(tall):
        for x0, y0, x1, y1, text in boxes(texts(page)):
            assert y0 >= FOOT or text in CHECKS or text.startswith("bar sheets"), text
            assert x0 >= MARGIN - 0.01 and x1 <= page.width - MARGIN + 0.01 and y1 <= page.height - MARGIN, text


def test_a_number_under_a_join_is_whole_on_both_parts():
    """An end of a blank in the middle of what the first two parts share."""
    x0, _, x1, _ = parts_of(plan(blanks=(S1,), between=()))[0].window
    end = round(x1 - x0 - 3.5 - 6.0, 1)
    made = plan(blanks=(blank("T1", rectangle(10, 5, end, 25), [(40.0, 15.0), (100.0, 12.0)]), S1), between=())
    (page,) = strips(made)
    found = [box for box in boxes(texts(page)) if box[4] == f"{end:.1f}"]
    assert len(found) == 2
    for (left, low, right, _, _), part in zip(found, parts_of(made)[:2], strict=True):
        assert part.window[0] - 0.01 <= left < right <= part.window[2] + 0.01
        assert low < part.window[1]


def lines_between(*blanks, straight=False, separation=2.0, bar=(200.0, 60.0)):
    return between(planned(blanks, (), separation, bar), straight=straight)


def planned(blanks, across, separation=2.0, bar=(200.0, 60.0)):
    """A bar of this length and width all of whose blanks come off together."""
    cuts = CutPlan(across, (CutGroup(tuple(range(len(blanks))), 0.0, bar[0]),))
    return plan(blanks=blanks, cuts=cuts, separation=separation, size=(2.0, bar[1], bar[0]), between=(), used=bar[0], keep=1e9)


@pytest.mark.parametrize(("apart", "count"), [(5.9, 1), (6.3, 0)])
def test_blanks_within_six_millimetres_are_neighbours_however_little_the_saw_takes(apart, count):
    low, high = blank("A", rectangle(10, 5, 110, 20)), blank("B", rectangle(10, 20 + apart, 110, 50))
    assert len(lines_between(low, high, separation=1.0)) == count


def test_the_line_between_two_slanting_sides_runs_half_way_between_them():
    """Sides that rise one in ten, 3 mm apart upwards: half-way between them at every place, and all along what they share."""
    low = blank("A", [(10.0, 5.0), (130.0, 5.0), (130.0, 32.0), (10.0, 20.0)])
    high = blank("B", [(30.0, 25.0), (150.0, 37.0), (150.0, 55.0), (30.0, 55.0)])
    (line,) = lines_between(low, high)
    assert (line.lower, line.upper) == ("A", "B")
    found = np.array(line.points)
    along = found[1:-1]
    assert along[:, 1] == pytest.approx(21.5 + (along[:, 0] - 10) / 10, abs=0.03)
    assert along[0, 0] == pytest.approx(34, abs=1.2)
    assert along[-1, 0] == pytest.approx(126, abs=1.2)
    for x, y in (found[0], found[-1]):  # and on to the bar's edge
        assert min(x, 200 - x, y, 60 - y) == pytest.approx(0.0, abs=1e-6)
    outlines = [Polygon(one.outline) for one in (low, high)]
    assert min(LineString(found).distance(one) for one in outlines) > 0.7


@pytest.mark.parametrize("straight", [False, True])
def test_the_line_between_a_tip_and_a_plate_stands_midway_from_edge_to_edge_of_the_bar(straight):
    """A tip at (70, 15), a plate from 80 on: at 75."""
    tip = blank("A", [(10.0, 8.0), (60.0, 8.0), (70.0, 15.0), (60.0, 30.0), (10.0, 30.0)])
    stands = blank("B", rectangle(80, 5, 150, 45))
    (line,) = lines_between(tip, stands, straight=straight, separation=4.0)
    found = np.array(line.points)
    assert found[:, 0] == pytest.approx(75.0)
    assert (found[:, 1].min(), found[:, 1].max()) == pytest.approx((0.0, 60.0))


def test_a_line_runs_on_to_another_cut_and_ends_where_a_blank_is_in_its_way():
    """Plates over each other from 10 to 110; before them a cut across at 5, behind them a plate."""
    low, high = blank("A", rectangle(10, 5, 110, 20)), blank("B", rectangle(10, 24, 110, 40))
    behind = blank("C", rectangle(114, 2, 190, 58))
    lines = between(planned((low, high, behind), (5.0,), 4.0), straight=False)
    found = next(np.array(line.points) for line in lines if (line.lower, line.upper) == ("A", "B"))
    assert found[0] == pytest.approx((5.0, 22.0), abs=0.05)
    assert found[-1] == pytest.approx((112.0, 22.0), abs=0.05)  # on the line before the plate
    assert found[:, 1] == pytest.approx(22.0, abs=0.05)


@pytest.mark.parametrize("size", [(2.0, 60.0, 900.0), (2.0, 300.0, 900.0)])
def test_a_bar_at_true_size_keeps_between_title_and_check_bar_within_what_the_printer_reaches(size):
    """From the title, 15.5 mm high with its rule, down."""
    for page in strips(plan(size=size)):
        clips = [mark for mark in page.marks if isinstance(mark, Clip)]
        assert clips
        for clip in clips:
            x0, y0, x1, y1 = clip.window
            assert MARGIN - 0.01 <= x0 < x1 <= page.width - MARGIN + 0.01
            assert FOOT <= y0 < y1 <= page.height - MARGIN - 15.5 + 1.01
            assert bar_on(clip)[3] - bar_on(clip)[1] == pytest.approx(size[1])


def test_every_hole_stands_once_in_the_tables_in_its_order():
    """Sixty holes: two tables of 20 beside each other, and two of what is left."""
    made = many(30)
    told = [word for page in pages(made) for word in words(page)]
    start = told.index("Hole centers on the bar, for drilling before sawing")
    listed = [(a, b, x) for a, b, x in zip(told[start:], told[start + 1 :], told[start + 2 :], strict=False) if b in ("P1", "P2")]
    wanted = [(f"K{n}", f"P{k}", f"{x + 91 * n:.2f}") for n in range(30) for k, x in ((1, 20.0), (2, 80.0))]
    assert listed == wanted


def test_numbers_of_ends_stand_under_the_bar_and_rows_say_where_they_begin_over_it():
    (page, *_) = pages(plan(used=890.0))
    first, second = rows(page)
    for row, begins in ((first, "end A"), (second, "from 450.0 mm, measured")):
        _, y0, _, y1 = bar_on(row)
        over = next(mark for mark in texts(page) if mark.text.startswith(begins))
        assert y1 < over.at[1] < y1 + 4
        assert over.at[0] == pytest.approx(MARGIN)
        under = [mark for mark in texts(page) if mark.size == 16 and y0 - 17.5 < mark.at[1] < y0]
        assert [mark.text for mark in under] == (["10.0", "210.0", "230.0", "430.0"] if row is first else [])
    made = plan()
    clip, (page,) = parts_of(made)[0], strips(made)
    x0, y0, _, _ = bar_on(clip)
    (number,) = (mark for mark in texts(page) if mark.text == "10.0")
    assert y0 - 9.0 < number.at[1] < y0 - 2.0
    assert number.at[0] == pytest.approx(x0 + 10.0)


def test_a_tight_turn_of_a_later_line_has_its_number():
    """After one cut across the lines are numbers 2, 3 and 4."""
    four = tuple(blank(f"K{n}", rectangle(10, 2 + 14 * n, 210, 10 + 14 * n)) for n in range(4))
    lines = tuple(Between(f"K{n}", f"K{n + 1}", ((10.0, 13.0 + 14 * n), (210.0, 13.0 + 14 * n))) for n in range(3))
    cuts = CutPlan((220.0,), (CutGroup((0, 1, 2, 3), 10.0, 210.0),))
    made = plan(blanks=four, between=lines, cuts=cuts, tight=(TightTurn(lines[2], 12.7),))
    assert "4 turns at a radius of 12.7 mm, tighter" in order(made)


def crowded():
    """A hundred and twenty plates in four rows, a line between every two over each other: cuts up to number 119."""
    corners = [(10.0 + 40 * (n // 4), 4.0 + 14 * (n % 4)) for n in range(120)]
    blanks = tuple(blank(f"K{n}", rectangle(x, y, x + 36, y + 10)) for n, (x, y) in enumerate(corners))
    under = [(n, *corners[n]) for n in range(119) if n % 4 != 3]
    lines = [Between(f"K{n}", f"K{n + 1}", ((x, y + 12), (x + 36, y + 12))) for n, x, y in under]
    groups = tuple(CutGroup(tuple(range(4 * k, 4 * k + 4)), 10.0 + 40 * k, 46.0 + 40 * k) for k in range(30))
    cuts = CutPlan(tuple(48.0 + 40 * k for k in reversed(range(30))), groups)
    return plan(blanks=blanks, between=tuple(lines), cuts=cuts, used=1210.0, size=(2.0, 60.0, 1500.0))


ODD = {
    "crowded": crowded(),
    "some sides read": plan(read=(True, False, True)),
    "a long steel": plan(steel="a steel with a name as long as no steel has it, ground and annealed"),
    "a long name": plan(name="a bar with a name as long as a maker may type it, from the second shelf, behind the oil"),
    "wider than the paper": plan(size=(2.0, 300.0, 900.0)),
}


@pytest.mark.parametrize("made", ODD.values(), ids=ODD.keys())
@pytest.mark.parametrize("job", ["job", "a job of a name " * 7])
def test_words_of_odd_bars_stay_on_the_paper_and_over_nothing(made, job):
    for page in all_pages(replace(RUN, job=job), [made]):
        found = list(boxes(texts(page)))
        for x0, y0, x1, y1, text in found:
            assert x0 >= MARGIN - 0.01 and x1 <= page.width - MARGIN + 0.01, text
            assert y0 >= MARGIN - 0.01 and y1 <= page.height - MARGIN, text
        for a, b in combinations(found, 2):
            assert min(a[2], b[2]) - max(a[0], b[0]) < 0.3 or min(a[3], b[3]) - max(a[1], b[1]) < 0.3, (a[4], b[4])


def test_every_cut_of_a_crowded_bar_is_told():
    told = order(crowded())
    for n in range(31, 121):
        assert re.search(rf"\b{n}\b", told), n


def test_names_of_parts_of_a_bar_wider_than_the_paper_stand_over_them():
    for page in strips(plan(size=(2.0, 300.0, 900.0))):
        (clip,) = (mark for mark in page.marks if isinstance(mark, Clip))
        (name,) = (mark for mark in texts(page) if "true size, part" in mark.text)
        assert name.at[1] > clip.window[3] - 4.5 - 0.01


def test_a_blank_that_ends_with_its_bar_has_the_number_of_its_end():
    to_the_end = blank("T1", rectangle(10, 5, 900, 25), [(40.0, 15.0), (180.0, 12.0)])
    (page, *_) = pages(plan(blanks=(to_the_end,), between=(), used=900.0, cuts=CutPlan((), (CutGroup((0,), 10.0, 900.0),))))
    assert [mark.text for mark in texts(page) if mark.size == 16][1:3] == ["10.0", "900.0"]
