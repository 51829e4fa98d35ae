"""What bars weigh and cost."""

from decimal import Decimal

from workbook.shop.job import Bar, PricePer
from workbook.shop.money import cents
from workbook.units import INCH


def mass(bar: Bar, density: float) -> float:
    """Mass of one bar in g from its nominal size; density in g/cm3. Weight = width x thickness x length x density."""
    return bar.thickness * bar.width * bar.length * density / 1000


def material_price(bar: Bar, density: float) -> Decimal:
    """What the steel of one bar costs, to the cent, however it is quoted."""
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
    """One bar at the bench: the steel, its carriage and the supplier's cut charge, to the cent."""
    return material_price(bar, density) + cents(bar.shipping) + cents(bar.cut_charge)
