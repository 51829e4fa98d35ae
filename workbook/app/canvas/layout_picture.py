"""A kept layout as a small picture, so that several can be seen side by side."""

from collections.abc import Mapping

from PySide6.QtCore import QPointF, QRectF, Qt
from PySide6.QtGui import QPainter, QPixmap, QPolygonF

from workbook.app.look import Look
from workbook.document.document import Document
from workbook.document.records import BarRecord, KeptBar, LayoutRecord
from workbook.geometry.path import Placement, flatten
from workbook.template.shape import Shape

SIZE = (132, 52)  # unscaled pixels
_GAP = 2.0
_COARSE = 0.5  # mm


def layout_picture(look: Look, document: Document, record: LayoutRecord, shapes: Mapping[str, Shape]) -> QPixmap:
    """Its bars under each other, to one scale, with the blanks as their templates are now; gone ones are left out."""
    wide, tall = look.px(SIZE[0]), look.px(SIZE[1])
    made = QPixmap(wide * 2, tall * 2)
    made.setDevicePixelRatio(2.0)
    made.fill(look.colour("board"))
    known = {own.id: own.bar for own in document.all(BarRecord)}
    found = [(kept, known[kept.bar]) for kept in record.bars if kept.bar in known]
    if not found:
        return made
    longest = max(bar.true_length for _, bar in found)
    high = sum(bar.true_width for _, bar in found)
    k = min((wide - 4) / longest, (tall - 4 - _GAP * len(found)) / high)
    painter = QPainter(made)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    y = 2.0
    for kept, bar in found:
        painter.setPen(look.pen("extension", "rim"))
        painter.setBrush(look.colour("bar"))
        painter.drawRect(QRectF(2.0, y, bar.true_length * k, bar.true_width * k))
        y += bar.true_width * k
        _blanks(painter, look, shapes, kept, QPointF(2.0, y), k)
        y += _GAP
    painter.end()
    return made


def _blanks(painter: QPainter, look: Look, shapes: Mapping[str, Shape], kept: KeptBar, corner: QPointF, k: float) -> None:
    """The blanks of a bar whose lower corner at end A is there."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(look.colour("soft"))
    for piece in kept.pieces:
        shape = shapes.get(piece.of)
        if shape is not None:
            where = Placement(piece.x, piece.y, piece.angle, piece.mirrored)
            points = where.points(flatten(shape.outline, _COARSE)).tolist()
            painter.drawPolygon(QPolygonF([QPointF(corner.x() + x * k, corner.y() - y * k) for x, y in points]))
