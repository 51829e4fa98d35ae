"""Batches and what is entered about their blades. Entries are only added: what was wrong is taken back by another entry."""

from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal

from msgspec import Struct

from workbook.document.action import Action, Value, plain
from workbook.document.actions.ledger import Stamp, booked, have
from workbook.document.document import Document, Edit, EditError, replacing
from workbook.document.making import (
    apart,
    blades_of,
    name_of_batch,
    new_first,
    next_batch_number,
    order_of,
)
from workbook.document.making_records import FIRST_BATCH, BatchRecord, EntryRecord, LoadRecord, RecipeRecord
from workbook.document.queries import next_place, number_of
from workbook.document.records import MaterialRecord, Record, TemplateRecord
from workbook.document.shop_records import Movement, OrderLine, OrderRecord, PieceRecord
from workbook.making.entry import EntryKind, Logged
from workbook.shop.ledger import Reason
from workbook.structs import replace
from workbook.texts import _


class Typed(Struct, frozen=True):
    """The id of a new entry, and when it is typed: ISO date and time."""

    id: str
    at: str


def new_batch(document: Document, id: str, begun: str) -> BatchRecord:  # noqa: A002
    """A batch with the next number and the shop's stages. `begun`: ISO date."""
    stages = apart(document.settings.charges.stages)
    place = next_place(document, BatchRecord)
    return BatchRecord(id=id, place=place, number=next_batch_number(document), begun=begun, stages=stages)


def change_batch(document: Document, after: BatchRecord) -> Edit:
    """Name a batch, or change the note on it."""
    return replacing(document, Action("batch.changed", {"batch": name_of_batch(after)}), [after])


class Blades(Struct, frozen=True, kw_only=True):
    """Blades that were made elsewhere or before: how many, of which template and steel, and the first stage still to do."""

    of: str  # the template's id
    steel: str
    serials: tuple[str, ...]
    first: str = ""  # a stage's name; "": the first of all


def add_blades(document: Document, blades: Blades, batch: str, at: str, new: Callable[[], str]) -> Edit:
    """Add blades to a batch, or with "" to a new one. `at`: ISO date and time."""
    record = batch_of(document, batch) if batch else new_batch(document, new(), at[:10])
    name, place = document.get(blades.of, TemplateRecord).template.name, next_place(document, PieceRecord)
    pieces = [
        PieceRecord(
            id=new(), place=place + n, serial=serial, of=blades.of, name=name, revision=number_of(document, blades.of),
            steel=blades.steel, bar="", at=at, batch=record.id, first=blades.first,
        )
        for n, serial in enumerate(blades.serials)
    ]  # fmt: skip
    fields: dict[str, Value] = {"count": len(pieces), "template": name, "batch": name_of_batch(record)}
    return replacing(document, Action("blades.added", fields), [record, *pieces])


def batch_of(document: Document, id: str) -> BatchRecord:  # noqa: A002
    """The batch with an id; the first of all may have no record yet. KeyError when there is none."""
    if id == FIRST_BATCH and id not in document.records:
        return new_first(document)
    return document.get(id, BatchRecord)


def enter(document: Document, batch: str, entry: Logged, typed: Typed) -> Edit:
    """Add an entry about a batch."""
    record = batch_of(document, batch)
    place = next_place(document, EntryRecord)
    added = EntryRecord(id=typed.id, place=place, batch=batch, at=typed.at, entry=entry)
    fields: dict[str, Value] = {
        "batch": name_of_batch(record), "stage": entry.stage, "count": len(entry.pieces) or len(blades_of(document, batch)),
        "minutes": round(entry.minutes), "blades": [serial_of(document, piece) for piece in entry.pieces], "reason": entry.reason,
    }  # fmt: skip
    return replacing(document, Action(f"entry.{plain(entry.kind)}", fields), [record, added])


