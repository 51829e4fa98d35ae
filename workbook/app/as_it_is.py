"""The work at one moment: a file built from it beside the window stays true to that moment, even if the maker works on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from msgspec import Struct

from workbook.document.document import Document
from workbook.model.model import Model

if TYPE_CHECKING:
    from workbook.app.workspace import Workspace


class AsItIs(Struct, frozen=True):
    """The document, its model with the shapes, and the key of the chosen template."""

    document: Document
    model: Model
    chosen: str


def as_it_is(workspace: Workspace) -> AsItIs:
    """The present state of a workspace's work."""
    return AsItIs(workspace.session.document, workspace.model, workspace.chosen)
