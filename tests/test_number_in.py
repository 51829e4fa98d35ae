"""Numbers as makers write them: both decimal marks, exactly, and never a guess between two."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from workbook.length_in import LengthError, parse_length
from workbook.number_in import MOST_MONEY, NumberError, parse_amount, parse_number, parse_whole, written


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("12", "12"), ("1.5", "1.5"), ("1,5", "1.5"), ("1.50", "1.5"), (".5", "0.5"), (",5", "0.5"), ("1.", "1"), ("1,", "1"),
        ("0.125", "0.125"), ("0,125", "0.125"), ("1250.125", "1250.125"), ("1250,125", "1250.125"), ("1.1250", "1.125"),
        ("1,250.00", "1250"), ("1.250,00", "1250"), ("1 250", "1250"), ("1\u202f250,5", "1250.5"), ("12,345,678.9", "12345678.9"),
        ("١", "1"), ("١٢,٥", "12.5"), ("１２", "12"), ("+3", "3"), ("−3", "-3"), ("-0", "0"), (" 7 ", "7"),
    ],
)  # fmt: skip
def test_a_number_that_can_be_read_one_way_is_read(text, number):
    assert parse_number(text, -1e9, 1e9) == Decimal(number)


@pytest.mark.parametrize("text", ["1,250", "1.250", "1.000", "12,345", "998.999", "+1,250", "-1.250", "١,٢٥٠"])
def test_a_mark_that_may_part_thousands_is_asked_about_where_thousands_are_possible(text):
    with pytest.raises(NumberError, match="may be") as caught:
        parse_number(text, -1e6, 1e6)
    assert caught.value.two_ways
    assert "Write one of these" in str(caught.value)
    assert abs(parse_number(text, -1000 + 1, 1000 - 1)) < 1000, "and is a decimal mark where they are not"


def test_what_is_to_be_written_instead_can_be_read():
    for text in ("1,250", "1.125", "12,345", "1.000"):
        with pytest.raises(NumberError) as caught:
            parse_number(text)
        first, second = str(caught.value).partition(" may be ")[2].partition(". ")[0].split(" or ")
        assert parse_number(first) == parse_number(second) * 1000


@pytest.mark.parametrize(
    "text",
    ["", " ", "abc", "1e5", "1E+3", "nan", "inf", "sNaN", "1_000", "1.2.3", "1,250,00", "1..2", "²", "½", "$", "1 2", "٫5",
     "9" * 30],
)  # fmt: skip
def test_what_is_no_number_is_told_in_words(text):
    for read in (parse_number, parse_amount, lambda text: parse_whole(text, 0, 10**9)):
        with pytest.raises(NumberError, match=r"^type an? (whole )?(number|amount)") as caught:
            read(text)
        assert "class" not in str(caught.value)
        assert "decimal." not in str(caught.value)


def test_a_number_outside_its_limits_is_told_them_in_plain_figures():
    with pytest.raises(NumberError, match="type a number from 0 to 1000000"):
        parse_number("1000001")
    with pytest.raises(NumberError, match="type a whole number from 0 to 1000"):
        parse_whole("1,5", 0, 1000)
    with pytest.raises(NumberError, match=r"type a number from 0\.05 to 60"):
        parse_number("61", 0.05, 60)


def test_a_count_is_whole_whichever_mark_it_has():
    assert [parse_whole(text, 0, 999) for text in ("2", "2.0", "2,00", "1.000")] == [2, 2, 2, 1]
    for text in ("1,5", "1.5", "0,5", "1.000"):
        with pytest.raises(NumberError):
            parse_whole(text, 0, 1000)


def test_signs_stand_round_a_number_only_where_they_may():
    assert parse_number("12 %", 0, 100, sign="%") == 12
    assert [parse_amount(text) for text in ("$31.00", "31,00 €", "£ 31")] == [31] * 3
    with pytest.raises(NumberError):
        parse_number("12 %")


def test_where_a_dot_is_the_decimal_mark_only_a_comma_is_asked_about():
    assert parse_number("1.250", thousands=",") == Decimal("1.25")
    with pytest.raises(NumberError, match="may be"):
        parse_number("1,250", thousands=",")


@given(st.decimals(-MOST_MONEY, MOST_MONEY, places=6) | st.integers(-MOST_MONEY, MOST_MONEY).map(Decimal))
def test_what_is_written_is_read_as_the_same(number):
    assert parse_number(written(number), -MOST_MONEY, MOST_MONEY) == number
    assert "E" not in written(number)


@given(st.integers(0, 10**9), st.sampled_from([10, 1000, 100_000]))
def test_a_float_that_is_written_is_read_as_the_same(number, parts):
    value = number / parts
    assert float(parse_number(written(value), 0, 1e9)) == pytest.approx(value, rel=1e-9)


@given(st.text(max_size=20) | st.text(alphabet="0123456789., -+%$", max_size=14))
def test_any_text_is_a_number_within_its_limits_or_words(text):
    try:
        assert 0 <= parse_number(text, 0, 5000) <= 5000
    except NumberError as trouble:
        assert str(trouble)


@pytest.mark.parametrize("text", ["1.250 mm", "1,250 mm", "1.250", "1 m 1,250 mm", "1,000 mm"])
def test_a_length_that_may_have_thousands_is_asked_about(text):
    with pytest.raises(LengthError, match="may be") as caught:
        parse_length(text, "mm", (0.2, 3000))
    assert caught.value.two_ways


def test_a_length_is_read_where_thousands_of_it_are_not_possible():
    assert parse_length("1.250 mm", "mm", (0.2, 60)) == 1.25
    assert parse_length("2,500 in", "in") == pytest.approx(63.5), "thousandths of an inch are the trade's"
    assert parse_length("0.250 mm", "mm", (0, 3000)) == 0.25
    assert parse_length("9.525 mm", "mm", (0, 10_000), thousands=",") == 9.525
    assert parse_length("١٢,٥ mm") == 12.5
    assert parse_length("8.466666666666667 mm") == 8.466666666666667
