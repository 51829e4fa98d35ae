"""One table of facts, its rows narrowed by words."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHeaderView, QVBoxLayout, QWidget

from workbook.app.elements.basics import label
from workbook.app.elements.lettered_table import fill, lettered_table
from workbook.app.look import Look
from workbook.app.plain import plain
from workbook.formats.look_up import FactTable
from workbook.texts import _, of_file

_WIDE, _NARROW = 240, 64  # px, the limits of a column's width


class TableView(QWidget):
    """Shows a table with its caution."""

    def __init__(self, look: Look) -> None:
        super().__init__()
        self._look = look
        self.caution = label(look, "", bold=True)
        self.caution.setWordWrap(True)
        self.caution.setContentsMargins(12, 8, 12, 8)
        self.table = lettered_table(look, "facts", ())
        self.table.setAccessibleName(_("Facts"))
        self.table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.caution)
        column.addWidget(self.table, 1)

    def show_table(self, table: FactTable, words: str) -> str:
        """Show the rows that have the words. Return how many they are, in words."""
        rows = table.matching(words)
        self.caution.setText(of_file(table.caution))
        self.caution.setVisible(bool(table.caution))
        self.table.setColumnCount(len(table.heads))
        self.table.setHorizontalHeaderLabels([of_file(head) for head in table.heads])
        fill(self.table, rows)
        header, metrics = self.table.horizontalHeader(), self.table.fontMetrics()
        header.setSectionResizeMode(QHeaderView.ResizeMode.Interactive)
        for column, head in enumerate(table.heads):
            longest = max((metrics.horizontalAdvance(cells[column]) for cells in rows), default=0)
            width = max(longest + 30, metrics.horizontalAdvance(head) + 24)
            self.table.setColumnWidth(column, min(max(width, self._look.px(_NARROW)), self._look.px(_WIDE)))
        for r, cells in enumerate(rows):
            for c, text in enumerate(cells):
                item = self.table.item(r, c)
                if item is not None:
                    item.setToolTip(plain(text))
        return _("{count} of {total} rows", count=len(rows), total=len(table.rows))
