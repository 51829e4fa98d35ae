"""Lengths as makers write and read them."""

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.length_in import LengthError, parse_length
from workbook.units import HABITS, INCH, as_decimal_inches, as_fraction, as_millimetres, built, exact, reading, show, size

THIN, SLASH = "\u2009", "\u2044"


@pytest.mark.parametrize(
    ("text", "inches"),
    [
        ("3/16 in", Fraction(3, 16)),
        ("1 3/16 in", Fraction(19, 16)),
        ("1-3/16 in", Fraction(19, 16)),
        ("1 3/16in", Fraction(19, 16)),
        ("3 / 16 in", Fraction(3, 16)),
        ('1 1/8"', Fraction(9, 8)),
        ("1 1/8″", Fraction(9, 8)),
        ("1 1/8”", Fraction(9, 8)),
        ("1 1/8''", Fraction(9, 8)),
        ("2 inches", 2),
        ("2 inch", 2),
        ("2 in.", 2),
        ("2 IN", 2),
        ("0.187 in", Fraction(187, 1000)),
        (".187 in", Fraction(187, 1000)),
        ("0,187 in", Fraction(187, 1000)),
        (",187 in", Fraction(187, 1000)),
        ("2. in", 2),
        ("30 thou", Fraction(3, 100)),
        ("5thou", Fraction(5, 1000)),
        ("1/2 thou", Fraction(1, 2000)),
        ("3 ft", 36),
        ("3'", 36),
        ("3′", 36),
        ("3’", 36),
        ("3 feet", 36),
        ("1 foot", 12),
        ("3 ft 6 1/2 in", Fraction(85, 2)),
        ("3' 6 1/2\"", Fraction(85, 2)),
        ("3'6\"", 42),
        ("½ in", Fraction(1, 2)),
        ("½in", Fraction(1, 2)),
        ("1½ in", Fraction(3, 2)),
        ("1 ½ in", Fraction(3, 2)),
        ("2⅞″", Fraction(23, 8)),
        (f"1{THIN}3{SLASH}16 in", Fraction(19, 16)),
        (f"3{SLASH}16 in", Fraction(3, 16)),
        ("1\u00a03/16 in", Fraction(19, 16)),
        ("  1 in  ", 1),
        ("+1 in", 1),
        ("-1 1/2 in", Fraction(-3, 2)),
        ("−1 1/2 in", Fraction(-3, 2)),
        ("- 2 in", -2),
        ("0 in", 0),
    ],
)
def test_inches_are_read_however_they_are_written(text, inches):
    assert parse_length(text) == pytest.approx(float(inches) * 25.4, abs=1e-12)
    assert parse_length(text, "in") == parse_length(text, "mm")


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        ("2.4 mm", 2.4),
        ("2,4 mm", 2.4),
        ("2,4mm", 2.4),
        ("2 1/2 mm", 2.5),
        ("1.2 cm", 12.0),
        ("0.9 m", 900.0),
        ("1 metre", 1000.0),
        ("1 meter", 1000.0),
        ("3 millimetres", 3.0),
        ("3 millimeters", 3.0),
        ("2 centimetre", 20.0),
        ("-0.5 mm", -0.5),
        ("1 m 2 cm 3 mm", 1023.0),
    ],
)
def test_metric_lengths_are_read_with_either_decimal_mark(text, mm):
    assert parse_length(text) == pytest.approx(mm, abs=1e-12)


@pytest.mark.parametrize(("text", "number"), [("5", 5), ("1 3/16", 1.1875), ("2,5", 2.5), ("½", 0.5), ("-3", -3), ("-1½", -1.5)])
def test_a_bare_number_is_in_the_unit_asked_for(text, number):
    assert parse_length(text, "mm") == pytest.approx(number)
    assert parse_length(text, "in") == pytest.approx(number * 25.4)


def test_an_inch_is_25_4_mm():
    """International inch, 1959."""
    assert parse_length("1 in") == 25.4 == INCH
    assert parse_length("3/64 in") == 1.190625


@pytest.mark.parametrize(
    ("text", "column", "words"),
    [
        ("", 1, "start with a number"),
        ("   ", 4, "a number"),
        ("in", 1, "start with a number"),
        ("-", 2, "a number"),
        ("abc", 1, "start with a number"),
        ("1 furlong", 3, "“furlong” is not a unit"),
        ("12 mmm", 4, "“mmm” is not a unit"),
        ("1..2 mm", 3, "a second decimal mark"),
        ("1,2,3 mm", 4, "a second decimal mark"),
        ("1/0 in", 3, "a fraction with 0 below the line"),
        ("1/ in", 4, "a number is missing after “1/”"),
        ("1.5/2 in", 5, "a fraction needs whole numbers"),
        ("1.5 1/2 in", 4, "a decimal and a fraction together"),
        ("1/2/3 in", 4, "does not belong in a length"),
        ("3 ft 6", 6, "needs its unit"),
        ("6 in 3 ft", 8, "write the larger unit first"),
        ("5 5 mm", 1, "needs its unit"),
        ("1 in & 2", 6, "a number is missing after “1 in”"),
        ("$5", 1, "start with a number"),
        ("5 $", 3, "“$” does not belong"),
        ("1e5 mm", 2, "“e” is not a unit"),
        ("--5 mm", 2, "a number"),
        ("1234567890123 mm", 1, "too many digits"),
        ("nan", 1, "start with a number"),
        ("inf mm", 1, "start with a number"),
    ],
)
def test_what_is_no_length_is_told_with_its_column(text, column, words):
    with pytest.raises(LengthError) as caught:
        parse_length(text)
    assert words in caught.value.what
    assert caught.value.column == column
    assert f"“{text}”, column {column}: " in str(caught.value)


