"""An old print known again: its code typed or pasted, and what has become of that shape since."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from PySide6.QtWidgets import QInputDialog

from workbook.app.plain import message_box
from workbook.tasks.prints import recognised
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.frame import Frame


def ask_for_code(window: Frame) -> None:
    """Asks for what a print's code says, or its six letters, and tells."""
    asked = _("What the code on the print says, or the six letters behind its revision")
    words, given = QInputDialog.getText(window, _("Is a print still right?"), asked)
    if given and words.strip():
        space = window.workspace
        marks = re.findall(r"\b[2-9A-Z]{6}\b", words.upper())
        told = recognised(space.session.document, space.model, marks)
        message_box(window, _("Is a print still right?"), told, warning=False).open()
