"""A plot of points in a row, one of which is chosen with the arrows or the pointer and told in words."""

from PySide6.QtCore import QRectF, Qt
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QSizePolicy, QWidget

from workbook.app.look import Look


class ChosenPlot(QWidget):
    """What such plots share. Each tells how many points it has, and its words."""

    margins = (0, 0, 0, 0)  # pixels at 100 %: left, right, top, bottom

    def __init__(self, look: Look, name: str, words: str) -> None:
        """`words`: what is plotted, for a screen reader."""
        super().__init__()
        self.setObjectName(name)
        self._look, self._at = look, -1  # the point that is chosen; -1: none
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setMouseTracking(True)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAccessibleName(words)

    def count(self) -> int:
        """How many points there are."""
        raise NotImplementedError

    def words(self) -> str:
        """The chosen point in words; "" where none is."""
        raise NotImplementedError

    def _choose(self, at: int) -> bool:
        """Choose a point, if there is such a one and it is another; whether it was chosen."""
        if not 0 <= at < self.count() or at == self._at:
            return False
        self._at = at
        self.setAccessibleDescription(self.words())
        self.update()
        return True

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Choose the next or the previous point with the arrows."""
        step = {Qt.Key.Key_Right: 1, Qt.Key.Key_Left: -1}.get(Qt.Key(event.key()), 0)
        if step:
            self._choose(self._at + step)
        else:
            super().keyPressEvent(event)

    def _room(self) -> QRectF:
        """Where the points lie, within the margins."""
        left, right, top, bottom = (self._look.px(each) for each in self.margins)
        return QRectF(left, top, self.width() - left - right, self.height() - top - bottom)
