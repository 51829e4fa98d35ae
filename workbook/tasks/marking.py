"""Marking a layout as cut: what it takes from the rack, what it puts back and which blanks it yields."""

from collections.abc import Callable, Iterator

from workbook.document.actions.cutting import CutBar, CutPiece, mark_cut
from workbook.document.document import Document, Edit
from workbook.document.making import just_begun
from workbook.document.queries import free_layout_name
from workbook.document.records import BarRecord
from workbook.model.laying import Laid, bar_of, least_offcut
from workbook.nesting.model import Stock
from workbook.nesting.verify import faults
from workbook.shop.costing import BarCost
from workbook.shop.job import Bar, Edges, PricePer
from workbook.shop.money import NOTHING, shares
from workbook.shop.serials import serials
from workbook.structs import replace
from workbook.tasks.kept_layouts import record_of
from workbook.texts import _
from workbook.units import Unit, size


def why_not(laid: Laid) -> str:
    """Why a layout cannot be marked as cut; "" when it can."""
    clash = laid.clash
    if clash is not None:
        return f"{clash.what} {clash.right}"
    problems = faults(replace(laid.nesting, kept=()), laid.layout)
    return _("{finding}.", finding=problems[0]) if problems else ""


def as_cut(document: Document, laid: Laid, lost: float, at: str, new: Callable[[], str]) -> Edit:
    """The edit that marks a layout as cut; its blanks join the batch begun today, or begin one.

    `lost`: share of its bars; `at`: ISO date and time.
    """
    names = serials(laid.nesting, laid.layout)
    bars = {record.bar.name: record.id for record in document.all(BarRecord)}
    name = free_layout_name(document)
    cut = []
    for use, cost, row in zip(laid.layout.bars, laid.costs.each, names, strict=True):
        stock = laid.nesting.stock[use.stock]
        pieces = tuple(
            CutPiece(of=laid.nesting.parts[piece.part].key, serial=serial, cost=share)
            for piece, serial, share in zip(use.pieces, row, cost.pieces, strict=True)
        )
        offcuts = tuple(offcuts_of(bar_of(laid.model.job, stock), stock, cost, laid, name))
        cut.append(CutBar(bar=bars[stock.name], bought=stock.source == "buy", pieces=pieces, offcuts=offcuts))
    record = record_of(document, laid, frozenset(), lost, new(), at)
    return mark_cut(document, cut, record, at, new, just_begun(document, at[:10]))


def offcuts_of(bar: Bar, stock: Stock, cost: BarCost, laid: Laid, layout: str) -> Iterator[Bar]:
    """The offcuts of a bar that are worth keeping, as new bars: the one behind the last blank, then those beside blanks.

    They are as thick as measured, and together worth the bar's credit, each by its area.
    """
    source = bar if stock.source != "buy" else bar.as_bought
    behind, lost = cost.offcut, source.slant + (source.corner_length if source.lacks_corner else 0.0)
    kept = behind >= least_offcut(laid.model.job).length
    areas = [*([behind * stock.width + stock.tail] if kept else []), *(each.area for each in cost.beside)]
    prices = iter(shares(cost.credit, areas))
    whole = replace(
        source,
        per=PricePer.BAR,
        shipping=NOTHING,
        cut_charge=NOTHING,
        have=1,
        buy=False,
        offcut=True,
        measured=replace(source.measured, length=None, bow=None),
        heat="" if stock.source == "buy" else bar.heat,
        origin=f"{bar.name}, {layout}",
    )
    unit = laid.model.job.unit
    if kept:
        yield _named(replace(whole, length=round(behind, 2) + lost, price=next(prices)), unit)
    edges = bar.edges if bar.edges is Edges.SHEARED else Edges.SAWN
    for each in cost.beside:
        measured = replace(whole.measured, width=None)
        strip = replace(whole, length=each.length, width=each.width, slant=0.0, corner_length=0.0, corner_width=0.0)
        strip = replace(strip, edges=edges, measured=measured)
        yield _named(replace(strip, price=next(prices)), unit)


def _named(bar: Bar, unit: Unit) -> Bar:
    """A bar named by its steel and sizes."""
    return replace(bar, name=f"{bar.steel} {' x '.join(size(v, unit) for v in (bar.thickness, bar.width, bar.length))}")
