"""Layouts the maker keeps: a layout as a record, and a record as a layout of today's job, if nothing of it has changed."""

from collections import Counter
from collections.abc import Sequence
from typing import NamedTuple

from workbook.document.document import Document
from workbook.document.queries import changed_since, free_layout_name, next_place, number_of
from workbook.document.records import AT_HAND, BarRecord, KeptBar, KeptPiece, LayoutRecord
from workbook.model.laying import Laid
from workbook.nesting.model import BarUse, Layout, NestingJob, Piece
from workbook.nesting.verify import faults
from workbook.shop.serials import serials
from workbook.tasks.keeping import Spots
from workbook.texts import _

_MOST_FAULTS = 4  # said one by one


class OpenedLayout(NamedTuple):
    """A kept layout as today's job has it, the spots that are pinned and the serials of those; or why it cannot be shown."""

    layout: Layout | None
    pinned: Spots
    marks: tuple[tuple[str, ...], ...]
    why_not: tuple[str, ...]


def record_of(document: Document, laid: Laid, pinned: Spots, lost: float, id: str, at: str) -> LayoutRecord:  # noqa: A002
    """A layout as it is kept. `lost`: share of its bars; `at`: ISO date and time."""
    ids = [part.key for part in laid.nesting.parts]
    bars = {record.bar.name: record.id for record in document.all(BarRecord)}
    names = serials(laid.nesting, laid.layout)
    numbers = {id_: number_of(document, id_) for id_ in ids}

    def piece(b: int, i: int, own: Piece) -> KeptPiece:
        of = ids[own.part]
        return KeptPiece(
            of=of, revision=numbers[of], serial=names[b][i], x=own.x, y=own.y, angle=own.angle, mirrored=own.mirrored,
            pinned=(b, i) in pinned,
        )  # fmt: skip

    kept = tuple(
        KeptBar(
            bar=bars[laid.nesting.stock[use.stock].name],
            pieces=tuple(piece(b, i, own) for i, own in enumerate(use.pieces)),
        )
        for b, use in enumerate(laid.layout.bars)
    )
    name = _("Layout at hand") if id == AT_HAND else free_layout_name(document)
    place = next_place(document, LayoutRecord)
    return LayoutRecord(id=id, place=place, name=name, made=at, steel=laid.costs.material, lost=lost, bars=kept)


def opened(document: Document, nesting: NestingJob, record: LayoutRecord) -> OpenedLayout:
    """A kept layout on today's bars and order: it is shown only as it was, else it is said what has changed.

    The layout at hand may have clashes: its blanks are still being moved. All its blanks keep their serials.
    """
    why = changed_since(document, record)
    bars: list[BarUse] = []
    if not why:
        found = _bars(document, nesting, record)
        why, bars = ([found], []) if isinstance(found, str) else ([], found)
    if why:
        return OpenedLayout(None, frozenset(), (), tuple(why))
    layout = Layout(tuple(bars), _left_over(nesting, bars))
    at_hand = record.id == AT_HAND
    wrong = _counts_only(nesting, layout) if at_hand else faults(nesting, layout)
    if wrong:
        return OpenedLayout(None, frozenset(), (), tuple(wrong[:_MOST_FAULTS]))
    pinned = frozenset((b, i) for b, bar in enumerate(record.bars) for i, piece in enumerate(bar.pieces) if piece.pinned)
    rows = (tuple(piece.serial for piece in bar.pieces if piece.pinned or at_hand) for bar in record.bars)
    return OpenedLayout(layout, pinned, tuple(row for row in rows if row), ())


def _counts_only(nesting: NestingJob, layout: Layout) -> list[str]:
    """What of a layout is not as wanted but for where its blanks lie: more or fewer of some than are to be made."""
    placed = Counter(piece.part for use in layout.bars for piece in use.pieces)
    return [_("{name}: {placed} laid, {quantity} wanted", name=part.name, placed=placed[p], quantity=part.quantity) for p,
        part in enumerate(nesting.parts)
            if placed[p] != part.quantity]  # fmt: skip


def _bars(document: Document, nesting: NestingJob, record: LayoutRecord) -> list[BarUse] | str:
    """The record's bars as the job has them; why not, in words."""
    taken: Counter[int] = Counter()
    found: list[BarUse] = []
    for number, kept in enumerate(record.bars, 1):
        name = document.get(kept.bar, BarRecord).bar.name
        stock = _stock(nesting, name, taken)
        if stock is None:
            return _("bar {number}, {name}, is not there any more: none is left of it", number=number, name=name)
        taken[stock] += 1
        pieces = [_piece(nesting, stock, piece) for piece in kept.pieces]
        if None in pieces:
            return _("bar {number} has a blank that is not to be made of its steel any more", number=number)
        found.append(BarUse(stock, tuple(piece for piece in pieces if piece is not None)))
    return found


def _stock(nesting: NestingJob, name: str, taken: Counter[int]) -> int | None:
    """The job's stock for a bar: on the rack while there is one, else for sale."""
    same = [s for s, item in enumerate(nesting.stock) if item.name == name]
    there = [s for s in same if (count := nesting.stock[s].count) is None or taken[s] < count]
    return min(there, key=lambda s: nesting.stock[s].source == "buy", default=None)


def _piece(nesting: NestingJob, stock: int, kept: KeptPiece) -> Piece | None:
    suiting = (p for p, part in enumerate(nesting.parts) if part.key == kept.of and (p, stock) in nesting.suits)
    part = next(suiting, None)
    return None if part is None else Piece(part, kept.x, kept.y, kept.angle, kept.mirrored)


def _left_over(nesting: NestingJob, bars: Sequence[BarUse]) -> tuple[tuple[int, int], ...]:
    """What of the order has no place on some bars."""
    placed = Counter(piece.part for use in bars for piece in use.pieces)
    return tuple((p, n) for p, part in enumerate(nesting.parts) if (n := part.quantity - placed[p]) > 0)
