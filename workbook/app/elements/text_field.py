"""A text field that reports its value while it is typed: valid text is accepted at every keystroke, as a number is."""

from collections.abc import Callable
from typing import Any

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QHideEvent, QKeyEvent
from PySide6.QtWidgets import QAbstractSpinBox, QApplication, QLineEdit, QWidget

from workbook.app.elements.entry import WholeValue
from workbook.app.plain import plain

_STAYS = (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason)  # a menu or window: the focus returns


class TextField(WholeValue):
    """A line of text. It emits `entered` at every keystroke that leaves valid text, and `trouble` otherwise.

    `read`: reads a text's value, or raises ValueError worded for the user; `write`: the text of a value.
    """

    entered = Signal(object)
    trouble = Signal(str)  # "" when the text is valid again
    typing = Signal(bool)  # an entry begins, or ends
    whole = False  # a click sets the cursor
    given_up = Signal()  # the previous value is restored and has been emitted

    def __init__(self, name: str, read: Callable[[str], Any], write: Callable[[Any], str] = str) -> None:
        super().__init__()
        self.setObjectName(name)
        self._read, self._written = read, write
        self._value: Any = ""  # the current value
        self._before: Any = ""  # the value when typing began
        self._typing = self._telling = False
        self.textEdited.connect(self._typed)
        self.returnPressed.connect(self._returned)

    def show_value(self, value: Any) -> None:
        """Show a value. The one being typed is left as typed, even if stored in another form; another ends the entry."""
        own_edit = self._telling or ((self._typing or self.property("wrong")) and value == self._value)
        self._value = value
        if not own_edit:
            self.let_go()
            self._show()

    def let_go(self) -> None:
        """Drop the typed text, so that the next value set is shown even during an entry."""
        self._telling = False
        if self.property("wrong"):
            self._flag("")
            self.setText(self._written(self._value))
        self.setModified(False)
        self._entry(on=False)

    def settle(self) -> None:
        """End the entry. Invalid text stays, marked, until it is corrected or given up; the value from before it counts."""
        if self._typing:
            if self.property("wrong"):
                self._put_back()
                self._entry(on=False)
            else:
                self.let_go()
                self._show()

    def _show(self) -> None:
        self.setText(self._written(self._value))
        self.setCursorPosition(0)  # show a long text from its beginning
        self._flag("")

    def _entry(self, *, on: bool) -> None:
        """Note that an entry begins or ends."""
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
        """Restore the value from before typing began."""
        if self._value != self._before:
            self._tell(self._before)
            self.given_up.emit()

    def _returned(self) -> None:
        if self.property("wrong"):
            self._typed(self.text())  # what is right may be another by now
        self.settle()

    def _flag(self, problem: str) -> None:
        if bool(problem) != bool(self.property("wrong")):
            self.setProperty("wrong", bool(problem))
            self.style().polish(self)
        self.setToolTip(plain(problem))
        self.setAccessibleDescription(problem)
        self.trouble.emit(problem)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Restore the value from before typing with Escape."""
        if event.key() == Qt.Key.Key_Escape and (self._typing or self.property("wrong")):
            self._put_back()
            self.let_go()
            self._show()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Show again what is wrong with the text."""
        super().focusInEvent(event)
        if self.property("wrong"):
            self.trouble.emit(self.accessibleDescription())

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """End the entry, unless focus goes to a menu or another window."""
        super().focusOutEvent(event)
        if event.reason() not in _STAYS:
            self.settle()

    def hideEvent(self, event: QHideEvent) -> None:
        """End the entry when the field is hidden, unless its window is minimised."""
        super().hideEvent(event)
        if not event.spontaneous():
            self.settle()


class EntryLine(WholeValue):
    """A line that adds something when Return is pressed; text not yet added survives a restart.

    `typed`: the texts of these lines by name; it is updated as the user types.
    """

    whole = False

    def __init__(self, name: str, words: str, typed: dict[str, str]) -> None:
        super().__init__(typed.get(name, ""))
        self.setObjectName(name)
        self.setAccessibleName(words)
        self.setMaxLength(200)
        self.textChanged.connect(lambda text: typed.update({name: text}))


def end_entries(window: QWidget) -> None:
    """End every entry in a window and its dialogs, before it closes or shows something else."""
    for field in window.findChildren(TextField):
        field.settle()
    widget = QApplication.focusWidget()
    if isinstance(widget, QLineEdit | QAbstractSpinBox):  # a number or a table cell is read when it loses the focus
        widget.clearFocus()
        if widget.isVisible():
            widget.setFocus(Qt.FocusReason.OtherFocusReason)
