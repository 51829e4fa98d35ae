"""Table cells that report their text while it is typed, keystroke by keystroke, as fields do."""

from PySide6.QtCore import QEvent, QModelIndex, QObject, QPersistentModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QLineEdit, QStyledItemDelegate, QStyleOptionViewItem, QWidget

Index = QModelIndex | QPersistentModelIndex


class TypedCells(QStyledItemDelegate):
    """A delegate that commits every keystroke to the table's item; Escape restores the text from before."""

    typing = Signal(bool)  # whether a cell is being typed in

    def __init__(self, parent: QObject) -> None:
        super().__init__(parent)
        self.before = ""  # text of the cell before typing began
        self._line: QLineEdit | None = None

    def createEditor(self, parent: QWidget, option: QStyleOptionViewItem, index: Index) -> QWidget:
        """Create a line editor that commits at every keystroke."""
        editor = super().createEditor(parent, option, index)
        if isinstance(editor, QLineEdit):
            self._line, self.before = editor, str(index.data() or "")
            editor.textEdited.connect(lambda text: self.commitData.emit(editor))
            self.typing.emit(True)
        return editor

    def destroyEditor(self, editor: QWidget, index: Index) -> None:
        """End the entry."""
        self._line = None
        self.typing.emit(False)
        super().destroyEditor(editor, index)

    def setEditorData(self, editor: QWidget, index: Index) -> None:
        """Leave text being typed alone, even if the item stores it in another form."""
        if not (isinstance(editor, QLineEdit) and editor.isModified()):
            super().setEditorData(editor, index)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Restore the earlier text on Escape; on Return end the entry now, not a moment later as Qt would."""
        line = self._line
        key = event.key() if isinstance(event, QKeyEvent) and event.type() is QEvent.Type.KeyPress else None
        if line is None or watched is not line:
            return super().eventFilter(watched, event)
        if key == Qt.Key.Key_Escape and line.isModified():
            line.setText(self.before)
            self.commitData.emit(line)
        elif key in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.commitData.emit(line)
            if self._line is line:  # accepted, and the cell is still open
                self.closeEditor.emit(line, QStyledItemDelegate.EndEditHint.SubmitModelCache)
            return True
        return super().eventFilter(watched, event)

    @property
    def open(self) -> bool:
        """Whether a cell is being typed in."""
        return self._line is not None

    def let_go(self) -> None:
        """Drop the typed text, so that the cell shows its stored value."""
        if self._line is not None:
            self.closeEditor.emit(self._line, QStyledItemDelegate.EndEditHint.RevertModelCache)
