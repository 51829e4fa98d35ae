"""Look up: the tables of facts shipped with the program, each row with its source, found by title or by a word in them."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QHBoxLayout, QHeaderView, QLineEdit, QListWidget, QVBoxLayout

from workbook.app.elements.basics import label, named, row, surface
from workbook.app.elements.lettered_table import fill, lettered_table
from workbook.app.look import Look
from workbook.app.pages.page import Page
from workbook.app.plain import plain
from workbook.formats.look_up import fact_tables
from workbook.texts import _

_WIDE, _NARROW = 240, 64  # px, the limits of a column's width


class LookUpPage(Page):
    """The list of tables on the left, the chosen one on the right; words typed above filter its rows."""

    def __init__(self, look: Look) -> None:
        super().__init__()
        self.setObjectName("look-up-page")
        self._look = look
        self.titles = named(QListWidget(), "found")
        self.titles.setAccessibleName(_("Tables"))
        self.titles.setFont(look.font("body"))
        self.titles.addItems([table.title for table in fact_tables()])
        self.field = named(QLineEdit(), "look-up")
        self.field.setPlaceholderText(_("A word in the table, as O1, 1.2510 or maple"))
        self.field.setAccessibleName(_("Words to look up"))
        self.field.setFont(look.font("body"))
        self.field.setFixedHeight(look.size("row"))
        self._count = label(look, "", "small", soft=True)
        self._caution = label(look, "", bold=True)
        self._caution.setWordWrap(True)
        self._caution.setContentsMargins(12, 8, 12, 8)
        self.table = lettered_table(look, "facts", ())
        self.table.setAccessibleName(_("Facts"))
        self._build()
        self.titles.currentRowChanged.connect(lambda index: self._show())
        self.field.textChanged.connect(lambda text: self._searched())
        self.titles.setCurrentRow(0)

    def _build(self) -> None:
        look = self._look
        left = QVBoxLayout()
        left.setContentsMargins(0, 0, 0, 0)
        left.setSpacing(0)
        left.addWidget(surface("strip", row(label(look, _("Tables"), "strong"), None), look.px(48)))
        left.addWidget(self.titles, 1)
        self._left = surface("shelf", left)
        self._left.setFixedWidth(look.px(232))
        right = QVBoxLayout()
        right.setContentsMargins(0, 0, 0, 0)
        right.setSpacing(0)
        self.field.setFixedWidth(look.px(300))
        right.addWidget(surface("strip", row(self.field, self._count, None), look.px(48)))
        right.addWidget(self._caution)
        right.addWidget(self.table, 1)
        columns = QHBoxLayout(self)
        columns.setContentsMargins(0, 0, 0, 0)
        columns.setSpacing(0)
        columns.addWidget(self._left)
        columns.addLayout(right, 1)

    def _searched(self) -> None:
        """Show the first table with a match if the chosen one has none."""
        words, tables = self.field.text(), fact_tables()
        for index, table in enumerate(tables):
            hits = len(table.matching(words)) if words.strip() else -1
            item = self.titles.item(index)
            item.setText(table.title if hits < 0 else f"{table.title} ({hits})")
            item.setForeground(self._look.colour("ink" if hits else "soft"))
        if words.strip() and not tables[self.titles.currentRow()].matching(words):
            first = next((i for i, table in enumerate(tables) if table.matching(words)), self.titles.currentRow())
            self.titles.setCurrentRow(first)
        self._show()

    def _show(self) -> None:
        table = fact_tables()[self.titles.currentRow()]
        rows = table.matching(self.field.text())
        self._count.setText(f"{len(rows)} of {len(table.rows)} rows")
        self._caution.setText(table.caution)
        self._caution.setVisible(bool(table.caution))
        self.table.setColumnCount(len(table.heads))
        self.table.setHorizontalHeaderLabels(list(table.heads))
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
        self.table.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAsNeeded)
