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
    """One parameter of a template of a family."""
    record = document.get(template, TemplateRecord)
    if record.family is None:
        raise EditError(_("{name} has no parameters", name=record.template.name))
    action = Action("template.parameter", {"template": record.family.name, "parameter": path, "value": plain(value)})
    return replacing(document, action, [replace(record, family=changed(record.family, path, value))])


def reshape(document: Document, template: str, after: Template, action: Action) -> Edit:
    """A template of a family with several parameters or its holes changed at once; `action`: what was done, but for its name."""
    record = document.get(template, TemplateRecord)
    if record.family is None:
        raise EditError(_("{name} has no parameters", name=record.template.name))
    kept = replace(after, name=record.family.name, revision=record.family.revision)
    return replacing(document, action.of(template=record.family.name), [replace(record, family=kept)])


def add_sizes(document: Document, template: str, sizes: Sequence[Template], new: Sequence[NewId]) -> Edit:
    """Several sizes of a template, put behind it on the shelf under names of their own."""
    record = document.get(template, TemplateRecord)
    taken, made = document, list[TemplateRecord]()
    for n, (size, id_) in enumerate(zip(sizes, new, strict=True), 1):
        named = replace(size, name=free_name(taken, size.name))
        made.append(TemplateRecord(id=id_, place=record.place + n * 1e-3, family=named))
        taken = Document({**taken.records, id_: made[-1]})
    return replacing(document, Action("template.sizes", {"template": record.template.name, "count": len(made)}), made)


def take_back(document: Document, revision: str) -> Edit:
    """A template as it was in one of its revisions."""
    kept = document.get(revision, Revision)
    record = document.get(kept.of, TemplateRecord)
    action = Action("template.taken_back", {"template": record.template.name, "revision": kept.number})
    if kept.family is not None and record.family is not None:
        made = replace(kept.family, name=record.family.name, revision=record.family.revision)
        return replacing(document, action, [replace(record, family=made)])
    return replacing(document, action, [replace(record, family=kept.family, drawn=kept.drawn)])


def turn_end_for_end(document: Document, template: str) -> Edit:
    """An outline from a file turned, so that its point lies where it did not. EditError for a template with parameters."""
    record = document.get(template, TemplateRecord)
    if record.drawn is None:
        raise EditError(_("{name} has its point to the right", name=record.template.name))
    action = Action("template.turned", {"template": record.drawn.name})
    return replacing(document, action, [replace(record, drawn=turned(record.drawn))])


def set_thickness(document: Document, template: str, thickness: float) -> Edit:
    """The bar thickness of a template of either kind."""
    record = document.get(template, TemplateRecord)
    if record.drawn is None:
        return set_parameter(document, template, "blade.thickness", thickness)
    action = Action("template.thickness", {"template": record.drawn.name, "thickness": thickness})
    return replacing(document, action, [replace(record, drawn=replace(record.drawn, thickness=thickness))])


def set_minutes(document: Document, template: str, minutes: float) -> Edit:
    """What one knife of a template takes; 0: by its sizes."""
    record = document.get(template, TemplateRecord)
    action = Action("template.minutes", {"template": record.template.name, "minutes": minutes})
    return replacing(document, action, [replace(record, minutes=minutes)])


def choose_bar(document: Document, template: str, choice: Choice | None) -> Edit:
    """The bar a template's blades are made of, by its name; None: the likeliest."""
    record = document.get(template, TemplateRecord)
    ids = {each.bar.name: each.id for each in document.all(BarRecord)}
    bar = ids.get(choice.bar, "") if choice is not None else ""
    named: GroundFrom = "cut" if choice is not None and choice.cut else "bar"
    kind: GroundFrom = "likeliest" if choice is None else "nominal" if choice.bar == NOMINAL else named
    action = Action("template.bar", {"template": record.template.name, "bar": choice.bar if choice and bar else "", "of": kind})
    return replacing(document, action, [replace(record, ground_from=kind, bar=bar)])


def holding(id: str, place: float, template: Template | DrawnTemplate) -> TemplateRecord:  # noqa: A002
    """A template of either kind as a record."""
    if isinstance(template, Template):
        return TemplateRecord(id=id, place=place, family=template)
    return TemplateRecord(id=id, place=place, drawn=template)


