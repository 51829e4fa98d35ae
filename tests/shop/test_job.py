"""The records of a job, and which blanks and bars go together."""

from math import degrees, radians
from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.formats.family import family
from workbook.formats.tables import facts
from workbook.geometry.path import Placement, polyline
from workbook.nesting.model import BarUse, Layout, Piece
from workbook.shop.checks import check_bars
from workbook.shop.job import Bar, Edges, Job, Make, Measured, Rules, Saw, cannot_be, suits
from workbook.shop.lying import directions, sizes
from workbook.shop.serials import letters, serials
from workbook.structs import replace
from workbook.template.drawn import DrawnTemplate, shape_of_drawn
from workbook.template.model import Rolling
from workbook.template.parameters import changed
from workbook.template.shape import shape
from workbook.template.tools import Tools

PETTY = changed(family("petty"), "blade.thickness", 2.0)


def bar(**values):
    return Bar(**{"name": "b", "steel": "1095", "thickness": 2.0, "width": 60.0, "length": 900.0, **values})


def job(*bars, **saw):
    return Job(name="j", saw=Saw(**saw), templates=(PETTY,), bars=bars, make=(Make(template="Petty", steel="1095", quantity=1),))


@pytest.mark.parametrize(("thickness", "wanted"), [(1.899, False), (1.9, True), (2.0, True), (2.5, True), (2.501, False)])
def test_a_bar_suits_from_a_tenth_thinner_to_half_a_millimetre_thicker(thickness, wanted):
    assert suits(job(), PETTY, "1095", bar(thickness=thickness)) is wanted


def test_a_bar_of_another_steel_does_not_suit_but_letters_may_be_large_or_small():
    assert not suits(job(), PETTY, "O1", bar())
    assert suits(job(), PETTY, "o1", bar(steel="O1"))


def test_the_measured_thickness_does_not_decide_what_suits():
    assert suits(job(), PETTY, "1095", bar(measured=Measured(thickness=1.5)))


def test_a_bar_counts_with_what_was_measured_and_else_with_what_is_nominal():
    found = bar(measured=Measured(width=59.5))
    assert (found.true_thickness, found.true_width, found.true_length) == (2.0, 59.5, 900.0)


def test_separation_is_the_kerf_and_twice_the_clean_up():
    saw = Saw(kerf=1.0, clean_up=1.5)
    assert (saw.separation, saw.edge_margin, Saw(bar_edge=0.0).edge_margin) == (4.0, 1.5, 0.0)


def found(*bars, tools, **saw):
    return [
        (p.severity.value, p.what) for p in check_bars(job(*bars, **saw), {"Petty": shape(PETTY, tools)}, facts().hot_rolled_skin)
    ]


def test_a_job_with_a_bar_for_every_blank_has_no_problem(tools):
    assert found(bar(), tools=tools) == []


@pytest.mark.parametrize(
    ("values", "words"),
    [
        ({"thickness": 3.0}, "no bar of 1095 has its thickness"),
        ({"steel": "O1"}, "no bar of 1095 has its thickness"),
        ({"width": 25.0}, "every bar that suits it is too narrow"),
        ({"length": 200.0}, "every bar wide enough is too short"),
        ({"have": 1, "buy": False, "measured": Measured(width=20.0)}, "every bar that suits it is too narrow"),
        (  # that on the rack is wide enough and too short, that for sale long enough and too narrow
            {"have": 1, "buy": True, "width": 28.0, "measured": Measured(width=38.0, length=200.0)},
            "every bar wide enough is too short",
        ),
    ],
)
def test_a_blank_no_bar_can_give_is_a_stop(values, words, tools):
    assert found(bar(**values), tools=tools) == [("stop", words)]


def test_a_bar_that_measures_too_thin_is_a_warning(tools):
    thin = bar(have=1, measured=Measured(thickness=1.8))
    ((severity, what),) = found(thin, tools=tools)
    assert severity == "warn"
    assert "measures thinner" in what


def test_a_hot_rolled_bar_with_too_little_sound_steel_is_a_warning(tools):
    assert found(bar(), tools=tools) == []
    ((severity, what),) = found(bar(hot_rolled=True), tools=tools)
    assert severity == "warn"
    assert "too little sound steel" in what
    (problem,) = check_bars(job(bar(hot_rolled=True)), {"Petty": shape(PETTY, tools)}, lambda *_: 0.3)
    assert (problem.is_, problem.wanted) == pytest.approx((2.0 - 0.6, 2.0 - 2 * PETTY.grind.face_allowance))
    thick = bar(hot_rolled=True, have=1, measured=Measured(thickness=2.5))
    assert check_bars(job(thick), {"Petty": shape(PETTY, tools)}, lambda *_: 0.3) == ()
    assert found(bar(hot_rolled=True, width=300.0), tools=tools) == []  # wider than the table: nothing is said


