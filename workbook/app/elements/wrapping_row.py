"""A layout of widgets one after another that begins a new line where they do not fit, as words do."""

from PySide6.QtCore import QPoint, QRect, QSize, Qt
from PySide6.QtWidgets import QLayout, QLayoutItem, QWidget


class WrappingRow(QLayout):
    """Widgets in lines, each with its own size; hidden ones take no room."""

    def __init__(self, *widgets: QWidget, side: int = 6, above: int = 0, gap: int = 4) -> None:
        super().__init__()
        self._items: list[QLayoutItem] = []
        self._gap = gap
        self.setContentsMargins(side, above, side, above)
        for widget in widgets:
            self.addWidget(widget)

    def addItem(self, item: QLayoutItem) -> None:
        """Add an item at the end."""
        self._items.append(item)

    def count(self) -> int:
        """The number of items."""
        return len(self._items)

    def itemAt(self, index: int) -> QLayoutItem | None:
        """An item; None where there is none."""
        return self._items[index] if 0 <= index < len(self._items) else None

    def takeAt(self, index: int) -> QLayoutItem | None:
        """Remove an item."""
        return self._items.pop(index) if 0 <= index < len(self._items) else None

    def expandingDirections(self) -> Qt.Orientation:
        """None: it takes the room of its widgets."""
        return Qt.Orientation(0)

    def hasHeightForWidth(self) -> bool:
        """Its height depends on how wide it is."""
        return True

    def heightForWidth(self, width: int) -> int:
        """How high the lines are together."""
        return self._laid(QRect(0, 0, width, 0), move=False)

    def sizeHint(self) -> QSize:
        """All in one line."""
        sizes = [item.sizeHint() for item in self._items if not item.isEmpty()]
        wide = sum(size.width() for size in sizes) + self._gap * max(len(sizes) - 1, 0)
        return self._with_margins(wide, max((size.height() for size in sizes), default=0))

    def minimumSize(self) -> QSize:
        """As wide as the widest widget."""
        sizes = [item.minimumSize() for item in self._items if not item.isEmpty()]
        wide, high = (max((side(size) for size in sizes), default=0) for side in (QSize.width, QSize.height))
        return self._with_margins(wide, high)

    def _with_margins(self, wide: int, high: int) -> QSize:
        room = self.contentsMargins()
        return QSize(wide + room.left() + room.right(), high + room.top() + room.bottom())

    def setGeometry(self, rect: QRect) -> None:
        """Put the widgets in their places."""
        super().setGeometry(rect)
        self._laid(rect, move=True)

    def _laid(self, rect: QRect, *, move: bool) -> int:
        """Lay the widgets out in lines; the height of all lines. `move`: put them there, too."""
        inner = rect.marginsRemoved(self.contentsMargins())
        x, y, line = inner.x(), inner.y(), 0
        for item in (each for each in self._items if not each.isEmpty()):
            size = item.sizeHint()
            if line and x + size.width() > inner.right() + 1:
                x, y, line = inner.x(), y + line + self._gap, 0
            if move:
                item.setGeometry(QRect(QPoint(x, y), size))
            x, line = x + size.width() + self._gap, max(line, size.height())
        return y + line + self.contentsMargins().bottom() - rect.y()
