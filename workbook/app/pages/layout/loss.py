"""Pictures of a layout's economy: the bar of shares, and the loss falling in steps towards its bound."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import QWidget

from workbook.app.elements.painting import hatch
from workbook.app.look import Look
from workbook.texts import _


class Shares(QWidget):
    """Blanks, offcuts and loss, as parts of one bar: filled, hatched, empty."""

    def __init__(self, look: Look) -> None:
        super().__init__()
        self.setObjectName("shares")
        self._look, self._parts = look, (0.0, 0.0)
        self.setFixedHeight(look.px(22))

    def show_shares(self, blanks: float, offcuts: float) -> None:
        """Show the shares of all steel, 0 to 1."""
        self._parts = (blanks, offcuts)
        self.setAccessibleName(
            _(
                "Blanks {blanks:.0%}, offcuts {offcuts:.0%}, lost {lost:.0%}",
                blanks=blanks,
                offcuts=offcuts,
                lost=1 - blanks - offcuts,
            )
        )
        self.update()

    def paintEvent(self, event: object) -> None:
        """Paint the three parts, which differ by fill."""
        painter, look = QPainter(self), self._look
        bar = QRectF(0.5, 0.5, self.width() - 1, self.height() - 1)
        blanks, offcuts = self._parts
        painter.fillRect(
            QRectF(bar.left(), bar.top(), bar.width() * blanks, bar.height()),
            look.colour("steel0" if look.theme == "light" else "steel5"),
        )
        offcut = QRectF(bar.left() + bar.width() * blanks, bar.top(), bar.width() * offcuts, bar.height())
        painter.setPen(look.pen("extension", "ink"))
        hatch(painter, offcut, 5)
        painter.setPen(look.pen("dimension", "rim"))
        painter.drawRect(bar)
        painter.drawRect(offcut)


class Falling(QWidget):
    """The best value over the steps of a search, as a line falling in steps, above the dash-dot line of the bound."""

    def __init__(self, look: Look) -> None:
        super().__init__()
        self.setObjectName("falling")
        self._look = look
        self._points: list[tuple[int, float]] = []
        self._steps, self._bound = 1, 0.0
        self.setAccessibleName(_("The search so far"))
        self.setFixedHeight(look.px(74))

    def show_points(self, points: Sequence[tuple[int, float]], steps: int, bound: float) -> None:
        """Show pairs of step and value, the steps so far, and the lower bound of the value."""
        self._points, self._steps, self._bound = list(points), max(steps, 1), bound
        self.update()

    def paintEvent(self, event: object) -> None:
        """Paint the bound, the line, and a dot at its end."""
        painter, look = QPainter(self), self._look
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        low = self.height() - look.px(12)
        painter.setPen(look.pen("construction", "soft"))
        painter.drawLine(QPointF(0, low), QPointF(self.width(), low))
        if not self._points:
            return
        top = max(max(value for _, value in self._points), self._bound + 1e-9)

        def at(step: float, value: float) -> QPointF:
            height = (value - self._bound) / max(top - self._bound, 1e-9)
            return QPointF(4 + (self.width() - 12) * (step / self._steps) ** 0.5, low - height * (low - look.px(8)))

        painter.setPen(look.pen("lit", "blue"))
        before = at(*self._points[0])
        for step, value in self._points[1:]:
            now = at(step, value)
            painter.drawLine(before, QPointF(now.x(), before.y()))
            painter.drawLine(QPointF(now.x(), before.y()), now)
            before = now
        end = QPointF(at(self._steps, 0).x(), before.y())
        painter.drawLine(before, end)
        painter.setBrush(look.colour("blue"))
        painter.drawEllipse(end, 4, 4)
