"""What an order comes to: its lines, what is taken off and added, tax and deposit; every share adds up to the cent."""

from decimal import Decimal

from msgspec import Struct

from workbook.shop.money import NOTHING, cents, shares


class Option(Struct, frozen=True, kw_only=True):
    """Something extra on each piece of a line: a sheath, an engraving."""

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
    """An order's money. What is due = lines - discount + delivery + tax; deposit and rest come to it."""

    lines: Decimal
    discount: Decimal
    delivery: Decimal
    tax: Decimal
    due: Decimal
    deposit: Decimal
    tax_of_lines: tuple[Decimal, ...]  # by line, then that of the delivery; they add up to the tax

    @property
    def rest(self) -> Decimal:
        """Due when it is delivered."""
        return self.due - self.deposit


def totals(lines: tuple[QuoteLine, ...], discount: Decimal, delivery: Decimal, tax: float, deposit: float) -> Totals:
    """The money of some lines. Tax is rounded once, of the whole; no discount is larger than what it is taken from."""
    gross = sum((line.amount for line in lines), NOTHING)
    off = min(cents(discount), gross)
    sent = cents(delivery)
    taxed = cents((gross - off + sent) * Decimal(repr(tax)))
    due = gross - off + sent + taxed
    weights = [*(float(line.amount) for line in lines), float(sent)]
    return Totals(
        lines=gross,
        discount=off,
        delivery=sent,
        tax=taxed,
        due=due,
        deposit=cents(due * Decimal(repr(deposit))),
        tax_of_lines=tuple(shares(taxed, weights)),
    )
