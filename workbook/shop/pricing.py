"""From cost to price: by margin (a share of the price), by markup (a share of the cost), or a price aimed at."""

from decimal import ROUND_CEILING, Decimal
from enum import StrEnum

from msgspec import Struct

from workbook.shop.money import CENT, NOTHING


class PriceMethod(StrEnum):
    """How a price is set."""

    MARGIN = "margin"
    MARKUP = "markup"
    TARGET = "target"


class Pricing(Struct, frozen=True, kw_only=True):
    """The method by which a price is set, and its amount."""

    way: PriceMethod = PriceMethod.MARGIN
    share: float = 0.35  # of the price (margin) or of the cost (markup)
    target: Decimal = NOTHING


MOST_MARGIN = 0.95


def price_for(cost: Decimal, pricing: Pricing, step: Decimal = CENT) -> Decimal:
    """The price for a cost, rounded up to a multiple of `step`; a target price is returned as it is.

    By definition margin = (price - cost) / price, so price = cost / (1 - margin); markup = (price - cost) / cost, so
    price = cost (1 + markup).
    """
    match pricing.way:
        case PriceMethod.TARGET:
            return pricing.target
        case PriceMethod.MARGIN:
            exact = cost / (1 - Decimal(repr(min(pricing.share, MOST_MARGIN))))
        case PriceMethod.MARKUP:
            exact = cost * (1 + Decimal(repr(pricing.share)))
    return (exact / step).quantize(Decimal(1), rounding=ROUND_CEILING) * step if step > 0 else exact.quantize(CENT)


def margin(price: Decimal, cost: Decimal) -> float:
    """The share of the price that is not cost; 0 for a price of 0."""
    return float((price - cost) / price) if price else 0.0


def markup(price: Decimal, cost: Decimal) -> float:
    """The amount added to the cost, as a share of it; 0 for a cost of 0."""
    return float((price - cost) / cost) if cost else 0.0
