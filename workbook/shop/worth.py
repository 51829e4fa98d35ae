"""The weight of bars, their cost at the bench, and the value of the stock."""

from collections.abc import Iterable

from workbook.shop.facts import Facts
from workbook.shop.job import Bar, PricePer
from workbook.shop.ledger import exact
from workbook.shop.materials import Material
from workbook.shop.money import Money, cents, priced
from workbook.shop.steel import mass, material_price
from workbook.shop.worked import Worked, total
from workbook.texts import _
from workbook.units import HABITS, INCH, Unit

POUND = 453.59237  # g, by definition (international yard and pound agreement)


def worth(bars: Iterable[Bar], materials: Iterable[Material], facts: Facts) -> Worked:
    """The value of the stock at cost, broken down by kind with count and price."""
    steel = [_lying(bar, facts.density(bar.steel)) for bar in bars if bar.have]
    others = [
        Worked(each.name, cents(each.price * exact(each.have)), _("{count:g} {unit}", count=each.have, unit=each.per))
        for each in materials
        if each.have
    ]
    return total(_("Value of stock"), [total(_("Steel"), steel), total(_("Other materials"), others)])


def _lying(bar: Bar, density: float) -> Worked:
    return Worked(bar.name, bar.have * material_price(bar, density), _("{have} on hand", have=bar.have))


def at_bench(bar: Bar, density: float, money: Money) -> Worked:
    """The cost of one bar when bought, broken down: the steel as quoted, carriage, cut charge. Density in g/cm3."""
    how = _("{amount} each", amount=priced(bar.price, money))
    if bar.per is not PricePer.BAR:
        quantities = {PricePer.FOOT: bar.length / (12 * INCH), PricePer.METRE: bar.length / 1000}
        quantity = f"{quantities.get(bar.per, mass(bar, density) / 1000):.4g}"
        how = _("{price}/{unit} × {quantity} {unit}", price=priced(bar.price, money), unit=bar.per, quantity=quantity)
    parts = [
        Worked(_("Steel"), material_price(bar, density), how),
        Worked(_("Shipping"), cents(bar.shipping)),
        Worked(_("Cut charge"), cents(bar.cut_charge)),
    ]
    return total(_("Landed cost, each"), [part for part in parts if part.amount or part.words == _("Steel")])


def weight_words(grams: float, unit: Unit) -> str:
    """A weight in words: kilograms with millimetres first, else pounds."""
    return f"{grams / 1000:.2f} kg" if HABITS[unit].metric else f"{grams / POUND:.2f} lb"
