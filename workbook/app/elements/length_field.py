"""Entry of a value: a length as the user writes it, a share in per cent, an angle or a number.

At rest a fraction is typeset; with the focus it is plain text. Valid text takes effect while it is typed; for invalid text the
field says why and the drawing stays as it was.
"""

import re
from collections.abc import Callable
from typing import TYPE_CHECKING

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QPainter, QPaintEvent, QPen

from workbook.app.elements.entry import WholeValue
from workbook.app.elements.painting import letter, text_width
from workbook.app.look import Look, tokens
from workbook.app.plain import plain
from workbook.later import modules
from workbook.number_in import NumberError, number_of
from workbook.template.parameters import Kind
from workbook.texts import _
from workbook.units import HABITS, Unit, built, exact, reading, show

if TYPE_CHECKING:
    from workbook import length_in
else:
    (length_in,) = modules("length_in")

_NUDGE = {Kind.SHARE: 0.01, Kind.ANGLE: 1.0, Kind.NUMBER: 0.05}
_LENGTHS = (Kind.LENGTH, Kind.FINE, Kind.READING)
_SAME = 1e-6  # tolerance for a value that comes back from storage, in the field's own unit
_SUFFIX = {Kind.SHARE: "%", Kind.ANGLE: "°", Kind.NUMBER: ""}


