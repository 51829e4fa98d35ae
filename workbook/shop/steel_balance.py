"""Where the steel of a layout goes, by area: blanks, steel left outside the line, kerf, slivers, offcuts. Nothing is lost."""

from msgspec import Struct

from workbook.geometry.polygon import area_within
from workbook.nesting.model import BarUse, Layout, NestingJob, used_length
from workbook.nesting.verify import outline
from workbook.structs import replace


class SteelBalance(Struct, frozen=True, kw_only=True):
    """Areas in mm2; together they are the bars."""

    bars: float
    blanks: float  # the finished outlines
    clean_up: float  # left outside the line and ground off
    kerf: float  # to the saw, all round each blank and across the bar
    slivers: float  # what is left between, too small for anything
    offcuts: float  # long enough to keep

    def plus(self, other: "SteelBalance") -> "SteelBalance":
        """Both together."""
        names = ("bars", "blanks", "clean_up", "kerf", "slivers", "offcuts")
        return SteelBalance(**{name: getattr(self, name) + getattr(other, name) for name in names})


NOTHING_USED = SteelBalance(bars=0.0, blanks=0.0, clean_up=0.0, kerf=0.0, slivers=0.0, offcuts=0.0)


def balance_of(job: NestingJob, layout: Layout, clean_up: float, kerf: float, keep: float) -> SteelBalance:
    """The balance of all bars. Each part is measured on its own: outlines, outlines grown, what is left between them.

    `keep`: the shortest offcut worth keeping; a shorter one counts as slivers.
    """
    found = NOTHING_USED
    for use in layout.bars:
        found = found.plus(_of_bar(job, use, clean_up, kerf, keep))
    return found


def _of_bar(job: NestingJob, use: BarUse, clean_up: float, kerf: float, keep: float) -> SteelBalance:
    bar, used = job.stock[use.stock], used_length(job, use)
    left = bar.length - used
    kept = left if left >= keep else 0.0
    as_cut = replace(job, hulls=False)
    shapes = [outline(as_cut, piece) for piece in use.pieces]
    blanks, with_clean_up, with_kerf, rest = area_within(shapes, (used, bar.width), (0.0, clean_up, clean_up + kerf))
    return SteelBalance(
        bars=bar.length * bar.width,
        blanks=blanks,
        clean_up=with_clean_up - blanks,
        kerf=with_kerf - with_clean_up,
        slivers=rest + (left - kept) * bar.width,
        offcuts=kept * bar.width,
    )
