"""The cost of a layout: bars, credit for offcuts, and each piece's share, to the cent."""

from decimal import Decimal
from functools import lru_cache

from msgspec import Struct

from workbook.geometry.polygon import of_points
from workbook.nesting.model import BarUse, Layout, NestingJob, Part, Piece, outline_of, used_length
from workbook.nesting.offcuts import Least, SideOffcut, side_offcuts
from workbook.shop.money import NOTHING, cents, shares


class BarCost(Struct, frozen=True, kw_only=True):
    """One bar's lengths (mm) and money."""

    price: Decimal
    used: float
    offcut: float
    beside: tuple[SideOffcut, ...]  # offcuts worth keeping beside the blanks
    credit: Decimal
    utilisation: float  # area of finished outlines over the area of the whole bar
    pieces: tuple[Decimal, ...]  # in the order of the bar's pieces; they add up to price - credit


class Costs(Struct, frozen=True, kw_only=True):
    """A layout's money: `material` = `bars` - `credit` = all pieces' costs together, to the cent."""

    each: tuple[BarCost, ...]
    bars: Decimal
    credit: Decimal
    material: Decimal
    bound: Decimal
    utilisation: float
    bought: Decimal


def costs(job: NestingJob, layout: Layout, bound: Decimal, least: Least, kerf: float, *, credited: bool = True) -> Costs:
    """The costs of a layout. Offcuts of at least `least` are worth their share of the bar by area; nothing unless `credited`."""
    each = tuple(_bar_cost(job, use, least, kerf, credited=credited) for use in layout.bars)
    bars = sum((c.price for c in each), NOTHING)
    credit = sum((c.credit for c in each), NOTHING)
    sizes = [job.stock[use.stock].area for use in layout.bars]
    area = sum(cost.utilisation * size for cost, size in zip(each, sizes, strict=True))
    bought = [c.price for c, use in zip(each, layout.bars, strict=True) if job.stock[use.stock].source == "buy"]
    return Costs(
        each=each,
        bars=bars,
        credit=credit,
        material=bars - credit,
        bound=bound,
        utilisation=area / sum(sizes) if sizes else 0.0,
        bought=sum(bought, NOTHING),
    )


def _areas(job: NestingJob, use: BarUse) -> list[float]:
    return [_area(job.parts[piece.part], piece) for piece in use.pieces]


@lru_cache(maxsize=10_000)
def _area(part: Part, piece: Piece) -> float:
    """The area of a piece, mm2; cached, since moving one blank by hand leaves a thousand others as they were."""
    return float(of_points(outline_of(part, piece)).area)


def _bar_cost(job: NestingJob, use: BarUse, least: Least, kerf: float, *, credited: bool) -> BarCost:
    bar = job.stock[use.stock]
    length = used_length(job, use)
    offcut, beside = bar.length - length, side_offcuts(job, use, least, kerf)
    kept = (offcut * bar.width + bar.tail if offcut >= least.length else 0.0) + sum(each.area for each in beside)
    credit = cents(bar.price * Decimal(repr(kept / bar.area))) if credited else NOTHING
    areas = _areas(job, use)
    return BarCost(
        price=bar.price,
        used=length,
        offcut=offcut,
        beside=beside,
        credit=credit,
        utilisation=sum(areas) / bar.area,
        pieces=tuple(shares(bar.price - credit, areas)),
    )
