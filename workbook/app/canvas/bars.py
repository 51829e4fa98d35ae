"""Bars with their blanks, drawn to one scale as they lie, with ordinates under each."""

from collections.abc import Sequence

from PySide6.QtCore import QPointF, QRectF, QSize
from PySide6.QtGui import QPainter, QPaintEvent, QPolygonF
from PySide6.QtWidgets import QSizePolicy, QWidget

from workbook.app.canvas.painting import hatch, letter, text_width
from workbook.app.look import Look
from workbook.app.widgets.basics import fitted
from workbook.geometry.lettering import spread
from workbook.sheets.bar import BarPlan
from workbook.units import Unit, built, reading, show

_MARGIN = 26


class BarsView(QWidget):
    """All bars of a layout under each other."""

    def __init__(self, look: Look) -> None:
        super().__init__()
        self.setObjectName("bars")
        self.setAccessibleName("Bars with blanks")
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Minimum)
        self._look, self._plans, self._unit = look, (), "in"  # type: tuple[Look, Sequence[BarPlan], Unit]
        self._prices: Sequence[str] = ()
        self._shapes: list[list[QPolygonF]] = []

    def show_plans(self, plans: Sequence[BarPlan], prices: Sequence[str], unit: Unit) -> None:
        """Shows a layout's bars."""
        self._plans, self._prices, self._unit = plans, prices, unit
        self._shapes = [[_polygon(blank.outline.tolist()) for blank in plan.blanks] for plan in plans]
        words = "; ".join(f"bar {p.number}: {' '.join(b.serial for b in p.blanks)}" for p in plans)
        self.setAccessibleDescription(words)
        self.setMinimumHeight(self._height())
        self.update()

    def sizeHint(self) -> QSize:
        """As high as all bars take."""
        return QSize(600, self._height())

    def resizeEvent(self, event: object) -> None:
        """Another width, another scale and height."""
        self.setMinimumHeight(self._height())

    def _scale(self) -> float:
        """Pixels to the mm: the longest bar fills the width."""
        longest = max((plan.size[2] for plan in self._plans), default=1000.0)
        return max(self.width() - 2 * self._look.px(_MARGIN), 100) / longest

    def _row(self, plan: BarPlan) -> float:
        return plan.size[1] * self._scale() + self._look.px(86)

    def _height(self) -> int:
        return round(sum(self._row(plan) for plan in self._plans)) + self._look.px(16)

    def paintEvent(self, event: QPaintEvent) -> None:
        """Every bar that shows."""
        painter, look = QPainter(self), self._look
        painter.fillRect(self.rect(), look.colour("board"))
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        y = float(look.px(10))
        for plan, shapes, price in zip(self._plans, self._shapes, self._prices, strict=True):
            if y + self._row(plan) >= event.rect().top() and y <= event.rect().bottom():
                self._bar(painter, plan, shapes, price, y)
            y += self._row(plan)

    def _bar(self, painter: QPainter, plan: BarPlan, shapes: list[QPolygonF], price: str, y: float) -> None:
        look, k = self._look, self._scale()
        left, wide, tall = look.px(_MARGIN), plan.size[2] * k, plan.size[1] * k
        self._head(painter, plan, price, left, wide, y + look.px(16))
        top = y + look.px(26)
        painter.setPen(look.pen("dimension", "rim"))
        painter.setBrush(look.colour("bar"))
        painter.drawRect(QRectF(left, top, wide, tall))
        self._offcut(painter, plan, QRectF(left + plan.used * k, top, wide - plan.used * k, tall))
        painter.save()
        painter.translate(left, top + tall)
        painter.scale(k, -k)
        painter.setPen(look.pen("hole", "steel_ink"))
        painter.setBrush(look.colour("blank"))
        for shape in shapes:
            painter.drawPolygon(shape)
        painter.restore()
        for blank in plan.blanks:
            x, height = blank.middle
            at = QPointF(left + x * k, top + tall - height * k + look.px(5))
            letter(painter, look, at, blank.serial, 9.75, "middle", True, "steel_ink")
        self._ordinates(painter, plan, left, top + tall)

    def _head(self, painter: QPainter, plan: BarPlan, price: str, left: float, wide: float, base: float) -> None:
        look, unit = self._look, self._unit
        thick, width, length = (built(show(v, unit)) for v in plan.nominal)
        letter(painter, look, QPointF(left, base), f"Bar {plan.number}", 9.75, bold=True)
        x = left + text_width(look, f"Bar {plan.number}  ", 9.75, True)
        words = f"{plan.steel}  {thick} × {width} × {length} {unit}"
        letter(painter, look, QPointF(x, base), words, 9.75)
        x += text_width(look, words + "   ", 9.75)
        source = {"rack": "from the rack", "offcut": "an offcut", "buy": "to buy"}[plan.source]
        if plan.measured:
            source += f", measured {reading(plan.size[0], unit)} × {reading(plan.size[1], unit)}"
        count = f"{len(plan.blanks)} blanks   {price}" if len(plan.blanks) != 1 else f"1 blank   {price}"
        right = min(max(left + wide, x + text_width(look, source + "    " + count, 9)), self.width() - look.px(8))
        room = right - x - text_width(look, count + "    ", 9)
        letter(painter, look, QPointF(x, base), fitted(look, source, 9, False, room), 9, tone="soft")
        letter(painter, look, QPointF(right, base), count, 9, "end", tone="soft")

    def _offcut(self, painter: QPainter, plan: BarPlan, room: QRectF) -> None:
        """Hatched, with its length where there is room for the words."""
        look = self._look
        if room.width() < 2:
            return
        painter.setPen(look.pen("extension", "rim"))
        hatch(painter, room, 9)
        words = f"offcut {built(show(plan.offcut, self._unit))} {self._unit}"
        wide = text_width(look, words, 9) + 10
        if wide < room.width():
            ground = QRectF(room.center().x() - wide / 2, room.center().y() - look.px(10), wide, look.px(20))
            painter.fillRect(ground, look.colour("board"))
            letter(painter, look, QPointF(room.center().x(), room.center().y() + look.px(4)), words, 9, "middle", tone="soft")

    def _ordinates(self, painter: QPainter, plan: BarPlan, left: float, bottom: float) -> None:
        """Both ends of every blank, measured from end A, moved apart so that none meet."""
        look, k = self._look, self._scale()
        places = sorted({round(x, 1) for blank in plan.blanks for x in blank.span})
        texts = [built(show(x, self._unit)) for x in places]
        widths = [text_width(look, text, 9) for text in texts]
        if sum(widths) + 6 * len(widths) > self.width():
            return
        centres = spread([left + x * k for x in places], widths, 7, 2, self.width() - 2)
        painter.setPen(look.pen("extension", "soft"))
        for x, centre in zip(places, centres, strict=True):
            at = left + x * k
            painter.drawLine(QPointF(at, bottom + 3), QPointF(at, bottom + look.px(10)))
            painter.drawLine(QPointF(at, bottom + look.px(10)), QPointF(centre, bottom + look.px(18)))
        for text, centre in zip(texts, centres, strict=True):
            letter(painter, look, QPointF(centre, bottom + look.px(32)), text, 9, "middle")


def _polygon(points: list[list[float]]) -> QPolygonF:
    return QPolygonF([QPointF(x, y) for x, y in points])
