"""Backups of workbooks on this computer; a chosen one opens as a new workbook and overwrites nothing."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QDialogButtonBox, QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from workbook.app.elements.basics import label, named
from workbook.app.look import Look
from workbook.storage.backups import Backup
from workbook.texts import _


class Backups(QDialog):
    """The dialog that lists the copies, the newest first."""

    def __init__(self, parent: QWidget, look: Look, copies: list[Backup], restore: Callable[[Path], object]) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Restore a backup"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._restore = restore
        self.list = named(QListWidget(), "backups")
        self.list.setAccessibleName(_("Backups"))
        self.list.setFont(look.font("body"))
        for copy in copies:
            item = QListWidgetItem(_words(copy))
            item.setData(Qt.ItemDataRole.UserRole, str(copy.file))
            self.list.addItem(item)
        buttons = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.restore_button = named(
            buttons.addButton(_("Open as a new shop book"), QDialogButtonBox.ButtonRole.AcceptRole), "restore"
        )
        self.restore_button.setEnabled(False)
        column = QVBoxLayout(self)
        words = _("The last ten copies of each shop book, and one from before each update. A copy opens as a new shop book.")
        column.addWidget(label(look, words if copies else _("There are no backups yet."), "small", soft=True))
        column.addWidget(self.list)
        column.addWidget(buttons)
        self.resize(look.px(560), look.px(420))
        self.list.currentRowChanged.connect(lambda row: self.restore_button.setEnabled(row >= 0))
        self.list.itemActivated.connect(self.accept)
        buttons.accepted.connect(self.accept)
        buttons.rejected.connect(self.reject)

    def accept(self) -> None:
        """Open the chosen copy."""
        item = self.list.currentItem()
        if item is not None:
            super().accept()
            self._restore(Path(item.data(Qt.ItemDataRole.UserRole)))


def _words(copy: Backup) -> str:
    """Describe a copy: "Harbour kitchen run   2026-03-01 18:20   212 kB, before an update"."""
    size = f"{copy.size / 1e6:.1f} MB" if copy.size >= 1_000_000 else f"{max(copy.size // 1000, 1)} kB"
    if copy.before_update:
        size = _("{size}, before an update", size=size)
    return f"{copy.name}   {copy.made:%Y-%m-%d %H:%M}   {size}"
