"""Whether a blank fits on a bar at all, and where its frame may land."""

from math import ceil, pi

from workbook.geometry.path import Placement
from workbook.nesting.model import DECIMALS, NestingJob
from workbook.nesting.verify import ALLOWED

STEP = 1.0  # mm; blanks of the plain search start this far apart


def orientations(job: NestingJob, part: int) -> list[tuple[float, bool]]:
    """Angles and sides a blank may lie in: its directions either way, either face up, leaning where the job allows it."""
    leans = (0.0, job.tilt, -job.tilt) if job.tilt else (0.0,)
    ways = [along + turn + lean for along in job.parts[part].directions for turn in (0.0, pi) for lean in leans]
    return [(way, mirrored) for mirrored in (False, True) for way in ways]


def room(job: NestingJob, extent: tuple[float, float, float, float], stock: int) -> tuple[int, float, float] | None:
    """How many columns a blank of this extent may start at on a bar, and the lowest and highest place of its origin.

    None when it has no room. Margins and ends are taken in the decimals they are written in.
    """
    bar = job.stock[stock]
    x0, y0, x1, y1 = extent
    far = round(inward(job.bar_end) + x1 - x0, DECIMALS)  # as it will be written with the blank hard against end A
    along = bar.length - job.bar_end - far
    low, high = inward(job.bar_edge) - y0, -inward(job.bar_edge - bar.width) - y1
    if along < -ALLOWED or high < low - ALLOWED:
        return None
    return int(max(along, 0.0) / STEP) + 1, low, max(low, high)


def inward(margin: float) -> float:
    """A margin in the decimals outlines are written in, not smaller."""
    steps = 10**DECIMALS
    return float(ceil(margin * steps - 0.001) / steps)


def inner(job: NestingJob, stock: int) -> tuple[float, float]:
    """Length and width of a bar between its margins, in the decimals outlines are written in."""
    bar = job.stock[stock]
    return (
        -inward(job.bar_end - bar.length) - inward(job.bar_end),
        -inward(job.bar_edge - bar.width) - inward(job.bar_edge),
    )


def fits_alone(job: NestingJob, part: int, stock: int) -> bool:
    """Whether a blank of the part fits on an empty bar at all."""
    for angle, mirrored in orientations(job, part):
        placed = Placement(0.0, 0.0, angle, mirrored).points(job.parts[part].outline)
        (x0, y0), (x1, y1) = placed.min(axis=0), placed.max(axis=0)
        if room(job, (float(x0), float(y0), float(x1), float(y1)), stock) is not None:
            return True
    return False


def unfit(job: NestingJob) -> list[int]:
    """Parts that no bar of their steel and thickness can take, even empty."""
    pairs = sorted(job.suits)
    return [p for p in range(len(job.parts)) if not any(q == p and fits_alone(job, p, s) for q, s in pairs)]
