"""A bar and its blanks as the layout's canvas paints them: in position, to one scale, with a head line above."""

from msgspec import Struct
from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QBrush, QColor, QPainter, QPen, QPolygonF

from workbook.app.canvas.bar_marks import paint_beside, paint_offcut, paint_ordinates
from workbook.app.elements.basics import fitted
from workbook.app.elements.painting import letter, text_width
from workbook.app.icons import picture
from workbook.app.look import Look
from workbook.sheets.bar import BarPlan, Blank
from workbook.texts import _, ngettext
from workbook.units import Unit, built, reading, show

MARGIN = 26  # unscaled pixels left and right of the bars
HEAD = 26  # and above each


class Ghost(Struct, frozen=True):
    """A blank being dragged: the bar it is over, its outline there (mm), whether its position is allowed, and its label."""

    bar: int
    shape: QPolygonF
    clear: bool
    words: str


class BarPainting:
    """Paints bars with one painter. `scale`: pixels per mm; `width`: of the canvas, in pixels."""

    def __init__(self, painter: QPainter, look: Look, unit: Unit, scale: float, width: float) -> None:
        self._painter, self._look, self._unit, self._scale, self._width = painter, look, unit, scale, width

    def base(self, plan: BarPlan, y: float) -> float:
        """The y of a bar's lower edge, in pixels, of a row that begins at `y`."""
        return y + self._look.px(HEAD) + plan.size[1] * self._scale

    def bar(self, plan: BarPlan, shapes: list[QPolygonF], price: str, y: float) -> None:
        """Paint a bar, its blanks and its offcut; a bar without blanks is dashed."""
        painter, look, k = self._painter, self._look, self._scale
        left, wide, tall = look.px(MARGIN), plan.size[2] * k, plan.size[1] * k
        self._head(plan, price, left, wide, y + look.px(16))
        top = y + look.px(HEAD)
        pen = QPen(look.pen("dimension", "rim"))
        pen.setStyle(Qt.PenStyle.SolidLine if shapes else Qt.PenStyle.DashLine)
        painter.setPen(pen)
        painter.setBrush(look.colour("bar") if shapes else Qt.BrushStyle.NoBrush)
        painter.drawPolygon(QPolygonF([QPointF(left + x * k, top + tall - y * k) for x, y in plan.edge_line[:-1]]))
        if not shapes:
            return
        if not plan.reaches_on:
            paint_offcut(painter, look, plan, self._unit, QRectF(left + plan.used * k, top, wide - plan.used * k, tall))
        for each in plan.beside:
            room = QRectF(left + each.x * k, top + tall - (each.y + each.width) * k, each.length * k, each.width * k)
            paint_beside(painter, look, each, self._unit, room)
        for shape in shapes:
            self._shape(shape, top + tall, look.pen("hole", "steel_ink"), look.colour("blank"))
        for blank in plan.blanks:
            x, height = blank.middle
            at = QPointF(left + x * k, top + tall - height * k + look.px(5))
            letter(painter, look, at, blank.serial, 9.75, "middle", True, "steel_ink")
        paint_ordinates(painter, look, plan, self._unit, k, QPointF(left, top + tall), self._width)

    def ringed(self, shape: QPolygonF, base: float, tone: str, *, dashed: bool) -> None:
        """Paint a wider line round a blank that is chosen, or dashed round one offered for exchange."""
        pen = QPen(self._look.pen("lit", tone))
        pen.setWidthF(3.0)
        pen.setStyle(Qt.PenStyle.DashLine if dashed else Qt.PenStyle.SolidLine)
        self._shape(shape, base, pen, Qt.BrushStyle.NoBrush)

    def crossed(self, shape: QPolygonF, base: float) -> None:
        """Hatch a blank that lies too near to something."""
        hatching = QBrush(self._look.colour("stop"), Qt.BrushStyle.BDiagPattern)
        self._shape(shape, base, self._look.pen("lit", "stop"), hatching)

    def ghost(self, ghost: Ghost, base: float) -> None:
        """Paint the dragged blank, red where its position is not allowed, with its gap as text."""
        painter, look, k = self._painter, self._look, self._scale
        tone = "blue" if ghost.clear else "stop"
        colour = QColor(look.colour(tone))
        colour.setAlpha(110)
        self._shape(ghost.shape, base, look.pen("lit", tone), colour)
        box = ghost.shape.boundingRect()
        wide = text_width(look, ghost.words, 9.75, True) + look.px(12)
        x = min(max(look.px(MARGIN) + box.center().x() * k - wide / 2, 2.0), self._width - wide - 2)
        y = base - box.bottom() * k - look.px(24)
        painter.fillRect(QRectF(x, y, wide, look.px(20)), look.colour("panel"))
        letter(painter, look, QPointF(x + look.px(6), y + look.px(15)), ghost.words, 9.75, bold=True, tone=tone)

    def pin(self, blank: Blank, base: float) -> None:
        """Paint a pin beside a blank's serial."""
        look, size = self._look, self._look.px(18)
        x, height = blank.middle
        across = text_width(look, blank.serial, 9.75, True) / 2 + 3
        at = QPointF(look.px(MARGIN) + x * self._scale + across, base - height * self._scale - size / 2)
        self._painter.drawPixmap(at, picture("pin", size, look.colour("steel_ink")))

    def _shape(self, shape: QPolygonF, base: float, pen: QPen, brush: QBrush | QColor | Qt.BrushStyle) -> None:
        """Paint an outline in mm of a bar whose lower edge is at `base`."""
        painter, k = self._painter, self._scale
        painter.save()
        painter.translate(self._look.px(MARGIN), base)
        painter.scale(k, -k)
        painter.setPen(pen)
        painter.setBrush(brush)
        painter.drawPolygon(shape)
        painter.restore()

    def _head(self, plan: BarPlan, price: str, left: float, wide: float, base: float) -> None:
        painter, look, unit = self._painter, self._look, self._unit
        thick, width, length = (built(show(v, unit)) for v in plan.nominal)
        name = _("Bar {number}", number=plan.number)
        letter(painter, look, QPointF(left, base), name, 9.75, bold=True)
        x = left + text_width(look, name + "  ", 9.75, True)
        words = f"{plan.steel}  {thick} × {width} × {length} {unit}"
        letter(painter, look, QPointF(x, base), words, 9.75)
        x += text_width(look, words + "   ", 9.75)
        source = {"rack": _("from the rack"), "offcut": _("an offcut"), "buy": _("to buy")}[plan.source]
        measurements = [f"{reading(v, unit)} {side}" for v, read, side in plan.sides if read]
        if measurements:
            source = _("{source}, measured {readings}", source=source, readings=", ".join(measurements))
        count = (
            ngettext("{count} blank   {price}", "{count} blanks   {price}", len(plan.blanks), price=price)
            if plan.blanks
            else _("not used yet   {price}", price=price)
        )
        right = min(max(left + wide, x + text_width(look, source + "    " + count, 9)), self._width - look.px(8))
        room = right - x - text_width(look, count + "    ", 9)
        letter(painter, look, QPointF(x, base), fitted(look, source, 9, False, room), 9, tone="soft")
        letter(painter, look, QPointF(right, base), count, 9, "end", tone="soft")
