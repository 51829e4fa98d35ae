"""A collapsible group of parameters; its head shows a small knife with the group's part coloured and, closed, a summary."""

import itertools
from collections.abc import Collection, Mapping

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QMouseEvent, QPainter, QPainterPath, QPaintEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from workbook.app.elements.basics import fitted
from workbook.app.elements.painting import letter, text_width
from workbook.app.look import Look

_PARTS = {
    "blade": (0.42, 1.0),
    "point": (0.84, 1.0),
    "heel": (0.40, 0.52),
    "handle": (0.0, 0.42),
    "fittings": (0.34, 0.42),
    "tang": (0.0, 0.42),
    "grind": (0.45, 1.0),
    "holes": (0.0, 0.42),
}


class GroupHead(QWidget):
    """The clickable head of a group."""

    toggled = Signal(bool)

    def __init__(self, look: Look, group: str, title: str) -> None:
        super().__init__()
        self.setObjectName(f"group-{group}")
        self._look, self._group, self._title = look, group, title
        self._summary, self.open = "", False
        self.setAccessibleName(title)
        self.setFocusPolicy(Qt.FocusPolicy.TabFocus)
        self.setCursor(Qt.CursorShape.PointingHandCursor)
        self.setFixedHeight(look.px(34))

    def set_open(self, is_open: bool) -> None:
        """Open or close the group."""
        if is_open != self.open:
            self.open = is_open
            self.toggled.emit(is_open)
            self.update()

    def summarise(self, text: str) -> None:
        """Set the summary that a closed head shows."""
        if text == self._summary:
            return
        self._summary = text
        self.setAccessibleDescription(text.replace("⁄", "/"))
        self.update()

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Toggle the group."""
        self.set_open(not self.open)

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Toggle the group with space or Return."""
        if event.key() in (Qt.Key.Key_Space, Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.set_open(not self.open)
        else:
            super().keyPressEvent(event)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the arrow, the knife, the title and the summary."""
        painter, look = QPainter(self), self._look
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        middle = self.height() / 2
        if self.hasFocus():
            painter.setPen(look.pen("lit", "blue"))
            painter.drawRoundedRect(QRectF(self.rect()).adjusted(1, 1, -1, -1), 3, 3)
        self._arrow(painter, middle)
        self._knife(painter, QRectF(look.px(22), middle - look.px(5), look.px(44), look.px(10)))
        base, left = middle + 4.6 * look.text, look.px(76)
        letter(painter, look, QPointF(left, base), self._title, 9.75, bold=True)
        if not self.open:
            room = self.width() - left - text_width(look, self._title, 9.75, True) - look.px(24)
            words = fitted(look, self._summary, 9.0, False, room)
            letter(painter, look, QPointF(self.width() - look.px(10), base), words, 9.0, "end", tone="soft")

    def _arrow(self, painter: QPainter, middle: float) -> None:
        s, x = self._look.px(4), self._look.px(10)
        painter.setPen(self._look.pen("outline", "soft"))
        points = ((-s, -s / 2), (0, s / 2), (s, -s / 2)) if self.open else ((-s / 2, -s), (s / 2, 0), (-s / 2, s))
        for a, b in itertools.pairwise(points):
            painter.drawLine(QPointF(x + a[0], middle + a[1]), QPointF(x + b[0], middle + b[1]))

    def _knife(self, painter: QPainter, r: QRectF) -> None:
        """Paint a small knife with the group's own part coloured."""
        path = QPainterPath(QPointF(r.left(), r.center().y()))
        path.cubicTo(r.left(), r.top(), r.left(), r.top(), r.left() + r.width() * 0.1, r.top() + 1)
        path.lineTo(r.left() + r.width() * 0.75, r.top() + 1)
        path.quadTo(r.left() + r.width() * 0.92, r.top() + 1, r.right(), r.center().y() + 1)
        path.quadTo(r.left() + r.width() * 0.85, r.bottom(), r.left() + r.width() * 0.45, r.bottom())
        path.lineTo(r.left() + r.width() * 0.42, r.bottom() - r.height() * 0.25)
        path.lineTo(r.left() + r.width() * 0.1, r.bottom() - r.height() * 0.15)
        path.cubicTo(r.left(), r.bottom() - 1, r.left(), r.bottom() - 1, r.left(), r.center().y())
        painter.fillPath(path, self._look.colour("blank"))
        begin, end = _PARTS.get(self._group, (0.0, 1.0))
        painter.save()
        painter.setClipRect(QRectF(r.left() + begin * r.width(), r.top(), (end - begin) * r.width(), r.height()))
        painter.fillPath(path, self._look.colour("blue"))
        painter.restore()


class Group(QWidget):
    """A head with its rows below while open."""

    def __init__(self, look: Look, group: str, title: str) -> None:
        super().__init__()
        self.head = GroupHead(look, group, title)
        self.body = QWidget()
        self.rows = QVBoxLayout(self.body)
        self.rows.setContentsMargins(0, 0, 0, 6)
        self.rows.setSpacing(2)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.head)
        column.addWidget(self.body)
        self.body.setVisible(False)
        self.head.toggled.connect(self.body.setVisible)


def open_groups(groups: Mapping[str, Group]) -> tuple[str, ...]:
    """The names of the open groups."""
    return tuple(name for name, group in groups.items() if group.head.open)


def open_only(groups: Mapping[str, Group], names: Collection[str]) -> None:
    """Open the named groups and close the others."""
    for name, group in groups.items():
        group.head.set_open(name in names)
