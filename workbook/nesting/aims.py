"""What makes one layout better than another."""

from collections.abc import Sequence
from decimal import Decimal

from workbook.nesting.model import Layout, NestingJob, region, used_length

Score = tuple[float, Decimal, Decimal, float, float]


def aims(job: NestingJob, layout: Layout) -> Score:
    """The score to be minimised, in order of priority: area of the blanks left over in mm², price of bought bars, price of rack
    bars, minus the longest single offcut in mm, and the length used in mm.
    """
    unplaced = sum(float(region(job.parts[part]).area) * n for part, n in layout.left_over)
    bought, rack = Decimal(0), Decimal(0)
    for use in layout.bars:
        bar = job.stock[use.stock]
        if bar.source == "buy":
            bought += bar.price
        else:
            rack += job.counts(use.stock)
    lengths = [used_length(job, use) for use in layout.bars]
    offcuts = [job.stock[use.stock].length - length for use, length in zip(layout.bars, lengths, strict=True)]
    return unplaced, bought, rack, -round(max(offcuts, default=0.0), 6), round(sum(lengths), 6)


def together(job: NestingJob, layouts: Sequence[Layout | None]) -> Layout:
    """Join the layouts of independent groups, kept bars first. Raises AssertionError when one is missing: a program error."""
    sound = [best for best in layouts if best is not None]
    if len(sound) < len(layouts):
        raise AssertionError("a first layout did not verify")
    left_over = tuple(sorted(item for layout in sound for item in layout.left_over))
    bars = [use for layout in sound for use in layout.bars]
    kept_bars = []
    for bar in job.kept:
        at = next(i for i, use in enumerate(bars) if use.stock == bar.stock and set(bar.pieces) <= set(use.pieces))
        kept_bars.append(bars.pop(at))
    return Layout((*kept_bars, *bars), left_over)
