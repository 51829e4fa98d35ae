"""The traveller of a batch: a row a blade, a column a stage. The keyboard does everything: arrows, space, digits, Enter."""

from collections.abc import Sequence
from typing import Any

from msgspec import Struct
from PySide6.QtCore import QAbstractTableModel, QModelIndex, QPersistentModelIndex, QPointF, QRectF, Qt, Signal
from PySide6.QtGui import QKeyEvent, QPainter, QPen, QResizeEvent
from PySide6.QtWidgets import (
    QAbstractButton,
    QAbstractItemView,
    QHeaderView,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTableView,
)

from workbook.app.elements.basics import fitted, named
from workbook.app.elements.painting import ground, letter
from workbook.app.look import Look
from workbook.making.standing import CellState, Standing
from workbook.model.making_words import SAID, cell_words
from workbook.region import USUAL, Region, region_of
from workbook.shop.labour import Stage
from workbook.texts import _

Index = QModelIndex | QPersistentModelIndex
FIXED = 2  # columns before the stages: what and for whom, scales; the serials stand at the side, where they stay
_POINTS = 9.75
_NARROWEST = 78  # pixels at 100 % of a stage
_SUMS = _("Minutes so far / planned")
_FALSE_TONES = {CellState.SCRAPPED: "stop", CellState.HELD: "warn", CellState.AGAIN: "warn"}


class BladeRow(Struct, frozen=True, kw_only=True):
    """A blade on the traveller."""

    id: str
    serial: str
    words: str  # what it is and for whom
    scales: str
    standing: Standing


