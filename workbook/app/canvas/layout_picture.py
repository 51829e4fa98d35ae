"""Thumbnails of saved layouts, for comparing several side by side."""

from collections.abc import Mapping

from PySide6.QtCore import QPointF, Qt
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
    """Draw a layout's bars below each other to one scale, with the templates' current shapes; deleted ones are left out."""
    wide, tall = look.px(SIZE[0]), look.px(SIZE[1])
    pixmap = QPixmap(wide * 2, tall * 2)
    pixmap.setDevicePixelRatio(2.0)
    pixmap.fill(look.colour("board"))
    bars = {bar_record.id: bar_record.bar for bar_record in document.all(BarRecord)}
    rows = [(kept_bar, bars[kept_bar.bar]) for kept_bar in record.bars if kept_bar.bar in bars]
    if not rows:
        return pixmap
    longest = max(bar.true_length + bar.beyond[0] for _, bar in rows)
    high = sum(bar.true_width for _, bar in rows)
    k = min((wide - 4) / longest, (tall - 4 - _GAP * len(rows)) / high)
    painter = QPainter(pixmap)
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    y = 2.0
    for kept_bar, bar in rows:
        painter.setPen(look.pen("extension", "rim"))
        painter.setBrush(look.colour("bar"))
        y += bar.true_width * k
        painter.drawPolygon(QPolygonF([QPointF(2.0 + x * k, y - v * k) for x, v in bar.outline]))
        _blanks(painter, look, shapes, kept_bar, QPointF(2.0, y), k)
        y += _GAP
    painter.end()
    return pixmap


def _blanks(painter: QPainter, look: Look, shapes: Mapping[str, Shape], kept_bar: KeptBar, corner: QPointF, k: float) -> None:
    """Paint a bar's blanks. `corner`: the bar's lower corner at end A; `k`: pixels per mm."""
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(look.colour("soft"))
    for piece in kept_bar.pieces:
        shape = shapes.get(piece.of)
        if shape is not None:
            placement = Placement(piece.x, piece.y, piece.angle, piece.mirrored)
            points = placement.points(flatten(shape.outline, _COARSE)).tolist()
            painter.drawPolygon(QPolygonF([QPointF(corner.x() + x * k, corner.y() - y * k) for x, y in points]))
