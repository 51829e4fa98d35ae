"""Checks of records: each field against its row, the targets of ids, and what only shows in the whole workbook."""

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import chain, islice
from typing import Any

from workbook.document.codec import CodecError
from workbook.document.fields import FIELDS, OWN
from workbook.document.making_records import FIRST_BATCH, BatchRecord
from workbook.document.records import (
    AT_HAND,
    KINDS,
    SETTINGS_ID,
    TOOLS_ID,
    LayoutRecord,
    Record,
    Revision,
    SettingsRecord,
    TemplateRecord,
    ToolsRecord,
    kind_of,
)
from workbook.fields import Rule
from workbook.heat import fields as of_heat
from workbook.limits import JudgedBy
from workbook.making import fields as of_making
from workbook.problems import Mistake
from workbook.sheath import fields as of_sheaths
from workbook.shop import fields as of_shop
from workbook.template import fields as of_templates
from workbook.texts import _

_MOST_TOLD = 100
MOST_TEMPLATES = 5000  # of a workbook: the shape of each is built when it opens
_THEIR_OWN = {
    SETTINGS_ID: SettingsRecord,
    TOOLS_ID: ToolsRecord,
    AT_HAND: LayoutRecord,
    FIRST_BATCH: BatchRecord,
}  # ids that are of one kind of record only
_ONE_EACH = (SettingsRecord, ToolsRecord)  # kinds with a single record, under that id
_HOLD_THEM = ("spoken", "bars", "pieces", "entry")  # fields of structs that point to records


def _one_of_both(record: TemplateRecord | Revision) -> Iterator[tuple[str, str]]:
    if (record.family is None) is (record.drawn is None):
        yield "family", _("is given beside an outline.") if record.family else _("is missing, and so is an outline.")


def _stages_apart(batch: BatchRecord) -> Iterator[tuple[str, str]]:
    """Entries name the stage they are of."""
    if len({stage.name.casefold() for stage in batch.stages}) < len(batch.stages):
        yield "stages", _("has two with one name.")


RULES: dict[type, Rule] = {
    **of_templates.RULES,
    **of_shop.RULES,
    **of_sheaths.RULES,
    **of_making.RULES,
    **of_heat.RULES,
    BatchRecord: _stages_apart,
    TemplateRecord: _one_of_both,
    Revision: _one_of_both,
}
_judge = JudgedBy(FIELDS, RULES)
# By kind: its fields that hold an id, each with the kinds of record it may point to; no kinds for a field of structs with ids.
_POINTING: dict[type, tuple[tuple[str, tuple[type, ...]], ...]] = {
    kind: tuple((row.key, tuple(KINDS[word] for word in row.of)) for row in table if row.of or row.key in _HOLD_THEM)
    for kind, table in (OWN | of_making.FIELDS).items()
    if any(row.of or row.key in _HOLD_THEM for row in table)
}
_ADDED = {kind: tuple(row.key for row in table if row.added) for kind, table in OWN.items()}


def judged(records: Iterable[Record]) -> list[Mistake]:
    """The mistakes in the records of a workbook, each and together; at most the first 100."""
    all_records = list(records)
    return list(islice(chain(_wrong_each(all_records), wrong_together(all_records)), _MOST_TOLD))


def wrong_together(records: Iterable[Record]) -> Iterator[Mistake]:
    """The reasons why a window cannot show a workbook's templates: there are none, too many, or two of one name."""
    templates = [record.family or record.drawn for record in records if isinstance(record, TemplateRecord)]
    if not 1 <= len(templates) <= MOST_TEMPLATES:
        yield Mistake(
            place=_("templates"),
            what=_("there are {count}.", count=len(templates)),
            right=_("A shop book has 1 to {most_templates}.", most_templates=MOST_TEMPLATES),
        )
    names = Counter(template.name for template in templates if template is not None)
    for name, times in names.items():
        if times > 1:
            yield Mistake(
                place=_("template “{name}”", name=name[:40]),
                what=_("appears {times} times.", times=times),
                right=_("Each needs its own name."),
            )


def check_records(records: Iterable[Record]) -> None:
    """Check each record. CodecError with the first mistake."""
    for mistake in _wrong_each(list(records)):
        raise CodecError(f"{mistake.what} {mistake.right}".strip().removesuffix("."), mistake.place)


def wrong_with(before: Record | None, after: Record, records: Mapping[str, Record]) -> Iterator[Mistake]:
    """The mistakes in a record that is to replace `before` among others, including changes to fields that are written once."""
    yield from _wrong_within(after)
    yield from _wrong_references(after, records)
    if before is not None and type(before) is type(after):
        for key in _ADDED[type(after)]:
            if getattr(before, key) != getattr(after, key):
                yield Mistake(
                    place=_place(after, key),
                    what=_("cannot change once it is written."),
                    right=_("Correct it with a new entry."),
                )


def _wrong_each(records: Sequence[Record]) -> Iterator[Mistake]:
    """The mistakes in each record: its values, its id, and what its ids point to."""
    by_id = {record.id: record for record in records}
    for record in records:
        if not _judge.is_sound(record):
            yield from _wrong_within(record)
        if type(record) in _POINTING:
            yield from _wrong_references(record, by_id)
        required = _THEIR_OWN.get(record.id)
        if (required is not None and type(record) is not required) or (type(record) in _ONE_EACH and required is None):
            yield Mistake(
                place=_("record “{id}”", id=record.id[:40]), what=_("is of the kind {kind_of}.", kind_of=kind_of(record))
            )


def _wrong_within(record: Record) -> Iterator[Mistake]:
    for place, what, right in _judge(record):
        yield Mistake(place=_place(record, place[1:]), what=what, right=right)


def _wrong_references(record: Record, records: Mapping[str, Record]) -> Iterator[Mistake]:
    """The ids in a record that point to a record of the wrong kind."""
    for id_, place, kinds in _ids_in(record, ""):
        target = records.get(id_)
        if target is not None and type(target) not in kinds:
            yield Mistake(
                place=_place(record, place),
                what=_("refers to a record of the kind {kind_of}.", kind_of=kind_of(target)),
                right=_("Allowed: {names}.", names=", ".join((word for word, kind in KINDS.items() if kind in kinds))),
            )


def _ids_in(value: Any, at: str) -> Iterator[tuple[str, str, tuple[type, ...]]]:
    """The ids in a struct and in those within it, each with its place and the kinds of record it may point to."""
    for key, kinds in _POINTING.get(type(value), ()):
        content = getattr(value, key)
        several = isinstance(content, tuple)
        for n, each in enumerate(content if several else (content,), 1):
            place = f"{at}{key}[{n}]" if several else f"{at}{key}"
            if kinds:
                yield each, place, kinds
            else:
                yield from _ids_in(each, f"{place}.")


def _place(record: Record, key: str) -> str:
    """The record as a maker knows it, with the field: bar “52100 3/32 x 2 x 36”, bar.price."""
    owner = next((inner for part in ("bar", "material", "family", "drawn") if (inner := getattr(record, part, None))), record)
    name = getattr(owner, "name", "")
    kind = kind_of(record)
    if isinstance(name, str) and name:
        return _("{kind} “{name}”, {key}", kind=kind, name=name[:40], key=key)
    return _("{kind} {id}, {key}", kind=kind, id=record.id[:40], key=key)
