"""Whether a blank fits on a bar at all, and where its frame may lie."""

from math import ceil, cos, hypot, pi

import numpy as np

from workbook.geometry.path import Placement, Points
from workbook.geometry.polygon import distance, of_points
from workbook.nesting.model import DECIMALS, NestingJob, Stock

ALLOWED = 1e-6  # mm by which a written number may miss its target
STEP = 1.0  # mm; blanks of the plain search start this far apart
_FAR = 1000.0  # mm that what a bar lacks is drawn beyond it
_SQUARE = 0.5  # cosine; a blank at a greater angle to the bar has no side along its edge


def orientations(job: NestingJob, part: int) -> list[tuple[float, bool]]:
    """The angles (radians) and sides in which a blank may lie: each direction both ways, either face up, leaning if allowed."""
    leans = (0.0, job.tilt, -job.tilt) if job.tilt else (0.0,)
    angles = [along + turn + lean for along in job.parts[part].directions for turn in (0.0, pi) for lean in leans]
    return [(angle, mirrored) for mirrored in (False, True) for angle in angles]


def on_edges(job: NestingJob, part: int, angle: float, *, mirrored: bool) -> tuple[bool, bool]:
    """Whether a blank at this angle may lie with its spine on the bar's lower edge, and on its upper edge."""
    up = cos(angle) * (-1.0 if mirrored else 1.0) if job.parts[part].on_edge else 0.0
    return up < -_SQUARE, up > _SQUARE


def trims(job: NestingJob, part: int, angle: float, *, mirrored: bool) -> tuple[float, float]:
    """How far, in mm, a blank may come inside the margin at the bar's lower and upper edge: one written step less than all."""
    margin = max(0.0, job.bar_edge - 10**-DECIMALS)
    below, above = on_edges(job, part, angle, mirrored=mirrored)
    return margin * below, margin * above


def room(job: NestingJob, extent: tuple[float, float, float, float], stock: int) -> tuple[int, float, float] | None:
    """How many columns a blank of this extent can start at on a bar, and the lowest and highest y of its origin, in mm.

    None when it has no room. Margins and ends are rounded to the decimals they are written in.
    """
    bar = job.stock[stock]
    x0, y0, x1, y1 = extent
    end, edge = job.bar_end, job.edge(stock)
    far = round(inward(end) + x1 - x0, DECIMALS)  # as written with the blank hard against end A
    along = bar.length - end - far
    low, high = inward(edge) - y0, -inward(edge - bar.width) - y1
    if along < -ALLOWED or high < low - ALLOWED:
        return None
    return int(max(along, 0.0) / STEP) + 1, low, max(low, high)


def inward(margin: float) -> float:
    """A margin (mm) rounded up to the decimals in which outlines are written."""
    steps = 10**DECIMALS
    return float(ceil(margin * steps - 0.001) / steps)


def inner(job: NestingJob, stock: int) -> tuple[float, float]:
    """The length and width in mm of a bar between its margins, in the decimals in which outlines are written."""
    bar = job.stock[stock]
    return (
        -inward(job.bar_end - bar.length) - inward(job.bar_end),
        -inward(job.edge(stock) - bar.width) - inward(job.edge(stock)),
    )


def missing(bar: Stock, by: float = 0.0) -> Points:
    """The corners (n, 2) of what a bar lacks beyond its full width, drawn on far outside it, and grown by `by` mm into it."""
    far, top = bar.length + bar.beyond + _FAR, bar.width + _FAR
    if bar.tongue > 0.0:
        x, y = bar.length - by, bar.tongue - by
        return np.array([(x, y), (far, y), (far, top), (x, top)])
    lean = bar.beyond / bar.width  # of the slanting end, carried on
    moved = by * hypot(1.0, lean)
    low, high = (bar.length + lean * (bar.width - y) - moved for y in (-_FAR, top))
    return np.array([(low, -_FAR), (far + lean * _FAR, -_FAR), (far + lean * _FAR, top), (high, top)])


def margin_of_tail(job: NestingJob, stock: int) -> float:
    """Least distance in mm of a finished outline from where a bar is cut off slanting, or has a corner missing."""
    return max(job.bar_end, job.edge(stock))


def fits_alone(job: NestingJob, part: int, stock: int) -> bool:
    """Whether a blank of the part fits on an empty bar at all."""
    for angle, mirrored in orientations(job, part):
        placed = Placement(0.0, 0.0, angle, mirrored).points(job.parts[part].outline)
        (x0, y0), (x1, y1) = placed.min(axis=0), placed.max(axis=0)
        below, above = trims(job, part, angle, mirrored=mirrored)
        extent = (float(x0), float(y0) + below, float(x1), float(y1) - above)
        fits = _fits_tail(job, stock, placed, extent) if job.stock[stock].beyond else room(job, extent, stock) is not None
        if fits:
            return True
    return False


def _fits_tail(job: NestingJob, stock: int, placed: Points, extent: tuple[float, float, float, float]) -> bool:
    """Whether a blank fits on a bar with its tail: what it lacks is at its upper edge, so low and at end A is the best place."""
    bar = job.stock[stock]
    end, edge = inward(job.bar_end), inward(job.edge(stock))
    x0, y0, x1, y1 = extent
    if x1 - x0 > bar.length + bar.beyond - 2 * end or y1 - y0 > bar.width - 2 * edge:
        return False
    moved = of_points(placed + np.array([end - x0, edge - y0]))
    return distance(moved, of_points(missing(bar))) >= margin_of_tail(job, stock) - ALLOWED


def unfit(job: NestingJob) -> list[int]:
    """The parts that fit on no bar of their steel and thickness, even an empty one."""
    pairs = sorted(job.suits)
    return [p for p in range(len(job.parts)) if not any(q == p and fits_alone(job, p, s) for q, s in pairs)]
