"""Bring chosen items of another workbook into this one: one edit that doubles nothing and leaves no dangling reference."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from itertools import count
from typing import Any, TypeVar

from workbook.document.action import Action, Value
from workbook.document.actions.ledger import Stamp, booked, counted, have
from workbook.document.actions.merging_money import brought_money
from workbook.document.document import Document, Edit, replacing
from workbook.document.making import next_batch_number, next_load_number, recipe_for
from workbook.document.making_records import BatchRecord, EntryRecord, LoadRecord, RecipeRecord
from workbook.document.orders import lines_of, next_number
from workbook.document.other_book import BookItem, ItemGroup, Resolution, matches, name_of, with_part
from workbook.document.queries import next_place, revisions_of
from workbook.document.records import BarRecord, FamilyRecord, MaterialRecord, Record, SettingsRecord, TemplateRecord, ToolsRecord
from workbook.document.shop_records import CustomerRecord, Movement, OrderLine, OrderRecord, PictureRecord, PieceRecord, Spoken
from workbook.shop.ledger import Reason
from workbook.shop.orders import DONE
from workbook.structs import replace

_BY_NAME = (TemplateRecord, FamilyRecord, BarRecord, MaterialRecord, CustomerRecord)  # these may be the same under another id
_OF_ORDERS = (CustomerRecord, OrderRecord, OrderLine)
_KINDS: tuple[type[Record], ...] = (
    TemplateRecord, FamilyRecord, BarRecord, MaterialRecord, *_OF_ORDERS, PieceRecord, BatchRecord
)  # fmt: skip
_Placed = TypeVar(
    "_Placed",
    TemplateRecord, FamilyRecord, BarRecord, MaterialRecord, CustomerRecord, OrderRecord, OrderLine, PieceRecord, BatchRecord,
)  # fmt: skip


def bring_from(
    mine: Document,
    theirs: Document,
    items: Sequence[BookItem],
    choices: Mapping[str, Resolution],
    at: str,
    new_id: Callable[[], str],
) -> Edit:
    """Bring the items as chosen. `choices`: by item key; items without one get their usual choice. `at`: ISO date and time."""
    chosen = [(item, choices.get(item.key, item.usual)) for item in items if not item.same]
    merging = _Merging(mine, theirs, at, new_id)
    for item, way in chosen:
        if way is not Resolution.KEEP:
            merging.take(item, beside=way is Resolution.BESIDE)
    fields: dict[str, Value] = {"book": theirs.settings.name, "count": sum(way is not Resolution.KEEP for _row, way in chosen)}
    return replacing(mine, Action("book.brought_in", fields), merging.records(), merging.gone())


class _Merging:
    """Collects the records to bring, and maps ids of the other book to ids of this one."""

    def __init__(self, mine: Document, theirs: Document, at: str, new_id: Callable[[], str]) -> None:
        self._mine, self._theirs, self._at, self._new_id = mine, theirs, at, new_id
        self._matches: dict[type[Record], dict[str, Record]] = {kind: matches(mine, theirs, kind) for kind in _BY_NAME}
        self._names: dict[type[Record], set[str]] = {}  # of what stays and what has come so far
        self._places = {
            kind: count(next_place(mine, kind))
            for kind in (*_KINDS, Movement, PictureRecord, EntryRecord, LoadRecord, RecipeRecord)
        }
        self._numbers = count(max(next_number(mine), next_number(theirs)))
        self._batches, self._load_numbers = count(next_batch_number(mine)), count(next_load_number(mine))
        self._ids: dict[str, str] = {}  # of what comes
        self._coming: dict[str, tuple[Record, Record | None]] = {}  # by their id: the record, and the one whose place it takes
        self._settings = mine.settings
        self._tools: ToolsRecord | None = None
        self._accounts = False  # whether all that was paid and sold comes, also of what is here already

    def take(self, item: BookItem, *, beside: bool) -> None:
        """Bring one item with what it depends on."""
        if item.group is ItemGroup.ACCOUNTS:
            self._accounts = True
            return
        if isinstance(item.theirs, SettingsRecord):
            self._settings = with_part(self._settings, item.theirs, item.part)
            return
        if isinstance(item.theirs, ToolsRecord):
            self._tools = item.theirs
            return
        self._come(item.theirs, None if beside else item.here)
        if isinstance(item.theirs, OrderRecord):
            self._come_with(item.theirs)
        if isinstance(item.theirs, PieceRecord):
            self._come_where_missing(item.theirs.batch)

    def _come(self, record: Record, here: Record | None) -> None:
        self._coming[record.id] = (record, here)
        self._ids[record.id] = here.id if here is not None else self._free_id(record)

    def _come_with(self, order: OrderRecord) -> None:
        """Bring an order's lines, and its customer and templates if this book has none that match."""
        here = self._coming[order.id][1]
        own = {line.id: line for line in lines_of(self._mine, here.id)} if here is not None else {}
        for line in lines_of(self._theirs, order.id):
            self._come(line, own.get(line.id))
            self._come_where_missing(line.of)
        self._come_where_missing(order.customer)

    def _come_where_missing(self, theirs: str) -> None:
        record = self._theirs.records.get(theirs)
        if record is not None and theirs not in self._ids and self._counterpart(record) is None:
            self._come(record, None)

    def _counterpart(self, record: Record) -> Record | None:
        """The record that stands for one of the other book here: orders, lines and blades only under their own ids."""
        if type(record) in self._matches:
            return self._matches[type(record)].get(record.id)
        own = self._mine.records.get(record.id)
        return own if type(own) is type(record) else None

    def _id(self, theirs: str) -> str:
        """The id in this book of a record of the other; "" if it has none here."""
        if theirs in self._ids:
            return self._ids[theirs]
        record = self._theirs.records.get(theirs)
        own = self._counterpart(record) if record is not None else None
        return own.id if own is not None else ""

    def records(self) -> list[Record]:
        """All records to bring, with those that belong to them."""
        replaced = {here.id for _record, here in self._coming.values() if here is not None}
        self._names = {kind: {name_of(r) for r in self._mine.all(kind) if r.id not in replaced} for kind in _KINDS}
        records: list[Record] = [self._settings] if self._settings != self._mine.settings else []
        records += [self._tools] if self._tools is not None else []
        for record, here in self._coming.values():
            records += self._brought(record, here)
        return [
            *records,
            *self._relinked(),
            *self._entries(),
            *self._loads(),
            *self._recipes(),
            *self._pictures(),
            *self._money(),
        ]

    def _relinked(self) -> Iterator[Record]:
        """Blades that are here: those of lines that come now get them, those of lines that go lose them."""
        came = {piece.id: self._ids.get(piece.line, "") for piece in self._theirs.all(PieceRecord)}
        gone = set(self.gone())
        for piece in self._mine.all(PieceRecord):
            line = "" if piece.line in gone else piece.line or came.get(piece.id, "")
            if line != piece.line:
                yield replace(piece, line=line)

    def gone(self) -> list[str]:
        """Ids of lines that a replaced order no longer has."""
        own = [here for _record, here in self._coming.values() if isinstance(here, OrderRecord)]
        kept = set(self._ids.values())
        return [line.id for order in own for line in lines_of(self._mine, order.id) if line.id not in kept]

    def _brought(self, record: Record, here: Record | None) -> Iterator[Record]:
        match record:
            case TemplateRecord():
                yield from self._template(record, here)
            case FamilyRecord():
                name = self._name(record, here, record.template.name)
                yield replace(self._placed(record, here), template=replace(record.template, name=name))
            case BarRecord() | MaterialRecord():
                yield from self._stock(record, here)
            case OrderRecord():
                yield self._order(record, here)
            case OrderLine():
                of, handle, order = (self._id(theirs) for theirs in (record.of, record.handle, record.order))
                yield replace(self._placed(record, here), of=of, handle=handle, sheath=self._id(record.sheath), order=order)
            case PieceRecord():
                yield self._piece(record)
            case BatchRecord():
                yield replace(self._placed(record, here), number=next(self._batches))
            case CustomerRecord():
                yield self._placed(record, here)

    def _placed(self, record: _Placed, here: Record | None) -> _Placed:
        """A record with its id and place in this book."""
        place = next(self._places[type(record)]) if here is None else getattr(here, "place", 0.0)
        own: dict[str, Any] = {"id": self._ids[record.id], "place": place}
        return replace(record, **own)

    def _name(self, record: Record, here: Record | None, name: str, between: str = " ") -> str:
        """A record's name in this book: with a number appended if the name is taken."""
        taken = self._names[type(record)]
        tries = (name if n == 1 else f"{name}{between}{n}" for n in count(1))
        free = next(each for each in tries if each.casefold() not in taken)
        taken.add(free.casefold())
        return free

    def _template(self, record: TemplateRecord, here: Record | None) -> Iterator[Record]:
        name, bar = self._name(record, here, record.template.name), self._id(record.bar)
        family = replace(record.family, name=name) if record.family is not None else None
        drawn = replace(record.drawn, name=name) if record.drawn is not None else None
        ground = record.ground_from if bar or record.ground_from == "nominal" else "likeliest"
        own = self._id(record.own_family)
        yield replace(self._placed(record, here), family=family, drawn=drawn, bar=bar, ground_from=ground, own_family=own)
        if here is None:  # else the revisions here go on
            for revision in revisions_of(self._theirs, record.id):
                yield replace(revision, id=self._free_id(revision), of=self._ids[record.id])

    def _stock(self, record: BarRecord | MaterialRecord, here: Record | None) -> Iterator[Record]:
        """A bar or a material with its ledger.

        If it replaces one, a single entry corrects the count: the entries of two books for one shelf would count it twice.
        """
        moved = self._bar(record, here) if isinstance(record, BarRecord) else self._material(record, here)
        if isinstance(here, BarRecord | MaterialRecord):
            stamp, by = Stamp(self._new_id(), self._at), have(moved) - have(here)
            both = booked(self._mine, counted(moved, have(here)), Reason.ADJUSTED, by, stamp, self._theirs.settings.name)
            yield from (self._entry(each, moved.id, each.id) if isinstance(each, Movement) else each for each in both)
            return
        yield moved
        entries = (entry for entry in self._theirs.all(Movement) if entry.of == record.id)
        yield from (self._entry(entry, moved.id, self._free_id(entry)) for entry in entries)

    def _entry(self, entry: Movement, of: str, new: str) -> Movement:
        return replace(entry, id=new, of=of, place=next(self._places[Movement]))

    def _bar(self, record: BarRecord, here: Record | None) -> BarRecord:
        named = replace(record.bar, name=self._name(record, here, record.bar.name))
        spoken, aside = (here.spoken, here.aside) if isinstance(here, BarRecord) else (self._spoken(record), record.aside)
        return replace(self._placed(record, here), bar=named, spoken=spoken, aside=aside)

    def _spoken(self, record: BarRecord) -> tuple[Spoken, ...]:
        """The reservations for orders that come too, or are here."""
        return tuple(replace(each, order=order) for each in record.spoken if (order := self._id(each.order)))

    def _material(self, record: MaterialRecord, here: Record | None) -> MaterialRecord:
        named = replace(record.material, name=self._name(record, here, record.material.name))
        return replace(self._placed(record, here), material=named)

    def _order(self, record: OrderRecord, here: Record | None) -> Record:
        """An order under its number, or the next free one; its blanks are not laid out yet."""
        number = here.number if isinstance(here, OrderRecord) else record.number
        if here is None and str(number) in self._names[OrderRecord]:
            number = next(self._numbers)
        self._names[OrderRecord].add(str(number))
        laying = isinstance(here, OrderRecord) and here.laying and record.status not in DONE
        return replace(self._placed(record, here), number=number, customer=self._id(record.customer), laying=laying)

    def _piece(self, record: PieceRecord) -> Record:
        """A cut blade. Its template may be missing in either book."""
        of, line, bar = self._id(record.of) or record.of, self._id(record.line), self._id(record.of_bar)
        serial, batch, handle = self._name(record, None, record.serial, "-"), self._id(record.batch), self._id(record.handle)
        placed = self._placed(record, None)
        return replace(placed, of=of, line=line, of_bar=bar, serial=serial, batch=batch, handle=handle)

    def _entries(self) -> Iterator[Record]:
        """What was entered about the blades that come, of a batch that comes too; of several blades, for those that come."""
        ids = dict[str, str]()
        for record in self._theirs.all(EntryRecord):
            entry, batch = record.entry, self._ids.get(record.batch, "")
            pieces = tuple(self._ids[piece] for piece in entry.pieces if piece in self._ids)
            if not batch or (entry.pieces and not pieces) or (entry.of and entry.of not in ids):
                continue
            ids[record.id] = self._free_id(record)
            minutes = entry.minutes * (len(pieces) / len(entry.pieces) if entry.pieces else 1.0)
            own = replace(entry, pieces=pieces, minutes=minutes, of=ids.get(entry.of, ""))
            yield replace(record, id=ids[record.id], place=next(self._places[EntryRecord]), batch=batch, entry=own)

    def _loads(self) -> Iterator[Record]:
        """Loads in which blades that come were heat-treated, with those blades."""
        for record in self._theirs.all(LoadRecord):
            pieces = tuple(self._ids[piece] for piece in record.pieces if piece in self._ids)
            if pieces:
                place, number = next(self._places[LoadRecord]), next(self._load_numbers)
                yield replace(record, id=self._free_id(record), place=place, number=number, pieces=pieces)

    def _recipes(self) -> Iterator[Record]:
        """With blades, the maker's way with their steels, where there is none here."""
        steels = {piece.steel.casefold() for piece in self._theirs.all(PieceRecord) if piece.id in self._ids}
        for record in self._theirs.all(RecipeRecord):
            if record.steel.casefold() in steels and recipe_for(self._mine, record.steel) is None:
                yield replace(record, id=self._free_id(record), place=next(self._places[RecipeRecord]))

    def _pictures(self) -> Iterator[Record]:
        """Pictures of the new records, not of those that replace a record."""
        new = {theirs for theirs, (_record, here) in self._coming.items() if here is None}
        for picture in self._theirs.all(PictureRecord):
            if picture.of in new:
                place = next(self._places[PictureRecord])
                yield replace(picture, id=self._free_id(picture), place=place, of=self._ids[picture.of])

    def _money(self) -> Iterator[Record]:
        """What was paid, invoiced, delivered, sold and spent: of orders and blades that come, or of all that are here too."""
        every = self._accounts
        return brought_money(
            self._mine, self._theirs, lambda order: self._id(order) if every else self._ids.get(order, ""),
            lambda piece: self._id(piece) if every else self._ids.get(piece, ""), self._id, every=every,
        )  # fmt: skip

    def _free_id(self, record: Record) -> str:
        return record.id if record.id not in self._mine.records else self._new_id()