def take_back(document: Document, wrong: str, date: str, typed: Typed) -> Edit:
    """Take an entry back by another. EditError for one that takes back, or was taken back."""
    record = document.get(wrong, EntryRecord)
    gone = {other.entry.of for other in document.all(EntryRecord)}
    if record.entry.kind is EntryKind.TAKEN_BACK or wrong in gone:
        raise EditError(_("this entry cannot be taken back"))
    entry = Logged(kind=EntryKind.TAKEN_BACK, date=date, of=wrong, stage=record.entry.stage, pieces=record.entry.pieces)
    return enter(document, record.batch, entry, typed)


def log_load(document: Document, record: LoadRecord) -> Edit:
    """Log what blades went through together."""
    fields: dict[str, Value] = {"load": record.number, "count": len(record.pieces), "steel": record.steel}
    return replacing(document, Action("load.logged", fields), [record])


def change_load(document: Document, record: LoadRecord) -> Edit:
    """Fill in what was read of a load since, or put right what is wrong in it."""
    return replacing(document, Action("load.changed", {"load": record.number}), [record])


def keep_recipe(document: Document, record: RecipeRecord) -> Edit:
    """Keep the maker's own way with a steel in place of the one there was."""
    return replacing(document, Action("recipe.kept", {"steel": record.steel}), [record])


def take_materials(
    document: Document, scales: Mapping[str, str], amounts: Mapping[str, Decimal], at: str, new: Callable[[], str]
) -> Edit:
    """Give blades their pairs of scales, each with a mark; what they take leaves the shelf, as far as it is there.

    `scales`: the material of each blade's pair, by the blade's id; `amounts`: of each material, by its id.
    `at`: ISO date and time.
    """
    fitted, used = list[Record](), {piece.scales for piece in document.all(PieceRecord)}
    for blade, handle in scales.items():
        mark = _free_mark(document.get(handle, MaterialRecord).material.name, used)
        used.add(mark)
        fitted.append(replace(document.get(blade, PieceRecord), handle=handle, scales=mark))
    booked_at, moves = next_place(document, Movement), list[Record]()
    for n, (key, amount) in enumerate(amounts.items()):
        record = document.get(key, MaterialRecord)
        for each in booked(document, record, Reason.USED, -min(amount, have(record)), Stamp(new(), at)):
            moves.append(replace(each, place=booked_at + n) if isinstance(each, Movement) else each)
    fields: dict[str, Value] = {"blades": [serial_of(document, blade) for blade in scales]}
    return replacing(document, Action("scales.taken", fields), [*fitted, *moves])


def _free_mark(material: str, used: set[str]) -> str:
    """The next free mark for a pair of scales of a material: its first letter, and a number."""
    letter = next((each for each in material.upper() if each.isalpha()), "X")
    return next(mark for n in range(1, len(used) + 2) if (mark := f"{letter}-{n}") not in used)


def give_to(document: Document, blade: str, line: str) -> Edit:
    """Give a blade to a line of an order, or with "" to the shop's own stock."""
    piece = document.get(blade, PieceRecord)
    after = replace(piece, line=line)
    order = order_of(document, after)
    action = Action("blade.given", {"blade": piece.serial, "order": order.number if order else None})
    return replacing(document, action, [after])


def start_more(document: Document, line: str, count: int = 1) -> Edit:
    """Start more blanks for a line whose blades were lost, so that they are laid out."""
    record = document.get(line, OrderLine)
    order, cut = document.get(record.order, OrderRecord), sum(1 for p in document.all(PieceRecord) if p.line == line)
    after: list[Record] = [replace(record, starts=cut + count), replace(order, laying=True)]
    name = document.get(record.of, TemplateRecord).template.name
    fields: dict[str, Value] = {"order": order.number, "template": name, "count": count}
    return replacing(document, Action("line.more", fields), after)


def serial_of(document: Document, piece: str) -> str:
    """A blade's serial; "?" for one that is gone."""
    record = document.records.get(piece)
    return record.serial if isinstance(record, PieceRecord) else "?"


def serials_for(document: Document, letter: str, count: int, taken: Sequence[str]) -> tuple[str, ...]:
    """The next free serials with a letter."""
    used = set(taken)
    tries = (f"{letter}{n}" for n in range(1, len(used) + count + 1))
    return tuple(serial for serial in tries if serial not in used)[:count]
