"""Money: shares add up, rounding happens once."""

import itertools
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.strategies import numbers
from workbook.shop.money import Money, cents, priced, shares

amounts = st.integers(-1_000_000, 100_000_000).map(lambda n: Decimal(n) / 100)
weights = st.lists(numbers(0, 1e6), min_size=1, max_size=30)


@given(amounts, weights)
def test_shares_add_up_to_the_total(total, parts):
    assert sum(shares(total, parts)) == total


@given(amounts, weights)
def test_a_share_is_within_a_cent_of_its_exact_part(total, parts):
    whole = sum(Decimal(repr(w)) for w in parts)
    for share, weight in zip(shares(total, parts), parts, strict=True):
        exact = total * Decimal(repr(weight)) / whole if whole else total / len(parts)
        assert abs(share - exact) < Decimal("0.0100001")


@given(amounts.map(abs), weights)
def test_a_larger_weight_never_gets_less(total, parts):
    pairs = sorted(zip(parts, shares(total, parts), strict=True))
    found = [share for _, share in pairs]
    assert all(a <= b for a, b in itertools.pairwise(found) if a != b) or equal_weights(pairs)


def equal_weights(pairs):
    """Only weights that are equal may be a cent apart either way."""
    return all(v <= w or a == b for (a, v), (b, w) in itertools.pairwise(pairs))


@pytest.mark.parametrize(
    ("total", "parts", "wanted"),
    [
        ("1.00", [1, 1, 1], ["0.34", "0.33", "0.33"]),
        ("0.02", [1, 1, 1], ["0.01", "0.01", "0.00"]),
        ("10.00", [3, 1], ["7.50", "2.50"]),
        ("5.00", [0, 0], ["2.50", "2.50"]),
        ("5.00", [0, 2], ["0.00", "5.00"]),
        ("0.00", [1, 2], ["0.00", "0.00"]),
        ("0.10", [50, 26, 24], ["0.05", "0.03", "0.02"]),
    ],
)
def test_the_cent_left_over_goes_to_the_largest_remainder_the_earlier_first(total, parts, wanted):
    assert shares(Decimal(total), parts) == [Decimal(w) for w in wanted]


def test_nobody_shares_nothing():
    assert shares(Decimal("5.00"), []) == []


@pytest.mark.parametrize(("amount", "wanted"), [("1.005", "1.00"), ("1.015", "1.02"), ("1.0051", "1.01"), ("-1.005", "-1.00")])
def test_cents_are_rounded_half_to_even(amount, wanted):
    assert cents(Decimal(amount)) == Decimal(wanted)


@pytest.mark.parametrize(("currency", "text"), [("USD", "$31.00"), ("EUR", "€31.00"), ("GBP", "£31.00"), ("SEK", "31.00 SEK")])
def test_a_price_is_shown_with_its_currency(currency, text):
    assert priced(Decimal("31"), Money(currency)) == text


def test_a_cent_left_over_goes_to_the_largest_remainder():
    """Ten cents by 3.4, 3.3 and 3.3: the method of largest remainders (Hamilton), by hand."""
    assert shares(Decimal("0.10"), [3.3, 3.4, 3.3]) == [Decimal("0.03"), Decimal("0.04"), Decimal("0.03")]
    assert shares(Decimal("-0.10"), [3.3, 3.3, 3.4]) == [Decimal("-0.03"), Decimal("-0.03"), Decimal("-0.04")]


@pytest.mark.parametrize(("amount", "shown"), [("0.50", "$0.50"), ("-0.50", "-$0.50"), ("0", "$0.00"), ("-3", "-$3.00")])
def test_only_what_is_less_than_nothing_has_a_minus(amount, shown):
    assert priced(Decimal(amount), Money("USD")) == shown