def test_a_bowed_bar_is_a_warning_where_grinding_it_flat_leaves_too_little(tools):
    """A piece of an arc: bow (l / L)^2. 252 mm of 900 with a bow of 12 mm has 0.94 mm of it."""
    bowed = bar(have=1, measured=Measured(thickness=2.0, bow=12.0))
    long = shape(PETTY, tools).extent()[2] - shape(PETTY, tools).extent()[0]
    assert bowed.bow_over(long) == pytest.approx(12.0 * (long / bowed.length) ** 2)
    ((severity, what),) = found(bowed, tools=tools)
    assert severity == "warn"
    assert "is bowed" in what
    assert found(bar(have=1, measured=Measured(thickness=2.0, bow=0.5)), tools=tools) == []


def test_the_thinnest_of_the_readings_counts():
    read = bar(have=1, measured=Measured(thickness=2.02, middle=1.97, far=2.0))
    assert read.true_thickness == 1.97
    assert read.measured.spread == pytest.approx(0.05)


names = st.lists(st.text(min_size=1, max_size=8), min_size=1, max_size=40, unique=True)


@given(names)
def test_every_template_gets_a_letter_of_its_own(given):
    found = letters(given)
    assert list(found) == given
    assert len(set(found.values())) == len(given)


def test_letters_come_out_of_the_names():
    assert letters(["Petty", "Paring", "Santoku type"]) == {"Petty": "T", "Paring": "R", "Santoku type": "S"}


@given(names, st.integers(1, 12))
def test_no_serial_is_given_twice(given, each):
    nesting = SimpleNamespace(parts=[SimpleNamespace(name=name) for name in given], kept=(), marks=(), used=())
    bars = tuple(BarUse(0, tuple(Piece(p, 0.0, 0.0, 0.0, False) for p in range(len(given)))) for _ in range(each))
    flat = [serial for row in serials(nesting, Layout(bars)) for serial in row]
    assert len(set(flat)) == len(flat) == each * len(given)


def test_one_template_in_two_steels_is_counted_on():
    nesting = SimpleNamespace(parts=[SimpleNamespace(name="Petty"), SimpleNamespace(name="Petty")], kept=(), marks=(), used=())
    bars = tuple(BarUse(0, (Piece(p, 0.0, 0.0, 0.0, False),)) for p in (0, 1))
    assert serials(nesting, Layout(bars)) == (("T1",), ("T2",))


FREE = replace(PETTY, rolling=Rolling.FREE)
X0, Y0, X1, Y1 = shape(PETTY, Tools(drills=facts().drills)).extent()
LONG, HIGH = X1 - X0, Y1 - Y0


def told(template, *bars, tools, **saw):
    asked = replace(job(*bars, **saw), templates=(template,))
    return [(p.what, p.is_, p.wanted) for p in check_bars(asked, {"Petty": shape(template, tools)}, facts().hot_rolled_skin)]


def test_a_blank_that_may_lie_across_its_bar_has_no_problem_where_it_fits_one_way(tools):
    """A bar too short for it along, but wide enough for its length with a sixteenth of an inch of clean-up on either side."""
    wide = bar(width=LONG + 3.2, length=100.0)
    assert told(FREE, wide, tools=tools) == []
    ((what, is_, wanted),) = told(PETTY, wide, tools=tools)
    assert (what, is_, wanted) == ("every bar wide enough is too short", 100.0, pytest.approx(LONG + 2 * 25.4 / 8))
    assert told(FREE, bar(width=LONG + 3.1, length=100.0), tools=tools)[0][0] == what
    assert told(FREE, bar(width=HIGH + 3.2, length=LONG + 7.0), tools=tools) == []


def test_a_bar_too_narrow_is_told_with_the_width_that_would_do(tools):
    """The blank's height and a sixteenth of an inch on either side, or on one where the spine may lie on the bar's edge."""
    narrow = bar(width=30.0)
    assert told(PETTY, narrow, tools=tools) == [
        ("every bar that suits it is too narrow", 30.0, pytest.approx(HIGH + 2 * 25.4 / 16))
    ]
    ((_, _, on_edge),) = told(PETTY, narrow, tools=tools, spine_on_edge=True)
    assert on_edge == pytest.approx(HIGH + 25.4 / 16)
    assert told(PETTY, narrow, tools=tools, tilt=2.0) == []  # a lean may help


def test_the_nearest_thickness_of_its_steel_is_told_where_no_bar_has_its_own(tools):
    bars = [bar(thickness=3.0), bar(thickness=5.0), bar(thickness=2.6, steel="O1")]
    assert told(PETTY, *bars, tools=tools) == [("no bar of 1095 has its thickness", 3.0, 2.0)]


