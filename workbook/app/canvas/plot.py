"""A plot of cost and price of a knife against the size of its batch."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, Signal
from PySide6.QtGui import QMouseEvent, QPainter, QPen, QPolygonF

from workbook.app.canvas.chosen_plot import ChosenPlot
from workbook.app.elements.basics import fitted
from workbook.app.elements.painting import letter, text_width
from workbook.app.look import Look
from workbook.shop.line_cost import BySize
from workbook.shop.money import Money, priced
from workbook.texts import _


class BatchPlot(ChosenPlot):
    """Cost and price of one knife against batch size. Arrows and the pointer choose a size, whose numbers are shown."""

    chosen = Signal(int)
    margins = (56, 16, 26, 34)

    def __init__(self, look: Look) -> None:
        super().__init__(look, "batch-plot", _("Price by batch size"))
        self._points: Sequence[BySize] = ()
        self._money = Money()
        self.setMinimumHeight(look.px(150))

    def show_points(self, points: Sequence[BySize], now: int, money: Money) -> None:
        """Show the figures for each size; `now`: the current batch size."""
        self._points, self._money = points, money
        self._at = next((n for n, point in enumerate(points) if point.quantity == now), -1)
        self.setAccessibleDescription(self.words())
        self.update()

    def count(self) -> int:
        """How many sizes there are."""
        return len(self._points)

    def words(self) -> str:
        """The chosen batch size with its cost and price per knife, as text."""
        if not 0 <= self._at < len(self._points):
            return ""
        point = self._points[self._at]
        cost, price = priced(point.cost, self._money), priced(point.price, self._money)
        return _("batch of {quantity}: cost {cost}, price {price}", quantity=point.quantity, cost=cost, price=price)

    def _choose(self, at: int) -> bool:
        """Choose a size, and tell of it."""
        other = super()._choose(at)
        if other:
            self.chosen.emit(self._points[at].quantity)
        return other

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Choose the size nearest to the pointer."""
        places = [self._x(point.quantity) for point in self._points]
        if places:
            self._choose(min(range(len(places)), key=lambda n: abs(places[n] - event.position().x())))

    def _x(self, quantity: int) -> float:
        room, most = self._room(), self._points[-1].quantity
        return room.left() + room.width() * (quantity - 1) / max(most - 1, 1)

    def _y(self, amount: float) -> float:
        room = self._room()
        return room.bottom() - room.height() * amount / self._most()

    def _most(self) -> float:
        """The top of the scale: the next round number above every price."""
        return _ticks(max(float(point.price) for point in self._points))[-1]

    def paintEvent(self, event: object) -> None:
        """Paint the grid, the lines of cost and price, and the chosen size."""
        painter, look = QPainter(self), self._look
        painter.fillRect(self.rect(), look.colour("board"))
        if not self._points:
            return
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        self._grid(painter)
        lines = (("price", _("Price each"), "blue", "outline"), ("cost", _("Cost each"), "ink", "dimension"))
        for name, words, tone, line in lines:
            places = [QPointF(self._x(p.quantity), self._y(float(getattr(p, name)))) for p in self._points]
            pen = QPen(look.pen(line, tone))
            pen.setWidthF(2.0)
            painter.setPen(pen)
            painter.drawPolyline(QPolygonF(places))
            at = QPointF(places[-1].x(), places[-1].y() - look.px(6))
            letter(painter, look, at, words, 9, "end", tone=tone)
        self._spot(painter)

    def _grid(self, painter: QPainter) -> None:
        look, room = self._look, self._room()
        for tick in _ticks(max(float(point.price) for point in self._points)):
            painter.setPen(look.pen("extension", "hair"))
            painter.drawLine(QPointF(room.left(), self._y(tick)), QPointF(room.right(), self._y(tick)))
            at = QPointF(room.left() - look.px(6), self._y(tick) + look.px(4))
            letter(painter, look, at, f"{tick:g}", 9, "end", tone="soft")
        last = -1e9
        for point in self._points:
            x, words = self._x(point.quantity), str(point.quantity)
            if x - last > text_width(look, words, 9) + look.px(8):
                letter(painter, look, QPointF(x, room.bottom() + look.px(16)), words, 9, "middle", tone="soft")
                last = x
        letter(painter, look, QPointF(room.left(), room.bottom() + look.px(30)), _("knives in the batch"), 9, tone="soft")

    def _spot(self, painter: QPainter) -> None:
        """Mark the chosen size on both lines and show its numbers."""
        look, room = self._look, self._room()
        if not 0 <= self._at < len(self._points):
            return
        point = self._points[self._at]
        x = self._x(point.quantity)
        painter.setPen(look.pen("extension", "blue"))
        painter.drawLine(QPointF(x, room.top()), QPointF(x, room.bottom()))
        painter.setBrush(look.colour("blue"))
        for amount in (point.cost, point.price):
            painter.drawEllipse(QPointF(x, self._y(float(amount))), 4, 4)
        words = fitted(look, self.words(), 9.75, True, self.width() - look.px(self.margins[1] + 6))
        letter(painter, look, QPointF(self.width() - look.px(self.margins[1]), look.px(17)), words, 9.75, "end", True)


def _ticks(most: float) -> list[float]:
    """Round numbers from 0 to just above `most`, at most eight of them."""
    step = next(s * 10.0**e for e in range(-2, 30) for s in (1, 2, 5) if most / (s * 10.0**e) <= 6)
    return [n * step for n in range(int(most / step) + 2)]