@given(st.text(max_size=20))
def test_any_text_is_a_finite_length_or_a_length_error_inside_the_text(text):
    try:
        assert abs(parse_length(text)) < 1e16
    except LengthError as trouble:
        assert 1 <= trouble.column <= len(text) + 1


@given(st.text(alphabet="0123456789 /.,-+'\"½infthoumc", max_size=14))
def test_anything_near_a_length_is_one_or_a_length_error(text):
    try:
        assert abs(parse_length(text)) < 1e16
    except LengthError as trouble:
        assert 1 <= trouble.column <= len(text) + 1


sixty_fourths = st.integers(-64 * 400, 64 * 400)


@given(sixty_fourths)
def test_a_fraction_is_read_back_exactly(n):
    mm = float(Fraction(n, 64) * Fraction("25.4"))
    assert parse_length(as_fraction(mm), "in") == mm


@given(sixty_fourths)
def test_a_built_fraction_is_read_back_exactly(n):
    mm = float(Fraction(n, 64) * Fraction("25.4"))
    assert parse_length(built(as_fraction(mm)), "in") == mm


@given(st.integers(-10_000_000, 10_000_000))
def test_decimals_are_read_back_exactly(n):
    assert parse_length(as_decimal_inches(n / 1000 * INCH), "in") == pytest.approx(n / 1000 * INCH, abs=1e-9)
    assert parse_length(as_millimetres(n / 100)) == pytest.approx(n / 100, abs=1e-9)


@given(st.floats(-5000, 5000))
def test_a_length_shown_is_the_length_within_half_of_its_last_place(mm):
    assert abs(parse_length(show(mm, "in"), "in") - mm) <= INCH / 128 + 1e-9
    assert abs(parse_length(show(mm, "in", fine=True), "in") - mm) <= INCH / 2000 + 1e-9
    assert abs(parse_length(show(mm, "mm")) - mm) <= 0.05 + 1e-9
    assert abs(parse_length(show(mm, "mm", fine=True)) - mm) <= 0.005 + 1e-9


@given(st.floats(0, 5000))
def test_a_fraction_with_its_remainder_is_within_half_a_thou(mm):
    text = as_fraction(mm, 64, remainder=True)
    fraction, sign, thou = (
        text.removesuffix(" thou").rpartition(" + " if "+" in text else " - ") if "thou" in text else (text, "", "0")
    )
    told = parse_length(fraction, "in") + (-1 if "-" in sign else 1) * int(thou) * INCH / 1000
    assert abs(told - mm) <= INCH / 2000 + 1e-9


@pytest.mark.parametrize(
    ("inches", "text"),
    [
        (10.128, "10 1/8 + 3 thou"),
        (10.122, "10 1/8 - 3 thou"),
        (10.125, "10 1/8"),
        (10.1254, "10 1/8"),
        (0.003, "0 + 3 thou"),
        (0.0, "0"),
        (2.0, "2"),
        (0.5, "1/2"),
    ],
)
def test_the_remainder_is_in_thousandths(inches, text):
    assert as_fraction(inches * INCH, 64, remainder=True) == text


@pytest.mark.parametrize(
    ("mm", "parts", "text"), [(25.4 * 0.3, 8, "1/4"), (25.4 * 0.3, 64, "19/64"), (-12.7, 64, "-1/2"), (-0.01, 64, "0")]
)
def test_a_fraction_is_the_nearest_of_so_many_parts(mm, parts, text):
    assert as_fraction(mm, parts) == text


def test_nothing_has_no_sign():
    assert as_decimal_inches(-0.0001) == "0.000"
    assert as_millimetres(-0.001) == "0.00"
    assert show(-0.01, "in") == "0"


def test_lengths_are_shown_to_the_maker_in_his_unit():
    assert [show(4.8, "in"), show(4.8, "in", fine=True), show(4.8, "mm"), show(4.8, "mm", fine=True)] == [
        "3/16",
        "0.189",
        "4.8",
        "4.80",
    ]


def test_a_reading_is_shown_as_it_was_read():
    assert [reading(0.0775 * INCH, "in"), reading(0.078 * INCH, "in"), reading(1.97, "mm")] == ["0.0775", "0.078", "1.97"]


def test_fractions_are_marked_for_building_and_other_text_is_left_alone():
    assert built("1 3/16 in") == f"1{THIN}3{SLASH}16 in"
    assert built("overall 3/4") == f"overall 3{SLASH}4"
    assert built("0.187") == "0.187"


def test_another_unit_is_another_row(monkeypatch):
    row = HABITS["mm"]._replace(name="cm", mm=10.0, coarse=2, fine=3, read=4)
    monkeypatch.setitem(HABITS, "cm", row)
    assert [show(48.0, "cm"), show(48.0, "cm", fine=True), size(48.0, "cm")] == ["4.80", "4.800", "4.8"]
    assert [reading(48.05, "cm"), reading(48.0, "cm"), reading(48.0, "cm", column=True)] == ["4.805", "4.800", "4.8000"]


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (31.75, "in", "1 1/4"),
        (31.75 + 0.012, "in", "1 1/4"),  # half a thousandth is 0.0127 mm
        (31.75 + 0.02, "in", "1.251"),
        (10.0, "in", "0.394"),
        (31.75, "mm", "31.75"),
        (31.8, "mm", "31.8"),
        (6.35, "mm", "6.35"),
        (3.175, "mm", "3.18"),
        (30.0, "mm", "30.0"),
    ],
)
def test_an_exact_length_is_a_fraction_only_where_it_is_one(mm, unit, text):
    assert exact(mm, unit) == text
