"""The two searches for layouts: the compiled one, and the plain one for where nothing can be compiled, or is not yet."""

from collections.abc import Generator

from workbook.nesting.model import Layout, NestingJob, Progress
from workbook.nesting.plain.search import layouts as layouts_of_rectangles
from workbook.nesting.tails import by_turns


def plain_layouts(job: NestingJob, seed: int) -> Generator[Progress, Layout | None, None]:
    """The same as `layouts`, by the plain search."""
    return by_turns(layouts_of_rectangles, job, seed)


def layouts(job: NestingJob, seed: int) -> Generator[Progress, Layout | None, None]:
    """Yield verified layouts, each step's best; the first comes at once. Stop by not asking for more.

    A layout from elsewhere may be sent in: the search continues from it where it is better.

    Uses no clock and only seeded random numbers: the same job, seed and number of steps give the same layout. Needs numba;
    the plain search makes the same guarantees without it.
    """
    from workbook.nesting.engine.search import layouts as compiled_layouts  # takes a third of a second

    return by_turns(compiled_layouts, job, seed)
