"""What makes one layout better than another."""

from collections.abc import Sequence
from decimal import Decimal

from workbook.nesting.model import Layout, NestingJob, region, used_length

Score = tuple[float, Decimal, Decimal, float, float]


def aims(job: NestingJob, layout: Layout) -> Score:
    """What is minimised, in its order: blanks left over by area, money for bought bars, price of rack bars, then less the
    longest single offcut, and the length used.
    """
    left = sum(float(region(job.parts[part]).area) * n for part, n in layout.left_over)
    bought, rack = Decimal(0), Decimal(0)
    for use in layout.bars:
        bar = job.stock[use.stock]
        if bar.source == "buy":
            bought += bar.price
        else:
            rack += job.counts(use.stock)
    used = [used_length(job, use) for use in layout.bars]
    offcuts = [job.stock[use.stock].length - length for use, length in zip(layout.bars, used, strict=True)]
    return left, bought, rack, -round(max(offcuts, default=0.0), 6), round(sum(used), 6)


def together(job: NestingJob, layouts: Sequence[Layout | None]) -> Layout:
    """The layouts of independent groups as one, bars that are kept first; one that is missing is a fault of ours."""
    sound = [best for best in layouts if best is not None]
    if len(sound) < len(layouts):
        raise AssertionError("a first layout did not verify")
    left = tuple(sorted(item for layout in sound for item in layout.left_over))
    bars = [use for layout in sound for use in layout.bars]
    kept = []
    for wanted in job.kept:
        at = next(i for i, use in enumerate(bars) if use.stock == wanted.stock and set(wanted.pieces) <= set(use.pieces))
        kept.append(bars.pop(at))
    return Layout((*kept, *bars), left)
