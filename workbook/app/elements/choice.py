"""A combo box with an arrow in the colour of the text."""

from PySide6.QtCore import QPointF, Qt
from PySide6.QtGui import QPainter, QPaintEvent, QWheelEvent
from PySide6.QtWidgets import QComboBox, QStyle, QStyleOptionComboBox, QStylePainter

from workbook.app.look import Look


class ChoiceField(QComboBox):
    """A combo box drawn by the style sheet, with the arrow that the style sheet removes painted on top."""

    def __init__(self, look: Look) -> None:
        super().__init__()
        self._look = look
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def wheelEvent(self, event: QWheelEvent) -> None:
        """Let the wheel scroll the surroundings unless the box has the focus."""
        super().wheelEvent(event) if self.hasFocus() else event.ignore()

    def paintEvent(self, event: QPaintEvent) -> None:
        """Paint the box with its text, shortened if too long, and the arrow."""
        painter, s = QStylePainter(self), self._look.px(4)
        option = QStyleOptionComboBox()
        self.initStyleOption(option)
        room = self.width() - self._look.px(38)  # less the borders and the arrow
        option.currentText = self.fontMetrics().elidedText(option.currentText, Qt.TextElideMode.ElideRight, room)
        painter.drawComplexControl(QStyle.ComplexControl.CC_ComboBox, option)
        painter.drawControl(QStyle.ControlElement.CE_ComboBoxLabel, option)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(self._look.pen("outline", "soft"))
        x, y = self.width() - self._look.px(14), self.height() / 2
        painter.drawLine(QPointF(x - s, y - s / 2), QPointF(x, y + s / 2))
        painter.drawLine(QPointF(x, y + s / 2), QPointF(x + s, y - s / 2))