class ValueField(WholeValue):
    """A field for one value. While typing it emits `entered` when the text is valid and `trouble` when not."""

    entered = Signal(float)
    trouble = Signal(str)  # "" when the text is valid again
    focused = Signal(bool)
    typing = Signal(bool)  # an entry begins, or ends
    given_up = Signal()  # the previous value is restored and has been emitted

    def __init__(self, look: Look, name: str, kind: Kind, unit: Unit) -> None:
        super().__init__()
        self.setObjectName(name)
        self._look, self._kind, self._unit = look, kind, unit
        self._value, self._limits = 0.0, (float("-inf"), float("inf"))
        self._before = 0.0  # the value when typing began
        self._typing = False
        self._scrubbed = 0.0  # the value when scrubbing began
        self._step: float | None = None
        self.zero = ""  # what 0 means: the field is then empty and shows this
        self.least = 0.0  # the least value other than 0, if 0 is allowed
        self.exact = False  # show a length that is not a fraction in thousandths
        self.refuse: Callable[[float], str] = lambda value: ""  # the reason to reject a value within the range, or ""
        self.setFont(look.font("body"))
        self.setFixedHeight(look.size("row"))
        self.setAlignment(Qt.AlignmentFlag.AlignRight)
        self.textEdited.connect(self._typed)
        self.returnPressed.connect(self._returned)

    def set_value(self, value: float, limits: tuple[float, float], unit: Unit, step: float | None = None) -> None:
        """Show a value, unless it is the one being typed; another one, as after an undo, ends the entry.

        `step`: the change of a length by an arrow key, mm.
        """
        self._limits, self._unit, self._step = limits, unit, step
        mine = self.property("wrong") or (self.hasFocus() and self.isModified())
        if mine and abs(value - self._value) < _SAME:
            return
        self._value = self._before = value
        self._entry(on=False)
        self.setText(self._written(value))
        self._flag("")

    @property
    def value(self) -> float:
        """The last valid value."""
        return self._value

    def _written(self, value: float) -> str:
        """The value as plain editable text, without its unit."""
        if self.zero and value == 0:
            return ""
        match self._kind:
            case Kind.READING:
                return reading(value, self._unit)
            case Kind.LENGTH if self.exact:
                return exact(value, self._unit)
            case Kind.LENGTH | Kind.FINE:
                return show(value, self._unit, fine=self._kind is Kind.FINE)
            case Kind.SHARE:
                return f"{value * 100:g}" if abs(value * 100 - round(value * 100)) < 1e-9 else f"{value * 100:.1f}"
            case _:
                return f"{value:.3g}"

    def _read(self, text: str) -> float:
        """Read the value of a text; raise ValueError, worded for the user, if it has none."""
        if self.zero and not text.strip():
            return 0.0
        if self._kind in _LENGTHS:
            try:
                return length_in.parse_length(text, self._unit, self._limits)
            except length_in.LengthError as trouble:
                raise ValueError(trouble.what) from None
        by = 100 if self._kind is Kind.SHARE else 1
        number = re.sub(r"\s*(%|°|deg|degrees?|per cent)$", "", text.strip())
        try:
            return float(number_of(number, (self._limits[0] * by, self._limits[1] * by))) / by
        except NumberError as trouble:
            raise ValueError(str(trouble)) from None

    def _entry(self, *, on: bool) -> None:
        """Note that an entry begins or ends."""
        if on != self._typing:
            self._typing = on
            self.typing.emit(on)

    def _typed(self, text: str) -> None:
        self._entry(on=True)
        try:
            value = self._read(text)
        except ValueError as trouble:
            self._flag(str(trouble))
            return
        self._offer(value)

    def _offer(self, value: float) -> None:
        """Accept a value within its range; otherwise show the range or the reason for refusal."""
        low, high = self._limits
        if not low - 1e-6 <= value <= high + 1e-6 or 1e-9 < value < self.least - 1e-6:
            least, most = self._with_unit(max(low, self.least)), self._with_unit(high)
            self._flag(_("Allowed: {low} to {high}", low=least, high=most))
            return
        if problem := self.refuse(value):
            self._flag(problem)
            return
        self._value = value
        self._flag("")
        self.entered.emit(value)

    def _with_unit(self, value: float) -> str:
        return f"{self._written(value)}{self._suffix()}"

    def _suffix(self) -> str:
        return f" {self._unit}" if self._kind in _LENGTHS else _SUFFIX.get(self._kind, "")

    def _flag(self, problem: str) -> None:
        wrong = bool(problem)
        if wrong != bool(self.property("wrong")):
            self.setProperty("wrong", wrong)
            self.style().polish(self)
        self.setToolTip(plain(problem))
        self.setAccessibleDescription(problem)
        self.trouble.emit(problem)

    def let_go(self) -> None:
        """Drop the typed text, so that the next value set is shown even during an entry."""
        if self.property("wrong"):
            self._flag("")
            self.setText(self._written(self._value))
        self.setModified(False)
        self._entry(on=False)

    def _put_back(self) -> None:
        """Restore the value from before typing began."""
        if self._value != self._before:
            self._value = self._before
            self.entered.emit(self._value)
            self.given_up.emit()

    def _settle(self) -> None:
        """End the entry. Invalid text stays, marked, until it is corrected or given up; the value from before it counts."""
        if self.property("wrong"):
            self._put_back()
            self._entry(on=False)
            return
        self._show()

    def _show(self) -> None:
        """Show the value, ready to type over."""
        self._before = self._value
        self.setText(self._written(self._value))
        self.setModified(False)
        self._entry(on=False)
        self._flag("")
        self.selectAll()

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Select the text, ready to type over."""
        super().focusInEvent(event)
        self._before = self._value
        self.selectAll()
        self.focused.emit(True)
        if self.property("wrong"):
            self.trouble.emit(self.accessibleDescription())

    def focusOutEvent(self, event: QFocusEvent) -> None:
        """End the entry."""
        super().focusOutEvent(event)
        self._settle()
        self.focused.emit(False)

    def _returned(self) -> None:
        """End the entry. What was wrong is read again: its limits may be others by now."""
        if self.property("wrong"):
            self._typed(self.text())
        self._settle()
        self.selectAll()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Nudge with up and down (eight steps with Shift); restore the value from before typing with Escape."""
        steps = {Qt.Key.Key_Up: 1, Qt.Key.Key_Down: -1}.get(Qt.Key(event.key()))
        if steps is not None:
            self.nudge(steps * (8 if event.modifiers() & Qt.KeyboardModifier.ShiftModifier else 1))
        elif event.key() == Qt.Key.Key_Escape and (self.isModified() or self.property("wrong")):
            self._put_back()
            self._show()
        else:
            super().keyPressEvent(event)

    def scrub(self, steps: int | None) -> None:
        """Move so many steps from the value at the start of a scrub; None starts one."""
        if steps is None:
            self._scrubbed = self._value
        else:
            self._go(self._scrubbed, steps)

    def nudge(self, steps: int) -> None:
        """Move so many steps from the current value."""
        self._go(self._value, steps)

    def _go(self, start: float, steps: int) -> None:
        """Step by the user's increment, else 1/64 in or 0.5 mm; a fine length by 0.001 in or 0.05 mm; 1 % or 1 degree."""
        coarse, fine = HABITS[self._unit].arrows
        step = {Kind.LENGTH: self._step or coarse, Kind.FINE: fine, Kind.READING: fine}.get(self._kind) or _NUDGE.get(
            self._kind, 1.0
        )
        value = (round(start / step) + steps) * step if steps else start
        low, high = self._limits
        self._offer(min(max(value, low), high))
        self.setModified(False)
        self.setText(self._written(self._value))

    def _frame(self, painter: QPainter) -> None:
        """Paint the style sheet's frame. Asking the style for it would load hundreds of its constants at the start."""
        wrong, radius = bool(self.property("wrong")), float(tokens()["radius"]["field"])
        pen = QPen(self._look.colour("stop" if wrong else "rim"), 2.0 if wrong else 1.0)
        inset = pen.widthF() / 2
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(pen)
        painter.setBrush(self._look.colour("field"))
        painter.drawRoundedRect(QRectF(self.rect()).adjusted(inset, inset, -inset, -inset), radius, radius)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint as any line edit while focused; at rest with the fraction typeset and the unit beside it."""
        if self.hasFocus():
            super().paintEvent(event)
            return
        painter = QPainter(self)
        self._frame(painter)
        points, base = 9.75, self.height() / 2 + 4.6 * self._look.text
        text, right = built(self.text()), self.width() - 8.0
        suffix = self._suffix().strip() if text or not self.zero else ""
        letter(painter, self._look, QPointF(right, base), suffix, points, "end", tone="soft")
        right -= text_width(self._look, suffix, points) + 4 if suffix else 0
        letter(
            painter,
            self._look,
            QPointF(right, base),
            text or self.zero or _("none"),
            points,
            "end",
            tone="ink" if text else "soft",
        )
