"""Where the steel of a layout goes, by area: blanks, steel left outside the line, kerf, slivers, offcuts. Nothing is lost."""

from msgspec import Struct

from workbook.geometry.polygon import area_within
from workbook.nesting.model import BarUse, Layout, NestingJob, used_length
from workbook.nesting.offcuts import Least, side_offcuts
from workbook.nesting.verify import outline
from workbook.structs import replace


class SteelBalance(Struct, frozen=True, kw_only=True):
    """Areas in mm2; the parts add up to `bars`."""

    bars: float
    blanks: float  # the finished outlines
    clean_up: float  # left outside the line and ground off
    kerf: float  # to the saw, all round each blank and across the bar
    slivers: float  # left between the cuts, too small to use
    offcuts: float  # large enough to keep

    def plus(self, other: "SteelBalance") -> "SteelBalance":
        """The sum of this balance and another."""
        names = ("bars", "blanks", "clean_up", "kerf", "slivers", "offcuts")
        return SteelBalance(**{name: getattr(self, name) + getattr(other, name) for name in names})


NOTHING_USED = SteelBalance(bars=0.0, blanks=0.0, clean_up=0.0, kerf=0.0, slivers=0.0, offcuts=0.0)


def balance_of(job: NestingJob, layout: Layout, clean_up: float, kerf: float, least: Least) -> SteelBalance:
    """The balance of all bars. Each part is measured separately: outlines, grown outlines, and the gaps between them.

    Lengths in mm. `least`: the least offcut worth keeping; a smaller one counts as slivers.
    """
    balance = NOTHING_USED
    for use in layout.bars:
        balance = balance.plus(_of_bar(job, use, clean_up, kerf, least))
    return balance


def _of_bar(job: NestingJob, use: BarUse, clean_up: float, kerf: float, least: Least) -> SteelBalance:
    bar, length = job.stock[use.stock], used_length(job, use)
    remaining = bar.length - length
    offcut = remaining if remaining >= least.length else 0.0
    beside = sum(each.area for each in side_offcuts(job, use, least, kerf))
    behind = (remaining - offcut) * bar.width + bar.tail
    as_cut = replace(job, hulls=False)
    shapes = [outline(as_cut, piece) for piece in use.pieces]
    room = (length, bar.width)
    if any(shape.bounds[2] > bar.length for shape in shapes):  # they lie in its tail: what lacks there is no sliver
        room, behind = (bar.length + bar.beyond, bar.width), bar.tail - bar.beyond * bar.width
    blanks, with_clean_up, with_kerf, slivers = area_within(shapes, room, (0.0, clean_up, clean_up + kerf))
    kept = offcut * bar.width + (bar.tail if offcut > 0 else 0.0)
    return SteelBalance(
        bars=bar.area,
        blanks=blanks,
        clean_up=with_clean_up - blanks,
        kerf=with_kerf - with_clean_up,
        slivers=slivers + behind - (bar.tail if offcut > 0 else 0.0) - beside,
        offcuts=kept + beside,
    )
