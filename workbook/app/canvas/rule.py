"""The pocket rule in the board's corner: inches above, millimetres below, at the zoom of the knife."""

from PySide6.QtCore import QPointF, QRectF
from PySide6.QtGui import QPainter

from workbook.app.elements.painting import letter
from workbook.app.look import Look
from workbook.units import INCH

_SIZE = 8.0  # points


def rule_place(look: Look, room: QRectF, scale: float) -> QRectF:
    """The place of the longest rule that fits in the lower left corner at `scale` pixels per mm; empty if there is no room."""
    long, tall = _inches_of(room, scale) * INCH * scale + look.px(34), look.px(46)
    if long > room.width() - 20 or tall > room.height() / 5:
        return QRectF()
    return QRectF(room.left() + look.px(14), room.bottom() - tall - look.px(12), long, tall)


def _inches_of(room: QRectF, scale: float) -> int:
    return max(1, min(6, int((room.width() * 0.55 - 40) / (INCH * scale))))


def paint_rule(painter: QPainter, look: Look, room: QRectF, scale: float) -> None:
    """Draw a board's rule at the painter's origin; `scale` in pixels per mm."""
    inches, place = _inches_of(room, scale), rule_place(look, room, scale)
    left, top, long, tall = 0.0, 0.0, place.width(), place.height()
    painter.setPen(look.pen("dimension", "rim"))
    painter.setBrush(look.colour("bar"))
    painter.drawRoundedRect(QRectF(left, top, long, tall), 3, 3)
    _inches(painter, look, left + 4, top, inches, scale)
    _millimetres(painter, look, left + 4, top + tall, int(inches * INCH), scale)
    letter(painter, look, QPointF(left + long - 6, top + look.px(16)), "in", _SIZE, "end", tone="steel_ink")
    letter(painter, look, QPointF(left + long - 6, top + tall - look.px(8)), "mm", _SIZE, "end", tone="steel_ink")


def _inches(painter: QPainter, look: Look, left: float, top: float, inches: int, scale: float) -> None:
    parts = 16 if INCH / 16 * scale >= 4 else 8 if INCH / 8 * scale >= 4 else 2
    for i in range(inches * parts + 1):
        x = left + i * INCH / parts * scale
        tick = 12 if i % parts == 0 else 8 if i % (parts // 2) == 0 else 5
        painter.setPen(look.colour("steel_ink"))
        painter.drawLine(QPointF(x, top), QPointF(x, top + look.px(tick)))
        if i % parts == 0 and i:
            letter(painter, look, QPointF(x - 3, top + look.px(20)), str(i // parts), _SIZE, "end", True, "steel_ink")


def _millimetres(painter: QPainter, look: Look, left: float, bottom: float, length: int, scale: float) -> None:
    step = 1 if scale >= 3 else 5 if scale >= 0.7 else 10
    room = scale / look.text  # numbers grow with the text size
    interval = 10 if room >= 3 else 20 if room >= 1.5 else 50
    for mm in range(0, length + 1, step):
        x = left + mm * scale
        tick = 9 if mm % 10 == 0 else 6 if mm % 5 == 0 else 4
        painter.setPen(look.colour("steel_ink"))
        painter.drawLine(QPointF(x, bottom), QPointF(x, bottom - look.px(tick)))
        if mm % interval == 0 and mm and mm < length - 14 / scale:
            letter(painter, look, QPointF(x, bottom - look.px(11)), str(mm), _SIZE, "middle", tone="steel_ink")
