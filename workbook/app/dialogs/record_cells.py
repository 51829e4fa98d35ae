"""Editable tables of records: a column for each field, read and written by its row."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

from msgspec import Struct
from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtWidgets import QHeaderView, QTableWidget, QTableWidgetItem, QVBoxLayout, QWidget

from workbook.app.dialogs.typed_cells import TypedCells
from workbook.app.elements.basics import named, row, tool
from workbook.app.look import Look
from workbook.document.fields import row_of
from workbook.fields import Kind
from workbook.number_in import parse_amount, parse_number, written
from workbook.structs import replace
from workbook.texts import _, labelled


class RecordColumn(Struct, frozen=True):
    """A column of a table of records: the field, its heading, and how a cell is read and written."""

    field: str
    head: str
    read: Callable[[str], Any]
    written: Callable[[Any], str]
    words: bool = False  # text, and not a number: it begins at the left


def record_column(kind: type, field: str) -> RecordColumn:
    """The column of a field, with the limits of the record."""
    row = row_of(kind, field)
    head = row.label
    if row.kind is Kind.CHOICE:
        words = dict(row.options)
        return RecordColumn(field, head, partial(_one_of, row.options), words.__getitem__)
    if row.kind is Kind.SWITCH:
        return RecordColumn(field, head, _yes, lambda value: _("yes") if value else _("no"))
    if row.kind is Kind.TEXT:
        return RecordColumn(field, head, partial(_words, row.letters, empty=row.empty), str)
    if row.kind is Kind.MONEY:
        return RecordColumn(field, head, parse_amount, written)
    if row.kind is Kind.COUNT:
        return RecordColumn(field, head, lambda text: round(parse_number(text, row.low, row.high)), written)
    by = 100.0 if row.kind is Kind.SHARE else 1.0
    low, high = row.low * by, row.high * by
    return RecordColumn(
        field, head, lambda text: float(parse_number(text, low, high, sign="%")) / by, lambda value: written(value * by, high)
    )


def _words(most: int, text: str, *, empty: bool = False) -> str:
    if not (0 if empty else 1) <= len(text.strip()) <= most:
        raise ValueError(_("type a name of up to {most} characters", most=most))
    return text.strip()


def _one_of(options: Sequence[tuple[Any, str]], text: str) -> Any:
    """The value of an option by its words, or the beginning of them."""
    wanted = text.strip().casefold()
    found = [value for value, words in options if wanted and words.casefold().startswith(wanted)]
    exact = [value for value, words in options if words.casefold() == wanted]
    if len(exact or found) != 1:
        raise ValueError(_("choose one of {names}", names=", ".join(words for _value, words in options)))
    return (exact or found)[0]


def _yes(text: str) -> bool:
    word = text.strip().casefold()
    if word not in (_("yes"), _("no")):
        raise ValueError(_("type yes or no"))
    return word == _("yes")


_FEW = 4  # columns that fit beside each other: the first takes what is left; where there are more, each is as wide as its words


class _Table(QTableWidget):
    """A table whose last cell the Tab key does not leave for the first, which would be typed over."""

    def moveCursor(self, action: QTableWidget.CursorAction, modifiers: Qt.KeyboardModifier) -> QModelIndex:
        """Where the cursor goes; nowhere from the last cell on, and from the first back."""
        row, column = self.currentRow(), self.currentColumn()
        ends = {
            QTableWidget.CursorAction.MoveNext: (self.rowCount() - 1, self.columnCount() - 1),
            QTableWidget.CursorAction.MovePrevious: (0, 0),
        }
        return QModelIndex() if ends.get(action) == (row, column) else super().moveCursor(action, modifiers)


class RecordCells(QWidget):
    """An editable table of records of one kind, with buttons to add and remove one.

    `rows`: heads of the rows, where there are always as many.
    """

    changed = Signal(tuple)
    trouble = Signal(str)

    def __init__(
        self, look: Look, name: str, columns: Sequence[RecordColumn], new: Callable[[], Any], *, rows: Sequence[str] = ()
    ) -> None:
        super().__init__()
        self._columns, self._new = columns, new
        self._records: tuple[Any, ...] = ()
        self.table = named(_Table(0, len(columns)), name)
        self.table.setAccessibleName(columns[0].head)
        self.table.setHorizontalHeaderLabels([column.head for column in columns])
        self.table.horizontalHeader().setFont(look.font("small"))
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        if rows:
            self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
            self.table.setCornerButtonEnabled(False)
        elif len(columns) <= _FEW:
            self.table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.table.verticalHeader().setVisible(bool(rows))
        self._rows = rows
        self.table.verticalHeader().setDefaultSectionSize(look.px(26))
        self.table.setFont(look.font("body"))
        self.cells = TypedCells(self.table)
        self.table.setItemDelegate(self.cells)
        self.table.cellChanged.connect(self._typed)
        add, less = tool(look, f"add-{name}", _("Add"), "add"), tool(look, f"less-{name}", _("Remove"))
        add.clicked.connect(self._add)
        less.clicked.connect(self._less)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.table, 1)
        if not rows:
            column.addLayout(row(add, less, None, margins=(0, 0, 0, 0)))

    def show_records(self, records: Sequence[Any]) -> None:
        """Show other records. Only changed cells are written, as each write measures its column again."""
        self._records = tuple(records)
        self.table.blockSignals(True)
        self.table.setRowCount(len(records))
        if self._rows:
            self.table.setVerticalHeaderLabels(list(self._rows))
        for r, record in enumerate(records):
            for c, column in enumerate(self._columns):
                self._write(r, c, column.written(getattr(record, column.field)))
        self.table.blockSignals(False)

    def _write(self, r: int, c: int, text: str) -> None:
        item = self.table.item(r, c)
        if item is None:
            item = QTableWidgetItem(text)
            if c and not self._columns[c].words:
                item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            self.table.setItem(r, c, item)
        elif item.text() != text:
            item.setText(text)

    def _typed(self, r: int, c: int) -> None:
        """Read a typed cell; invalid text emits the reason and restores the value from before typing."""
        column, item, problem = self._columns[c], self.table.item(r, c), ""
        try:
            value = column.read(item.text() if item else "")
        except ValueError as trouble:
            problem = labelled(column.head, trouble)
            value = column.read(self.cells.before) if self.cells.open else getattr(self._records[r], column.field)
        record = replace(self._records[r], **{column.field: value})
        self.show_records(self._records)
        self.changed.emit((*self._records[:r], record, *self._records[r + 1 :]))
        self.trouble.emit(problem)

    def _add(self) -> None:
        """Add a record, and begin to type it."""
        self.changed.emit((*self._records, self._new()))
        self.table.setCurrentCell(self.table.rowCount() - 1, 0)
        self.table.setFocus(Qt.FocusReason.OtherFocusReason)

    def _less(self) -> None:
        r = self.table.currentRow()
        if 0 <= r < len(self._records):
            self.changed.emit((*self._records[:r], *self._records[r + 1 :]))
