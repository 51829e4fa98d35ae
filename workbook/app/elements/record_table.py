"""A table of many records: only the rows that show are put in words, so that thousands of them take no time."""

from collections.abc import Callable, Sequence
from typing import Any

from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, Qt, Signal
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableView

from workbook.app.elements.basics import named
from workbook.app.elements.lettered_table import LetteredCells
from workbook.app.look import Look

Index = QModelIndex | QPersistentModelIndex
RowOf = Callable[[Any], tuple[str, ...]]


class _Records(QAbstractTableModel):
    """Records and the words of those that were looked at."""

    def __init__(self, heads: Sequence[str], right: Sequence[int]) -> None:
        super().__init__()
        self._heads, self._right = heads, frozenset(right)
        self.records: Sequence[Any] = ()
        self._row_of: RowOf = lambda record: ()
        self._words: dict[int, tuple[str, ...]] = {}

    def show(self, records: Sequence[Any], row_of: RowOf) -> None:
        """Other records."""
        self.beginResetModel()
        self.records, self._row_of, self._words = records, row_of, {}
        self.endResetModel()

    def words(self, row: int) -> tuple[str, ...]:
        """A record in words."""
        if row not in self._words:
            self._words[row] = self._row_of(self.records[row])
        return self._words[row]

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008  # Qt's own signature
        """How many records."""
        return 0 if parent.isValid() else len(self.records)

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """How many columns."""
        return 0 if parent.isValid() else len(self._heads)

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The words of a cell; fractions as a reader says them for a screen reader."""
        if role == Qt.ItemDataRole.DisplayRole:
            return self.words(index.row())[index.column()]
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self.words(index.row())[index.column()].replace("⁄", "/")
        return None

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The columns' heads, over their words."""
        along = orientation == Qt.Orientation.Horizontal
        if along and role == Qt.ItemDataRole.TextAlignmentRole and section in self._right:
            return Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
        return self._heads[section] if along and role == Qt.ItemDataRole.DisplayRole else None


class RecordTable(QTableView):
    """The table; one row may be chosen. `right`: columns whose words stand at the right."""

    chosen = Signal(str)  # the id of the record that was chosen by the maker; "": none any more

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
        """Columns of a fixed width, unscaled pixels; the others share what is left."""
        for column, wide in widths.items():
            self.horizontalHeader().setSectionResizeMode(column, QHeaderView.ResizeMode.Fixed)
            self.setColumnWidth(column, look.px(wide))

    def show_records(self, records: Sequence[Any], row_of: RowOf, chosen: str = "") -> None:
        """Other records, with the row of one of them chosen; nothing is told of that."""
        at = self.verticalScrollBar().value()
        self._telling = False
        self._model.show(records, row_of)
        row = next((n for n, record in enumerate(records) if record.id == chosen), -1)
        if row >= 0:
            self.selectRow(row)
        self._telling = True
        self.verticalScrollBar().setValue(at)

    def choose(self, id: str) -> None:  # noqa: A002
        """Chooses a record's row, as the maker would."""
        row = next((n for n, record in enumerate(self._model.records) if record.id == id), -1)
        if row >= 0:
            self.selectRow(row)

    def clear_choice(self) -> None:
        """No row is chosen; nothing is told of that."""
        self._telling = False
        self.clearSelection()
        self._telling = True

    def row_words(self, row: int) -> tuple[str, ...]:
        """What a row says."""
        return self._model.words(row)

    @property
    def count(self) -> int:
        """How many rows there are."""
        return len(self._model.records)

    def _changed(self) -> None:
        if self._telling:
            rows = self.selectionModel().selectedRows()
            self.chosen.emit(self._model.records[rows[0].row()].id if rows else "")
