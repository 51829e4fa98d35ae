"""Templates: their parameters, the shelf, revisions."""

from collections.abc import Callable, Iterable, Sequence
from enum import StrEnum
from typing import Any

from workbook.document.action import said
from workbook.document.document import Document, Edit, EditError, replacing
from workbook.document.queries import free_name, next_place, number_of, revisions_of
from workbook.document.records import Revision, TemplateRecord
from workbook.document.shop_records import OrderLine, OrderRecord, PieceRecord
from workbook.structs import replace
from workbook.template.drawn import DrawnTemplate, turned
from workbook.template.model import Template
from workbook.template.parameters import PARAMETERS, Kind, changed
from workbook.template.pegs import free_of
from workbook.template.resizing import differences
from workbook.units import Unit, show

NewId = str
_MOST_TOLD = 4  # changes said one by one


def set_parameter(document: Document, template: str, path: str, value: Any) -> Edit:
    """One parameter of a template of a family."""
    record = document.get(template, TemplateRecord)
    if record.family is None:
        raise EditError(f"{record.template.name} has no parameters")
    words = f"{record.family.name}: {described(path, value, document.settings.unit)}"
    return replacing(document, words, [replace(record, family=changed(record.family, path, value))])


def reshape(document: Document, template: str, made: Template, what: str) -> Edit:
    """A template of a family with several parameters or its holes changed at once; `what` in the maker's words."""
    record = document.get(template, TemplateRecord)
    if record.family is None:
        raise EditError(f"{record.template.name} has no parameters")
    kept = replace(made, name=record.family.name, revision=record.family.revision)
    words = f"{record.family.name}: {what if what[1:2].isdigit() else what[:1].lower() + what[1:]}"
    return replacing(document, words, [replace(record, family=kept)])


def add_sizes(document: Document, template: str, sizes: Sequence[Template], new: Sequence[NewId]) -> Edit:
    """Several sizes of a template, put behind it on the shelf under names of their own."""
    record = document.get(template, TemplateRecord)
    taken, made = document, list[TemplateRecord]()
    for n, (size, id_) in enumerate(zip(sizes, new, strict=True), 1):
        named = replace(size, name=free_name(taken, size.name))
        made.append(TemplateRecord(id=id_, place=record.place + n * 1e-3, family=named))
        taken = taken.applied(replacing(taken, "", [made[-1]]))
    return replacing(document, f"{len(made)} sizes of {record.template.name}", made)


def take_back(document: Document, revision: str) -> Edit:
    """A template as it was in one of its revisions."""
    kept = document.get(revision, Revision)
    record = document.get(kept.of, TemplateRecord)
    words = f"{record.template.name}: as in revision {kept.number}"
    if kept.family is not None and record.family is not None:
        made = replace(kept.family, name=record.family.name, revision=record.family.revision)
        return replacing(document, words, [replace(record, family=made)])
    return replacing(document, words, [replace(record, family=kept.family, drawn=kept.drawn)])


def turn_end_for_end(document: Document, template: str) -> Edit:
    """An outline from a file turned, so that its point lies where it did not. EditError for a template with parameters."""
    record = document.get(template, TemplateRecord)
    if record.drawn is None:
        raise EditError(f"{record.template.name} has its point to the right")
    return replacing(document, f"{record.drawn.name}: turned end for end", [replace(record, drawn=turned(record.drawn))])


def set_thickness(document: Document, template: str, thickness: float) -> Edit:
    """The bar thickness of a template of either kind."""
    record = document.get(template, TemplateRecord)
    if record.drawn is None:
        return set_parameter(document, template, "blade.thickness", thickness)
    unit = document.settings.unit
    words = f"{record.drawn.name}: bar thickness {show(thickness, unit)} {unit}"
    return replacing(document, words, [replace(record, drawn=replace(record.drawn, thickness=thickness))])


def differences_in_words(before: Template, after: Template, unit: Unit) -> str:
    """What has changed from one to the other: "Since then: blade length 5 1/2 in (was 5 1/4)"."""
    changes = differences(before, after)
    told = [f"{described(p.path, now, unit)} (was {_shown(p.kind, was, unit)})" for p, was, now in changes[:_MOST_TOLD]]
    more = f", and {len(changes) - _MOST_TOLD} more" if len(changes) > _MOST_TOLD else ""
    holes = [] if (before.patterns, before.holes) == (after.patterns, after.holes) else ["other holes"]
    holes += [] if free_of(before) == free_of(after) else ["other free points"]
    return f"Since then: {', '.join((*told, *holes)) or 'nothing'}{more}."


