"""What no layout can beat, found bit by bit beside a search."""

from collections.abc import Iterator

from workbook.nesting.model import Layout, NestingJob, laid_out
from workbook.nesting.section_bound import Bound, price_bounds


class Bounding:
    """The bound of the blanks a search lays out: a little work on it each time it is asked for, until no more is to be had."""

    def __init__(self, nesting: NestingJob, seconds: float) -> None:
        """`seconds`: most that the longest piece of the work may take."""
        self._nesting, self._seconds = nesting, seconds
        self._of: tuple[int, ...] | None = None
        self._going: Iterator[Bound] = iter(())
        self._best: Bound | None = None
        self._over = False

    @property
    def more(self) -> bool:
        """Whether more work may find a better one."""
        return not self._over

    def of(self, layout: Layout) -> Bound:
        """The best bound known of a layout's blanks after a little more work on it."""
        self.known(layout)
        found = next(self._going, None)
        self._best, self._over = found or self._best, found is None
        return self.known(layout)

    def known(self, layout: Layout) -> Bound:
        """The best bound known of a layout's blanks; by area where nothing was worked on yet."""
        blanks = laid_out(layout, len(self._nesting.parts))
        if self._best is None or blanks != self._of:
            self._of, self._going, self._over = blanks, price_bounds(self._nesting, blanks, self._seconds), False
            self._best = next(self._going)
        return self._best