def test_a_blank_lies_along_its_bar_or_across_or_either_way(tools):
    """A quarter turn lays its length across."""
    blank = shape(PETTY, tools)
    lying = {rolling: sizes(replace(PETTY, rolling=rolling), blank) for rolling in Rolling}
    assert lying[Rolling.ALONG] == [pytest.approx((LONG, HIGH), abs=0.05)]
    assert lying[Rolling.ACROSS] == [pytest.approx((HIGH, LONG), abs=0.05)]
    assert lying[Rolling.FREE] == [*lying[Rolling.ALONG], *lying[Rolling.ACROSS]]


@pytest.mark.parametrize(("turned", "lies"), [(30.0, -30.0), (9.0, 0.0), (-40.0, 40.0)])
def test_a_drawing_askew_by_over_ten_degrees_lies_along_by_its_longer_side(turned, lies):
    outline = Placement(0.0, 0.0, radians(turned)).path(
        polyline([(0.0, 0.0), (100.0, 0.0), (100.0, 20.0), (0.0, 20.0)], closed=True)
    )
    drawn = DrawnTemplate(name="plate", source="plate.dxf", thickness=2.0, outline=outline)
    (angle,) = directions(drawn, shape_of_drawn(drawn, Tools(drills=facts().drills)))
    assert degrees(angle) == pytest.approx(lies, abs=1e-6)
    across = replace(drawn, rolling=Rolling.ACROSS)
    (other,) = directions(across, shape_of_drawn(across, Tools(drills=facts().drills)))
    assert degrees(other) == pytest.approx(lies + 90, abs=1e-6)


@pytest.mark.parametrize(("read", "fine"), [(1.41, True), (1.39, False), (2.79, True), (2.81, False)])
def test_calipers_read_from_seven_tenths_to_fourteen_tenths_of_a_nominal_size(read, fine):
    slipped = list(cannot_be(bar(measured=Measured(far=read))))
    assert [key for key, _ in slipped] == ([] if fine else ["measured.far"])


def test_a_bars_end_may_be_out_of_square_by_half_its_length():
    assert list(cannot_be(bar(slant=449.0))) == []
    assert [key for key, _ in cannot_be(bar(slant=451.0))] == ["slant"]
    assert bar(slant=10.0, measured=Measured(length=905.0)).true_length == 895.0


def test_an_l_shaped_offcut_is_of_full_width_to_its_missing_corner_and_goes_on_as_a_leg():
    """900 by 50 with a corner of 300 by 20 missing: 600 of full width, and a leg of 300 by 30."""
    found = bar(corner_length=300.0, corner_width=20.0, width=50.0)
    assert (found.true_length, found.beyond) == (600.0, (300.0, 30.0))
    assert found.outline == ((0.0, 0.0), (900.0, 0.0), (900.0, 30.0), (600.0, 30.0), (600.0, 50.0), (0.0, 50.0))
    assert list(cannot_be(found)) == []
    assert [key for key, _ in cannot_be(bar(corner_length=300.0, corner_width=50.0, width=50.0))] == ["corner_width"]
    assert [key for key, _ in cannot_be(bar(corner_length=900.0, corner_width=20.0, width=50.0))] == ["corner_length"]
    only_one = bar(corner_length=300.0, width=50.0)
    assert (only_one.true_length, only_one.beyond) == (900.0, (0.0, 0.0)), "without its width no corner is missing"


def test_a_slanting_end_goes_on_to_nothing():
    assert bar(slant=60.0, width=50.0).beyond == (60.0, 0.0)
    assert bar(slant=60.0, width=50.0).outline == ((0.0, 0.0), (900.0, 0.0), (840.0, 50.0), (0.0, 50.0))


def test_a_piece_as_long_as_its_bar_has_all_of_its_bow_and_none_has_more():
    bowed = bar(measured=Measured(bow=4.0))
    assert [bowed.bow_over(length) for length in (450.0, 900.0, 1800.0)] == pytest.approx([1.0, 4.0, 4.0])
    assert bar().bow_over(450.0) == 0.0
    assert Measured().spread == 0.0


def test_a_saw_takes_what_is_common_until_it_is_told_otherwise():
    """A thirty-second of an inch of kerf, a sixteenth of clean-up, an eighth at the bar's ends and at sheared edges."""
    saw = Saw()
    inches = (saw.kerf, saw.clean_up, saw.bar_end, saw.sheared_edge, Rules().keep_offcut)
    assert [value / 25.4 for value in inches] == pytest.approx([1 / 32, 1 / 16, 1 / 8, 1 / 8, 6])
    margins = [saw.margin_of(edges) / 25.4 for edges in (Edges.MILL, Edges.SAWN, Edges.SHEARED)]
    assert margins == pytest.approx([1 / 16, 1 / 16, 1 / 8])
    assert Saw(sawn_edge=3.0, bar_edge=5.0).margin_of(Edges.SAWN) == 3.0
    assert Saw(sawn_edge=3.0, bar_edge=5.0).margin_of(Edges.SHEARED) == 5.0
