"""Families of the maker's own: templates saved as forms to begin from."""

from workbook.document.action import Action
from workbook.document.actions.templates import NewId
from workbook.document.document import Document, Edit, EditError, replacing
from workbook.document.queries import free_name, next_place
from workbook.document.records import FamilyRecord, TemplateRecord
from workbook.structs import replace
from workbook.texts import _


def save_family(document: Document, template: str, name: str, new: NewId) -> Edit:
    """Save a template as a family, in place of one of the same name; the template belongs to it from now on.

    EditError for a drawn template.
    """
    record = document.get(template, TemplateRecord)
    if record.family is None:
        raise EditError(_("{name} has no parameters", name=record.template.name))
    same = family_named(document, name)
    id_, place = (same.id, same.place) if same is not None else (new, next_place(document, FamilyRecord))
    family = FamilyRecord(id=id_, place=place, template=replace(record.family, name=name, revision=1))
    action = Action("family.saved", {"template": record.family.name, "family": name})
    return replacing(document, action, [family, replace(record, own_family=id_)])


def begin(document: Document, family: str, new: NewId) -> Edit:
    """Add a template of one of the maker's own families, under a free name."""
    record = document.get(family, FamilyRecord)
    template = replace(record.template, name=free_name(document, record.template.name))
    begun = TemplateRecord(id=new, place=next_place(document, TemplateRecord), family=template, own_family=family)
    return replacing(document, Action("template.added", {"template": template.name}), [begun])


def remove_family(document: Document, family: str) -> Edit:
    """Remove a family; templates begun from it stay as they are."""
    record = document.get(family, FamilyRecord)
    templates = [replace(each, own_family="") for each in document.all(TemplateRecord) if each.own_family == family]
    return replacing(document, Action("family.removed", {"family": record.template.name}), templates, [family])


def family_named(document: Document, name: str) -> FamilyRecord | None:
    """The maker's own family of a name, upper and lower case alike."""
    same = (each for each in document.all(FamilyRecord) if each.template.name.casefold() == name.casefold())
    return next(same, None)
