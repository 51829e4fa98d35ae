"""Tells once, when a workbook of an older program is opened, which of its numbers are other ones now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbook.app.plain import message_box
from workbook.later import modules
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.frame import Frame
    from workbook.model import updates
else:
    (updates,) = modules("model.updates")

_TITLE = _("Some numbers are different now")
_STAYS = _("What was quoted or printed stays as it was.")


def tell_update(window: Frame) -> None:
    """A message over the window, where the work was kept by an older program and that has not been told."""
    space = window.workspace
    version = space.session.updated_from
    if not version:
        return
    told = updates.changed_since(version, space.session.document, space.model)
    space.session.update_told()
    if told:
        box = message_box(window, _TITLE, _TITLE, "\n\n".join([*told, _STAYS]), warning=False)
        box.setObjectName("update-told")
        box.open()
