"""An amount that can be opened: its words, what it is made of, and how. The parts always add up to it."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from msgspec import Struct

from workbook.shop.money import NOTHING, cents, shares
from workbook.structs import replace


class Worked(Struct, frozen=True):
    """An amount of money and how it came about."""

    words: str
    amount: Decimal
    how: str = ""
    parts: tuple["Worked", ...] = ()

    def part(self, words: str) -> "Worked":
        """The part of these words. KeyError when there is none."""
        found = next((part for part in self.parts if part.words == words), None)
        if found is None:
            raise KeyError(words)
        return found

    def one_of(self, count: int) -> Decimal:
        """The amount of one of so many, to the cent."""
        return cents(self.amount / count) if count > 1 else self.amount

    def each(self, count: int) -> "Worked":
        """The same for one of so many, to the cent; its parts add up to it."""
        return self._scaled(self.one_of(count)) if count > 1 else self

    def _scaled(self, amount: Decimal) -> "Worked":
        parts = shares(amount, [float(part.amount) for part in self.parts])
        own = tuple(part._scaled(share) for part, share in zip(self.parts, parts, strict=True))
        return replace(self, amount=amount, parts=own)


def total(words: str, parts: Sequence[Worked], how: str = "") -> Worked:
    """The sum of some amounts."""
    return Worked(words, sum((part.amount for part in parts), NOTHING), how, tuple(parts))


def opened(worked: Worked, deep: int = 0) -> Iterator[tuple[int, Worked]]:
    """An amount and all it is made of, line by line, with how deep each stands."""
    yield deep, worked
    for part in worked.parts:
        yield from opened(part, deep + 1)
