"""What knives really cost, beside what quotes count: by order, batch or year; every amount opens."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from workbook.app.canvas.difference_plot import DifferencePlot
from workbook.app.changed import Changed
from workbook.app.dialogs.heat_fields import choice_of
from workbook.app.elements.basics import Lettered, label, named, row, scrolled
from workbook.app.elements.working import Working, in_money
from workbook.app.workspace import Workspace
from workbook.model.real_cost import CostOf, choices, real_cost, sum_words
from workbook.texts import _

_NOTE = _(
    "Minutes are those entered. Quotes count the rates as they were when the batch was begun, for what is done so far. "
    "Materials are counted at today's prices."
)


class RealCostDialog(QDialog):
    """The dialog; it follows the workbook while it is open. `of`: the id of the order or batch shown first."""

    def __init__(self, parent: QWidget, workspace: Workspace, of: str = "") -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Real cost"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._space, look = workspace, workspace.look
        self._found: dict[str, CostOf] = {each.key: each for each in choices(workspace.session.document)}
        self.of = choice_of(look, "cost-of", _("Cost of"), {key: each.words for key, each in self._found.items()}, 300)
        if of in self._found:
            self.of.setCurrentIndex(list(self._found).index(of))
        self.words = Lettered(look, "", 9.75, bold=True)
        self.working, self.plot = Working(look), DifferencePlot(look)
        note = label(look, _NOTE, "small", soft=True)
        note.setWordWrap(True)
        inner = named(QWidget(), "inner")
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.plot)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(12, 12, 12, 12)
        outer.addLayout(row(label(look, self.of.accessibleName()), self.of, None, margins=(0, 0, 0, 0)))
        outer.addWidget(self.words)
        outer.addWidget(self.working, 1)
        outer.addWidget(scrolled(inner), 1)
        outer.addWidget(note)
        most = parent.size()
        self.resize(min(look.px(820), most.width()), min(look.px(740), most.height()))
        self.of.currentIndexChanged.connect(lambda at: self._show())
        workspace.changed.connect(self._changed)
        self._show()

    def _changed(self, change: Changed) -> None:
        if not change.records:
            return
        shown = str(self.of.currentData() or "")
        self._found = {each.key: each for each in choices(self._space.session.document)}
        self.of.blockSignals(True)
        self.of.clear()
        for key, each in self._found.items():
            self.of.addItem(each.words, key)
        self.of.setCurrentIndex(list(self._found).index(shown) if shown in self._found else 0)
        self.of.blockSignals(False)
        self._show()

    def _show(self) -> None:
        document, model = self._space.session.document, self._space.model
        of, money = self._found.get(str(self.of.currentData() or "")), document.settings.money
        if of is None:
            self.words.say(_("No blade is in a batch yet."))
            self.working.show_opened([])
            self.plot.show_stages((), money)
            return
        cost = real_cost(document, model, of)
        self.words.say(sum_words(document, cost))
        self.working.show_opened([in_money(cost.real, money), in_money(cost.quoted, money)])
        self.plot.show_stages(cost.stages, money)
