"""Queries of a document about its batches: their blades, where each stands, what was entered, what became of them."""

from collections.abc import Mapping, Sequence
from itertools import product
from typing import NamedTuple

from workbook.document.document import Document
from workbook.document.making_records import FIRST_BATCH, BatchRecord, EntryRecord, LoadRecord, RecipeRecord
from workbook.document.orders import is_handled
from workbook.document.records import SettingsRecord, TemplateRecord
from workbook.document.shop_records import OrderLine, OrderRecord, PieceRecord
from workbook.heat.load import CycleKind
from workbook.making.standing import Came, Standing, standings
from workbook.shop.labour import Stage, stages_of
from workbook.structs import replace
from workbook.texts import _


def batch_id(piece: PieceRecord) -> str:
    """The id of the batch a blade belongs to."""
    return piece.batch or FIRST_BATCH


def batches(document: Document) -> list[BatchRecord]:
    """All batches, the newest first; blades from before there were batches are one, whether or not it was named."""
    return list(document.once(_batches, BatchRecord, PieceRecord, SettingsRecord))


def _batches(document: Document) -> tuple[BatchRecord, ...]:
    records = sorted(document.all(BatchRecord), key=lambda batch: -batch.number)
    if FIRST_BATCH in document.records or FIRST_BATCH not in document.once(_blades, PieceRecord):
        return tuple(records)
    return (*records, new_first(document))


def just_begun(document: Document, day: str) -> str:
    """The id of the newest batch where it was begun on this day and nothing is entered yet: more blanks join it. Else ""."""
    newest = next(iter(batches(document)), None)
    fresh = newest is not None and newest.begun == day and not entries_of(document, newest.id)
    return newest.id if newest is not None and fresh else ""


def new_first(document: Document) -> BatchRecord:
    """The batch of the blades that were cut before there were batches."""
    begun = min((piece.at[:10] for piece in blades_of(document, FIRST_BATCH)), default="")
    stages = apart(document.settings.charges.stages)
    return BatchRecord(id=FIRST_BATCH, place=0.0, number=1, name=_("Before batches"), begun=begun, stages=stages)


def next_batch_number(document: Document) -> int:
    """The number of the next batch."""
    return max((batch.number for batch in batches(document)), default=0) + 1


def name_of_batch(batch: BatchRecord) -> str:
    """A batch as the maker knows it."""
    return batch.name or _("Batch {number}", number=batch.number)


def apart(stages: Sequence[Stage]) -> tuple[Stage, ...]:
    """The stages, with a number after a name that an earlier one has: entries name the stage they are of."""
    taken = set[str]()
    named = []
    for stage in stages:
        tries = (stage.name if n == 1 else f"{stage.name} {n}" for n in range(1, len(stages) + 2))
        name = next(each for each in tries if each.casefold() not in taken)
        taken.add(name.casefold())
        named.append(replace(stage, name=name))
    return tuple(named)


def blades_of(document: Document, batch: str) -> tuple[PieceRecord, ...]:
    """The blades of a batch, in their order."""
    return document.once(_blades, PieceRecord).get(batch, ())


def _blades(document: Document) -> Mapping[str, tuple[PieceRecord, ...]]:
    """The blades of each batch, by its id."""
    groups = dict[str, list[PieceRecord]]()
    for piece in document.all(PieceRecord):
        groups.setdefault(batch_id(piece), []).append(piece)
    return {batch: tuple(blades) for batch, blades in groups.items()}


def entries_of(document: Document, batch: str) -> tuple[EntryRecord, ...]:
    """What was entered about a batch, oldest first."""
    return document.once(_entered, EntryRecord).of.get(batch, ())


class _Entered(NamedTuple):
    """All entries, and those of each batch by its id, oldest first."""

    records: tuple[EntryRecord, ...] = ()
    of: Mapping[str, tuple[EntryRecord, ...]] = {}


def _entered(document: Document) -> _Entered:
    """Entries that were only added are added to what was known before."""
    records, before = tuple(document.all(EntryRecord)), document.earlier(_entered) or _Entered()
    known = len(before.records) if records[: len(before.records)] == before.records else 0
    groups = dict[str, list[EntryRecord]]()
    for record in records[known:]:
        groups.setdefault(record.batch, []).append(record)
    kept = before.of if known else {}
    return _Entered(records, {**kept, **{batch: (*kept.get(batch, ()), *more) for batch, more in groups.items()}})


def standings_in(document: Document, batch: str) -> Mapping[str, Standing]:
    """Where each blade of a batch stands, by its id."""
    known = document.once(_known).get(batch)
    return known.standings if known is not None else {}


class _Knife(NamedTuple):
    """What decides which stages are for a blade."""

    handled: bool
    sheathed: bool
    first: str  # the first stage that was not done before it came here


class _Known(NamedTuple):
    """Standings, with what they were worked out from."""

    stages: tuple[Stage, ...]
    knives: Mapping[str, _Knife]
    records: tuple[EntryRecord, ...]
    standings: Mapping[str, Standing]


