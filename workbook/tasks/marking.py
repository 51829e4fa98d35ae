"""Marking a layout as cut: what it takes from the rack, what it puts back and which blanks it yields."""

from collections.abc import Callable

from workbook.document.actions.cutting import CutBar, CutPiece, mark_cut
from workbook.document.document import Document, Edit
from workbook.document.making import just_begun
from workbook.document.queries import free_layout_name
from workbook.document.records import BarRecord
from workbook.model.laying import Laid, bar_of
from workbook.nesting.verify import faults
from workbook.shop.costing import BarCost
from workbook.shop.job import Bar, Measured, PricePer
from workbook.shop.money import NOTHING
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
        offcut = offcut_of(bar_of(laid.model.job, stock), cost, stock.source, laid, name)
        cut.append(CutBar(bar=bars[stock.name], bought=stock.source == "buy", pieces=pieces, offcut=offcut))
    record = record_of(document, laid, frozenset(), lost, new(), at)
    return mark_cut(document, cut, record, at, new, just_begun(document, at[:10]))


def offcut_of(bar: Bar, cost: BarCost, source: str, laid: Laid, layout: str) -> Bar | None:
    """The offcut of a bar as a new bar, as thick and wide as measured and worth its credit; None if it is not worth keeping."""
    settings = laid.model.job.settings
    if cost.offcut < settings.keep_offcut or cost.offcut <= 0:
        return None
    read = bar.measured if source != "buy" else Measured()
    length = round(cost.offcut, 2) + bar.slant
    return replace(
        bar,
        name=f"{bar.steel} {_size(bar, length, laid.model.job.unit)}",
        length=length,
        price=cost.credit,
        per=PricePer.BAR,
        shipping=NOTHING,
        cut_charge=NOTHING,
        have=1,
        buy=False,
        offcut=True,
        measured=replace(read, length=None, bow=None),
        heat="" if source == "buy" else bar.heat,
        origin=f"{bar.name}, {layout}",
    )


def _size(bar: Bar, length: float, unit: Unit) -> str:
    sizes = (bar.thickness, bar.width, length)
    return " x ".join(size(v, unit) for v in sizes)
