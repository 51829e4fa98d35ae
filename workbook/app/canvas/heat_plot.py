"""What came of heat treatments as dots: a column for each group, its median from some blades on, the published band behind."""

from collections.abc import Sequence
from math import ceil, floor

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QMouseEvent, QPainter

from workbook.app.canvas.chosen_plot import ChosenPlot
from workbook.app.elements.basics import fitted
from workbook.app.elements.painting import ground, letter
from workbook.app.look import Look
from workbook.model.heat_results import ResultGroup, ResultOf, group_words, value_words
from workbook.texts import _
from workbook.units import Unit

_BAND = 60  # pixels of a column's band and median, at most
_LINES = 7  # of the grid, at most
_DOT = 4


class HeatPlot(ChosenPlot):
    """The plot. Arrows and the pointer choose a group, which is told in words."""

    margins = (56, 16, 40, 46)

    def __init__(self, look: Look) -> None:
        super().__init__(look, "heat-plot", _("Results of heat treatment"))
        self._of = ResultOf.HARDNESS
        self._unit: Unit = "mm"
        self._groups: Sequence[ResultGroup] = ()
        self.setMinimumHeight(look.px(240))

    def count(self) -> int:
        """How many groups there are."""
        return len(self._groups)

    def show_groups(self, groups: Sequence[ResultGroup], of: ResultOf, unit: Unit) -> None:
        """Show other groups."""
        self._groups, self._of, self._unit, self._at = groups, of, unit, -1
        self.setAccessibleDescription("; ".join(group_words(group, of, unit) for group in groups))
        self.update()

    def words(self) -> str:
        """The chosen group in words; "" where none is."""
        return group_words(self._groups[self._at], self._of, self._unit) if 0 <= self._at < len(self._groups) else ""

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Choose the group under the pointer."""
        room = self._room()
        if self._groups and room.left() <= event.position().x() < room.right():
            self._choose(int((event.position().x() - room.left()) / self._wide()))

    def _wide(self) -> float:
        return self._room().width() / max(len(self._groups), 1)

    def _x(self, group: int) -> float:
        return self._room().left() + (group + 0.5) * self._wide()

    def _scale(self) -> tuple[float, float, float]:
        """The ends of the scale and the step of its lines: whole points of hardness, else a round part of the largest bow."""
        values = [value for group in self._groups for value in group.values]
        if self._of is ResultOf.BOW:
            step = 0.05 if max(values) < 0.3 else 0.1 if max(values) < 0.7 else 0.25 if max(values) < 1.7 else 1.0
            return 0.0, (floor(max(values) / step) + 1) * step, step
        values += [end for group in self._groups if group.band for end in group.band]
        low, high = floor(min(values)) - 1.0, ceil(max(values)) + 1.0
        return low, high, float(max(1, ceil((high - low) / _LINES)))

    def _y(self, value: float) -> float:
        room, (low, high, _step) = self._room(), self._scale()
        return room.bottom() - room.height() * (value - low) / (high - low)

    def paintEvent(self, event: object) -> None:
        """Paint the grid, each group's band, dots, median and count, and the chosen group's words."""
        painter, look = QPainter(self), self._look
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ground(painter, self.rect(), look.colour("board"))
        if not self._groups:
            middle = QPointF(self.width() / 2, self.height() / 2)
            letter(painter, look, middle, _("No readings of these blades yet."), 9.75, "middle", tone="soft")
            return
        self._grid(painter)
        for n, group in enumerate(self._groups):
            self._column(painter, n, group)
        what = _("HRC, as read") if self._of is ResultOf.HARDNESS else _("bow after hardening, {unit}", unit=self._unit)
        words = fitted(look, self.words() or what, 9.75, bool(self.words()), self.width() - look.px(24))
        letter(painter, look, QPointF(look.px(12), look.px(22)), words, 9.75, "start", bool(self.words()))

    def _grid(self, painter: QPainter) -> None:
        look, room, (low, high, step) = self._look, self._room(), self._scale()
        for n in range(round((high - low) / step) + 1):
            value = low + n * step
            if value > high + 1e-9:
                break
            painter.setPen(look.pen("extension", "hair"))
            painter.drawLine(QPointF(room.left(), self._y(value)), QPointF(room.right(), self._y(value)))
            at = QPointF(room.left() - look.px(6), self._y(value) + look.px(4))
            letter(painter, look, at, value_words(value, self._of, self._unit), 9, "end", tone="soft")

    def _column(self, painter: QPainter, n: int, group: ResultGroup) -> None:
        look, x, half = self._look, self._x(n), min(self._wide() * 0.35, self._look.px(_BAND) / 2)
        if group.band is not None:
            top, low = self._y(group.band[1]), self._y(group.band[0])
            painter.fillRect(QRectF(x - half, top, 2 * half, max(low - top, 1.0)), look.colour("blue_wash"))
        if n == self._at:
            painter.setPen(look.pen("outline", "blue"))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(QRectF(x - half - look.px(4), self._room().top(), 2 * (half + look.px(4)), self._room().height()))
        if group.median is not None:
            painter.setPen(look.pen("outline", "ink"))
            y = self._y(group.median)
            painter.drawLine(QPointF(x - half, y), QPointF(x + half, y))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look.colour("blue"))
        for value, beside in self._spread(group.values):
            painter.drawEllipse(QPointF(x + beside, self._y(value)), look.px(_DOT), look.px(_DOT))
        foot, wide = self._room().bottom(), self._wide() - look.px(6)
        letter(painter, look, QPointF(x, foot + look.px(18)), fitted(look, group.words, 9, False, wide), 9, "middle")
        count = _("n {count}", count=len(group.values))
        letter(painter, look, QPointF(x, foot + look.px(34)), count, 9, "middle", tone="soft")

    def _spread(self, values: Sequence[float]) -> list[tuple[float, float]]:
        """Values with a shift to the side, so that equal ones do not hide each other."""
        placed, apart = dict[float, int](), 2.4 * self._look.px(_DOT)
        shifts = []
        for value in values:
            turn = placed.get(value, 0)
            placed[value] = turn + 1
            shifts.append((value, apart * ((turn + 1) // 2) * (1 if turn % 2 else -1)))
        return shifts
