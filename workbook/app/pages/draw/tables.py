"""Below the board: the table of holes, or that of points in its place."""

from collections.abc import Callable
from math import hypot
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget, QTableWidgetItem, QVBoxLayout, QWidget

from workbook.app.elements.judged_cells import JudgedCells
from workbook.app.elements.lettered_table import fill, lettered_table
from workbook.app.workspace import Workspace
from workbook.geometry.path import Point
from workbook.geometry.polygon import edge_distance
from workbook.later import modules
from workbook.template.hole_places import ACROSS, ALONG, SIZES, heads, reading
from workbook.template.holes import WORDS, Hole
from workbook.template.model import Purpose
from workbook.template.parameters import PARAMETERS
from workbook.template.pegs import Peg
from workbook.texts import _, labelled
from workbook.units import built, exact, show

if TYPE_CHECKING:
    from workbook import length_in
    from workbook.template import hole_entry, peg_moves
else:
    length_in, hole_entry, peg_moves = modules("length_in", "template.hole_entry", "template.peg_moves")

LABELS = {parameter.path: parameter.label for parameter in PARAMETERS}
_POINT_HEADS = (_("Point"), _("Ahead of front"), _("Above axis"), _("Sets"))
_WITHIN = (-999.0, 999.0)  # mm; every place of a knife lies within
_SAME = 1e-6  # mm
_EDITS = QAbstractItemView.EditTrigger.DoubleClicked | QAbstractItemView.EditTrigger.EditKeyPressed
_HEADS = (_("Mark"), _("Purpose"), _("From butt"), _("From spine"), _("Tang drill"), _("Pin or bolt"), _("To edge"), _("To next"))
_MARK, _PURPOSE, _ALONG, _ACROSS, _DRILL, _TAKES, _EDGE, _NEXT = range(len(_HEADS))
_TYPED = {_PURPOSE: "purpose", _ALONG: "along", _ACROSS: "across", _TAKES: "size"}  # what can be typed of a hole
_LIMITS = {_ALONG: ALONG, _ACROSS: ACROSS, _TAKES: SIZES}


