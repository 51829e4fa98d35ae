"""One page of a proof, as large as fits."""

from PySide6.QtCore import QRectF
from PySide6.QtGui import QImage, QPainter, QPaintEvent
from PySide6.QtWidgets import QWidget

from workbook.app.look import Look
from workbook.texts import _


class PageView(QWidget):
    """One page, as large as fits, on the board's background."""

    def __init__(self, look: Look) -> None:
        super().__init__()
        self._look, self._image = look, QImage()
        self.setMinimumSize(look.px(320), look.px(260))
        self.setAccessibleName(_("Preview"))

    def show_image(self, image: QImage) -> None:
        """Show another page."""
        self._image = image
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the page in the middle with its edge."""
        painter, look = QPainter(self), self._look
        painter.fillRect(self.rect(), look.colour("board"))
        if self._image.isNull():
            return
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        room = look.px(14)
        k = min((self.width() - 2 * room) / self._image.width(), (self.height() - 2 * room) / self._image.height())
        wide, tall = self._image.width() * k, self._image.height() * k
        place = QRectF((self.width() - wide) / 2, (self.height() - tall) / 2, wide, tall)
        painter.drawImage(place, self._image)
        painter.setPen(look.pen("extension", "soft"))
        painter.drawRect(place)
