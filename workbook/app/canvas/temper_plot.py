"""Hardness after tempering, as a plot with its points."""

from collections.abc import Sequence
from math import ceil, floor

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QMouseEvent, QPainter, QPolygonF
from PySide6.QtWidgets import QSizePolicy

from workbook.app.canvas.chosen_plot import ChosenPlot
from workbook.app.elements.painting import ground, letter, text_width
from workbook.app.look import Look
from workbook.handbook.card import TemperPoint, TemperSeries
from workbook.handbook.degrees import axis, of_axis, shown, sign
from workbook.texts import _
from workbook.units import Unit

_BESIDE = 15.0  # °C left free beside the first and the last point
_LINES = ("outline", "grind_before", "hidden")  # of the first, second and every other series
_TICK = {"°F": 100, "°C": 50}


class TemperPlot(ChosenPlot):
    """The points of each source with their range. Arrows and the pointer choose a point, whose numbers are shown."""

    margins = (52, 20, 46, 40)

    def __init__(self, look: Look, series: Sequence[TemperSeries], unit: Unit) -> None:
        super().__init__(look, "temper-plot", _("Hardness after tempering"))
        self._series, self._unit = series, unit
        self._points = sorted((point for each in series for point in each.points), key=lambda point: point.at)
        self.setFixedHeight(look.px(250))
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        self.setAccessibleDescription("; ".join(map(self._words, self._points)))

    def words(self) -> str:
        """The chosen point in words; "" where none is."""
        return self._words(self._points[self._at]) if 0 <= self._at < len(self._points) else ""

    def _words(self, point: TemperPoint) -> str:
        return _("tempered at {degrees}: {hardness} HRC", degrees=shown(point.at, point.at, self._unit), hardness=_range(point))

    def count(self) -> int:
        """How many points there are."""
        return len(self._points)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Choose the point nearest to the pointer."""
        if self._points:
            to = event.position()
            places = [self._place(point) - to for point in self._points]
            self._choose(min(range(len(places)), key=lambda n: places[n].x() ** 2 + places[n].y() ** 2))

    def _x(self, degrees: float) -> float:
        room, low, high = self._room(), self._points[0].at - _BESIDE, self._points[-1].at + _BESIDE
        return room.left() + room.width() * (degrees - low) / (high - low)

    def _y(self, hardness: float) -> float:
        room = self._room()
        low, high = self._limits()
        return room.bottom() - room.height() * (hardness - low) / (high - low)

    def _limits(self) -> tuple[int, int]:
        """The ends of the scale of hardness, HRC."""
        return floor(min(point.low for point in self._points)) - 1, ceil(max(point.high for point in self._points)) + 1

    def _place(self, point: TemperPoint) -> QPointF:
        return QPointF(self._x(point.at), self._y((point.low + point.high) / 2))

    def paintEvent(self, event: object) -> None:
        """Paint the grid, each series with its range, and the chosen point's numbers."""
        painter, look = QPainter(self), self._look
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ground(painter, self.rect(), look.colour("board"))
        if not self._points:
            return
        self._grid(painter)
        for n, series in enumerate(self._series):
            self._line(painter, series, _LINES[min(n, len(_LINES) - 1)])
        self._legend(painter)
        room = self._room()
        at = QPointF(room.right(), look.px(34))
        letter(painter, look, at, self.words() or _("HRC, as measured or published"), 9.75, "end", bool(self.words()))
        if 0 <= self._at < len(self._points):
            painter.setPen(look.pen("outline", "blue"))
            painter.setBrush(look.colour("board"))
            painter.drawEllipse(self._place(self._points[self._at]), look.px(5), look.px(5))

    def _line(self, painter: QPainter, series: TemperSeries, line: str) -> None:
        """The range as a band, the middle as a line, the points as dots."""
        look, points = self._look, series.points
        band = [QPointF(self._x(point.at), self._y(point.high)) for point in points]
        band += [QPointF(self._x(point.at), self._y(point.low)) for point in reversed(points)]
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look.colour("blue_wash"))
        painter.drawPolygon(QPolygonF(band))
        places = [self._place(point) for point in points]
        painter.setPen(look.pen(line, "blue"))
        painter.drawPolyline(QPolygonF(places))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look.colour("blue"))
        for place in places:
            painter.drawEllipse(place, look.px(3), look.px(3))

    def _legend(self, painter: QPainter) -> None:
        """What each line is, above the plot; nothing for a single one."""
        look, x, y = self._look, float(self._room().left()), float(self._look.px(13))
        for series, line in zip(self._series, _LINES, strict=False) if len(self._series) > 1 else ():
            painter.setPen(look.pen(line, "blue"))
            painter.drawLine(QPointF(x, y), QPointF(x + look.px(24), y))
            letter(painter, look, QPointF(x + look.px(30), y + look.px(4)), series.name, 8.5, tone="soft")
            x += look.px(46) + text_width(look, series.name, 8.5)

    def _grid(self, painter: QPainter) -> None:
        look, room, (low, high) = self._look, self._room(), self._limits()
        step = 1 if high - low <= 8 else 2 if high - low <= 16 else 5
        for hardness in range(low + (-low) % step, high + 1, step):
            painter.setPen(look.pen("extension", "hair"))
            painter.drawLine(QPointF(room.left(), self._y(hardness)), QPointF(room.right(), self._y(hardness)))
            at = QPointF(room.left() - look.px(6), self._y(hardness) + look.px(4))
            letter(painter, look, at, str(hardness), 9, "end", tone="soft")
        tick = _TICK[sign(self._unit)]
        first, last = (axis(self._points[n].at + beside, self._unit) for n, beside in ((0, -_BESIDE), (-1, _BESIDE)))
        for degrees in range(ceil(first / tick) * tick, int(last) + 1, tick):
            x = self._x(of_axis(degrees, self._unit))
            painter.setPen(look.pen("extension", "hair"))
            painter.drawLine(QPointF(x, room.top()), QPointF(x, room.bottom()))
            letter(painter, look, QPointF(x, room.bottom() + look.px(16)), str(degrees), 9, "middle", tone="soft")
        below = room.bottom() + look.px(31)
        letter(painter, look, QPointF(room.left(), below), _("tempered at, {degrees}", degrees=sign(self._unit)), 9, tone="soft")
        letter(painter, look, QPointF(room.left() - look.px(6), look.px(34)), "HRC", 9, "end", tone="soft")


def _range(point: TemperPoint) -> str:
    return f"{point.low:g}" if point.low == point.high else f"{point.low:g}–{point.high:g}"