def _known(document: Document) -> Mapping[str, _Known]:
    """The standings of every batch, by its id; worked out anew only where something of the batch changed."""
    before, found = document.earlier(_known) or {}, dict[str, _Known]()
    knives = document.once(_knives, PieceRecord, OrderLine, TemplateRecord)
    for batch in batches(document):
        of_this, records, known = knives.get(batch.id, {}), entries_of(document, batch.id), before.get(batch.id)
        if known is None or known[:3] != (batch.stages, of_this, records):
            came = _came(batch.stages, of_this)
            stands = standings(batch.stages, came, [(record.id, record.entry) for record in records])
            known = _Known(batch.stages, of_this, records, stands)
        found[batch.id] = known
    return found


def _came(stages: Sequence[Stage], knives: Mapping[str, _Knife]) -> dict[str, Came]:
    """How each blade came into a batch with these stages, by its id."""
    names = {
        (handled, sheathed): tuple(each.name for each in stages_of(stages, handled=handled, sheathed=sheathed))
        for handled, sheathed in product((True, False), repeat=2)
    }
    return {blade: Came(stages=names[knife.handled, knife.sheathed], first=knife.first) for blade, knife in knives.items()}


def _knives(document: Document) -> Mapping[str, Mapping[str, _Knife]]:
    """The blades of each batch, by their ids."""
    handled = {template.id: is_handled(document, template.id) for template in document.all(TemplateRecord)}
    return {
        batch: {piece.id: _Knife(handled.get(piece.of, True), is_sheathed(document, piece), piece.first) for piece in blades}
        for batch, blades in document.once(_blades, PieceRecord).items()
    }


def is_sheathed(document: Document, piece: PieceRecord) -> bool:
    """Whether a blade gets a sheath."""
    line = document.records.get(piece.line)
    return isinstance(line, OrderLine) and bool(line.sheath)


def standing_of(document: Document, piece: PieceRecord) -> Standing:
    """Where a blade stands."""
    return standings_in(document, batch_id(piece))[piece.id]


def going(document: Document, batch: str) -> int:
    """How many blades of a batch are neither finished nor lost."""
    return sum(not standing.finished and not standing.scrapped for standing in standings_in(document, batch).values())


def loads_of(document: Document, piece: str) -> tuple[LoadRecord, ...]:
    """The loads a blade was heat-treated in, oldest first."""
    return document.once(_loads, LoadRecord).get(piece, ())


def _loads(document: Document) -> Mapping[str, tuple[LoadRecord, ...]]:
    groups = dict[str, list[LoadRecord]]()
    for record in document.all(LoadRecord):
        for piece in record.pieces:
            groups.setdefault(piece, []).append(record)
    return {piece: tuple(records) for piece, records in groups.items()}


def next_load_number(document: Document) -> int:
    """The number of the next load."""
    return max((record.number for record in document.all(LoadRecord)), default=0) + 1


def recipe_for(document: Document, steel: str) -> RecipeRecord | None:
    """The maker's own way with a steel; None where there is none."""
    return next((each for each in document.all(RecipeRecord) if each.steel.casefold() == steel.casefold()), None)


def untempered(document: Document) -> list[LoadRecord]:
    """Loads of which a good blade was quenched and not tempered since, in this or a later load."""
    return [
        record
        for record in document.all(LoadRecord)
        if not record.load.tempered and any(waits_for_temper(document, piece, record) for piece in record.pieces)
    ]


def waits_for_temper(document: Document, piece: str, record: LoadRecord) -> bool:
    """Whether a blade is still good and no later load tempered it, or hardened it anew."""
    blade, loads = document.records.get(piece), loads_of(document, piece)
    if isinstance(blade, PieceRecord) and standing_of(document, blade).scrapped:
        return False
    later = loads[[load.id for load in loads].index(record.id) + 1 :]
    return not any(kind in load.load.done for load in later for kind in (CycleKind.TEMPER, CycleKind.HARDEN))


def order_of(document: Document, piece: PieceRecord) -> OrderRecord | None:
    """The order a blade is for; None for the shop's own."""
    line = document.records.get(piece.line)
    order = document.records.get(line.order) if isinstance(line, OrderLine) else None
    return order if isinstance(order, OrderRecord) else None


def still_good(document: Document, line: str) -> int:
    """How many of the blades cut for a line of an order are not lost."""
    return document.once(_good).get(line, 0)


def _good(document: Document) -> Mapping[str, int]:
    counts = dict[str, int]()
    for piece in document.all(PieceRecord):
        if piece.line and not standing_of(document, piece).scrapped:
            counts[piece.line] = counts.get(piece.line, 0) + 1
    return counts


def short_of(document: Document, line: OrderLine) -> int:
    """How many blades a line lacks although all its blanks were cut."""
    cut = sum(1 for piece in document.all(PieceRecord) if piece.line == line.id)
    return max(line.quantity - still_good(document, line.id), 0) if cut >= line.quantity else 0


def spares_for(document: Document, line: OrderLine) -> list[PieceRecord]:
    """Blades of the shop's own, not lost, that could take the place of a lost one of a line; the farthest on first."""
    alike = (
        piece
        for piece in document.all(PieceRecord)
        if not piece.line and piece.of == line.of and piece.steel.casefold() == line.steel.casefold()
    )
    sound = [(standing, piece) for piece in alike if not (standing := standing_of(document, piece)).scrapped]
    return [piece for _standing, piece in sorted(sound, key=lambda pair: -sum(bool(cell.date) for cell in pair[0].cells))]
