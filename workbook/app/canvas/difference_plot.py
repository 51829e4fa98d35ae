"""Which stage ate the difference: a bar for each, to the right where it cost more than quotes count, to the left where less."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QMouseEvent, QPainter

from workbook.app.canvas.chosen_plot import ChosenPlot
from workbook.app.elements.basics import fitted
from workbook.app.elements.painting import ground, letter
from workbook.app.look import Look
from workbook.making.minutes import minutes_words
from workbook.model.real_cost import StageDifference
from workbook.shop.money import Money, priced
from workbook.texts import _

_ROW, _BAR = 22, 12  # pixels of a row, and of its bar


class DifferencePlot(ChosenPlot):
    """The plot. Arrows and the pointer choose a stage, which is told in words."""

    margins = (170, 84, 36, 10)

    def __init__(self, look: Look) -> None:
        super().__init__(look, "difference-plot", _("Difference from quotes, by stage"))
        self._stages: Sequence[StageDifference] = ()
        self._money = Money()
        self.setMinimumHeight(look.px(160))

    def count(self) -> int:
        """How many stages there are."""
        return len(self._stages)

    def words(self) -> str:
        """The chosen stage in words; "" where none is."""
        return self._words(self._stages[self._at]) if 0 <= self._at < self.count() else ""

    def _words(self, each: StageDifference) -> str:
        return _(
            "{stage}: {real}, in quotes {quoted}, {amount}", stage=each.stage, real=minutes_words(each.real),
            quoted=minutes_words(each.quoted), amount=priced(each.money, self._money),
        )  # fmt: skip

    def show_stages(self, stages: Sequence[StageDifference], money: Money) -> None:
        """Show other stages."""
        self._stages, self._money, self._at = stages, money, -1
        self.setMinimumHeight(self._look.px(max(160, 46 + _ROW * len(stages))))
        self.setAccessibleDescription("; ".join(self._words(each) for each in stages))
        self.update()

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Choose the stage under the pointer."""
        row = (event.position().y() - self._room().top()) / self._look.px(_ROW)
        if 0 <= row < self.count():
            self._choose(int(row))

    def paintEvent(self, event: object) -> None:
        """Paint a bar for each stage, and the chosen stage's words."""
        painter, look = QPainter(self), self._look
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        ground(painter, self.rect(), look.colour("board"))
        if not self._stages:
            middle = QPointF(self.width() / 2, self.height() / 2)
            letter(painter, look, middle, _("No minutes of these blades yet."), 9.75, "middle", tone="soft")
            return
        head = self.words() or _("Difference from quotes, with overhead")
        words = fitted(look, head, 9.75, bool(self.words()), self.width() - look.px(24))
        letter(painter, look, QPointF(look.px(12), look.px(22)), words, 9.75, "start", bool(self.words()))
        for n, each in enumerate(self._stages):
            self._bar(painter, n, each)

    def _bar(self, painter: QPainter, n: int, each: StageDifference) -> None:
        look, room = self._look, self._room()
        most = max(abs(float(stage.money)) for stage in self._stages) or 1.0
        middle, y = room.center().x(), room.top() + (n + 0.5) * look.px(_ROW)
        if n == self._at:
            row = QRectF(look.px(6), y - look.px(_ROW) / 2, self.width() - look.px(12), look.px(_ROW))
            painter.fillRect(row, look.colour("blue_wash"))
        wide = room.width() / 2 * float(each.money) / most
        half = look.px(_BAR) / 2
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look.colour("stop" if wide > 0 else "blue"))
        painter.drawRect(QRectF(min(middle, middle + wide), y - half, abs(wide), 2 * half))
        painter.setPen(look.pen("extension", "hair"))
        painter.drawLine(QPointF(middle, y - look.px(_ROW) / 2), QPointF(middle, y + look.px(_ROW) / 2))
        base = y + look.px(4)
        name = fitted(look, each.stage, 9, False, room.left() - look.px(24))
        letter(painter, look, QPointF(look.px(12), base), name, 9, "start")
        letter(painter, look, QPointF(self.width() - look.px(12), base), priced(each.money, self._money), 9, "end")
