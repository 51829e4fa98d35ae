"""Undo and redo by their keys in a dialog whose entries take effect at once."""

from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QDialog

from workbook.app.workspace import Workspace


def undo_by_keys(dialog: QDialog, workspace: Workspace) -> None:
    """Let the usual keys undo and redo while the dialog has the keyboard."""
    for key, run in ((QKeySequence.StandardKey.Undo, workspace.undo), (QKeySequence.StandardKey.Redo, workspace.redo)):
        QShortcut(QKeySequence(key), dialog).activated.connect(run)
