"""Marking a layout as cut: bars leave the rack, offcuts join it, and blanks get serials and go to their orders."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from itertools import count

from msgspec import Struct

from workbook.document.action import Action
from workbook.document.actions.ledger import Stamp, booked
from workbook.document.actions.making import batch_of, new_batch
from workbook.document.actions.templates import kept_revisions
from workbook.document.document import Document, Edit, replacing
from workbook.document.orders import still_to_cut
from workbook.document.queries import free_bar_name, next_place, number_of
from workbook.document.records import AT_HAND, BarRecord, LayoutRecord, Record, TemplateRecord
from workbook.document.shop_records import Movement, OrderLine, OrderRecord, PieceRecord, Spoken
from workbook.shop.job import Bar, Measured
from workbook.shop.ledger import Reason
from workbook.shop.orders import TALKED_OF, Status
from workbook.structs import replace


class CutPiece(Struct, frozen=True, kw_only=True):
    """A blank cut from a bar: its template's id, its serial and its share of the bar's price."""

    of: str
    serial: str
    cost: Decimal


class CutBar(Struct, frozen=True, kw_only=True):
    """A bar that was cut."""

    bar: str  # its id
    bought: bool  # bought for this layout, not taken from the rack
    pieces: tuple[CutPiece, ...]
    offcuts: tuple[Bar, ...]  # the parts left over that are worth keeping


def mark_cut(
    document: Document, cut: Sequence[CutBar], layout: LayoutRecord, at: str, new: Callable[[], str], batch: str = ""
) -> Edit:
    """Mark a layout as cut, with all that follows, as one edit; `layout` is kept. `at`: ISO date and time of cutting.

    Its blanks are blades of the batch with this id, or with "" of a new one.
    """
    made_in = batch_of(document, batch) if batch else new_batch(document, new(), at[:10])
    book = _Book(document, at, new, layout.name, made_in.id)
    for bar in cut:
        book.cut(bar)
    cut_layout = replace(layout, cut=at)
    revisions = kept_revisions(document, (piece.of for bar in cut for piece in bar.pieces), at, "cut", new)
    blanks = sum(len(bar.pieces) for bar in cut)
    removals = [AT_HAND] if AT_HAND in document.records else []
    return replacing(
        document,
        Action("layout.cut", {"blanks": blanks, "bars": len(cut)}),
        [made_in, *book.records(), *revisions, cut_layout],
        [*removals, *book.gone],
    )


class _Book:
    """The changed records, built up bar by bar."""

    def __init__(self, document: Document, at: str, new: Callable[[], str], layout: str, batch: str) -> None:
        self._document, self._at, self._new, self._layout, self._batch = document, at, new, layout, batch
        self._changed: dict[str, Record] = {}
        demand = still_to_cut(document)
        self._lines = [line for line, _ in demand]
        self._left = {line.id: n for line, n in demand}
        self._places = {kind: count(int(next_place(document, kind))) for kind in (Movement, PieceRecord, BarRecord)}
        self.gone: list[str] = []  # ids of lines outside orders that are fully cut

    def records(self) -> list[Record]:
        """The changed records."""
        return list(self._changed.values())

    def cut(self, cut: CutBar) -> None:
        """Enter one bar with its blanks and its offcuts."""
        record = self._document.get(cut.bar, BarRecord)
        source = self._now(record)
        if cut.bought:
            self._move(source, Reason.BOUGHT, 1)
        self._move(self._now(record), Reason.USED, -1)
        self._free(self._now(record), bought=cut.bought)
        for piece in cut.pieces:
            # a bought bar's heat is not known yet, and nobody has measured it
            self._piece(record.id, replace(record.bar, heat="", measured=Measured()) if cut.bought else record.bar, piece)
        for offcut in cut.offcuts:
            self._offcut(offcut)

    def _now(self, record: BarRecord) -> BarRecord:
        current = self._changed.get(record.id, record)
        assert isinstance(current, BarRecord)
        return current

    def _move(self, record: BarRecord, reason: Reason, by: int) -> None:
        for item in booked(self._document, record, reason, Decimal(by), Stamp(self._new(), self._at), self._layout):
            placed = replace(item, place=float(next(self._places[Movement]))) if isinstance(item, Movement) else item
            self._changed[placed.id] = placed

    def _free(self, record: BarRecord, *, bought: bool) -> None:
        """Reduce the bar's reservation for an order that is being cut, unless the bar was bought."""
        laying = {line.order for line in self._lines}
        reservation = next((each for each in record.spoken if each.order in laying), None)
        if reservation is None or bought:
            return
        remaining = (Spoken(order=reservation.order, count=reservation.count - 1),) if reservation.count > 1 else ()
        self._changed[record.id] = replace(record, spoken=(*(e for e in record.spoken if e != reservation), *remaining))

    def _offcut(self, bar: Bar) -> None:
        """Add an offcut as a bar of its own."""
        current = Document({**self._document.records, **self._changed})
        named = replace(bar, name=free_bar_name(current, bar.name), have=0)
        record = BarRecord(id=self._new(), place=float(next(self._places[BarRecord])), bar=named)
        self._move(record, Reason.CUT_OFF, 1)

    def _piece(self, of_bar: str, bar: Bar, piece: CutPiece) -> None:
        """Add the blank, for the first line that still needs one."""
        template = self._document.get(piece.of, TemplateRecord).template
        line = self._line(piece.of, bar.steel)
        record = PieceRecord(
            id=self._new(), place=float(next(self._places[PieceRecord])), serial=piece.serial, of=piece.of, name=template.name,
            revision=number_of(self._document, piece.of), steel=bar.steel, bar=bar.name, heat=bar.heat, line=line,
            cost=piece.cost, at=self._at, of_bar=of_bar, thickness=bar.thickness, width=bar.true_width, measured=bar.measured,
            batch=self._batch,
        )  # fmt: skip
        self._changed[record.id] = record

    def _line(self, of: str, steel: str) -> str:
        """Assign a blank to a line and return the id if it is an order's, else "". Orders come first, by date wanted."""
        candidates = [
            line for line in self._lines if line.of == of and line.steel.casefold() == steel.casefold() and self._left[line.id]
        ]
        line = next((candidate for candidate in candidates if candidate.order), next(iter(candidates), None))
        if line is None:
            return ""
        self._left[line.id] -= 1
        self._begin(line.order)
        if not line.order:
            self._less(line)
        return line.id if line.order else ""

    def _begin(self, order: str) -> None:
        """Set an order whose first blank is cut to being made."""
        record = self._changed.get(order, self._document.records.get(order))
        if isinstance(record, OrderRecord) and record.status in (*TALKED_OF, Status.AGREED):
            self._changed[order] = replace(record, status=Status.MAKING)

    def _less(self, line: OrderLine) -> None:
        """Reduce a line outside orders by one blank."""
        current = self._changed.get(line.id, line)
        assert isinstance(current, OrderLine)
        if current.quantity > 1:
            self._changed[line.id] = replace(current, quantity=current.quantity - 1)
        else:
            self._changed.pop(line.id, None)
            self.gone.append(line.id)
