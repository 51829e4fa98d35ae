"""Identification of an old print by its code, and what has become of its shape since."""

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
    """Ask for the text of a print's code, or its six letters, and report whether the print is still right."""
    prompt = _("Scan result, or the 6-character code after the revision number")
    text, accepted = QInputDialog.getText(window, _("Check a printed sheet"), prompt)
    if accepted and text.strip():
        space = window.workspace
        marks = re.findall(r"\b[2-9A-Z]{6}\b", text.upper())
        report = recognised(space.session.document, space.model, marks)
        message_box(window, _("Check a printed sheet"), report, warning=False).open()
