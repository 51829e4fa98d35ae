"""Layouts that the maker keeps: a layout as a record, and a record as a layout of today's job if nothing in it has changed."""

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

_MOST_FAULTS = 4  # reported one by one


class OpenedLayout(NamedTuple):
    """A kept layout as today's job has it, its pinned spots and their serials; or the reasons why it cannot be shown."""

    layout: Layout | None
    pinned: Spots
    marks: tuple[tuple[str, ...], ...]
    why_not: tuple[str, ...]


def record_of(document: Document, laid: Laid, pinned: Spots, lost: float, id: str, at: str) -> LayoutRecord:  # noqa: A002
    """The record of a layout. `lost`: share of its bars; `at`: ISO date and time."""
    ids = [part.key for part in laid.nesting.parts]
    bars = {record.bar.name: record.id for record in document.all(BarRecord)}
    names = serials(laid.nesting, laid.layout)
    numbers = {id_: number_of(document, id_) for id_ in ids}

    def piece(b: int, i: int, item: Piece) -> KeptPiece:
        of = ids[item.part]
        return KeptPiece(
            of=of, revision=numbers[of], serial=names[b][i], x=item.x, y=item.y, angle=item.angle, mirrored=item.mirrored,
            pinned=(b, i) in pinned,
        )  # fmt: skip

    kept_bars = tuple(
        KeptBar(
            bar=bars[laid.nesting.stock[use.stock].name],
            pieces=tuple(piece(b, i, item) for i, item in enumerate(use.pieces)),
        )
        for b, use in enumerate(laid.layout.bars)
    )
    name = _("Current layout") if id == AT_HAND else free_layout_name(document)
    place = next_place(document, LayoutRecord)
    return LayoutRecord(id=id, place=place, name=name, made=at, steel=laid.costs.material, lost=lost, bars=kept_bars)


def opened(document: Document, nesting: NestingJob, record: LayoutRecord) -> OpenedLayout:
    """A kept layout on today's bars and order, shown only if nothing has changed; otherwise the reasons why not.

    The layout at hand may have clashes, since its blanks are still being moved. All its blanks keep their serials.
    """
    problems = changed_since(document, record)
    bars: list[BarUse] = []
    if not problems:
        result = _bars(document, nesting, record)
        problems, bars = ([result], []) if isinstance(result, str) else ([], result)
    if problems:
        return OpenedLayout(None, frozenset(), (), tuple(problems))
    layout = Layout(tuple(bars), _left_over(nesting, bars))
    at_hand = record.id == AT_HAND
    reasons = _counts_only(nesting, layout) if at_hand else faults(nesting, layout)
    if reasons:
        return OpenedLayout(None, frozenset(), (), tuple(reasons[:_MOST_FAULTS]))
    pinned = frozenset((b, i) for b, bar in enumerate(record.bars) for i, piece in enumerate(bar.pieces) if piece.pinned)
    rows = (tuple(piece.serial for piece in bar.pieces if piece.pinned or at_hand) for bar in record.bars)
    return OpenedLayout(layout, pinned, tuple(row for row in rows if row), ())


def _counts_only(nesting: NestingJob, layout: Layout) -> list[str]:
    """The faults in the numbers of blanks alone, wherever they lie: more or fewer of a part than are to be made."""
    placed = Counter(piece.part for use in layout.bars for piece in use.pieces)
    return [_("{name}: {placed} placed of {quantity}", name=part.name, placed=placed[p], quantity=part.quantity) for p,
        part in enumerate(nesting.parts)
            if placed[p] != part.quantity]  # fmt: skip


def _bars(document: Document, nesting: NestingJob, record: LayoutRecord) -> list[BarUse] | str:
    """The record's bars as the job has them; else the reason why not, in words."""
    counts: Counter[int] = Counter()
    uses: list[BarUse] = []
    for number, bar in enumerate(record.bars, 1):
        name = document.get(bar.bar, BarRecord).bar.name
        stock = _stock(nesting, name, counts)
        if stock is None:
            return _("bar {number}, {name}, is no longer on the rack", number=number, name=name)
        counts[stock] += 1
        pieces = [_piece(nesting, stock, piece) for piece in bar.pieces]
        if None in pieces:
            return _("bar {number} has a blank that is no longer needed in its steel", number=number)
        uses.append(BarUse(stock, tuple(piece for piece in pieces if piece is not None)))
    return uses


def _stock(nesting: NestingJob, name: str, counts: Counter[int]) -> int | None:
    """The job's stock for a bar: from the rack while it has one, else for sale."""
    same = [s for s, item in enumerate(nesting.stock) if item.name == name]
    free = [s for s in same if (count := nesting.stock[s].count) is None or counts[s] < count]
    return min(free, key=lambda s: nesting.stock[s].source == "buy", default=None)


def _piece(nesting: NestingJob, stock: int, entry: KeptPiece) -> Piece | None:
    suiting = (p for p, part in enumerate(nesting.parts) if part.key == entry.of and (p, stock) in nesting.suits)
    part = next(suiting, None)
    return None if part is None else Piece(part, entry.x, entry.y, entry.angle, entry.mirrored)


def _left_over(nesting: NestingJob, bars: Sequence[BarUse]) -> tuple[tuple[int, int], ...]:
    """The parts that are not all on the bars, and how many of each are left over."""
    placed = Counter(piece.part for use in bars for piece in use.pieces)
    return tuple((p, n) for p, part in enumerate(nesting.parts) if (n := part.quantity - placed[p]) > 0)
