"""Below the board: the table of holes, or that of points in its place."""

from math import hypot
from typing import TYPE_CHECKING

from PySide6.QtCore import QModelIndex, Qt, Signal
from PySide6.QtGui import QKeyEvent
from PySide6.QtWidgets import QAbstractItemView, QHeaderView, QTableWidget, QTableWidgetItem, QVBoxLayout, QWidget

from workbook.app.elements.lettered_table import fill, lettered_table
from workbook.app.workspace import Workspace
from workbook.geometry.path import Point
from workbook.geometry.polygon import edge_distance
from workbook.later import modules
from workbook.template.holes import WORDS, Hole
from workbook.template.model import Purpose
from workbook.template.parameters import PARAMETERS
from workbook.template.pegs import Peg
from workbook.template.shape import from_spine
from workbook.texts import _
from workbook.units import built, show

if TYPE_CHECKING:
    from workbook import length_in
    from workbook.template import peg_moves
else:
    length_in, peg_moves = modules("length_in", "template.peg_moves")

LABELS = {parameter.path: parameter.label for parameter in PARAMETERS}
_POINT_HEADS = (_("Point"), _("Ahead of front"), _("Above axis"), _("Sets"))
_WITHIN = (-999.0, 999.0)  # mm; every place of a knife lies within
_EDITS = QAbstractItemView.EditTrigger.DoubleClicked | QAbstractItemView.EditTrigger.EditKeyPressed
_HEADS = (_("Mark"), _("Purpose"), _("From butt"), _("From spine"), _("Tang drill"), _("Takes"), _("To edge"), _("To next"))


class DrawTables(QWidget):
    """Both tables of one template's places. Their rows follow the peg held on the board."""

    hole_chosen = Signal(str)  # its mark; "" for none
    point_chosen = Signal(str)  # its peg's name
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
        for heading, wide in ((_HEADS.index(_("Mark")), 48), (_HEADS.index(_("Tang drill")), 94)):
            self.holes.horizontalHeader().setSectionResizeMode(heading, QHeaderView.ResizeMode.Fixed)
            self.holes.setColumnWidth(heading, look.px(wide))
        self._names: list[str] = []  # of the pegs in the table of points
        self.places: list[Point] = []  # and where they are
        self._points: tuple[Peg, ...] = ()
        self._held, self._rough = "", False
        self._rows, self._of_points = (-1, -1), False
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.holes)
        column.addWidget(self.points)
        self.holes.itemSelectionChanged.connect(self._hole_row)
        self.points.itemSelectionChanged.connect(self._point_row)
        self.points.setEditTriggers(_EDITS)
        self.points.itemChanged.connect(self._typed)

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
        table.blockSignals(True)
        if self._of_points:
            fill(table, [self._of_point(peg) for peg in self._points])
            self._let_type()
        else:
            fill(table, [self._of_hole(hole) for hole in self._workspace.blank.holes])
        table.blockSignals(False)

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
        for column in (_HEADS.index(_("Purpose")), _HEADS.index(_("Takes")), _HEADS.index(_("To next"))):
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
        takes = "-" if hole.purpose is Purpose.EPOXY else self._length(hole.size)
        to_edge = "" if self._rough else f"{edge_distance(blank.outline, hole.centre) / hole.diameter:.1f} d"
        butt = self._length(x - blank.extent()[0])
        spine = self._length(from_spine(blank, hole))
        others = [hypot(x - o.centre[0], hole.centre[1] - o.centre[1]) for o in blank.holes if o.mark != hole.mark]
        to_next = self._length(min(others)) if others else "-"
        drill = hole.drill.named(self._workspace.unit)
        return hole.mark, WORDS[hole.purpose].capitalize(), butt, spine, drill, takes, to_edge, to_next

    def _of_point(self, peg: Peg) -> tuple[str, ...]:
        along, up = (self._length(v) for v in peg.at)
        sets = ", ".join(LABELS[path] for path in peg.sets) or _("its curve alone")
        return f"{peg.words[:1].upper()}{peg.words[1:]}", along, up, sets

    def _let_type(self) -> None:
        """Let only the place columns be typed in, and only in the directions a point moves."""
        for r in range(self.points.rowCount()):
            for c in range(self.points.columnCount()):
                item = self.points.item(r, c)
                assert item is not None
                flags = item.flags() | Qt.ItemFlag.ItemIsEditable
                may = c in (1, 2) and peg_moves.ways(self._points[r])[c - 1]
                item.setFlags(flags if may else flags & ~Qt.ItemFlag.ItemIsEditable)

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
        self._put_back(item, current)  # until the point has moved
        try:
            value = length_in.parse_length(text, self._workspace.unit, _WITHIN)
        except length_in.LengthError as trouble:
            self.trouble.emit(f"“{text}”: {trouble.what}.")
            return
        if value == length_in.parse_length(current, self._workspace.unit, _WITHIN):
            return  # the same place to the precision shown
        self.point_typed.emit(self._names[row], *((value, y) if axis == 0 else (x, value)))

    def _put_back(self, item: QTableWidgetItem, text: str) -> None:
        self.points.blockSignals(True)
        item.setText(text)
        self.points.blockSignals(False)

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


def _row_of(table: QTableWidget) -> int | None:
    rows = table.selectionModel().selectedRows()
    return rows[0].row() if rows else None
