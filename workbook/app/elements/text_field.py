"""A line of text that is told while it is typed: what makes sense is taken key by key, as a number is."""

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QFocusEvent, QHideEvent, QKeyEvent, QKeySequence
from PySide6.QtWidgets import QAbstractSpinBox, QApplication, QLineEdit, QWidget

from workbook.app.plain import plain

_STAYS = (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason)  # a menu, another window: it is come back to


class TextField(QLineEdit):
    """Emits `entered` at every key that leaves something that can be read, and `trouble` when not.

    `read`: the value of a text; ValueError in words for the maker. `written`: the text of a value.
    """

    entered = Signal(object)
    trouble = Signal(str)  # "" when all is well again
    typing = Signal(bool)  # an entry begins, or ends
    given_up = Signal()  # what stood before it counts again, and was told

    def __init__(self, name: str, read: Callable[[str], Any], written: Callable[[Any], str] = str) -> None:
        super().__init__()
        self.setObjectName(name)
        self._read, self._written = read, written
        self._value: Any = ""  # what stands
        self._before: Any = ""  # and what did when typing began
        self._typing = self._telling = False
        self.textEdited.connect(self._typed)
        self.returnPressed.connect(self._returned)

    def show_value(self, value: Any) -> None:
        """Shows what stands, but for what is being typed, which may be kept in other letters; another value ends the entry."""
        mine = self._telling or (self._typing and value == self._value)
        self._value = value
        if not mine:
            self.let_go()
            self._show()

    def let_go(self) -> None:
        """What was typed was not taken: the next value set is shown, whoever types."""
        self._telling = False
        self.setModified(False)
        self._entry(on=False)

    def settle(self) -> None:
        """The entry is done; text that made no sense goes back to what stood before typing began."""
        if self._typing:
            if self.property("wrong"):
                self._put_back()
            self.let_go()
            self._show()

    def _show(self) -> None:
        self.setText(self._written(self._value))
        self.setCursorPosition(0)  # a long text shows from its beginning
        self._flag("")

    def _entry(self, *, on: bool) -> None:
        """An entry is under way, or not."""
        if on != self._typing:
            self._typing = on
            self.typing.emit(on)

    def _typed(self, text: str) -> None:
        if not self._typing:
            self._before = self._value
        self._entry(on=True)
        try:
            value = self._read(text)
        except ValueError as trouble:
            self._flag(str(trouble))
            return
        self._flag("")
        self._tell(value)

    def _tell(self, value: Any) -> None:
        self._value, self._telling = value, True
        try:
            self.entered.emit(value)
        finally:
            self._telling = False

    def _put_back(self) -> None:
        """What stood before typing began."""
        if self._value != self._before:
            self._tell(self._before)
            self.given_up.emit()

    def _returned(self) -> None:
        if self.property("wrong") and self.hasFocus():  # what was typed stays, to be mended
            self._put_back()
        else:
            self.settle()

    def _flag(self, why: str) -> None:
        if bool(why) != bool(self.property("wrong")):
            self.setProperty("wrong", bool(why))
            self.style().polish(self)
        self.setToolTip(plain(why))
        self.setAccessibleDescription(why)
        self.trouble.emit(why)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Undo and redo are the workbook's, but for text that is being typed."""
        if isinstance(event, QKeyEvent) and event.type() is QEvent.Type.ShortcutOverride and not self.isModified():
            keys = (QKeySequence.StandardKey.Undo, QKeySequence.StandardKey.Redo)
            if any(event.matches(key) for key in keys):
                event.ignore()
                return True
        return super().eventFilter(watched, event)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape puts back what stood before typing began."""
        if event.key() == Qt.Key.Key_Escape and self._typing:
            self._put_back()
            self.let_go()
            self._show()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """From now on the keys are looked at."""
        super().focusInEvent(event)
        self.installEventFilter(self)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """The entry is done."""
        super().focusOutEvent(event)
        self.removeEventFilter(self)
        if event.reason() not in _STAYS:
            self.settle()

    def hideEvent(self, event: QHideEvent) -> None:
        """So it is when the field is no longer to be seen, but for a window that is made small."""
        super().hideEvent(event)
        if not event.spontaneous():
            self.settle()


class EntryLine(QLineEdit):
    """A line that adds something when Return is pressed; what was not added yet stands here again, also after a new start.

    `typed`: such lines by their names; it is written to.
    """

    def __init__(self, name: str, words: str, typed: dict[str, str]) -> None:
        super().__init__(typed.get(name, ""))
        self.setObjectName(name)
        self.setAccessibleName(words)
        self.setMaxLength(200)
        self.textChanged.connect(lambda text: typed.update({name: text}))


def end_entries(window: QWidget) -> None:
    """What is being typed in a window and its dialogs counts from now on: it is to close, or to show something else."""
    for field in window.findChildren(TextField):
        field.settle()
    here = QApplication.focusWidget()
    if isinstance(here, QLineEdit | QAbstractSpinBox):  # a number, or a cell of a table: it is read when it is left
        here.clearFocus()
        if here.isVisible():
            here.setFocus(Qt.FocusReason.OtherFocusReason)
