"""The work as it is at one moment: what is made of it beside the window is of that moment, whatever is done meanwhile."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from workbook.document.document import Document
from workbook.model.model import Model

if TYPE_CHECKING:
    from workbook.app.workspace import Workspace


class AsItIs(Struct, frozen=True):
    """The document, its job with the shapes, and the key of the template chosen."""

    document: Document
    model: Model
    chosen: str


def as_it_is(workspace: Workspace) -> AsItIs:
    """The work of a workspace as it is now."""
    return AsItIs(workspace.session.document, workspace.model, workspace.chosen)