def add_template(document: Document, template: Template | DrawnTemplate, new: NewId) -> Edit:
    """A template put at the end of the shelf under a free name."""
    named = replace(template, name=free_name(document, template.name))
    record = holding(new, next_place(document, TemplateRecord), named)
    return replacing(document, Action("template.added", {"template": named.name}), [record])


def duplicate(document: Document, template: str, new: NewId) -> Edit:
    """A copy beside the original."""
    record = document.get(template, TemplateRecord)
    name = free_name(document, _("{name} copy", name=record.template.name))
    copied = replace(_called(record, name), id=new, place=record.place + 1e-3)
    if record.ground_from == "cut":  # what was cut is the original's
        copied = replace(copied, ground_from="likeliest", bar="")
    return replacing(document, Action("template.copied", {"template": record.template.name}), [copied])


def rename(document: Document, template: str, name: str) -> Edit:
    """Another name, made free where another template has it."""
    record = document.get(template, TemplateRecord)
    chosen = free_name(document, name.strip() or record.template.name, record.id)
    action = Action("template.renamed", {"template": record.template.name, "name": chosen})
    return replacing(document, action, [_called(record, chosen)])


def _called(record: TemplateRecord, name: str) -> TemplateRecord:
    """A template under another name, with all that is its own: tags, bar, minutes."""
    made = replace(record.template, name=name)
    return replace(record, family=made) if isinstance(made, Template) else replace(record, drawn=made)


def set_tags(document: Document, template: str, tags: Sequence[str]) -> Edit:
    """Other words to find a template by."""
    record = document.get(template, TemplateRecord)
    kept = tuple(dict.fromkeys(tag.strip() for tag in tags if tag.strip()))
    action = Action("template.tags", {"template": record.template.name, "tags": plain(kept)})
    return replacing(document, action, [replace(record, tags=kept)])


def remove(document: Document, template: str) -> Edit:
    """A template off the shelf, with what is ordered of it and its revisions; blanks cut for those lines are the shop's own."""
    record = document.get(template, TemplateRecord)
    lines = [line.id for line in document.all(OrderLine) if line.of == template]
    kept = [revision.id for revision in revisions_of(document, template)]
    pieces = [replace(piece, line="") for piece in document.all(PieceRecord) if piece.line in lines]
    orders = [o.number for o in document.all(OrderRecord) if any(document.get(own, OrderLine).order == o.id for own in lines)]
    action = Action("template.removed", {"template": record.template.name, "orders": plain(sorted(orders))})
    return replacing(document, action, pieces, [template, *lines, *kept])


def kept_revisions(document: Document, templates: Iterable[str], at: str, why: str, new: Callable[[], NewId]) -> list[Revision]:
    """What is to be kept as revisions of some templates, each once: those that are not as they were kept last."""
    edits = [keep_revision(document, of, new(), at, why) for of in dict.fromkeys(templates)]
    return [change.after for edit in edits for change in edit.changes if isinstance(change.after, Revision)]


def keep_revisions(document: Document, templates: Iterable[str], at: str, why: str, new: Callable[[], NewId]) -> Edit:
    """Some templates as they are now kept as revisions, together."""
    kept = kept_revisions(document, templates, at, why, new)
    names = [document.get(revision.of, TemplateRecord).template.name for revision in kept]
    return replacing(document, Action("revisions.kept", {"templates": plain(names)}), kept)


def keep_revision(document: Document, template: str, new: NewId, at: str, why: str, note: str = "") -> Edit:
    """The template as it is now kept as a revision, unless the last one kept is the same; that one takes the note."""
    record, number = document.get(template, TemplateRecord), number_of(document, template)
    action = Action("revision.kept", {"template": record.template.name, "revision": number})
    same = next((revision for revision in revisions_of(document, template) if revision.number == number), None)
    if same is not None:
        noted = Action("revision.noted", {**action.fields, "note": note})
        return replacing(document, noted, [replace(same, note=note)] if note and note != same.note else [])
    kept = Revision(id=new, of=template, number=number, made=at, why=why, note=note, family=record.family, drawn=record.drawn)
    return replacing(document, action, [kept])
