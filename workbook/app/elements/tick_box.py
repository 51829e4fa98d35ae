"""A check box in the colours of the look, as large as its text."""

from PySide6.QtCore import QPoint, QPointF, QRectF
from PySide6.QtGui import QPainter, QPaintEvent, QPen
from PySide6.QtWidgets import QCheckBox

from workbook.app.look import Look

_SIDE = 18  # pixels at 100 %


class TickBox(QCheckBox):
    """The box alone, without words; its accessible name says what it is for."""

    def __init__(self, look: Look, *, on: bool) -> None:
        super().__init__()
        self._look = look
        self.setChecked(on)
        self.setFixedSize(look.px(_SIDE + 8), look.size("row"))

    def hitButton(self, pos: QPoint) -> bool:
        """All of it can be clicked."""
        return self.rect().contains(pos)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the box, its tick, and the focus."""
        look, side = self._look, self._look.px(_SIDE)
        painter = QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        box = QRectF((self.width() - side) / 2, (self.height() - side) / 2, side, side)
        painter.setPen(QPen(look.colour("blue" if self.hasFocus() else "rim"), 2.0 if self.hasFocus() else 1.2))
        painter.setBrush(look.colour("dye" if self.isChecked() else "field"))
        painter.drawRoundedRect(box, 3, 3)
        if self.isChecked():
            painter.setPen(QPen(look.colour("on_dye"), max(2.0, side / 9)))
            corners = [
                QPointF(box.left() + x * side, box.top() + y * side) for x, y in ((0.22, 0.52), (0.42, 0.72), (0.78, 0.28))
            ]
            painter.drawPolyline(corners)