def described(path: str, value: Any, unit: Unit) -> str:
    """A parameter and its value in words: "blade length 5 1/2 in"."""
    parameter = next(p for p in PARAMETERS if p.path == path)
    label = parameter.label[0].lower() + parameter.label[1:]
    label = label if parameter.group in label else f"{parameter.group} {label}"
    return f"{label} {_shown(parameter.kind, value, unit)}"


def _shown(kind: Kind, value: Any, unit: Unit) -> str:
    if value is None or isinstance(value, StrEnum | str):
        return str(value or "as the family has it")
    if kind in (Kind.LENGTH, Kind.FINE):
        return f"{show(value, unit, fine=kind is Kind.FINE)} {unit}"
    return {Kind.SHARE: f"{value:.0%}", Kind.ANGLE: f"{value:g}°"}.get(kind, f"{value:g}")


def holding(id: str, place: float, made: Template | DrawnTemplate) -> TemplateRecord:  # noqa: A002
    """A template of either kind as a record."""
    if isinstance(made, Template):
        return TemplateRecord(id=id, place=place, family=made)
    return TemplateRecord(id=id, place=place, drawn=made)


def add_template(document: Document, made: Template | DrawnTemplate, new: NewId) -> Edit:
    """A template put at the end of the shelf under a free name."""
    named = replace(made, name=free_name(document, made.name))
    return replacing(document, f"new template {named.name}", [holding(new, next_place(document, TemplateRecord), named)])


def duplicate(document: Document, template: str, new: NewId) -> Edit:
    """A copy beside the original."""
    record = document.get(template, TemplateRecord)
    name = free_name(document, f"{record.template.name} copy")
    copied = replace(holding(new, record.place + 1e-3, replace(record.template, name=name)), tags=record.tags)
    return replacing(document, f"copy of {record.template.name}", [copied])


def rename(document: Document, template: str, name: str) -> Edit:
    """Another name, made free where another template has it."""
    record = document.get(template, TemplateRecord)
    if not name.strip() or name.strip() == record.template.name:
        return Edit(said(f"name of {record.template.name}"), ())
    chosen = free_name(document, name.strip(), record.id)
    made = holding(record.id, record.place, replace(record.template, name=chosen))
    return replacing(document, f"{record.template.name} is now {chosen}", [replace(made, tags=record.tags)])


def set_tags(document: Document, template: str, tags: Sequence[str]) -> Edit:
    """Other words to find a template by."""
    record = document.get(template, TemplateRecord)
    kept = tuple(dict.fromkeys(tag.strip() for tag in tags if tag.strip()))
    return replacing(document, f"{record.template.name}: tags {', '.join(kept) or 'none'}", [replace(record, tags=kept)])


def remove(document: Document, template: str) -> Edit:
    """A template off the shelf, with what is ordered of it and its revisions; blanks cut for those lines are the shop's own."""
    record = document.get(template, TemplateRecord)
    lines = [line.id for line in document.all(OrderLine) if line.of == template]
    kept = [revision.id for revision in revisions_of(document, template)]
    pieces = [replace(piece, line="") for piece in document.all(PieceRecord) if piece.line in lines]
    numbers = sorted(
        {o.number for o in document.all(OrderRecord) if any(document.get(own, OrderLine).order == o.id for own in lines)}
    )
    also = f", also from order {', '.join(str(number) for number in numbers)}" if numbers else ""
    return replacing(document, f"{record.template.name} removed{also}", pieces, [template, *lines, *kept])


def kept_revisions(document: Document, templates: Iterable[str], made: str, why: str, new: Callable[[], NewId]) -> list[Revision]:
    """What is to be kept as revisions of some templates, each once: those that are not as they were kept last."""
    edits = [keep_revision(document, of, new(), made, why) for of in dict.fromkeys(templates)]
    return [change.after for edit in edits for change in edit.changes if isinstance(change.after, Revision)]


def keep_revision(document: Document, template: str, new: NewId, made: str, why: str, note: str = "") -> Edit:
    """The template as it is now kept as a revision, unless the last one kept is the same; that one takes the note."""
    record, number = document.get(template, TemplateRecord), number_of(document, template)
    words = f"revision {number} of {record.template.name}"
    same = next((revision for revision in revisions_of(document, template) if revision.number == number), None)
    if same is not None:
        return replacing(document, f"{words}: {note}", [replace(same, note=note)] if note and note != same.note else [])
    kept = Revision(id=new, of=template, number=number, made=made, why=why, note=note, family=record.family, drawn=record.drawn)
    return replacing(document, words, [kept])
