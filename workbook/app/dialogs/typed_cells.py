"""Cells of a table that are told while they are typed, key by key, as fields are."""

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit, QStyledItemDelegate, QStyleOptionViewItem, QWidget

Index = QModelIndex | QPersistentModelIndex


class TypedCells(QStyledItemDelegate):
    """Every key is taken into the table's item; Escape puts back what stood there."""

    typing = Signal(bool)  # a cell is typed in, or no longer

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.before = ""  # what stood in the cell that is typed in
        self._line: QLineEdit | None = None

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """A line that is listened to."""
        made = super().createEditor(parent, option, index)
        if isinstance(made, QLineEdit):
            self._line, self.before = made, str(index.data() or "")
            made.textEdited.connect(lambda text: self.commitData.emit(made))
            self.typing.emit(True)
        return made

    def destroyEditor(self, editor: QWidget, index: Index) -> None:
        """The entry is done."""
        self._line = None
        self.typing.emit(False)
        super().destroyEditor(editor, index)

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """What is being typed is left alone, though it may be kept in other letters."""
        if not (isinstance(editor, QLineEdit) and editor.isModified()):
            super().setEditorData(editor, index)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Escape: what stood there counts again. Return: the entry is done now, not a moment later as Qt would have it."""
        line = self._line
        pressed = event.key() if isinstance(event, QKeyEvent) and event.type() is QEvent.Type.KeyPress else None
        if line is None or watched is not line:
            return super().eventFilter(watched, event)
        if pressed == Qt.Key.Key_Escape and line.isModified():
            line.setText(self.before)
            self.commitData.emit(line)
        elif pressed in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.commitData.emit(line)
            if self._line is line:  # it was taken, and the cell not left meanwhile
                self.closeEditor.emit(line, QStyledItemDelegate.EndEditHint.SubmitModelCache)
            return True
        return super().eventFilter(watched, event)

    @property
    def open(self) -> bool:
        """Whether a cell is being typed in."""
        return self._line is not None

    def let_go(self) -> None:
        """What was typed was not taken: the cell shows what stands."""
        if self._line is not None:
            self.closeEditor.emit(self._line, QStyledItemDelegate.EndEditHint.RevertModelCache)
