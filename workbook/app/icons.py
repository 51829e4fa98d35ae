"""The program's own line icons, drawn in any colour at any size."""

from functools import lru_cache

from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer

from workbook.app.look import Look
from workbook.paths import resource


def picture(name: str, size: int, colour: QColor, ratio: float = 2.0) -> QPixmap:
    """An icon as a pixmap of so many logical pixels; kept, since it is painted again and again."""
    return _drawn(name, size, colour.name(), ratio)


@lru_cache(maxsize=256)
def _drawn(name: str, size: int, colour: str, ratio: float) -> QPixmap:
    source = resource("icons", f"{name}.svg").read_text(encoding="utf-8").replace("currentColor", colour)
    pixmap = QPixmap(round(size * ratio), round(size * ratio))
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    QSvgRenderer(QByteArray(source.encode())).render(painter, QRectF(0, 0, size, size))
    painter.end()
    return pixmap


def icon(look: Look, name: str, size: int = 20, role: str = "ink") -> QIcon:
    """An icon in a colour role."""
    return QIcon(picture(name, look.px(size), look.colour(role)))
