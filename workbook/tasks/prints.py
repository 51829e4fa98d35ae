"""Recognising prints by the mark of the shape they show."""

from collections.abc import Sequence

from workbook.document.document import Document
from workbook.document.records import Revision, TemplateRecord
from workbook.model.model import Model, shape_for
from workbook.template.mark import shape_mark
from workbook.texts import _


def recognised(document: Document, model: Model, marks: Sequence[str]) -> str:
    """Whether a print with one of these marks shows a template as it is now, as it was, or neither, in words."""
    for mark in marks:
        for blank in model.shapes.values():
            if shape_mark(blank) == mark:
                return _(
                    "{mark} is {name} as it is now. The print is right if it is true to size. Measure its check bars.",
                    mark=mark,
                    name=blank.name,
                )
        for revision in document.all(Revision):
            template = revision.family or revision.drawn
            if template is not None and shape_mark(shape_for(template, model.tools)) == mark:
                record = document.records.get(revision.of)
                name = record.template.name if isinstance(record, TemplateRecord) else template.name
                on_shelf = isinstance(record, TemplateRecord)
                since = _("It has changed. Print it again.") if on_shelf else _("The template was deleted.")
                print_of = _(
                    "{mark} is {name}, revision {number}, of {made}.",
                    mark=mark,
                    name=name,
                    number=revision.number,
                    made=document.settings.local.short_day(revision.made),
                )
                return f"{print_of} {since}"
    if not marks:
        return _("No code found. It has six letters and digits, e.g. 7K2M9Q, after the revision on the print.")
    return _(
        "{marks} is not a template or saved revision of this shop book. It is from another one, or changed before it was saved.",
        marks=marks[0],
    )
