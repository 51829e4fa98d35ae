"""The finder: type a few letters of what is to be done, and press Enter."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QDialog, QLineEdit, QListWidget, QListWidgetItem, QVBoxLayout

from workbook.app.dialogs.findable import entries
from workbook.app.dialogs.matching import Findable, found, near, partly
from workbook.app.elements.basics import label, named
from workbook.app.plain import plain
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.frame import Frame
    from workbook.app.look import Look

_STEPS = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}


class Finder(QDialog):
    """A field and the list of what it finds; up and down choose one, Enter runs it."""

    def __init__(self, window: Frame, look: Look) -> None:
        super().__init__(window)
        self._window = window
        self.setWindowTitle(_("Find an action"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._entries = entries(window)
        self._shown: list[Findable] = []
        self.field = named(QLineEdit(), "find")
        self.field.setAccessibleName(_("Find an action"))
        self.field.setPlaceholderText(_("A few letters of what you want to do"))
        self.list = named(QListWidget(), "found")
        self.list.setAccessibleName(_("Actions found"))
        for widget in (self.field, self.list):
            widget.setFont(look.font("body"))
        self.nothing = label(look, "", soft=True)
        self.nothing.setWordWrap(True)
        column = QVBoxLayout(self)
        column.addWidget(self.field)
        column.addWidget(self.nothing)
        column.addWidget(self.list)
        self.resize(look.px(480), look.px(400))
        self.field.textChanged.connect(self._show)
        self.field.returnPressed.connect(self._do)
        self.list.itemActivated.connect(lambda item: self._do())
        self.field.installEventFilter(self)
        self._show("")

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Move through the list with up and down while the field has the focus."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress and Qt.Key(event.key()) in _STEPS:
            row = self.list.currentRow() + _STEPS[Qt.Key(event.key())]
            self.list.setCurrentRow(max(0, min(row, self.list.count() - 1)))
            return True
        return super().eventFilter(watched, event)

    def _show(self, text: str) -> None:
        """List what the typed words find; where they find nothing, say so and list what words spelled like them find."""
        self._shown = found(self._entries, text)
        self.nothing.setVisible(not self._shown)
        if not self._shown:
            self._shown = partly(self._entries, text)
            self.nothing.setText(plain(_("Nothing has all of “{text}”. Found for some of these words:", text=text)))
        if not self._shown:
            close = near(self._entries, text)
            self._shown = list({id(entry): entry for word in close for entry in found(self._entries, word)}.values())
            words = _("Nothing found for “{text}”. Found for {near}:", text=text, near=", ".join(f"“{word}”" for word in close))
            self.nothing.setText(plain(words if close else _("Nothing found for “{text}”. Try another word.", text=text)))
        self.list.clear()
        for entry in self._shown:
            item = QListWidgetItem(f"{entry.words}    {entry.key}".rstrip())
            item.setToolTip(plain(entry.meaning))
            if not entry.possible:
                item.setFlags(Qt.ItemFlag.NoItemFlags)
            self.list.addItem(item)
        self.list.setCurrentRow(0)

    def _do(self) -> None:
        """Run the chosen entry; where that cannot be done any more, list what can."""
        row = self.list.currentRow()
        if row < 0:
            return
        run = self._shown[row].way()
        if run is None:
            self._entries = entries(self._window)
            self._show(self.field.text())
            return
        self.close()
        run()
