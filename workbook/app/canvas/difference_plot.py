"""Which stage ate the difference: a bar for each, to the right where it cost more than quotes count, to the left where less."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter

from workbook.app.canvas.row_plot import ROW, RowPlot
from workbook.app.elements.painting import letter
from workbook.app.look import Look
from workbook.making.minutes import minutes_words
from workbook.model.real_cost import StageDifference
from workbook.shop.money import Money, priced
from workbook.texts import _

_BAR = 12  # pixels of a bar


class DifferencePlot(RowPlot):
    """The plot. Arrows and the pointer choose a stage, which is told in words."""

    margins = (170, 84, 36, 10)
    nothing = _("No minutes of these blades yet.")
    head = _("Difference from quotes, with overhead")

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
        self.setMinimumHeight(self._look.px(max(160, 46 + ROW * len(stages))))
        self.setAccessibleDescription("; ".join(self._words(each) for each in stages))
        self.update()

    def name_of(self, n: int) -> str:
        """The name of a stage."""
        return self._stages[n].stage

    def paint_row(self, painter: QPainter, n: int, y: float) -> None:
        """Paint a stage's bar and its amount."""
        look, room, each = self._look, self._room(), self._stages[n]
        most = max(abs(float(stage.money)) for stage in self._stages) or 1.0
        middle, half = room.center().x(), look.px(_BAR) / 2
        wide = room.width() / 2 * float(each.money) / most
        painter.setPen(Qt.PenStyle.NoPen)
        painter.setBrush(look.colour("stop" if wide > 0 else "blue"))
        painter.drawRect(QRectF(min(middle, middle + wide), y - half, abs(wide), 2 * half))
        painter.setPen(look.pen("extension", "hair"))
        painter.drawLine(QPointF(middle, y - look.px(ROW) / 2), QPointF(middle, y + look.px(ROW) / 2))
        at = QPointF(self.width() - look.px(12), y + look.px(4))
        letter(painter, look, at, priced(each.money, self._money), 9, "end")
