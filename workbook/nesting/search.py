"""The search for layouts: the compiled one where there is a compiler, else the plain one."""

from collections.abc import Iterator

from workbook.nesting.model import NestingJob, Progress
from workbook.nesting.plain.search import layouts as plain_layouts

try:
    from workbook.nesting.engine.search import layouts as compiled_layouts
except ImportError:  # numba is not made for every machine
    compiled_layouts = plain_layouts


def layouts(job: NestingJob, seed: int) -> Iterator[Progress]:
    """Verified layouts, each step's best; the first comes at once. Stop by not asking for more.

    No clock and no chance of its own: the same job, seed and number of steps give the same layout.
    """
    return compiled_layouts(job, seed)
