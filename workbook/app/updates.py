"""Say once, when a workbook of an older program is opened, which of its numbers have changed."""

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
_STAYS = _("Quotes and prints you made stay as they were.")


def tell_update(window: Frame) -> None:
    """Show the changes over the window, if an older program kept the work and they were not shown yet."""
    space = window.workspace
    version = space.session.updated_from
    if not version:
        return
    changes = updates.changed_since(version, space.session.document, space.model)
    space.session.update_told()
    if changes:
        box = message_box(window, _TITLE, _TITLE, "\n\n".join([*changes, _STAYS]), warning=False)
        box.setObjectName("update-told")
        box.open()
