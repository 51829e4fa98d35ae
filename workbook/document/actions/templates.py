"""Templates: their parameters, the shelf, revisions."""

from collections.abc import Callable, Iterable, Sequence
from typing import Any

from workbook.document.action import Action, plain
from workbook.document.document import Document, Edit, EditError, replacing
from workbook.document.queries import free_name, next_place, number_of, revisions_of
from workbook.document.records import BarRecord, GroundFrom, Revision, TemplateRecord
from workbook.document.shop_records import OrderLine, OrderRecord, PieceRecord
from workbook.shop.job import NOMINAL, Choice
from workbook.structs import replace
from workbook.template.drawn import DrawnTemplate, turned
from workbook.template.model import Template
from workbook.template.parameters import changed
from workbook.texts import _

NewId = str


def set_parameter(document: Document, template: str, path: str, value: Any) -> Edit:
    """Set one parameter of a template of a family. EditError for a drawn template."""
    record = document.get(template, TemplateRecord)
    if record.family is None:
        raise EditError(_("{name} has no parameters", name=record.template.name))
    action = Action("template.parameter", {"template": record.family.name, "parameter": path, "value": plain(value)})
    return replacing(document, action, [replace(record, family=changed(record.family, path, value))])


def reshape(document: Document, template: str, after: Template, action: Action) -> Edit:
    """Change several parameters or the holes of a template of a family at once; `action` need not give its name.

    EditError for a drawn template.
    """
    record = document.get(template, TemplateRecord)
    if record.family is None:
        raise EditError(_("{name} has no parameters", name=record.template.name))
    family = replace(after, name=record.family.name, revision=record.family.revision)
    return replacing(document, action.of(template=record.family.name), [replace(record, family=family)])


def add_sizes(document: Document, template: str, sizes: Sequence[Template], new: Sequence[NewId]) -> Edit:
    """Add several sizes of a template, after it on the shelf and under free names."""
    record = document.get(template, TemplateRecord)
    current, records = document, list[TemplateRecord]()
    for n, (size, id_) in enumerate(zip(sizes, new, strict=True), 1):
        named = replace(size, name=free_name(current, size.name))
        records.append(TemplateRecord(id=id_, place=record.place + n * 1e-3, family=named))
        current = Document({**current.records, id_: records[-1]})
    return replacing(document, Action("template.sizes", {"template": record.template.name, "count": len(records)}), records)


def take_back(document: Document, revision: str) -> Edit:
    """Restore a template from one of its revisions."""
    source = document.get(revision, Revision)
    record = document.get(source.of, TemplateRecord)
    action = Action("template.taken_back", {"template": record.template.name, "revision": source.number})
    if source.family is not None and record.family is not None:
        family = replace(source.family, name=record.family.name, revision=record.family.revision)
        return replacing(document, action, [replace(record, family=family)])
    return replacing(document, action, [replace(record, family=source.family, drawn=source.drawn)])


def turn_end_for_end(document: Document, template: str) -> Edit:
    """Turn an outline from a file end for end. EditError for a template with parameters."""
    record = document.get(template, TemplateRecord)
    if record.drawn is None:
        raise EditError(_("{name} has its tip to the right", name=record.template.name))
    action = Action("template.turned", {"template": record.drawn.name})
    return replacing(document, action, [replace(record, drawn=turned(record.drawn))])


def set_thickness(document: Document, template: str, thickness: float) -> Edit:
    """Set the bar thickness, mm, of a template of either kind."""
    record = document.get(template, TemplateRecord)
    if record.drawn is None:
        return set_parameter(document, template, "blade.thickness", thickness)
    action = Action("template.thickness", {"template": record.drawn.name, "thickness": thickness})
    return replacing(document, action, [replace(record, drawn=replace(record.drawn, thickness=thickness))])


def set_minutes(document: Document, template: str, minutes: float) -> Edit:
    """Set the minutes that one knife of a template takes; 0: estimated from its sizes."""
    record = document.get(template, TemplateRecord)
    action = Action("template.minutes", {"template": record.template.name, "minutes": minutes})
    return replacing(document, action, [replace(record, minutes=minutes)])


def choose_bar(document: Document, template: str, choice: Choice | None) -> Edit:
    """Choose the bar, by its name, that a template's blades are made of; None: the likeliest."""
    record = document.get(template, TemplateRecord)
    ids = {each.bar.name: each.id for each in document.all(BarRecord)}
    bar = ids.get(choice.bar, "") if choice is not None else ""
    named: GroundFrom = "cut" if choice is not None and choice.cut else "bar"
    kind: GroundFrom = "likeliest" if choice is None else "nominal" if choice.bar == NOMINAL else named
    action = Action("template.bar", {"template": record.template.name, "bar": choice.bar if choice and bar else "", "of": kind})
    return replacing(document, action, [replace(record, ground_from=kind, bar=bar)])


