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
        """The best bound that is known of a layout's blanks."""
        blanks = laid_out(layout, len(self._nesting.parts))
        if blanks != self._of:
            self._of, self._going = blanks, price_bounds(self._nesting, blanks, self._seconds)
            self._best, self._over = next(self._going), False
        found = next(self._going, None)
        self._best, self._over = found or self._best, found is None
        assert self._best is not None
        return self._best
