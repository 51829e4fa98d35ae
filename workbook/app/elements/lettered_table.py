"""A plain table whose cells may hold typeset fractions."""

from collections.abc import Sequence

from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QPointF, QRectF, Qt
from PySide6.QtGui import QPainter
from PySide6.QtWidgets import (
    QAbstractItemView,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
    QTableWidget,
    QTableWidgetItem,
)

from workbook.app.elements.basics import broken, fitted, named
from workbook.app.elements.painting import ground, letter
from workbook.app.look import Look

_POINTS = 9.75
_ROW, _LINE, _BESIDE = 28, 17, 10  # pixels at 100 %: a row of one line, each line more, left free beside the words


class LetteredCells(QStyledItemDelegate):
    """Paints cells with typeset fractions, the first column bold and the `right` columns right-aligned.

    Where rows are higher than a line, what does not fit on one goes on below.
    """

    def __init__(self, look: Look, table: QTableView, right: Sequence[int] = ()) -> None:
        super().__init__(table)
        self._look, self._table, self._right = look, table, frozenset(right)

    def high(self, text: str, wide: float, *, bold: bool) -> int:
        """The height in pixels of a row whose cell holds all of a text."""
        look = self._look
        return look.px(_ROW) + (len(broken(look, text, _POINTS, bold, wide - _BESIDE)) - 1) * look.px(_LINE)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> None:
        """Paint the background, tinted in a chosen row, then the text."""
        rect = QRectF(option.rect)
        chosen = self._table.selectionModel().isSelected(index)
        painter.save()
        ground(painter, rect, self._look.colour("blue_wash" if chosen else "panel"))
        text, bold = str(index.data() or ""), index.column() == 0
        room, line = rect.width() - _BESIDE, self._look.px(_LINE)
        tall = rect.height() >= self._look.px(_ROW) + line
        lines = broken(self._look, text, _POINTS, bold, room) if tall else [fitted(self._look, text, _POINTS, bold, room)]
        base = rect.top() + self._look.px(_ROW) / 2 + 4.6 * self._look.text
        right = index.column() in self._right
        x = rect.right() - self._look.px(6) if right else rect.left() + self._look.px(6)
        for n, words in enumerate(lines):
            letter(painter, self._look, QPointF(x, base + n * line), words, _POINTS, "end" if right else "start", bold)
        painter.restore()


def lettered_table(look: Look, name: str, heads: Sequence[str]) -> QTableWidget:
    """An empty table in which whole rows are chosen."""
    table = named(QTableWidget(0, len(heads)), name)
    table.setHorizontalHeaderLabels(list(heads))
    table.horizontalHeader().setFont(look.font("small"))
    table.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
    table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
    table.horizontalHeader().setHighlightSections(False)
    table.verticalHeader().setVisible(False)
    table.verticalHeader().setDefaultSectionSize(look.px(_ROW))
    table.setItemDelegate(LetteredCells(look, table))
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    table.setShowGrid(False)
    table.setTabKeyNavigation(False)
    return table


def fill(table: QTableWidget, rows: Sequence[Sequence[str]]) -> None:
    """Fill a table with rows. The choice stays at its row number; a caller that wants another one sets it."""
    chosen = table.currentRow() if table.selectionModel().hasSelection() else -1
    table.setRowCount(len(rows))
    for r, cells in enumerate(rows):
        for c, text in enumerate(cells):
            item = table.item(r, c)
            if item is None:
                item = QTableWidgetItem()
                table.setItem(r, c, item)
            item.setText(text)
            item.setData(Qt.ItemDataRole.AccessibleTextRole, text.replace("⁄", "/"))
    if 0 <= chosen < len(rows):
        table.selectRow(chosen)
