"""Kept layouts, and the one being edited by hand."""

from collections.abc import Callable

from workbook.document.action import Action
from workbook.document.actions.templates import kept_revisions
from workbook.document.document import Document, Edit, replacing
from workbook.document.records import AT_HAND, LayoutRecord, Revision
from workbook.structs import replace


def keep_layout(document: Document, layout: LayoutRecord, new: Callable[[], str]) -> Edit:
    """Keep a layout, and every template of it as a revision, so that a later change shows."""
    return replacing(document, Action("layout.kept", {"layout": layout.name}), [layout, *_revisions(document, layout, new)])


def _revisions(document: Document, layout: LayoutRecord, new: Callable[[], str]) -> list[Revision]:
    return kept_revisions(document, (piece.of for bar in layout.bars for piece in bar.pieces), layout.made, "layout", new)


def put_at_hand(document: Document, layout: LayoutRecord, action: Action, new: Callable[[], str]) -> Edit:
    """Store the layout being edited by hand, with revisions of its templates; `action`: what was done."""
    return replacing(document, action, [replace(layout, id=AT_HAND), *_revisions(document, layout, new)])


def rename_layout(document: Document, id: str, name: str) -> Edit:  # noqa: A002
    """Rename a kept layout; an empty name leaves it unchanged."""
    record = document.get(id, LayoutRecord)
    after = replace(record, name=name.strip() or record.name)
    return replacing(document, Action("layout.renamed", {"layout": record.name, "name": after.name}), [after])


def drop_layout(document: Document, id: str) -> Edit:  # noqa: A002
    """Delete a kept layout."""
    return replacing(document, Action("layout.dropped", {"layout": document.get(id, LayoutRecord).name}), [], [id])
