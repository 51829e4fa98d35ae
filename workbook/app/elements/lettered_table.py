"""A quiet table whose cells may hold built fractions."""

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

from workbook.app.elements.basics import fitted, named
from workbook.app.elements.painting import ground, letter
from workbook.app.look import Look

_POINTS = 9.75


class LetteredCells(QStyledItemDelegate):
    """Paints a cell's text with fractions built; the first column bold, some at the right."""

    def __init__(self, look: Look, table: QTableView, right: Sequence[int] = ()) -> None:
        super().__init__(table)
        self._look, self._table, self._right = look, table, frozenset(right)

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> None:
        """Wash under a chosen row, then the text."""
        rect = QRectF(option.rect)
        chosen = self._table.selectionModel().isSelected(index)
        painter.save()
        ground(painter, rect, self._look.colour("blue_wash" if chosen else "panel"))
        text, bold = str(index.data() or ""), index.column() == 0
        base = rect.center().y() + 4.6 * self._look.text
        words = fitted(self._look, text, _POINTS, bold, rect.width() - 10)
        right = index.column() in self._right
        x = rect.right() - self._look.px(6) if right else rect.left() + self._look.px(6)
        letter(painter, self._look, QPointF(x, base), words, _POINTS, "end" if right else "start", bold)
        painter.restore()


def lettered_table(look: Look, name: str, heads: Sequence[str]) -> QTableWidget:
    """An empty table of whole-row choice."""
    table = named(QTableWidget(0, len(heads)), name)
    table.setHorizontalHeaderLabels(list(heads))
    table.horizontalHeader().setFont(look.font("small"))
    table.horizontalHeader().setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
    table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
    table.horizontalHeader().setHighlightSections(False)
    table.verticalHeader().setVisible(False)
    table.verticalHeader().setDefaultSectionSize(look.px(28))
    table.setItemDelegate(LetteredCells(look, table))
    table.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
    table.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
    table.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
    table.setShowGrid(False)
    table.setTabKeyNavigation(False)
    return table


def fill(table: QTableWidget, rows: Sequence[Sequence[str]]) -> None:
    """Puts rows in a table; which one is chosen is the caller's to say, where it is more than a matter of its place."""
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
