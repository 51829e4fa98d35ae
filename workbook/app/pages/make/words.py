"""What the traveller, the list of batches and the list of entries say."""

from collections.abc import Collection

from workbook.document.document import Document
from workbook.document.making import blades_of, going, name_of_batch, standings_in
from workbook.document.making_records import BatchRecord, EntryRecord
from workbook.document.shop_records import PieceRecord
from workbook.making.entry import EntryKind
from workbook.making.minutes import minutes_words
from workbook.model.making_words import KINDS
from workbook.texts import _, labelled, ngettext


def batch_row(document: Document, batch: BatchRecord) -> tuple[str, ...]:
    """A batch in the list: its number, what it is, where it stands."""
    names = dict[str, int]()
    for piece in blades_of(document, batch.id):
        names[piece.name] = names.get(piece.name, 0) + 1
    what = ", ".join(f"{count} {name}" for name, count in names.items()) or _("no blades")
    return str(batch.number), labelled(batch.name, what) if batch.name else what, where_words(document, batch)


def where_words(document: Document, batch: BatchRecord) -> str:
    """Where a batch stands: the stage that most of its blades are at, else what became of it."""
    standings = standings_in(document, batch.id).values()
    stages = [standing.next for standing in standings if standing.next]
    if stages:
        return max(dict.fromkeys(stages), key=stages.count)
    lost = sum(standing.scrapped for standing in standings)
    if not standings:
        return ""
    return _("finished, {lost} lost", lost=lost) if lost else _("finished")


def entry_row(document: Document, record: EntryRecord, gone: Collection[str] = ()) -> tuple[str, ...]:
    """An entry in the list: when, what, which blades, minutes. `gone`: the ids of those taken back."""
    entry = record.entry
    kind = _("taken back") if record.id in gone else _("takes back") if entry.kind is EntryKind.TAKEN_BACK else KINDS[entry.kind]
    what = labelled(kind, entry.stage) if kind and entry.stage else kind or entry.stage
    if entry.reason or entry.note:
        what = f"{what}, {entry.reason or entry.note}"
    return (
        document.settings.local.brief_day(entry.date),
        what,
        blades_words(document, record),
        minutes_words(entry.minutes) if entry.minutes else "-",
    )


def blades_words(document: Document, record: EntryRecord) -> str:
    """The blades of an entry by their serials, few of them; else how many."""
    pieces = record.entry.pieces
    if not pieces:
        return _("all")
    serials = [piece.serial for id_ in pieces if isinstance(piece := document.records.get(id_), PieceRecord)]
    return ", ".join(serials) if len(serials) <= 3 else ngettext("{count} blade", "{count} blades", len(serials))


def head_words(document: Document, batch: BatchRecord) -> str:
    """The head of a traveller."""
    blades, local = blades_of(document, batch.id), document.settings.local
    bars = ", ".join(dict.fromkeys(piece.bar for piece in blades if piece.bar))
    heats = ", ".join(dict.fromkeys(piece.heat for piece in blades if piece.heat))
    parts = [name_of_batch(batch), _("{count} in progress", count=going(document, batch.id))]
    parts += [
        _("begun {date}", date=local.short_day(batch.begun)) if batch.begun else "",
        bars,
        _("heat no. {heats}", heats=heats) if heats else "",
    ]
    return "   ".join(part for part in parts if part)
