"""The totals of an order: its lines, discount, delivery, tax and deposit; all shares add up to the cent."""

from decimal import Decimal

from msgspec import Struct

from workbook.shop.money import NOTHING, cents, shares


class Option(Struct, frozen=True, kw_only=True):
    """An extra on each piece of a line: a sheath, an engraving."""

    words: str
    price: Decimal = NOTHING
    cost: Decimal = NOTHING  # to the maker, where it is not among the line's materials and work


class QuoteLine(Struct, frozen=True, kw_only=True):
    """One line of a quote."""

    words: str
    details: tuple[str, ...]
    quantity: int
    each: Decimal  # with its options
    cost: Decimal  # of all of them, to the maker

    @property
    def amount(self) -> Decimal:
        """All pieces together, to the cent."""
        return self.quantity * self.each


class Totals(Struct, frozen=True, kw_only=True):
    """The totals of an order: due = lines - discount + delivery + tax = deposit + rest."""

    lines: Decimal
    discount: Decimal
    delivery: Decimal
    tax: Decimal
    due: Decimal
    deposit: Decimal
    tax_of_lines: tuple[Decimal, ...]  # by line, then that of the delivery; they add up to the tax

    @property
    def rest(self) -> Decimal:
        """The amount due on delivery."""
        return self.due - self.deposit


def totals(lines: tuple[QuoteLine, ...], discount: Decimal, delivery: Decimal, tax: float, deposit: float) -> Totals:
    """The totals of some lines. Tax is rounded once, on the whole; the discount is at most the sum of the lines."""
    gross = sum((line.amount for line in lines), NOTHING)
    deduction = min(cents(discount), gross)
    carriage = cents(delivery)
    tax_amount = cents((gross - deduction + carriage) * Decimal(repr(tax)))
    due = gross - deduction + carriage + tax_amount
    weights = [*(float(line.amount) for line in lines), float(carriage)]
    return Totals(
        lines=gross,
        discount=deduction,
        delivery=carriage,
        tax=tax_amount,
        due=due,
        deposit=cents(due * Decimal(repr(deposit))),
        tax_of_lines=tuple(shares(tax_amount, weights)),
    )
