"""The mass and cost of bars."""

from decimal import Decimal

from workbook.shop.job import Bar, PricePer
from workbook.shop.money import cents
from workbook.units import INCH


def mass(bar: Bar, density: float) -> float:
    """The mass of one bar in g from its nominal size; density in g/cm3. Weight = width x thickness x length x density."""
    return bar.thickness * (bar.width * bar.length - bar.lacking) * density / 1000


def material_price(bar: Bar, density: float) -> Decimal:
    """The price of the steel of one bar, to the cent, by the unit it is quoted in; density in g/cm3."""
    match bar.per:
        case PricePer.BAR:
            return cents(bar.price)
        case PricePer.FOOT:
            return cents(bar.price * Decimal(repr(bar.length / (12 * INCH))))
        case PricePer.METRE:
            return cents(bar.price * Decimal(repr(bar.length / 1000)))
        case PricePer.KILOGRAM:
            return cents(bar.price * Decimal(repr(mass(bar, density) / 1000)))


def full_price(bar: Bar, density: float) -> Decimal:
    """The cost of one bar at the bench: steel, carriage and the supplier's cut charge, to the cent; density in g/cm3."""
    return material_price(bar.as_bought, density) + cents(bar.shipping) + cents(bar.cut_charge)
