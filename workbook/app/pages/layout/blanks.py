"""The blanks of a layout as a table, for the keyboard and the screen reader."""

from collections.abc import Callable, Sequence

from PySide6.QtCore import QEvent, QObject, QPoint, Qt, Signal
from PySide6.QtGui import QKeyEvent, QShowEvent
from PySide6.QtWidgets import QHeaderView, QVBoxLayout, QWidget

from workbook.app.elements.lettered_table import fill, lettered_table
from workbook.app.look import Look
from workbook.sheets.bar import BarPlan
from workbook.tasks.keeping import Spots
from workbook.template.words import choice_words
from workbook.texts import _
from workbook.units import Unit, built, show

_WIDTHS = {0: 58, 2: 40, 4: 74, 5: 64, 6: 56, 7: 60}  # px; the template and the place along the bar share the remaining width
_HEADS = (_("Blank"), _("Template"), _("Bar"), _("From A to"), _("Low edge"), _("Face up"), _("Spine"), "")


class Blanks(QWidget):
    """A row for each blank. The space bar pins or unpins it, the menu key opens its menu."""

    chosen = Signal(int, int)  # bar and blank, from 0
    pin_wanted = Signal(int, int)
    menu_wanted = Signal(int, int, QPoint)

    def __init__(self, look: Look) -> None:
        super().__init__()
        self.table = lettered_table(look, "blanks", _HEADS)
        self.table.setAccessibleName(_("Blanks on their bars"))
        self.table.setContextMenuPolicy(Qt.ContextMenuPolicy.CustomContextMenu)
        self.table.setFixedHeight(look.px(32 + 6 * 28))
        for number, wide in _WIDTHS.items():
            self.table.horizontalHeader().setSectionResizeMode(number, QHeaderView.ResizeMode.Fixed)
            self.table.setColumnWidth(number, look.px(wide))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.table)
        self._spots: list[tuple[int, int]] = []
        self._rows: Callable[[], list[tuple[str, ...]]] = list
        self._filled, self._chosen = True, (-1, -1)
        self.table.installEventFilter(self)
        self.table.itemSelectionChanged.connect(lambda: self._with_row(self.chosen.emit))
        self.table.customContextMenuRequested.connect(self._menu)

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Pin a blank with the space bar."""
        if isinstance(event, QKeyEvent) and event.type() is QEvent.Type.KeyPress and event.key() == Qt.Key.Key_Space:
            self._with_row(self.pin_wanted.emit)
            return True
        return super().eventFilter(watched, event)

    def _with_row(self, run: Callable[[int, int], None]) -> None:
        at = self.table.currentRow()
        if 0 <= at < len(self._spots):
            run(*self._spots[at])

    def _menu(self, at: QPoint) -> None:
        place = self.table.viewport().mapToGlobal(at)
        self._with_row(lambda bar, blank: self.menu_wanted.emit(bar, blank, place))

    def show_plans(self, plans: Sequence[BarPlan], unit: Unit, pinned: Spots) -> None:
        """Show the blanks of the bars, in their order along each."""
        self._spots = [(b, i) for b, plan in enumerate(plans) for i in range(len(plan.blanks))]
        self._rows = lambda: [_row(plans[b], i, unit, (b, i) in pinned) for b, i in self._spots]
        self._filled = False
        if self.isVisible():
            self._fill()

    def _fill(self) -> None:
        """Fill the rows only when visible: a thousand of them take a tenth of a second."""
        if not self._filled:
            self._filled = True
            self.table.blockSignals(True)
            fill(self.table, self._rows())
            self.table.blockSignals(False)
            self.choose(*self._chosen)

    def showEvent(self, event: QShowEvent) -> None:
        """Fill the table when it is shown."""
        self._fill()
        super().showEvent(event)

    @property
    def spots(self) -> Sequence[tuple[int, int]]:
        """The bar and blank of every row."""
        return self._spots

    def choose(self, bar: int, blank: int) -> None:
        """Select the row of a blank."""
        self._chosen = (bar, blank)
        if self._filled and self._chosen in self._spots:
            self.table.blockSignals(True)
            self.table.selectRow(self._spots.index((bar, blank)))
            self.table.blockSignals(False)


def _row(plan: BarPlan, index: int, unit: Unit, pinned: bool) -> tuple[str, ...]:
    blank = plan.blanks[index]
    start, end = (built(show(x, unit)) for x in blank.span)
    low = built(show(float(blank.outline[:, 1].min()), unit))
    spine = _("up") if blank.spine_up else _("down")
    return (
        blank.serial,
        blank.shape.name,
        str(plan.number),
        _("{start} to {end}", start=start, end=end),
        low,
        choice_words(blank.face_up),
        spine,
        _("pinned") if pinned else "",
    )
