"""Calibration of the screen: the picture of a bank card is matched to a real one, so that true size is true."""

from PySide6.QtCore import QPointF, QRectF, QSize, Qt
from PySide6.QtGui import QPainter, QPaintEvent
from PySide6.QtWidgets import QDialog, QSlider, QVBoxLayout, QWidget

from workbook.app.elements.basics import button, label, named, row
from workbook.app.elements.painting import letter
from workbook.app.look import PX_PER_MM, Look
from workbook.structs import replace
from workbook.texts import _
from workbook.units import INCH

CARD = (85.60, 53.98)  # mm, ISO/IEC 7810 ID-1
_CORNER = 3.18  # mm, its corner radius
_LEAST, _MOST = 1.5, 12.0  # pixels per mm
_FINE = 1000  # slider steps per (pixel per mm)


class _Card(QWidget):
    """A card and a 100 mm line at `scale` pixels per mm."""

    def __init__(self, look: Look) -> None:
        super().__init__()
        self._look, self.scale = look, look.screen
        self.setAccessibleName(_("Picture of a bank card and a rule"))

    def sizeHint(self) -> QSize:
        """A size large enough for the card at the current scale."""
        return QSize(round(100 * self.scale) + 60, round(CARD[1] * self.scale) + 90)

    def show_scale(self, scale: float) -> None:
        """Show the card at another scale, in pixels per mm."""
        self.scale = scale
        self.setMinimumSize(self.sizeHint())
        self.update()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the card above the line."""
        painter, look, k = QPainter(self), self._look, self.scale
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(look.pen("outline", "ink"))
        painter.setBrush(look.colour("blue_wash"))
        painter.drawRoundedRect(QRectF(20, 10, CARD[0] * k, CARD[1] * k), _CORNER * k, _CORNER * k)
        letter(painter, look, QPointF(20 + CARD[0] * k / 2, 14 + CARD[1] * k / 2), _("place a bank card here"), 9.75, "middle")
        base = 34 + CARD[1] * k
        painter.drawLine(QPointF(20, base), QPointF(20 + 100 * k, base))
        for step in range(11):
            tall = 12 if step % 5 == 0 else 7
            painter.drawLine(QPointF(20 + 10 * step * k, base), QPointF(20 + 10 * step * k, base + tall))
        letter(painter, look, QPointF(20, base + 30), _("or measure this line: 100 mm"), 9)


class ScreenSize(QDialog):
    """The dialog: the card, a slider, and the button that keeps the scale found."""

    def __init__(self, parent: QWidget, look: Look) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Calibrate screen size"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.found: Look | None = None
        self._look = look
        self.card = _Card(look)
        self.slider = named(QSlider(Qt.Orientation.Horizontal), "screen-scale")
        self.slider.setAccessibleName(_("Size of the card on the screen"))
        self.slider.setRange(round(_LEAST * _FINE), round(_MOST * _FINE))
        self.slider.setSingleStep(5)
        self.slider.setPageStep(50)
        self._words = label(look, "", "small", soft=True)
        words = _("Move the slider until the picture is as large as the card. The arrow keys move it a little.")
        note = label(look, words)
        note.setWordWrap(True)
        keep, plain = (
            button(look, "keep-screen", _("Use this size"), main=True),
            button(look, "plain-screen", _("Reset to 96 dpi")),
        )
        for widget in (keep, plain):
            widget.setAutoDefault(False)
        column = QVBoxLayout(self)
        column.addWidget(note)
        column.addWidget(self.card, 1)
        column.addWidget(self.slider)
        column.addWidget(self._words)
        column.addLayout(row(plain, None, keep, margins=(0, 0, 0, 0)))
        self.slider.valueChanged.connect(self._moved)
        plain.clicked.connect(lambda: self.slider.setValue(round(PX_PER_MM * _FINE)))
        keep.clicked.connect(self._keep)
        self.slider.setValue(round(look.screen * _FINE))
        self._moved(self.slider.value())

    def _moved(self, value: int) -> None:
        self.card.show_scale(value / _FINE)
        scale = value / _FINE
        self._words.setText(_("{mm:.2f} pixels per mm, {inch:.1f} per inch", mm=scale, inch=scale * INCH))

    def _keep(self) -> None:
        self.found = replace(self._look, screen=self.slider.value() / _FINE)
        self.accept()
