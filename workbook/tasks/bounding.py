"""The bound that no layout can beat, improved bit by bit beside a search."""

from collections.abc import Iterator

from workbook.nesting.model import Layout, NestingJob, laid_out
from workbook.nesting.section_bound import Bound, price_bounds


class Bounding:
    """The bound for the blanks that a search lays out; each call of `of` improves it a little, until no more can be gained."""

    def __init__(self, nesting: NestingJob, seconds: float) -> None:
        """`seconds`: limit for the longest piece of the work."""
        self._nesting, self._seconds = nesting, seconds
        self._of: tuple[int, ...] | None = None
        self._going: Iterator[Bound] = iter(())
        self._best: Bound | None = None
        self._over = False

    @property
    def more(self) -> bool:
        """Whether more work may improve the bound."""
        return not self._over

    def of(self, layout: Layout) -> Bound:
        """The best bound known for a layout's blanks after a little more work on it."""
        self.known(layout)
        bound = next(self._going, None)
        self._best, self._over = bound or self._best, bound is None
        return self.known(layout)

    def known(self, layout: Layout) -> Bound:
        """The best bound known for a layout's blanks; by area if no work was done on it yet."""
        blanks = laid_out(layout, len(self._nesting.parts))
        if self._best is None or blanks != self._of:
            self._of, self._going, self._over = blanks, price_bounds(self._nesting, blanks, self._seconds), False
            self._best = next(self._going)
        return self._best
