"""An amount that can be broken down: its label, its parts, and how it was worked out. The parts always add up to it."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from msgspec import Struct

from workbook.shop.money import NOTHING, cents, shares
from workbook.structs import replace


class Worked(Struct, frozen=True):
    """An amount of money and how it was worked out."""

    words: str
    amount: Decimal
    how: str = ""
    parts: tuple["Worked", ...] = ()

    def part(self, words: str) -> "Worked":
        """The part with this label. Raises KeyError when there is none."""
        match = next((part for part in self.parts if part.words == words), None)
        if match is None:
            raise KeyError(words)
        return match

    def one_of(self, count: int) -> Decimal:
        """The amount for one of `count`, to the cent."""
        return cents(self.amount / count) if count > 1 else self.amount

    def each(self, count: int) -> "Worked":
        """The breakdown for one of `count`, to the cent; its parts add up to it."""
        return self._scaled(self.one_of(count)) if count > 1 else self

    def _scaled(self, amount: Decimal) -> "Worked":
        amounts = shares(amount, [float(part.amount) for part in self.parts])
        parts = tuple(part._scaled(share) for part, share in zip(self.parts, amounts, strict=True))
        return replace(self, amount=amount, parts=parts)


def total(words: str, parts: Sequence[Worked], how: str = "") -> Worked:
    """The sum of some amounts, which become its parts."""
    return Worked(words, sum((part.amount for part in parts), NOTHING), how, tuple(parts))


def opened(amount: Worked, deep: int = 0) -> Iterator[tuple[int, Worked]]:
    """Walk an amount and all its parts in order, each with its depth."""
    yield deep, amount
    for part in amount.parts:
        yield from opened(part, deep + 1)
