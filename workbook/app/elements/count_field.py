"""Entry of a count: typed, or one more and one less by arrows. Read by `number_in`, never by the system's language."""

from decimal import Decimal

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QWheelEvent
from PySide6.QtWidgets import QAbstractSpinBox

from workbook.app.elements.basics import coloured, named
from workbook.app.look import Look
from workbook.app.plain import plain
from workbook.number_in import NumberError, parse_number, parse_whole, written

Enabled = QAbstractSpinBox.StepEnabledFlag


class NumberField(QAbstractSpinBox):
    """A count that is asked for when it is wanted. What is typed stays as it is typed; what is wrong with it is told meanwhile.

    Of Qt's own counts it has the arrows only: these read and write numbers as the system's language does.
    """

    trouble = Signal(str)  # "" when all is well again

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
        self.lineEdit().textEdited.connect(lambda text: self._flag(self.why_not))

    def set_limits(self, low: int, high: int, *, whole: bool = True) -> None:
        """From which number to which; whole ones, or with decimals."""
        self._limits, self._whole = (low, high), whole

    def show_number(self, number: Decimal | float) -> None:
        """Shows a number in place of what stands there."""
        self.lineEdit().setText(written(number, self._limits[1]))
        self._flag("")

    @property
    def number(self) -> Decimal:
        """The number that stands there. NumberError with words for the maker when there is none."""
        return self._read()

    def _read(self) -> Decimal:
        low, high = self._limits
        if self._whole:
            return Decimal(parse_whole(self.lineEdit().text(), low, high))
        return parse_number(self.lineEdit().text(), low, high)

    @property
    def why_not(self) -> str:
        """Why what stands there is no number to be taken; "" when it is one."""
        try:
            self._read()
        except NumberError as trouble:
            return f"{self._words}: {trouble}"
        return ""

    def _flag(self, why: str) -> None:
        if why == self.accessibleDescription():
            return
        self.setProperty("wrong", bool(why))
        self.style().polish(self)
        self.setToolTip(plain(why))
        self.setAccessibleDescription(why)
        self.trouble.emit(why)

    def stepEnabled(self) -> QAbstractSpinBox.StepEnabledFlag:
        """Up and down, where that leads to a number that is allowed."""
        if self.why_not:
            return Enabled.StepNone
        low, high = self._limits
        up = Enabled.StepUpEnabled if self.number < high else Enabled.StepNone
        return up | (Enabled.StepDownEnabled if self.number > low else Enabled.StepNone)

    def stepBy(self, steps: int) -> None:
        """So many more or fewer."""
        if not self.why_not:
            low, high = self._limits
            self.show_number(min(max(self.number + steps, Decimal(low)), Decimal(high)))
            self.selectAll()

    def wheelEvent(self, event: QWheelEvent) -> None:
        """The wheel scrolls what is round it, unless the field has the focus."""
        super().wheelEvent(event) if self.hasFocus() else event.ignore()


class CountField(NumberField):
    """A count that is kept: another one is told when its entry is over; what cannot be read goes back when it is left."""

    entered = Signal(int)

    def __init__(self, look: Look, name: str, words: str, width: int) -> None:
        super().__init__(look, name, words, width)
        self._kept = 0
        self.editingFinished.connect(self._finished)

    def show_count(self, count: int) -> None:
        """Shows the count that is kept, unless another is being typed."""
        if not (self.hasFocus() and self.lineEdit().isModified()) or count != self._kept:
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
        """A step counts at once."""
        super().stepBy(steps)
        self._finished()

    def _back(self) -> None:
        self.show_number(self._kept)
        self.lineEdit().setModified(False)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape puts back the count there was."""
        if event.key() == Qt.Key.Key_Escape and self.lineEdit().isModified():
            self._back()
        else:
            super().keyPressEvent(event)

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """What cannot be read goes back."""
        super().focusOutEvent(event)
        if self.why_not:
            self._back()
