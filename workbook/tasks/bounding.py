"""The bound that no layout can beat, improved bit by bit beside a search."""

from collections.abc import Iterator
from decimal import Decimal

from workbook.nesting.model import Layout, NestingJob, bought_for, laid_out
from workbook.nesting.section_bound import Bound, price_bounds


class Bounding:
    """The bound for the blanks that a search lays out; each call of `of` improves it a little, until no more can be gained.

    It holds for layouts that buy no more than the one asked for. While the search buys ever less, an earlier bound is still one.
    """

    def __init__(self, nesting: NestingJob, seconds: float) -> None:
        """`seconds`: limit for the longest piece of the work."""
        self._nesting, self._seconds = nesting, seconds
        self._of: tuple[int, ...] | None = None
        self._bought = Decimal(0)  # what the layouts buy at most for which the work under way is
        self._going: Iterator[Bound] = iter(())
        self._best: Bound | None = None
        self._over = False

    @property
    def more(self) -> bool:
        """Whether more work may improve the bound."""
        return not self._over

    def of(self, layout: Layout) -> Bound:
        """The best bound known for a layout's blanks after a little more work on it."""
        best = self.known(layout)
        bound = next(self._going, None)
        self._over = bound is None
        self._best = max(best, bound or best, key=lambda each: each[0])
        return self._best

    def known(self, layout: Layout) -> Bound:
        """The best bound known for a layout's blanks; by area if no work was done on it yet."""
        blanks, bought = laid_out(layout, len(self._nesting.parts)), bought_for(self._nesting, layout)
        if self._best is None or blanks != self._of or bought > self._bought:
            self._of = blanks
            self._begin(bought)
            self._best = next(self._going)
        elif self._over and bought < self._bought:
            self._begin(bought)
        return self._best

    def _begin(self, bought: Decimal) -> None:
        assert self._of is not None
        self._bought, self._over = bought, False
        self._going = price_bounds(self._nesting, self._of, self._seconds, bought)
