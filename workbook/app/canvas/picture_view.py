"""A picture with marked places: zoom, pan, add, move and remove places; an outline is drawn over it."""

from collections.abc import Sequence
from math import hypot

from PySide6.QtCore import QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QImage, QKeyEvent, QMouseEvent, QPainter, QPaintEvent, QPen, QPolygonF, QResizeEvent, QWheelEvent
from PySide6.QtWidgets import QWidget

from workbook.app.elements.painting import letter
from workbook.app.look import Look
from workbook.formats.picture import Picture
from workbook.geometry.path import Point
from workbook.texts import _

_REACH = 10  # px
_STEP = 1.2
_LEAST, _MOST = 0.05, 20.0
_ARROWS = {Qt.Key.Key_Left: (-1, 0), Qt.Key.Key_Right: (1, 0), Qt.Key.Key_Up: (0, -1), Qt.Key.Key_Down: (0, 1)}


class PictureView(QWidget):
    """The picture and its places (in its pixels). A click emits `clicked`; places are dragged, the last nudged with arrows."""

    clicked = Signal(float, float)
    moved = Signal(int, float, float)
    removed = Signal(int)

    def __init__(self, look: Look) -> None:
        super().__init__()
        self.setObjectName("picture")
        self.setAccessibleName(_("Picture to trace"))
        self.setAccessibleDescription(_("Click to set points. The arrow keys move the last one, Delete removes it."))
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMinimumSize(360, 240)
        self._look = look
        self._image, self._pixels = QImage(), b""
        self.zoom, self._middle = 1.0, QPointF()
        self.places: Sequence[tuple[Point, str]] = ()
        self._outline: Sequence[Point] = ()
        self._held, self._grabbed = -1, QPointF()
        self._pan = False

    def show_picture(self, picture: Picture) -> None:
        """Show another picture, fitted to the view."""
        w, h = picture.width, picture.height
        self._image = QImage(picture.pixels, w, h, 3 * w, QImage.Format.Format_RGB888)
        self._pixels = picture.pixels  # the image does not own its pixels
        self.fit()

    def fit(self) -> None:
        """Fit the whole picture in the view."""
        if not self._image.isNull():
            self.zoom = min(self.width() / self._image.width(), self.height() / self._image.height())
            self._middle = QPointF(self._image.width() / 2, self._image.height() / 2)
            self.update()

    def show_places(self, places: Sequence[tuple[Point, str]], outline: Sequence[Point] = ()) -> None:
        """Show places with their labels, and an outline over the picture."""
        self.places = places
        self._outline = outline
        self.update()

    def _at(self, place: QPointF) -> QPointF:
        """Convert a place of the widget to the picture's pixels."""
        return self._middle + QPointF(place.x() - self.width() / 2, place.y() - self.height() / 2) / self.zoom

    def spot(self, x: float, y: float) -> QPointF:
        """Convert a pixel of the picture to a place of the widget."""
        return (QPointF(x, y) - self._middle) * self.zoom + QPointF(self.width() / 2, self.height() / 2)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Fit the picture to the new size."""
        self.fit()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the picture, the outline and the places."""
        painter, look = QPainter(self), self._look
        painter.fillRect(self.rect(), look.colour("desk"))
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, self.zoom < 1)
        corner = self.spot(0, 0)
        size = (self._image.width() * self.zoom, self._image.height() * self.zoom)
        painter.drawImage(QRectF(corner.x(), corner.y(), *size), self._image)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if self._outline:
            polygon = QPolygonF([self.spot(x, y) for x, y in self._outline])
            for colour, wide in ((look.colour("board"), 4.0), (look.colour("dye"), 2.0)):
                painter.setPen(QPen(colour, wide))
                painter.drawPolygon(polygon)
        for (x, y), words in self.places:
            self._mark(painter, self.spot(x, y), words)

    def _mark(self, painter: QPainter, at: QPointF, words: str) -> None:
        """Paint a cross with a ring, dark over light so that it is visible on any picture."""
        look = self._look
        for colour, wide in ((look.colour("field"), 4.0), (look.colour("dye"), 1.6)):
            painter.setPen(QPen(colour, wide))
            painter.drawEllipse(at, 6, 6)
            for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
                painter.drawLine(at + QPointF(3 * dx, 3 * dy), at + QPointF(9 * dx, 9 * dy))
        if words:
            painter.fillRect(
                QRectF(at.x() + 10, at.y() - 22, look.px(9) * len(words) * 0.78 + 8, look.px(18)), look.colour("field")
            )
            letter(painter, look, QPointF(at.x() + 14, at.y() - 22 + look.px(13)), words, 9, bold=True, tone="blue")

    def _near(self, place: QPointF) -> int:
        distances = []
        for n, ((x, y), _unused) in enumerate(self.places):
            spot = self.spot(x, y)
            distances.append((hypot(spot.x() - place.x(), spot.y() - place.y()), n))
        distance, n = min(distances, default=(1e9, -1))
        return n if distance <= _REACH else -1

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Grab or add a place; the right button removes one, the middle button pans."""
        near = self._near(event.position())
        self._grabbed = event.position()
        if event.button() == Qt.MouseButton.RightButton:
            if near >= 0:
                self.removed.emit(near)
        elif event.button() == Qt.MouseButton.MiddleButton:
            self._pan = True
        elif near >= 0:
            self._held = near
        elif not self._image.isNull():
            at = self._at(event.position())
            if 0 <= at.x() <= self._image.width() and 0 <= at.y() <= self._image.height():
                self.clicked.emit(at.x(), at.y())

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Drag a place, or pan the picture."""
        if self._pan:
            self._middle -= (event.position() - self._grabbed) / self.zoom
            self._grabbed = event.position()
            self.update()
        elif self._held >= 0:
            at = self._at(event.position())
            self.moved.emit(self._held, at.x(), at.y())

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End the drag or the pan."""
        self._held, self._pan = -1, False

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Zoom about the pointer."""
        before = self._at(event.position())
        self.zoom = min(max(self.zoom * _STEP ** (event.angleDelta().y() / 120), _LEAST), _MOST)
        self._middle += before - self._at(event.position())
        self.update()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Move the last place by one pixel of the picture with the arrows, remove it with Delete; fit the picture with 0."""
        last = len(self.places) - 1
        if Qt.Key(event.key()) in _ARROWS and last >= 0:
            dx, dy = _ARROWS[Qt.Key(event.key())]
            (x, y), _ = self.places[last]
            self.moved.emit(last, x + dx, y + dy)
        elif event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and last >= 0:
            self.removed.emit(last)
        elif event.key() == Qt.Key.Key_0:
            self.fit()
        else:
            super().keyPressEvent(event)