def holding(id: str, place: float, template: Template | DrawnTemplate) -> TemplateRecord:  # noqa: A002
    """Build the record of a template of either kind."""
    if isinstance(template, Template):
        return TemplateRecord(id=id, place=place, family=template)
    return TemplateRecord(id=id, place=place, drawn=template)


def add_template(document: Document, template: Template | DrawnTemplate, new: NewId) -> Edit:
    """Add a template at the end of the shelf under a free name."""
    named = replace(template, name=free_name(document, template.name))
    record = holding(new, next_place(document, TemplateRecord), named)
    return replacing(document, Action("template.added", {"template": named.name}), [record])


def duplicate(document: Document, template: str, new: NewId) -> Edit:
    """Copy a template, next to the original."""
    record = document.get(template, TemplateRecord)
    name = free_name(document, _("{name} copy", name=record.template.name))
    copy = replace(_called(record, name), id=new, place=record.place + 1e-3)
    if record.ground_from == "cut":  # the blanks cut are the original's
        copy = replace(copy, ground_from="likeliest", bar="")
    return replacing(document, Action("template.copied", {"template": record.template.name}), [copy])


def rename(document: Document, template: str, name: str) -> Edit:
    """Rename a template; a name that another template has is made unique."""
    record = document.get(template, TemplateRecord)
    free = free_name(document, name.strip() or record.template.name, record.id)
    action = Action("template.renamed", {"template": record.template.name, "name": free})
    return replacing(document, action, [_called(record, free)])


def _called(record: TemplateRecord, name: str) -> TemplateRecord:
    """The template under another name, keeping its tags, bar and minutes."""
    template = replace(record.template, name=name)
    return replace(record, family=template) if isinstance(template, Template) else replace(record, drawn=template)


def set_tags(document: Document, template: str, tags: Sequence[str]) -> Edit:
    """Set the words to find a template by."""
    record = document.get(template, TemplateRecord)
    unique = tuple(dict.fromkeys(tag.strip() for tag in tags if tag.strip()))
    action = Action("template.tags", {"template": record.template.name, "tags": plain(unique)})
    return replacing(document, action, [replace(record, tags=unique)])


def remove(document: Document, template: str) -> Edit:
    """Remove a template with its order lines and revisions; blanks cut for those lines become the shop's own."""
    record = document.get(template, TemplateRecord)
    lines = [line.id for line in document.all(OrderLine) if line.of == template]
    revisions = [revision.id for revision in revisions_of(document, template)]
    pieces = [replace(piece, line="") for piece in document.all(PieceRecord) if piece.line in lines]
    orders = [o.number for o in document.all(OrderRecord) if any(document.get(each, OrderLine).order == o.id for each in lines)]
    action = Action("template.removed", {"template": record.template.name, "orders": plain(sorted(orders))})
    return replacing(document, action, pieces, [template, *lines, *revisions])


def kept_revisions(document: Document, templates: Iterable[str], at: str, why: str, new: Callable[[], NewId]) -> list[Revision]:
    """The revisions to keep of some templates, each once, leaving out those unchanged since their last revision."""
    edits = [keep_revision(document, of, new(), at, why) for of in dict.fromkeys(templates)]
    return [change.after for edit in edits for change in edit.changes if isinstance(change.after, Revision)]


def keep_revisions(document: Document, templates: Iterable[str], at: str, why: str, new: Callable[[], NewId]) -> Edit:
    """Keep some templates, as they are now, as revisions in one edit."""
    revisions = kept_revisions(document, templates, at, why, new)
    names = [document.get(revision.of, TemplateRecord).template.name for revision in revisions]
    return replacing(document, Action("revisions.kept", {"templates": plain(names)}), revisions)


def keep_revision(document: Document, template: str, new: NewId, at: str, why: str, note: str = "") -> Edit:
    """Keep the template, as it is now, as a revision; if the last revision is the same, that one takes the note."""
    record, number = document.get(template, TemplateRecord), number_of(document, template)
    action = Action("revision.kept", {"template": record.template.name, "revision": number})
    current = next((revision for revision in revisions_of(document, template) if revision.number == number), None)
    if current is not None:
        note_action = Action("revision.noted", {**action.fields, "note": note})
        return replacing(document, note_action, [replace(current, note=note)] if note and note != current.note else [])
    after = Revision(id=new, of=template, number=number, made=at, why=why, note=note, family=record.family, drawn=record.drawn)
    return replacing(document, action, [after])
