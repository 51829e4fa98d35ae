"""Entry of a count, typed or stepped with arrows. Read by `number_in`, independent of the system's locale."""

from decimal import Decimal

from PySide6.QtCore import QEvent, QObject, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QAbstractSpinBox

from workbook.app.elements.basics import coloured, named
from workbook.app.elements.entry import left_to_window
from workbook.app.look import Look
from workbook.app.plain import plain
from workbook.number_in import NumberError, parse_number, parse_whole, written
from workbook.texts import labelled

Enabled = QAbstractSpinBox.StepEnabledFlag


class NumberField(QAbstractSpinBox):
    """A number read on demand. Typed text stays as typed; `trouble` reports what is wrong with it meanwhile.

    Built on QAbstractSpinBox: Qt's own box for whole numbers reads and writes them in the system's locale.
    """

    trouble = Signal(str)  # "" when the text is valid again

    def __init__(self, look: Look, name: str, words: str, width: int) -> None:
        super().__init__()
        named(self, name)
        self._words, self._limits, self._whole = words, (0, 1), True
        self.setAccessibleName(words)
        self.setFont(look.font("body"))
        self.setFixedSize(look.px(width), look.size("row"))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setKeyboardTracking(False)
        coloured(look, self)
        self._came_by_click = False
        self.lineEdit().textEdited.connect(lambda text: self._flag(self.why_not))

    def set_limits(self, low: int, high: int, *, whole: bool = True) -> None:
        """Set the range, and whether only whole numbers are taken."""
        self._limits, self._whole = (low, high), whole

    def show_number(self, number: Decimal | float) -> None:
        """Replace the text with a number."""
        self.lineEdit().setText(written(number, self._limits[1]))
        self._flag("")

    @property
    def number(self) -> Decimal:
        """The number in the field; raise NumberError, worded for the user, if the text is not one."""
        return self._read()

    def _read(self) -> Decimal:
        low, high = self._limits
        if self._whole:
            return Decimal(parse_whole(self.lineEdit().text(), low, high))
        return parse_number(self.lineEdit().text(), low, high)

    @property
    def why_not(self) -> str:
        """The reason the text is not accepted as a number; "" if it is."""
        try:
            self._read()
        except NumberError as trouble:
            return labelled(self._words, trouble)
        return ""

    def _flag(self, problem: str) -> None:
        if problem == self.accessibleDescription():
            return
        self.setProperty("wrong", bool(problem))
        self.style().polish(self)
        self.setToolTip(plain(problem))
        self.setAccessibleDescription(problem)
        self.trouble.emit(problem)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Note whether a click gave the keyboard, and start filtering keys and clicks."""
        super().focusInEvent(event)
        self._came_by_click = event.reason() is Qt.FocusReason.MouseFocusReason
        for watched in (self, self.lineEdit()):
            watched.installEventFilter(self)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """Stop filtering: every event of the field would pass through it."""
        super().focusOutEvent(event)
        for watched in (self, self.lineEdit()):
            watched.removeEventFilter(self)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Leave the window its shortcuts, and select the whole number after the first click."""
        if event.type() is QEvent.Type.MouseButtonRelease and self._came_by_click:
            self._came_by_click = False
            if not self.lineEdit().hasSelectedText():
                self.selectAll()
        return left_to_window(self, event, typing=self.lineEdit().isModified()) or super().eventFilter(watched, event)

    def stepEnabled(self) -> QAbstractSpinBox.StepEnabledFlag:
        """The steps that lead to a number within the limits."""
        if self.why_not:
            return Enabled.StepNone
        low, high = self._limits
        up = Enabled.StepUpEnabled if self.number < high else Enabled.StepNone
        return up | (Enabled.StepDownEnabled if self.number > low else Enabled.StepNone)

    def stepBy(self, steps: int) -> None:
        """Step the number up or down within the limits."""
        if not self.why_not:
            low, high = self._limits
            self.show_number(min(max(self.number + steps, Decimal(low)), Decimal(high)))
            self.selectAll()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Let the wheel scroll the surroundings unless the field has the focus."""
        super().wheelEvent(event) if self.hasFocus() else event.ignore()


class CountField(NumberField):
    """A count with a stored value: `entered` follows when an entry ends; unreadable text stays, marked, until corrected."""

    entered = Signal(int)

    def __init__(self, look: Look, name: str, words: str, width: int) -> None:
        super().__init__(look, name, words, width)
        self._kept = 0
        self.editingFinished.connect(self._finished)

    def show_count(self, count: int) -> None:
        """Show the stored count; the same count leaves an entry in progress alone."""
        if not self.lineEdit().isModified() or count != self._kept:
            self._kept = count
            self.show_number(count)

    def _finished(self) -> None:
        if self.why_not:
            return
        count = int(self.number)
        self.lineEdit().setModified(False)
        if count != self._kept:
            self._kept = count
            self.entered.emit(count)

    def stepBy(self, steps: int) -> None:
        """Step the count and accept it at once."""
        super().stepBy(steps)
        self._finished()

    def let_go(self) -> None:
        """Drop the typed text."""
        self._back()

    def _back(self) -> None:
        self.show_number(self._kept)
        self.lineEdit().setModified(False)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Restore the stored count with Escape."""
        if event.key() == Qt.Key.Key_Escape and self.lineEdit().isModified():
            self._back()
        else:
            super().keyPressEvent(event)
