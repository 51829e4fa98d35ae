"""The records of a job, and which blanks and bars go together."""

from types import SimpleNamespace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.formats.family import family
from workbook.formats.tables import hot_rolled_skin
from workbook.nesting.model import BarUse, Layout, Piece
from workbook.shop.checks import check_bars
from workbook.shop.job import Bar, Job, Make, Measured, Saw, suits
from workbook.shop.serials import letters, serials
from workbook.template.parameters import changed
from workbook.template.shape import shape

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
    return [(p.severity.value, p.what) for p in check_bars(job(*bars, **saw), {"Petty": shape(PETTY, tools)}, hot_rolled_skin)]


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
