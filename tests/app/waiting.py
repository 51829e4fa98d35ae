"""Waits, as a maker does, until the window has done what it was asked."""

from PySide6.QtCore import Qt

from tests.clock import settled, until
from workbook.app.dialogs.export import ExportDialog


def at_rest(window, most=60.0):
    """Waits until nothing is read, opened, written or let go beside the window."""
    until(lambda: not window.beside.busy and not window.filing.busy, most)
    settled(0.01)


def saved_in_preview(qtbot, window):
    """Save what the preview that is open shows; the dialog, which stays open."""
    (dialog,) = (each for each in window.findChildren(ExportDialog) if each.isVisible())
    qtbot.waitUntil(lambda: dialog.save.isEnabled(), timeout=20_000)
    qtbot.mouseClick(dialog.save, Qt.MouseButton.LeftButton)
    at_rest(window)
    return dialog
