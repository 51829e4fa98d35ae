"""Money: Decimal amounts in one currency, rounded once, and shares that always add up to the total."""

from collections.abc import Sequence
from decimal import ROUND_HALF_EVEN, Decimal

from workbook.texts import decimals

CENT = Decimal("0.01")
NOTHING = Decimal("0.00")
_SIGNS = {"USD": "$", "EUR": "€", "GBP": "£", "CAD": "$", "AUD": "$", "NZD": "$", "JPY": "¥"}


def cents(amount: Decimal) -> Decimal:
    """Rounded to the cent, half to even."""
    return amount.quantize(CENT, rounding=ROUND_HALF_EVEN)


def shares(total: Decimal, weights: Sequence[float]) -> list[Decimal]:
    """The total split by weights, to the cent, by largest remainder; the shares add up to the total exactly.

    A negative weight gives a negative share; when they come to 0 the split is even. The earlier of two equal remainders gets
    the cent.
    """
    if not weights:
        return []
    exact = [Decimal(repr(float(w))) for w in weights]
    whole = sum(exact)
    if whole == 0:
        exact, whole = [Decimal(1)] * len(exact), Decimal(len(exact))
    steps = int(cents(total) / CENT)
    wanted = [steps * w / whole for w in exact]
    given = [int(w // 1) if w >= 0 else -int(-w // 1) for w in wanted]
    left = steps - sum(given)
    order = sorted(range(len(wanted)), key=lambda i: -abs(wanted[i] - given[i]))
    for i in order[: abs(left)]:
        given[i] += 1 if left > 0 else -1
    return [g * CENT for g in given]


def priced(amount: Decimal, currency: str) -> str:
    """As shown to a maker: `$31.00`, or `31.00 SEK` for a currency without a sign of its own."""
    sign = _SIGNS.get(currency)
    minus = "-" if amount < 0 else ""
    return f"{minus}{sign}{decimals(abs(amount))}" if sign else f"{decimals(amount)} {currency}"
