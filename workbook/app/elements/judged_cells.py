"""Cells that take only what can be read: another text stays open, marked, with its reason, until mended or Escape."""

from collections.abc import Callable

from PySide6.QtCore import QAbstractItemModel, QEvent, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent
from PySide6.QtWidgets import QLineEdit, QStyledItemDelegate, QStyleOptionViewItem, QTableView, QWidget

from workbook.app.elements.lettered_table import LetteredCells
from workbook.app.look import Look
from workbook.app.plain import plain

Index = QModelIndex | QPersistentModelIndex
_ENDS = (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Tab, Qt.Key.Key_Backtab)


class JudgedCells(LetteredCells):
    """`judge`: why a text cannot stand in a cell; "" where it can."""

    trouble = Signal(str)  # "" when all is well again

    def __init__(self, look: Look, table: QTableView, judge: Callable[[int, int, str], str]) -> None:
        super().__init__(look, table)
        self._judge, self._body = judge, look.font("body")
        self._line: QLineEdit | None = None
        self._cell, self._before = (0, 0), ""

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """A line that is judged while it is typed."""
        editor = super().createEditor(parent, option, index)
        if isinstance(editor, QLineEdit):
            self._line, self._cell = editor, (index.row(), index.column())
            editor.setFont(self._body)
            editor.textEdited.connect(lambda text: self._flag(editor, self._judge(*self._cell, text)))
        return editor

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """The text of the cell, all of it chosen, so that typing replaces it. A fraction is written plainly."""
        if isinstance(editor, QLineEdit):
            editor.setText(str(index.data() or "").replace("⁄", "/").replace("\u2009", " "))
            editor.selectAll()
            self._before = editor.text()

    def setModelData(self, editor: QWidget, model: QAbstractItemModel, index: Index) -> None:
        """Take the text; the entry is done. What cannot stand goes where another cell is clicked, since one is open at a time."""
        wrong = isinstance(editor, QLineEdit) and self._is_wrong(editor)
        self._line = None
        if not wrong:
            super().setModelData(editor, model, index)

    def let_go(self) -> None:
        """Close an open cell: what stands there is another by now."""
        if self._line is not None:
            self.closeEditor.emit(self._line, QStyledItemDelegate.EndEditHint.RevertModelCache)

    def destroyEditor(self, editor: QWidget, index: Index) -> None:
        """The entry is done."""
        self._line = None
        self.trouble.emit("")
        super().destroyEditor(editor, index)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """End the entry only where the text can stand; else it stays open, also where another field is clicked."""
        line = self._line
        if line is None or watched is not line:
            return super().eventFilter(watched, event)
        pressed = event.key() if isinstance(event, QKeyEvent) and event.type() is QEvent.Type.KeyPress else None
        if pressed in _ENDS and self._is_wrong(line):
            line.selectAll()
            return True
        if isinstance(event, QFocusEvent) and event.lostFocus() and self._is_wrong(line):
            return True
        return super().eventFilter(watched, event)

    def _is_wrong(self, line: QLineEdit) -> bool:
        why = "" if line.text() == self._before else self._judge(*self._cell, line.text())
        self._flag(line, why)
        return bool(why)

    def _flag(self, line: QLineEdit, why: str) -> None:
        line.setProperty("wrong", bool(why))
        line.style().polish(line)
        line.setToolTip(plain(why))
        line.setAccessibleDescription(why)
        self.trouble.emit(why)
