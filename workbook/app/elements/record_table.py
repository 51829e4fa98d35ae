"""A table of many records. Only visible rows are turned into text, so that thousands of records stay fast."""

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from workbook.app.elements.basics import named
from workbook.app.elements.lettered_table import LetteredCells
from workbook.app.look import Look
from workbook.app.plain import plain

Index = QModelIndex | QPersistentModelIndex
RowOf = Callable[[Any], tuple[str, ...]]
_COMPARED = 100  # rows shown so far up to which they are compared with what they were


class _Records(QAbstractTableModel):
    """The records, and the texts of those shown so far."""

    def __init__(self, heads: Sequence[str], right: Sequence[int]) -> None:
        super().__init__()
        self._heads, self._right = heads, frozenset(right)
        self.records: Sequence[Any] = ()
        self._row_of: RowOf = lambda record: ()
        self._words: dict[int, tuple[str, ...]] = {}

    def show(self, records: Sequence[Any], row_of: RowOf) -> None:
        """Show other records; of the same ones, only the cells whose words are others."""
        same = len(self._words) <= _COMPARED and [record.id for record in records] == [record.id for record in self.records]
        if not same:
            self.beginResetModel()
            self.records, self._row_of, self._words = records, row_of, {}
            self.endResetModel()
            return
        before, self._words = self._words, {}
        self.records, self._row_of = records, row_of
        for row, words in before.items():
            if self.words(row) != words:
                self.dataChanged.emit(self.index(row, 0), self.index(row, len(words) - 1))

    def words(self, row: int) -> tuple[str, ...]:
        """The cell texts of a record, cached."""
        if row not in self._words:
            self._words[row] = self._row_of(self.records[row])
        return self._words[row]

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008  # Qt's own signature
        """The number of records."""
        return 0 if parent.isValid() else len(self.records)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """The number of columns."""
        return 0 if parent.isValid() else len(self._heads)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The text of a cell, with plain fractions for a screen reader."""
        if role == Qt.ItemDataRole.DisplayRole:
            return self.words(index.row())[index.column()]
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self.words(index.row())[index.column()].replace("⁄", "/")
        if role == Qt.ItemDataRole.ToolTipRole:  # a cell may be too narrow
            return plain(self.words(index.row())[index.column()].replace("⁄", "/"))
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The column headings and their alignment."""
        horizontal = orientation == Qt.Orientation.Horizontal
        if horizontal and role == Qt.ItemDataRole.TextAlignmentRole and section in self._right:
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        return self._heads[section] if horizontal and role == Qt.ItemDataRole.DisplayRole else None


class RecordTable(QTableView):
    """A table with at most one chosen row. `right`: the right-aligned columns."""

    chosen = Signal(str)  # id of the record the user chose; "" when the choice is cleared

    def __init__(self, look: Look, name: str, words: str, heads: Sequence[str], *, right: Sequence[int] = ()) -> None:
        super().__init__()
        named(self, name)
        self.setAccessibleName(words)
        self._model = _Records(heads, right)
        self.setModel(self._model)
        self.setItemDelegate(LetteredCells(look, self, right))
        header = self.horizontalHeader()
        header.setFont(look.font("small"))
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter)
        header.setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        header.setHighlightSections(False)
        self.verticalHeader().setVisible(False)
        self.verticalHeader().setDefaultSectionSize(look.px(28))
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setSelectionBehavior(QAbstractItemView.SelectionBehavior.SelectRows)
        self.setSelectionMode(QAbstractItemView.SelectionMode.SingleSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.setWordWrap(False)
        self.selectionModel().selectionChanged.connect(self._changed)
        self._telling = True

    def set_widths(self, look: Look, widths: dict[int, int]) -> None:
        """Fix the widths of some columns, in unscaled pixels; the others share the rest."""
        for column, wide in widths.items():
            self.horizontalHeader().setSectionResizeMode(column, QHeaderView.ResizeMode.Fixed)
            self.setColumnWidth(column, look.px(wide))

    def show_records(self, records: Sequence[Any], row_of: RowOf, chosen: str = "") -> None:
        """Show other records with one of them chosen, without emitting `chosen`."""
        position = self.verticalScrollBar().value()
        self._telling = False
        self._model.show(records, row_of)
        row = next((n for n, record in enumerate(records) if record.id == chosen), -1)
        if row >= 0:
            self.selectRow(row)
        else:
            self.clearSelection()
        self._telling = True
        self.verticalScrollBar().setValue(position)

    def choose(self, id: str) -> None:  # noqa: A002
        """Choose a record's row, as the user would."""
        row = next((n for n, record in enumerate(self._model.records) if record.id == id), -1)
        if row >= 0:
            self.selectRow(row)

    def reveal(self, id: str) -> None:  # noqa: A002
        """Scroll to a record's row."""
        row = next((n for n, record in enumerate(self._model.records) if record.id == id), -1)
        self.scrollTo(self._model.index(row, 0))

    def clear_choice(self) -> None:
        """Clear the choice without emitting `chosen`."""
        self._telling = False
        self.clearSelection()
        self._telling = True

    def row_words(self, row: int) -> tuple[str, ...]:
        """The cell texts of a row."""
        return self._model.words(row)

    @property
    def count(self) -> int:
        """The number of rows."""
        return len(self._model.records)

    def _changed(self) -> None:
        if self._telling:
            rows = self.selectionModel().selectedRows()
            self.chosen.emit(self._model.records[rows[0].row()].id if rows else "")
