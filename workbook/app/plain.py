"""Words shown letter by letter: names of books, templates and files come from strangers, and Qt would obey tags in them."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from PySide6.QtCore import Qt

if TYPE_CHECKING:
    from PySide6.QtWidgets import QMessageBox, QWidget


def plain(words: str) -> str:
    """The words for a place that would obey tags in them, as tooltips do: they show as they are."""
    return f'<p style="white-space: pre-wrap">{escape(words)}</p>' if "<" in words else words


def message_box(window: QWidget | None, title: str, words: str, more: str = "", *, warning: bool = True) -> QMessageBox:
    """A message with a button to close it; `more` stands smaller below."""
    from PySide6.QtWidgets import QLabel, QMessageBox

    icon = QMessageBox.Icon.Warning if warning else QMessageBox.Icon.Information
    box = QMessageBox(icon, title, "", QMessageBox.StandardButton.Close, window)
    box.setText(words)
    box.setInformativeText(more)
    for part in box.findChildren(QLabel):  # the box's own text format leaves out the words below
        part.setTextFormat(Qt.TextFormat.PlainText)
    box.setTextFormat(Qt.TextFormat.PlainText)
    return box
