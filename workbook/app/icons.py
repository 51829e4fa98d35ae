"""The program's own line icons, drawn in any colour at any size."""

from functools import cache, lru_cache

from PySide6.QtCore import QByteArray, QRectF, Qt
from PySide6.QtGui import QColor, QIcon, QPainter, QPixmap
from PySide6.QtSvg import QSvgRenderer

from workbook.app.look import Look
from workbook.paths import resource


def picture(name: str, size: int, colour: QColor, ratio: float = 2.0) -> QPixmap:
    """An icon as a pixmap of `size` logical pixels; cached, since it is painted often."""
    return _drawn(name, size, colour.name(), ratio)


@cache
def _folder() -> str:
    return str(resource("icons"))


@lru_cache(maxsize=256)
def _drawn(name: str, size: int, colour: str, ratio: float) -> QPixmap:
    with open(f"{_folder()}/{name}.svg", "rb") as file:  # noqa: PTH123  # building a path takes as long as reading it
        source = file.read().replace(b"currentColor", colour.encode())
    pixmap = QPixmap(round(size * ratio), round(size * ratio))
    pixmap.setDevicePixelRatio(ratio)
    pixmap.fill(Qt.GlobalColor.transparent)
    painter = QPainter(pixmap)
    QSvgRenderer(QByteArray(source)).render(painter, QRectF(0, 0, size, size))
    painter.end()
    return pixmap


def icon(look: Look, name: str, size: int = 20, role: str = "ink") -> QIcon:
    """An icon in a colour role. On a coloured button it gets the soft colour while the button is disabled and has no dye."""
    drawn = QIcon(picture(name, look.px(size), look.colour(role)))
    if role == "on_dye":
        drawn.addPixmap(picture(name, look.px(size), look.colour("soft")), QIcon.Mode.Disabled)
    return drawn
