"""Show text as it is: names in books, templates and files come from strangers, and Qt would interpret tags in them."""

from __future__ import annotations

from html import escape

from PySide6 import QtWidgets
from PySide6.QtCore import Qt


def plain(words: str) -> str:
    """Escape the words for a place that interprets tags, such as a tooltip, so that they show as they are."""
    return f'<p style="white-space: pre-wrap">{escape(words)}</p>' if "<" in words else words


def message_box(
    window: QtWidgets.QWidget | None, title: str, words: str, more: str = "", *, warning: bool = True
) -> QtWidgets.QMessageBox:
    """A message box with a Close button; `more` is shown smaller below."""
    icon = QtWidgets.QMessageBox.Icon.Warning if warning else QtWidgets.QMessageBox.Icon.Information
    box = QtWidgets.QMessageBox(icon, title, "", QtWidgets.QMessageBox.StandardButton.Close, window)
    box.setText(words)
    box.setInformativeText(more)
    for part in box.findChildren(QtWidgets.QLabel):  # the box's own text format does not apply to the text below
        part.setTextFormat(Qt.TextFormat.PlainText)
    box.setTextFormat(Qt.TextFormat.PlainText)
    return box
