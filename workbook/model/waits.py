"""The waits that go on in a shop: glue that cures, an oil finish that dries, work that is at a service."""

from collections.abc import Callable, Iterator, Mapping

from msgspec import Struct

from workbook.document.document import Document
from workbook.document.making import batches, blades_of, entries_of, name_of_batch, standings_in
from workbook.document.making_records import BatchRecord, EntryRecord
from workbook.making.cautions import is_fire
from workbook.making.entry import EntryKind
from workbook.making.standing import CellState
from workbook.shop.curing import cure_factor
from workbook.shop.labour import Stage, StageKind
from workbook.texts import _, ngettext

_EVENING = "T21:00:00"  # when the work of an entry typed on another day ended, as nobody said


class Wait(Struct, frozen=True, kw_only=True):
    """Blades of a batch that wait after a stage."""

    batch: BatchRecord
    stage: Stage
    blades: tuple[str, ...]  # ids
    since: str  # ISO moment
    minutes: float
    away: bool = False  # at a service, until it is entered as back


def waits(document: Document) -> list[Wait]:
    """The last wait of all blades that have not gone on since, also of those whose time is over."""
    return list(document.once(_waits))


def _waits(document: Document) -> tuple[Wait, ...]:
    return tuple(wait for batch in batches(document) for wait in _of_batch(document, batch))


def _of_batch(document: Document, batch: BatchRecord) -> Iterator[Wait]:
    last, standings = last_waits(document, batch), standings_in(document, batch.id)
    stages = {stage.name: stage for stage in batch.stages}
    groups = dict[str, tuple[str, EntryRecord, list[str]]]()
    for blade, (stage, record) in last.items():
        if blade in standings and not standings[blade].scrapped:
            groups.setdefault(record.id, (stage, record, []))[2].append(blade)
    for name, record, blades in groups.values():
        minutes = wait_of(document, stages[name])
        at = [each.name for each in batch.stages].index(name)
        away = all(standings[blade].cells[at].state is CellState.SENT for blade in blades)
        yield Wait(
            batch=batch, stage=stages[name], blades=tuple(blades), since=moment_of(record), minutes=minutes, away=away
        )  # fmt: skip


def last_waits(document: Document, batch: BatchRecord) -> Mapping[str, tuple[str, EntryRecord]]:
    """Of each blade of a batch the stage it came through last, where a wait follows it, with the entry."""
    records = entries_of(document, batch.id)
    gone = {record.entry.of for record in records}
    with_wait = {stage.name for stage in batch.stages if stage.wait}
    blades = tuple(piece.id for piece in blades_of(document, batch.id))
    last = dict[str, tuple[str, EntryRecord]]()
    for record in records:
        entry = record.entry
        if record.id in gone or entry.kind not in (EntryKind.DONE, EntryKind.SENT, EntryKind.BACK):
            continue
        for blade in entry.pieces or blades:
            if (entry.stage in with_wait and entry.kind is not EntryKind.BACK) or entry.kind is EntryKind.SENT:
                last[blade] = entry.stage, record
            else:
                last.pop(blade, None)
    return last


def moment_of(record: EntryRecord) -> str:
    """When the work of an entry ended: as it was typed; in the evening of its day where that was another."""
    return record.at if record.at[:10] == record.entry.date else record.entry.date + _EVENING


def wait_of(document: Document, stage: Stage) -> float:
    """Minutes that pass after a stage; a glue's by how warm the shop is."""
    return stage.wait * (cure_factor(document.settings.shop_heat) if stage.cures else 1.0)


def too_cold(document: Document, stage: Stage) -> str:
    """Why no curing time can be told, in words; "" where it can."""
    settings = document.settings
    if not stage.cures or settings.shop_heat >= settings.glue_least:
        return ""
    return _("The shop is too cold for glue to cure as its sheet says. Warm it, or follow the sheet of the glue.")


def held_now(document: Document, ahead: Callable[[str], float]) -> dict[str, float]:
    """Until when equipment is held by waits that go on, minutes from now, by its name."""
    held, today = dict[str, float](), {stage.name: stage.equipment for stage in document.settings.charges.stages}
    for wait in waits(document):
        name, left = wait.stage.equipment or today.get(wait.stage.name, ""), ahead(wait.since) + wait.minutes
        if name and left > 0 and not wait.away:
            held[name] = max(left, held.get(name, 0.0))
    return held


def refused(document: Document, stage: Stage) -> str:
    """Why a stage cannot be planned, in words; "" where it can: too cold for its glue, or a fire that nobody would tend."""
    if stage.kind is StageKind.HANDS_ON and is_fire(stage):
        return _("{stage} is hands-on in Rates. Make it an attended wait with the minutes of its temper.", stage=stage.name)
    return too_cold(document, stage)


def wait_words(document: Document, wait: Wait) -> str:
    """A wait in words: "Glue the handle, 4 blades of Batch 2"."""
    return ngettext(
        "{stage}, {count} blade of {batch}", "{stage}, {count} blades of {batch}", len(wait.blades), stage=wait.stage.name,
        batch=name_of_batch(wait.batch),
    )  # fmt: skip
