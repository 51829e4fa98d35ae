"""Money: Decimal amounts in one currency, rounded once, and shares that always add up to the total."""

from collections.abc import Sequence
from decimal import ROUND_HALF_EVEN, Decimal

from msgspec import Struct

from workbook.region import USUAL, region_of

CENT = Decimal("0.01")
NOTHING = Decimal("0.00")
_SIGNS = {"USD": "$", "EUR": "€", "GBP": "£", "CAD": "$", "AUD": "$", "NZD": "$", "JPY": "¥"}


class Money(Struct, frozen=True):
    """The currency of amounts, and the region whose way they are written in."""

    currency: str = "USD"  # ISO 4217, or what the maker calls it
    region: str = USUAL


def cents(amount: Decimal) -> Decimal:
    """Round to the cent, half to even."""
    return amount.quantize(CENT, rounding=ROUND_HALF_EVEN)


def shares(total: Decimal, weights: Sequence[float]) -> list[Decimal]:
    """Split a total by weights, to the cent, by largest remainder; the shares add up to the total exactly.

    A negative weight gives a negative share; when the weights add up to 0 the split is even. The earlier of two equal
    remainders gets the cent.
    """
    if not weights:
        return []
    exact = [Decimal(repr(float(w))) for w in weights]
    total_weight = sum(exact)
    if total_weight == 0:
        exact, total_weight = [Decimal(1)] * len(exact), Decimal(len(exact))
    steps = int(cents(total) / CENT)
    quotas = [steps * w / total_weight for w in exact]
    counts = [int(w // 1) if w >= 0 else -int(-w // 1) for w in quotas]
    remainder = steps - sum(counts)
    order = sorted(range(len(quotas)), key=lambda i: -abs(quotas[i] - counts[i]))
    for i in order[: abs(remainder)]:
        counts[i] += 1 if remainder > 0 else -1
    return [g * CENT for g in counts]


def priced(amount: Decimal, money: Money) -> str:
    """An amount as shown to the user: `$1,031.00`, or `1,031.00 SEK` for a currency without a sign of its own."""
    region, sign = region_of(money.region), _SIGNS.get(money.currency)
    return region.money(amount, sign) if sign else f"{region.amount(amount)} {money.currency}"
