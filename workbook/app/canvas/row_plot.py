"""A plot of stages in rows, each with its name at the left. Arrows and the pointer choose a row."""

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QMouseEvent, QPainter

from workbook.app.canvas.chosen_plot import ChosenPlot
from workbook.app.elements.basics import fitted
from workbook.app.elements.painting import ground, letter

ROW = 22  # pixels of a row


class RowPlot(ChosenPlot):
    """What such plots share: their ground, their head, the rows."""

    nothing = ""  # what stands there without rows
    head = ""  # what is plotted, while no row is chosen

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Choose the row under the pointer."""
        row = (event.position().y() - self._room().top()) / self._look.px(ROW)
        if 0 <= row < self.count():
            self._choose(int(row))

    def paintEvent(self, event: object) -> None:
        """Paint the rows, and the chosen row's words."""
        painter, look = QPainter(self), self._look
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ground(painter, self.rect(), look.colour("board"))
        if not self.count():
            letter(painter, look, QPointF(self.width() / 2, self.height() / 2), self.nothing, 9.75, "middle", tone="soft")
            return
        words = fitted(look, self.words() or self.head, 9.75, bool(self.words()), self.width() - look.px(24))
        letter(painter, look, QPointF(look.px(12), look.px(22)), words, 9.75, "start", bool(self.words()))
        self.paint_scale(painter)
        for n in range(self.count()):
            y = self._room().top() + (n + 0.5) * look.px(ROW)
            if n == self._at:
                row = QRectF(look.px(6), y - look.px(ROW) / 2, self.width() - look.px(12), look.px(ROW))
                painter.fillRect(row, look.colour("blue_wash"))
            name = fitted(look, self.name_of(n), 9, False, self._room().left() - look.px(24))
            letter(painter, look, QPointF(look.px(12), y + look.px(4)), name, 9, "start")
            self.paint_row(painter, n, y)

    def name_of(self, n: int) -> str:
        """The name of a row."""
        raise NotImplementedError

    def paint_row(self, painter: QPainter, n: int, y: float) -> None:
        """Paint a row, its middle at y."""
        raise NotImplementedError

    def paint_scale(self, painter: QPainter) -> None:
        """Paint what is behind all rows; nothing, as a rule."""