class DrawTables(QWidget):
    """Both tables of one template's places. Their rows follow the peg held on the board."""

    hole_chosen = Signal(str)  # its mark; "" for none
    point_chosen = Signal(str)  # its peg's name
    hole_typed = Signal(str, str, object)  # its mark, what was typed of it, and the value, mm
    point_typed = Signal(str, float, float)  # its peg, and the place typed for it, mm
    trouble = Signal(str)  # why a typed place is not valid
    removed = Signal(str)  # the name of the hole or point to remove: Delete was pressed on its row

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self._workspace = workspace
        look = workspace.look
        self.holes, self.points = lettered_table(look, "holes", _HEADS), lettered_table(look, "points", _POINT_HEADS)
        self.holes.setAccessibleName(_("Holes"))
        self.points.setAccessibleName(_("Points"))
        for heading, wide in ((_MARK, 48), (_DRILL, 94)):
            self.holes.horizontalHeader().setSectionResizeMode(heading, QHeaderView.ResizeMode.Fixed)
            self.holes.setColumnWidth(heading, look.px(wide))
        self._names: list[str] = []  # of the pegs in the table of points
        self.places: list[Point] = []  # and where they are
        self._points: tuple[Peg, ...] = ()
        self._held, self._rough = "", False
        self._form: object = None  # heads, rows and whether they can be typed in, as the table of holes shows them
        self._rows, self._of_points = (-1, -1), False
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.holes)
        column.addWidget(self.points)
        self.holes.itemSelectionChanged.connect(self._hole_row)
        self.points.itemSelectionChanged.connect(self._point_row)
        self._let_typed(self.holes, self._hole_typed, self._why_no_hole)
        self._let_typed(self.points, self._typed, self._why_no_place)

    def _let_typed(self, table: QTableWidget, taken: Callable[[QTableWidgetItem], None], judge: Callable[..., str]) -> None:
        """Let a table be typed in, cell by cell. `taken` receives the changed item, `judge` says what is wrong with a text."""
        cells = JudgedCells(self._workspace.look, table, judge)
        cells.trouble.connect(self.trouble)
        table.setItemDelegate(cells)
        table.setEditTriggers(_EDITS)
        table.itemChanged.connect(taken)

    def show_places(self, pegs: tuple[Peg, ...], held: str, *, rough: bool = False) -> None:
        """Show the chosen template's holes, and the pegs that are not holes. `rough`: leave out what is measured."""
        self._rough = rough
        holes = self._workspace.blank.holes
        marks = {hole.mark for hole in holes}
        points = [peg for peg in pegs if peg.name not in marks]
        self._names, self.places = [peg.name for peg in points], [peg.at for peg in points]
        self._points = tuple(points)
        self._fill()
        if (len(holes), len(points)) != self._rows:
            self._rows = (len(holes), len(points))
            self.make_room(self.window().height())
        self.choose(held)
        self._show_table()

    def _fill(self) -> None:
        """Fill the visible table; the other one is filled when shown, since a drag has no time for both."""
        table = self.points if self._of_points else self.holes
        cells = table.itemDelegate()
        if isinstance(cells, JudgedCells):
            cells.let_go()
        table.blockSignals(True)
        if self._of_points:
            fill(table, [self._of_point(peg) for peg in self._points])
            self._let_type()
        else:
            self._fill_holes()
        table.blockSignals(False)

    def _fill_holes(self) -> None:
        blank = self._workspace.blank
        fill(self.holes, [self._of_hole(hole) for hole in blank.holes])
        form = (heads(blank, self._workspace.datum), len(blank.holes), blank.template is not None)
        if form == self._form:  # a drag fills the table with every frame
            return
        self._form = form
        for column, words in zip((_ALONG, _ACROSS), form[0], strict=True):
            item = self.holes.horizontalHeaderItem(column)
            assert item is not None
            item.setText(words)
        for r in range(self.holes.rowCount()):
            for c in range(self.holes.columnCount()):
                _let_edit(self.holes, r, c, may=c in _TYPED and blank.template is not None)

    def choose(self, name: str) -> None:
        """Choose the row of what is held on the board, without a signal."""
        self._held = name
        marks = [hole.mark for hole in self._workspace.blank.holes]
        table, names = (self.points, self._names) if self._of_points else (self.holes, marks)
        table.blockSignals(True)
        if name in names:
            table.selectRow(names.index(name))
        else:
            table.clearSelection()
            table.setCurrentIndex(QModelIndex())
        table.blockSignals(False)

    def show_points(self, on: bool) -> None:
        """Show the table of points in place of that of the holes."""
        self._of_points = on
        self._fill()
        self.choose(self._held)
        self._show_table()

    def _show_table(self) -> None:
        self.points.setVisible(self._of_points)
        self.holes.setVisible(not self._of_points and bool(self._workspace.blank.holes))

    def show_columns(self, *, close: bool) -> None:
        """Hide the less important columns where room is short; the mark still says what a hole is for."""
        for column in (_PURPOSE, _TAKES, _NEXT):
            self.holes.setColumnHidden(column, close)

    def make_room(self, height: int) -> None:
        """Show as many rows as there are, or as fit in a window of this height."""
        look = self._workspace.look
        tall = height / look.text
        rows = 6 if tall > 760 else 3 if tall > 560 else 1
        for table in (self.holes, self.points):
            head = table.horizontalHeader().sizeHint().height()
            count = self._rows[0 if table is self.holes else 1]
            table.setFixedHeight(head + min(max(count, 1), rows) * look.px(28) + 1)

    def _of_hole(self, hole: Hole) -> tuple[str, ...]:
        blank, x = self._workspace.blank, hole.centre[0]
        takes = "-" if hole.purpose is Purpose.EPOXY else built(exact(hole.size, self._workspace.unit))
        to_edge = "" if self._rough else f"{edge_distance(blank.outline, hole.centre) / hole.diameter:.1f} d"
        along, across = (built(exact(v, self._workspace.unit)) for v in reading(blank, hole.centre, self._workspace.datum))
        others = [hypot(x - o.centre[0], hole.centre[1] - o.centre[1]) for o in blank.holes if o.mark != hole.mark]
        to_next = self._length(min(others)) if others else "-"
        drill = hole.drill.named(self._workspace.unit)
        return hole.mark, WORDS[hole.purpose], along, across, drill, takes, to_edge, to_next

    def _of_point(self, peg: Peg) -> tuple[str, ...]:
        along, up = (self._length(v) for v in peg.at)
        sets = ", ".join(LABELS[path] for path in peg.sets) or _("curve only")
        return peg.words, along, up, sets

    def _let_type(self) -> None:
        """Let only the place columns be typed in, and only in the directions a point moves."""
        for r in range(self.points.rowCount()):
            for c in range(self.points.columnCount()):
                _let_edit(self.points, r, c, may=c in (1, 2) and peg_moves.ways(self._points[r])[c - 1])

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Remove what is held on Delete."""
        if event.key() in (Qt.Key.Key_Delete, Qt.Key.Key_Backspace) and self._held:
            self.removed.emit(self._held)
        else:
            super().keyPressEvent(event)

    def _typed(self, item: QTableWidgetItem) -> None:
        """Move the point to the typed place, as far as it can go."""
        row, axis, text = item.row(), item.column() - 1, item.text()
        (x, y), current = self.places[row], self._length(self.places[row][axis])
        _put_back(self.points, item, current)  # until the point has moved
        if self._why_no_place(row, axis + 1, text):
            return
        value = length_in.parse_length(text, self._workspace.unit, _WITHIN)
        if value == length_in.parse_length(current, self._workspace.unit, _WITHIN):
            return  # the same place to the precision shown
        self.point_typed.emit(self._names[row], *((value, y) if axis == 0 else (x, value)))

    def _hole_typed(self, item: QTableWidgetItem) -> None:
        """Ask for the change that was typed in a cell of a hole."""
        row, column, text = item.row(), item.column(), item.text()
        hole = self._workspace.blank.holes[row]
        shown = self._of_hole(hole)[column]
        _put_back(self.holes, item, shown)
        if text == shown or self._why_no_hole(row, column, text):
            return
        if column == _PURPOSE:
            self.hole_typed.emit(hole.mark, "purpose", hole_entry.purpose_of(text))
            return
        value = length_in.parse_length(text, self._workspace.unit, _LIMITS[column])
        if shown == "-" or value != length_in.parse_length(shown, self._workspace.unit, _LIMITS[column]):
            self.hole_typed.emit(hole.mark, _TYPED[column], value)

    def _why_no_place(self, row: int, column: int, text: str) -> str:
        return self._why_not_within(text, _WITHIN)

    def _why_no_hole(self, row: int, column: int, text: str) -> str:
        """What is wrong with a text for a cell of a hole; "" if nothing."""
        if column != _PURPOSE:
            return self._why_not_within(text, _LIMITS[column])
        known = hole_entry.purpose_of(text)
        return (
            "" if known else _("“{text}” is not a kind of hole. Allowed: pin, handle bolt, lanyard tube, epoxy hole", text=text)
        )

    def _why_not_within(self, text: str, limits: tuple[float, float]) -> str:
        try:
            value = length_in.parse_length(text, self._workspace.unit, limits)
        except length_in.LengthError as trouble:
            return labelled(f"“{text}”", trouble.what)
        low, high = (self._length(v) for v in limits)
        if limits[0] - _SAME <= value <= limits[1] + _SAME:
            return ""
        return _("Allowed: {low} to {high} {unit}", low=low, high=high, unit=self._workspace.unit)

    def _length(self, mm: float) -> str:
        return built(show(mm, self._workspace.unit))

    def _hole_row(self) -> None:
        row = _row_of(self.holes)
        self._held = "" if row is None else str(self.holes.model().index(row, 0).data())
        self.hole_chosen.emit(self._held)

    def _point_row(self) -> None:
        row = _row_of(self.points)
        if row is not None:
            self._held = self._names[row]
            self.point_chosen.emit(self._held)


def _put_back(table: QTableWidget, item: QTableWidgetItem, text: str) -> None:
    """Show the current text of a cell, without a signal."""
    table.blockSignals(True)
    item.setText(text)
    table.blockSignals(False)


def _let_edit(table: QTableWidget, row: int, column: int, *, may: bool) -> None:
    item = table.item(row, column)
    assert item is not None
    flags = item.flags() | Qt.ItemFlag.ItemIsEditable
    item.setFlags(flags if may else flags & ~Qt.ItemFlag.ItemIsEditable)


def _row_of(table: QTableWidget) -> int | None:
    rows = table.selectionModel().selectedRows()
    return rows[0].row() if rows else None
