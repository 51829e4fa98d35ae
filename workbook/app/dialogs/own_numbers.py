"""A shop's own minutes and shares good by stage, beside those that quotes use; one press uses them."""

from collections.abc import Callable

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QStackedWidget, QVBoxLayout, QWidget

from workbook.app.canvas.run_plot import RunPlot
from workbook.app.canvas.yield_plot import YieldPlot
from workbook.app.changed import Changed
from workbook.app.dialogs.undo_keys import undo_by_keys
from workbook.app.elements.basics import label, named, row, scrolled, tool
from workbook.app.elements.record_table import RecordTable
from workbook.app.workspace import Workspace
from workbook.model.own_numbers import OwnNumbers, StageOwn, own_row, with_own_minutes, with_own_yield
from workbook.shop.charges import Charges
from workbook.texts import _

_HEADS = (_("Stage"), _("In quotes"), _("Yours"), _("9 in 10"), _("Evenings"), _("Good, quotes"), _("Good, yours"), _("9 in 10"))
_NOTE = _(
    "Yours is the median of your own evenings, the later ones counting more. A few are pulled to what quotes use. "
    "Nothing changes a quote until you say so."
)


class OwnNumbersDialog(QDialog):
    """The dialog; it follows the workbook while it is open."""

    def __init__(self, parent: QWidget, workspace: Workspace) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("My own numbers"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._space, look = workspace, workspace.look
        self._stages: list[StageOwn] = []
        self._chosen = ""  # the id of the row
        self.table = RecordTable(look, "own-numbers", _("Stages"), _HEADS, right=tuple(range(1, len(_HEADS))))
        self.table.set_widths(look, {1: 82, 2: 70, 3: 90, 4: 76, 5: 114, 6: 92, 7: 100})
        self.plot, self.yields = RunPlot(look), YieldPlot(look)
        self.show_yields = tool(look, "show-yields", _("Shares good"), switch=False)
        self.minutes_button = tool(look, "use-minutes", _("Use my minutes"))
        self.yield_button = tool(look, "use-yield", _("Use my share good"))
        note = label(look, _NOTE, "small", soft=True)
        note.setWordWrap(True)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(12, 12, 12, 12)
        outer.addWidget(note)
        outer.addWidget(self.table, 3)
        outer.addLayout(row(self.minutes_button, self.yield_button, None, self.show_yields, margins=(0, 0, 0, 0)))
        self._plots = QStackedWidget()
        inner = named(QWidget(), "inner")
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.yields)
        for part in (self.plot, scrolled(inner)):
            self._plots.addWidget(part)
        outer.addWidget(self._plots, 2)
        self.show_yields.toggled.connect(lambda on: self._plots.setCurrentIndex(int(on)))
        most = parent.size()
        self.resize(min(look.px(860), most.width()), min(look.px(700), most.height()))
        self.table.chosen.connect(self._choose)
        self.minutes_button.clicked.connect(lambda: self._use(with_own_minutes))
        self.yield_button.clicked.connect(lambda: self._use(with_own_yield))
        undo_by_keys(self, workspace)
        workspace.changed.connect(self._changed)
        self._fill()

    def _changed(self, change: Changed) -> None:
        if change.records:
            self._fill()

    def _fill(self) -> None:
        self._stages = list(OwnNumbers(self._space.session.document, self._space.model).stages())
        rows = [_StageRow(str(n), own) for n, own in enumerate(self._stages)]
        with_runs = next((each.id for each in rows if each.own.runs), "0")
        self._chosen = self._chosen or with_runs
        self.table.show_records(rows, lambda each: own_row(each.own), self._chosen)
        self.yields.show_stages(self._stages)
        self._choose(self._chosen)

    @property
    def _own(self) -> StageOwn | None:
        at = int(self._chosen) if self._chosen else -1
        return self._stages[at] if 0 <= at < len(self._stages) else None

    def _choose(self, chosen: str) -> None:
        self._chosen = chosen or self._chosen
        own = self._own
        self.plot.show_stage(own, self._space.session.document.settings.local)
        self.minutes_button.setEnabled(own is not None and bool(own.runs))
        self.yield_button.setEnabled(own is not None and bool(own.passed.good + own.passed.lost))

    def _use(self, changed: Callable[[Charges, StageOwn], Charges]) -> None:
        """Let quotes count with the shop's own number."""
        own = self._own
        if own is not None:
            charges = changed(self._space.session.document.settings.charges, own)
            self._space.change_settings("charges.stages", None, charges=charges)


class _StageRow:
    """A row of the table."""

    def __init__(self, number: str, own: StageOwn) -> None:
        self.id, self.own = number, own