class TravellerModel(QAbstractTableModel):
    """The blades, the stages, and the sums under them."""

    def __init__(self) -> None:
        super().__init__()
        self.blades: Sequence[BladeRow] = ()
        self.stages: Sequence[Stage] = ()
        self.sums: Sequence[str] = ()
        self.local = region_of(USUAL)
        self.chosen: frozenset[str] = frozenset()  # ids of the blades that are entered for
        self.stage = ""

    def show(self, blades: Sequence[BladeRow], stages: Sequence[Stage], sums: Sequence[str]) -> None:
        """Show blades and stages; of the same ones, the cells that are others."""
        if not blades or not self.is_of(blades, stages):
            self.beginResetModel()
            self.blades, self.stages, self.sums = blades, stages, sums
            self.endResetModel()
            return
        before, self.blades = self.blades, blades
        self.stages, self.sums = stages, sums
        for row, (was, blade) in enumerate(zip(before, blades, strict=True)):
            if (was.words, was.scales) != (blade.words, blade.scales):
                self.dataChanged.emit(self.index(row, 0), self.index(row, FIXED - 1))
            for n, cells in enumerate(zip(was.standing.cells, blade.standing.cells, strict=True)):
                if cells[0] != cells[1]:
                    self.dataChanged.emit(self.index(row, FIXED + n), self.index(row, FIXED + n))
        self.dataChanged.emit(self.index(len(blades), 0), self.index(len(blades), FIXED + len(stages) - 1))

    def write_as(self, local: Region) -> None:
        """Write dates as another region does."""
        if local != self.local:
            self.beginResetModel()
            self.local = local
            self.endResetModel()

    def is_of(self, blades: Sequence[BladeRow], stages: Sequence[Stage]) -> bool:
        """Whether it shows these blades and stages already, by their names."""
        now = [(blade.id, blade.serial) for blade in blades], [(stage.name, stage.hold) for stage in stages]
        return now == (
            [(blade.id, blade.serial) for blade in self.blades],
            [(stage.name, stage.hold) for stage in self.stages],
        )

    def rowCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008  # Qt's own signature
        """The blades, and the sums."""
        return 0 if parent.isValid() or not self.blades else len(self.blades) + 1

    def columnCount(self, parent: Index = QModelIndex()) -> int:  # noqa: B008
        """What a blade is, and the stages."""
        return 0 if parent.isValid() else FIXED + len(self.stages)

    def is_chosen(self, row: int, column: int) -> bool:
        """Whether an entry would be for this cell."""
        return (
            row < len(self.blades)
            and column >= FIXED
            and self.stages[column - FIXED].name == self.stage
            and self.blades[row].id in self.chosen
        )

    def data(self, index: Index, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The text of a cell; for a screen reader with its blade and stage."""
        row, column = index.row(), index.column()
        if role == Qt.ItemDataRole.DisplayRole:
            return self._words(row, column)
        if role == Qt.ItemDataRole.AccessibleTextRole:
            return self._said(row, column)
        return None

    def _words(self, row: int, column: int) -> str:
        if row >= len(self.blades):
            return (_SUMS if column == 0 else "") if column < FIXED else self.sums[column - FIXED]
        blade = self.blades[row]
        if column < FIXED:
            return (blade.words, blade.scales)[column]
        return cell_words(blade.standing.cells[column - FIXED], self.local)

    def _said(self, row: int, column: int) -> str:
        words = self._words(row, column)
        if row >= len(self.blades) or column < FIXED:
            return words
        blade, stage = self.blades[row], self.stages[column - FIXED].name
        cell = blade.standing.cells[column - FIXED]
        parts = (
            blade.serial,
            stage,
            SAID[cell.state],
            self.local.short_day(cell.date),
            cell.reason,
            _("selected") if self.is_chosen(row, column) else "",
        )
        return ", ".join(part for part in parts if part)

    def headerData(self, section: int, orientation: Qt.Orientation, role: int = Qt.ItemDataRole.DisplayRole) -> Any:
        """The names of the columns, and the serials at the side."""
        if orientation == Qt.Orientation.Vertical:
            return self.blades[section].serial if role == Qt.ItemDataRole.DisplayRole and section < len(self.blades) else None
        if role == Qt.ItemDataRole.TextAlignmentRole and section < FIXED:
            return Qt.AlignmentFlag.AlignLeft | Qt.AlignmentFlag.AlignVCenter
        if role != Qt.ItemDataRole.DisplayRole:
            return None
        return (_("Template, for"), _("Scales"))[section] if section < FIXED else self.stages[section - FIXED].name


class _Cells(QStyledItemDelegate):
    """Paints states by word, edge and wash, never by colour alone; a hold point is a thick line."""

    def __init__(self, look: Look, table: "Traveller") -> None:
        super().__init__(table)
        self._look, self._table = look, table

    def paint(self, painter: QPainter, option: QStyleOptionViewItem, index: Index) -> None:
        """Paint a cell."""
        look, model = self._look, self._table.made
        rect, row, column = QRectF(option.rect), index.row(), index.column()
        chosen = model.is_chosen(row, column)
        painter.save()
        ground(painter, rect, look.colour("blue_wash" if chosen else "board"))
        self._lines(painter, rect, column)
        if chosen:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(look.colour("blue"), 1.0))
            painter.drawRect(rect.adjusted(1.5, 1.5, -4.5, -2.5))
        if index == self._table.currentIndex() and self._table.hasFocus():
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.setPen(QPen(look.colour("blue"), 2.0))
            painter.drawRect(rect.adjusted(2, 2, -5, -3))
        self._text(painter, rect, index)
        painter.restore()

    def _lines(self, painter: QPainter, rect: QRectF, column: int) -> None:
        look, stages = self._look, self._table.made.stages
        held = column >= FIXED and stages[column - FIXED].hold
        thick = 3.0 if held else 1.0
        low, side = rect.bottom() - 0.5, rect.right() - thick / 2
        painter.setPen(QPen(look.colour("hair"), 1.0))
        painter.drawLine(QPointF(rect.left(), low), QPointF(rect.right(), low))
        pen = QPen(look.colour("ink" if held else "hair"), thick)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        painter.drawLine(QPointF(side, rect.top()), QPointF(side, rect.bottom()))

    def _text(self, painter: QPainter, rect: QRectF, index: Index) -> None:
        look, model, row, column = self._look, self._table.made, index.row(), index.column()
        bold, tone = False, "ink"
        if row < len(model.blades) and column >= FIXED:
            state = model.blades[row].standing.cells[column - FIXED].state
            tone = _FALSE_TONES.get(state, "soft" if state in (CellState.NOT, CellState.BEFORE) else "ink")
            bold = state in (CellState.SCRAPPED, CellState.HELD, CellState.AGAIN, CellState.NEXT)
        elif row >= len(model.blades):
            tone = "soft"
        words = fitted(look, str(index.data() or ""), _POINTS, bold, rect.width() - 8)
        base = rect.center().y() + 4.6 * look.text
        if column < FIXED:
            letter(painter, look, QPointF(rect.left() + look.px(6), base), words, _POINTS, "start", bold, tone)
        else:
            letter(painter, look, QPointF(rect.center().x(), base), words, _POINTS, "middle", bold, tone)


class Traveller(QTableView):
    """The table. `wanted` asks to enter what is chosen, `typed` carries a digit for the minutes."""

    changed = Signal()  # another stage, blade, or other blades chosen
    wanted = Signal()
    typed = Signal(str)

    def __init__(self, look: Look) -> None:
        super().__init__()
        named(self, "traveller")
        self.setAccessibleName(_("Traveler"))
        self.made = TravellerModel()
        self.setModel(self.made)
        self.setItemDelegate(_Cells(look, self))
        self._look, self._telling = look, True
        self._painted = ""  # the stage whose column shows the choice
        header = self.horizontalHeader()
        header.setFont(look.font("small"))
        header.setDefaultAlignment(Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap)
        header.setFixedHeight(look.px(50))
        header.setHighlightSections(False)
        header.setSectionsClickable(True)
        header.sectionClicked.connect(self.choose_stage_at)
        self.verticalHeader().setFont(look.font("body", bold=True))
        self.verticalHeader().setFixedWidth(look.px(58))
        self.verticalHeader().setDefaultSectionSize(look.px(30))
        self.setCornerButtonEnabled(False)
        self.verticalHeader().setSectionResizeMode(QHeaderView.ResizeMode.Fixed)
        self.setSelectionMode(QAbstractItemView.SelectionMode.NoSelection)
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setShowGrid(False)
        self.setTabKeyNavigation(False)
        self.setWordWrap(False)
        self.selectionModel().currentChanged.connect(self._moved)

    def show_batch(self, blades: Sequence[BladeRow], stages: Sequence[Stage], sums: Sequence[str], *, anew: bool) -> None:
        """Show a batch. `anew`: another one, or one that was entered for: what comes next is chosen."""
        row, column = max(self.currentIndex().row(), 0), self.currentIndex().column()
        stage = self.made.stage
        self._telling, other = False, not self.made.is_of(blades, stages)
        self.made.show(blades, stages, sums)
        if other:
            self._widths()
        if anew or stage not in [each.name for each in stages]:
            stage = self._next_stage()
        names = [each.name for each in stages]
        at = FIXED + names.index(stage) if stage in names else max(column, 0)
        self.setCurrentIndex(self.made.index(min(row, max(len(blades) - 1, 0)), at))
        self._telling = True
        if anew or stage != self.made.stage:
            self.choose_stage(stage)
        else:
            self._choose(self.made.chosen & {blade.id for blade in blades if not blade.standing.scrapped})

    def _widths(self) -> None:
        look, header = self._look, self.horizontalHeader()
        for column, wide in ((0, 170), (1, 64)):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.Fixed)
            self.setColumnWidth(column, look.px(wide))
        stages = self.made.columnCount() - FIXED
        room = self.viewport().width() - sum(self.columnWidth(column) for column in range(FIXED))
        each = max(room // stages, look.px(_NARROWEST)) if stages else 0
        for column in range(FIXED, self.made.columnCount()):
            header.setSectionResizeMode(column, QHeaderView.ResizeMode.Fixed)
            self.setColumnWidth(column, each)

    def updateGeometries(self) -> None:
        """Leave the corner empty: Qt's button there chooses every cell."""
        super().updateGeometries()
        for corner in self.findChildren(QAbstractButton, options=Qt.FindChildOption.FindDirectChildrenOnly):
            corner.hide()

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Share the width among the stages."""
        super().resizeEvent(event)
        self._widths()

    def _next_stage(self) -> str:
        """The stage at which blades are held; else the one that comes next for the most of them."""
        held = (n for blade in self.made.blades for n, cell in enumerate(blade.standing.cells) if cell.state is CellState.HELD)
        at = next(held, None)
        if at is not None:
            return self.made.stages[at].name
        coming = [blade.standing.next for blade in self.made.blades if blade.standing.next]
        order = [stage.name for stage in self.made.stages]
        return max((name for name in order if name in coming), key=coming.count, default=order[0] if order else "")

    def nothing_at(self, stage: str) -> bool:
        """Whether no blade waits for a stage, or is held at it."""
        at = [each.name for each in self.made.stages].index(stage)
        waiting = (CellState.OPEN, CellState.NEXT, CellState.AGAIN, CellState.SENT, CellState.HELD)
        return all(blade.standing.scrapped or blade.standing.cells[at].state not in waiting for blade in self.made.blades)

    def go_on(self) -> None:
        """Choose the stage that comes next, from the first blade on."""
        names = [each.name for each in self.made.stages]
        stage = self._next_stage()
        if stage in names:
            self._telling = False
            self.setCurrentIndex(self.made.index(0, FIXED + names.index(stage)))
            self._telling = True
            self.choose_stage(stage)

    def take_up(self, blade: str) -> None:
        """Make a blade the one at hand, at the stage chosen."""
        row = next((n for n, each in enumerate(self.made.blades) if each.id == blade), -1)
        if row >= 0:
            self.setCurrentIndex(self.made.index(row, max(self.currentIndex().column(), 0)))

    def choose_stage_at(self, column: int) -> None:
        """Choose the stage of a column with the blades that come to it."""
        if FIXED <= column < self.made.columnCount():
            self.setCurrentIndex(self.made.index(max(self.currentIndex().row(), 0), column))
            self.choose_stage(self.made.stages[column - FIXED].name)

    def choose_stage(self, stage: str) -> None:
        """Choose a stage, with the blades for which it comes next."""
        self.made.stage = stage
        coming = (blade for blade in self.made.blades if blade.standing.next == stage and not blade.standing.held)
        self._choose(frozenset(blade.id for blade in coming))

    def choose_for(self, stage: str, blades: frozenset[str]) -> None:
        """Choose a stage with these blades."""
        names = [each.name for each in self.made.stages]
        if stage in names:
            self._telling = False
            self.setCurrentIndex(self.made.index(max(self.currentIndex().row(), 0), FIXED + names.index(stage)))
            self._telling = True
            self.made.stage = stage
            self._choose(blades & {blade.id for blade in self.made.blades})

    def toggle(self) -> None:
        """Take the blade at hand in, or leave it out."""
        blade = self.blade
        if blade is not None:
            self._choose(self.made.chosen ^ {blade.id})

    @property
    def blade(self) -> BladeRow | None:
        """The blade at hand."""
        row = self.currentIndex().row()
        return self.made.blades[row] if 0 <= row < len(self.made.blades) else None

    def _choose(self, blades: frozenset[str]) -> None:
        self.made.chosen = blades
        names = [stage.name for stage in self.made.stages]
        for stage in {self._painted, self.made.stage} & set(names):  # the columns in which a choice is painted
            column = FIXED + names.index(stage)
            left, wide = self.columnViewportPosition(column), self.columnWidth(column)
            self.viewport().update(left, 0, wide, self.viewport().height())
        self._painted = self.made.stage
        self.changed.emit()

    def _moved(self, now: QModelIndex, before: QModelIndex) -> None:
        if not self._telling:
            return
        if now.column() != before.column() and FIXED <= now.column() < self.made.columnCount():
            self.choose_stage(self.made.stages[now.column() - FIXED].name)
        else:
            self.changed.emit()

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Digits are minutes, Enter enters, the space bar takes a blade in or leaves it out."""
        if event.key() in (Qt.Key.Key_Return, Qt.Key.Key_Enter):
            self.wanted.emit()
        elif event.key() == Qt.Key.Key_Space:
            self.toggle()
        elif event.text().isdecimal() and not event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.typed.emit(event.text())
        else:
            super().keyPressEvent(event)
