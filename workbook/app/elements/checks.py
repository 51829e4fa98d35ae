"""The strip of checks: worst first, each an icon and a sentence; a click shows its place on the board."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QSize, Qt, Signal
from PySide6.QtGui import QFocusEvent, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QResizeEvent
from PySide6.QtWidgets import QHBoxLayout, QWidget

from workbook.app.elements.basics import fitted
from workbook.app.elements.painting import letter, text_width
from workbook.app.icons import picture
from workbook.app.look import Look
from workbook.app.plain import plain
from workbook.problems import Problem, Severity
from workbook.shop.wording import finding, numbers
from workbook.texts import _
from workbook.units import Unit, built

_SHOWN = {Severity.STOP: ("stop", "stop"), Severity.WARN: ("warn", "warn"), Severity.NOTE: ("note", "soft")}  # icon, tone
_MOST, _NARROW = 2, 600  # findings shown; px of width below which only one is
_SHARE = 0.55  # of a finding's width its numbers may take and still be kept whole


class CheckWord(QWidget):
    """One finding, as an icon and a sentence."""

    clicked = Signal()

    def __init__(self, look: Look, icon_name: str, tone: str, words: str, *, bold: bool, active: bool, numbers: str = "") -> None:
        super().__init__()
        self.setObjectName("check")
        self._look, self._icon, self._tone, self._bold = look, icon_name, tone, bold
        self._said, self._numbers, self._active = words, numbers, active
        words += numbers
        self._words = words
        self.setAccessibleName(words.replace("⁄", "/"))
        self.setToolTip(plain(words.replace("⁄", "/")))
        if active:
            self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
            self.setCursor(Qt.CursorShape.PointingHandCursor)

    def sizeHint(self) -> QSize:
        """A size large enough for the sentence and its icon."""
        return QSize(round(text_width(self._look, self._words, 9, self._bold)) + self._look.px(26), self._look.px(30))

    def minimumSizeHint(self) -> QSize:
        """A small width for a finding, which may be shortened; the full size for any other text."""
        if not self._active:
            return self.sizeHint()
        return QSize(self._look.px(60), self._look.px(30))

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the icon, the text and the focus frame."""
        painter, look = QPainter(self), self._look
        middle, size = self.height() / 2, look.px(16)
        painter.drawPixmap(QPointF(0, middle - size / 2), picture(self._icon, size, look.colour(self._tone)))
        room = self.width() - look.px(24)
        numbers = text_width(look, self._numbers, 9, self._bold)
        words = (
            self._words if numbers > _SHARE * room else fitted(look, self._said, 9, self._bold, room - numbers) + self._numbers
        )
        words = fitted(look, words, 9, self._bold, room)
        letter(painter, look, QPointF(look.px(22), middle + 4.3 * look.text), words, 9, bold=self._bold, tone=self._tone)
        if self.hasFocus():
            painter.setPen(look.pen("lit", "blue"))
            painter.drawRoundedRect(self.rect().adjusted(1, 3, -1, -3), 3, 3)

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Emit `clicked`."""
        self.clicked.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Treat Return and the space bar as a click."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space):
            self.clicked.emit()
        else:
            super().keyPressEvent(event)

    def focusInEvent(self, event: QFocusEvent) -> None:
        """Repaint with the focus frame."""
        super().focusInEvent(event)
        self.update()


class ChecksStrip(QWidget):
    """The findings of one template in a row."""

    picked = Signal(object)  # the problem

    def __init__(self, look: Look) -> None:
        super().__init__()
        self.setObjectName("checks")
        self.setAccessibleName(_("Checks"))
        self._look = look
        self._shown: tuple[tuple[Problem, ...], int, Unit] | None = None
        self._most = _MOST
        self._row = QHBoxLayout(self)
        self._row.setContentsMargins(12, 0, 12, 0)
        self._row.setSpacing(18)
        self.setFixedHeight(look.px(34))

    def show_problems(self, problems: Sequence[Problem], checks: int, unit: Unit) -> None:
        """Show the worst few and the number of others, or that all `checks` hold; rebuilt only on a change."""
        state = (tuple(problems), checks, unit)
        if state == self._shown:
            return
        self._shown = state
        while (item := self._row.takeAt(0)) is not None:
            widget = item.widget()
            if widget is not None:
                widget.deleteLater()
        most = self._most = self._room_for()
        for problem in problems[:most]:
            icon_name, tone = _SHOWN[problem.severity]
            bold = problem.severity is not Severity.NOTE
            word = CheckWord(
                self._look, icon_name, tone, finding(problem), bold=bold, active=True, numbers=built(numbers(problem, unit))
            )
            word.clicked.connect(lambda p=problem: self.picked.emit(p))
            self._row.addWidget(word)
        more = len(problems) - most
        if more > 0:
            self._row.addWidget(CheckWord(self._look, "note", "soft", _("{more} more", more=more), bold=False, active=False))
        elif not problems:
            self._row.addWidget(
                CheckWord(self._look, "tick", "good", _("All {checks} checks passed", checks=checks), bold=False, active=False)
            )
        self._row.addStretch(1)

    def _room_for(self) -> int:
        return _MOST if self.width() >= self._look.px(_NARROW) else 1

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Show as many findings as there is room for."""
        super().resizeEvent(event)
        if self._shown is not None and self._room_for() != self._most:
            state, self._shown = self._shown, None
            self.show_problems(*state)
