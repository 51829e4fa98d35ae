"""A layout marked as cut: bars leave the rack, offcuts come to it, blanks get their serials and go to their orders."""

from collections.abc import Callable, Sequence
from decimal import Decimal
from itertools import count

from msgspec import Struct

from workbook.document.action import Action
from workbook.document.actions.ledger import Stamp, booked
from workbook.document.actions.templates import kept_revisions
from workbook.document.document import Document, Edit, replacing
from workbook.document.orders import still_to_cut
from workbook.document.queries import free_bar_name, next_place, number_of
from workbook.document.records import AT_HAND, BarRecord, LayoutRecord, Record, TemplateRecord
from workbook.document.shop_records import Movement, OrderLine, PieceRecord, Spoken
from workbook.shop.job import Bar, Measured
from workbook.shop.ledger import Reason
from workbook.structs import replace


class CutPiece(Struct, frozen=True, kw_only=True):
    """A blank of a bar: of which template (its id), its serial and its share of the bar's price."""

    of: str
    serial: str
    cost: Decimal


class CutBar(Struct, frozen=True, kw_only=True):
    """A bar that was cut."""

    bar: str  # its id
    bought: bool  # it was not on the rack, but bought for this
    pieces: tuple[CutPiece, ...]
    offcut: Bar | None  # what is left and worth keeping


def mark_cut(document: Document, cut: Sequence[CutBar], layout: LayoutRecord, at: str, new: Callable[[], str]) -> Edit:
    """Everything that follows from a layout having been cut, as one edit. `layout` is kept with it, marked as cut."""
    book = _Book(document, at, new, layout.name)
    for bar in cut:
        book.cut(bar)
    kept = replace(layout, cut=at)
    revisions = kept_revisions(document, (piece.of for bar in cut for piece in bar.pieces), at, "cut", new)
    blanks = sum(len(bar.pieces) for bar in cut)
    gone = [AT_HAND] if AT_HAND in document.records else []
    return replacing(
        document,
        Action("layout.cut", {"blanks": blanks, "bars": len(cut)}),
        [*book.records(), *revisions, kept],
        [*gone, *book.gone],
    )


class _Book:
    """The records that change, as they come to be one after another."""

    def __init__(self, document: Document, at: str, new: Callable[[], str], layout: str) -> None:
        self._document, self._at, self._new, self._layout = document, at, new, layout
        self._changed: dict[str, Record] = {}
        wanted = still_to_cut(document)
        self._lines = [line for line, _ in wanted]
        self._left = {line.id: n for line, n in wanted}
        self._places = {kind: count(int(next_place(document, kind))) for kind in (Movement, PieceRecord, BarRecord)}
        self.gone: list[str] = []  # lines besides orders, all of which are cut

    def records(self) -> list[Record]:
        """All that changed."""
        return list(self._changed.values())

    def cut(self, cut: CutBar) -> None:
        """Books one bar with its blanks and its offcut."""
        record = self._document.get(cut.bar, BarRecord)
        source = self._now(record)
        if cut.bought:
            self._move(source, Reason.BOUGHT, 1)
        self._move(self._now(record), Reason.USED, -1)
        self._free(self._now(record), bought=cut.bought)
        for piece in cut.pieces:
            # one bought is of a heat not known yet, and was read by nobody
            self._piece(record.id, replace(record.bar, heat="", measured=Measured()) if cut.bought else record.bar, piece)
        if cut.offcut is not None:
            self._offcut(cut.offcut)

    def _now(self, record: BarRecord) -> BarRecord:
        found = self._changed.get(record.id, record)
        assert isinstance(found, BarRecord)
        return found

    def _move(self, record: BarRecord, why: Reason, by: int) -> None:
        for made in booked(self._document, record, why, Decimal(by), Stamp(self._new(), self._at), self._layout):
            placed = replace(made, place=float(next(self._places[Movement]))) if isinstance(made, Movement) else made
            self._changed[placed.id] = placed

    def _free(self, record: BarRecord, *, bought: bool) -> None:
        """A bar kept for an order that is cut for it is kept no longer."""
        laying = {line.order for line in self._lines}
        own = next((each for each in record.spoken if each.order in laying), None)
        if own is None or bought:
            return
        less = (Spoken(order=own.order, count=own.count - 1),) if own.count > 1 else ()
        self._changed[record.id] = replace(record, spoken=(*(e for e in record.spoken if e != own), *less))

    def _offcut(self, bar: Bar) -> None:
        """The offcut as a bar of its own."""
        taken = Document({**self._document.records, **self._changed})
        named = replace(bar, name=free_bar_name(taken, bar.name), have=0)
        record = BarRecord(id=self._new(), place=float(next(self._places[BarRecord])), bar=named)
        self._move(record, Reason.CUT_OFF, 1)

    def _piece(self, of_bar: str, bar: Bar, piece: CutPiece) -> None:
        """The blank, for the first line that still wants one."""
        template = self._document.get(piece.of, TemplateRecord).template
        line = self._line(piece.of, bar.steel)
        record = PieceRecord(
            id=self._new(), place=float(next(self._places[PieceRecord])), serial=piece.serial, of=piece.of, name=template.name,
            revision=number_of(self._document, piece.of), steel=bar.steel, bar=bar.name, heat=bar.heat, line=line,
            cost=piece.cost, at=self._at, of_bar=of_bar, thickness=bar.thickness, width=bar.true_width, measured=bar.measured,
        )  # fmt: skip
        self._changed[record.id] = record

    def _line(self, of: str, steel: str) -> str:
        """The id of the order's line a blank goes to; "" where it is the shop's own. Orders come first, by date wanted."""
        fits = [
            line for line in self._lines if line.of == of and line.steel.casefold() == steel.casefold() and self._left[line.id]
        ]
        line = next((one for one in fits if one.order), next(iter(fits), None))
        if line is None:
            return ""
        self._left[line.id] -= 1
        if not line.order:
            self._less(line)
        return line.id if line.order else ""

    def _less(self, line: OrderLine) -> None:
        """One fewer is to be made besides orders."""
        now = self._changed.get(line.id, line)
        assert isinstance(now, OrderLine)
        if now.quantity > 1:
            self._changed[line.id] = replace(now, quantity=now.quantity - 1)
        else:
            self._changed.pop(line.id, None)
            self.gone.append(line.id)
