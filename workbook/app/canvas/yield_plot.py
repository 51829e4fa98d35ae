"""The share good of each stage: a bar where it lies nine times in ten, a dot for the middle, a mark for what quotes count."""

from collections.abc import Sequence
from math import floor

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from workbook.app.canvas.row_plot import ROW, RowPlot
from workbook.app.elements.painting import letter
from workbook.app.look import Look
from workbook.model.own_numbers import StageOwn
from workbook.texts import _

_BAR, _DOT = 10, 4  # pixels of a bar and a dot
_STEP = 0.05  # of the scale's lower end


class YieldPlot(RowPlot):
    """The plot. Arrows and the pointer choose a stage, which is told in words."""

    margins = (170, 30, 36, 28)
    nothing = _("No blade came through a stage yet.")
    head = _("Share good. Bar: 9 in 10, dot: yours, mark: in quotes")

    def __init__(self, look: Look) -> None:
        super().__init__(look, "yield-plot", _("Share good, by stage"))
        self._stages: Sequence[StageOwn] = ()

    def count(self) -> int:
        """How many stages there are."""
        return len(self._stages)

    def words(self) -> str:
        """The chosen stage in words; "" where none is."""
        return _words(self._stages[self._at]) if 0 <= self._at < self.count() else ""

    def show_stages(self, stages: Sequence[StageOwn]) -> None:
        """Show the stages that blades came through."""
        self._stages = [own for own in stages if own.passed.good + own.passed.lost]
        self._at = -1
        self.setMinimumHeight(self._look.px(max(160, 64 + ROW * len(self._stages))))
        self.setAccessibleDescription("; ".join(map(_words, self._stages)))
        self.update()

    def name_of(self, n: int) -> str:
        """The name of a stage."""
        return self._stages[n].stage.name

    def _low(self) -> float:
        least = min(min(own.passed.low, own.stage.good) for own in self._stages)
        return max(floor(least / _STEP - 1e-9) * _STEP, 0.0) if least < 1 else 1 - _STEP

    def _x(self, share: float) -> float:
        room, low = self._room(), self._low()
        return room.left() + room.width() * (share - low) / (1 - low)

    def paint_scale(self, painter: QPainter) -> None:
        """Paint the shares behind the rows."""
        look, room, low = self._look, self._room(), self._low()
        foot = room.top() + look.px(ROW) * self.count()
        for share in (low, (1 + low) / 2, 1.0):
            painter.setPen(look.pen("extension", "hair"))
            painter.drawLine(QPointF(self._x(share), room.top()), QPointF(self._x(share), foot))
            letter(painter, look, QPointF(self._x(share), foot + look.px(16)), f"{share:.0%}", 9, "middle", tone="soft")

    def paint_row(self, painter: QPainter, n: int, y: float) -> None:
        """Paint a stage's bar, the mark of quotes and its dot."""
        look, own = self._look, self._stages[n]
        passed, half, left = own.passed, look.px(_BAR) / 2, self._x(own.passed.low)
        painter.setPen(look.pen("outline", "blue"))
        painter.setBrush(look.colour("blue_wash"))
        painter.drawRect(QRectF(left, y - half, max(self._x(passed.high) - left, 1.0), 2 * half))
        painter.setPen(look.pen("outline", "ink"))
        quoted = self._x(own.stage.good)
        painter.drawLine(QPointF(quoted, y - half - look.px(3)), QPointF(quoted, y + half + look.px(3)))
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look.colour("blue"))
        painter.drawEllipse(QPointF(self._x(passed.share), y), look.px(_DOT), look.px(_DOT))


def _words(own: StageOwn) -> str:
    passed = own.passed
    return _(
        "{stage}: {good} good, {lost} lost, {share:.1%} ({low:.0%} to {high:.0%}), in quotes {quoted:.0%}", stage=own.stage.name,
        good=passed.good, lost=passed.lost, share=passed.share, low=passed.low, high=passed.high, quoted=own.stage.good,
    )  # fmt: skip
