"""What came of a steel's heat treatments: a plot by temper, recipe, thickness or load, and the blades in a table."""

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QVBoxLayout, QWidget

from workbook.app.canvas.heat_plot import HeatPlot
from workbook.app.changed import Changed
from workbook.app.dialogs.heat_fields import choice_of
from workbook.app.elements.basics import label, row
from workbook.app.elements.record_table import RecordTable
from workbook.app.workspace import Workspace
from workbook.model.heat_results import (
    ENOUGH,
    HeatResult,
    ResultBy,
    ResultOf,
    grouped,
    heat_results,
    recipe_words,
    treated_steels,
)
from workbook.texts import _
from workbook.units import reading

_OF = {ResultOf.HARDNESS: _("hardness"), ResultOf.BOW: _("bow")}
_BY = {
    ResultBy.TEMPER: _("temper"),
    ResultBy.RECIPE: _("recipe"),
    ResultBy.THICKNESS: _("thickness"),
    ResultBy.LOAD: _("load"),
}
_HEADS = (_("Serial"), _("Load"), _("Recipe"), _("Thickness"), _("HRC"), _("Bow before"), _("Bow after"))
_CAUTION = _(
    "Dots are blades as read. The median is shown from {enough} blades on. The pale band is published "
    "for two hours at that temper.",
    enough=ENOUGH,
)


class HeatResultsDialog(QDialog):
    """The dialog; it follows the workbook while it is open."""

    def __init__(self, parent: QWidget, workspace: Workspace, steel: str) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Results of heat treatment"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._space, look = workspace, workspace.look
        steels = treated_steels(workspace.session.document)
        steels = steels if steel in steels or (steels and not steel) else [steel, *steels]
        self.steel = choice_of(look, "results-steel", _("Steel"), {each: each for each in steels}, 150)
        self.steel.setCurrentIndex(steels.index(steel) if steel in steels else 0)
        self.of = choice_of(look, "results-of", _("Show"), _OF, 130)
        self.by = choice_of(look, "results-by", _("Group by"), _BY, 130)
        self.plot = HeatPlot(look)
        self.table = RecordTable(look, "results", _("Blades"), _HEADS, right=(3, 4, 5, 6))
        self.table.set_widths(look, {0: 80, 1: 70, 3: 90, 4: 60, 5: 90, 6: 90})
        fields = [part for choice in (self.steel, self.of, self.by) for part in (label(look, choice.accessibleName()), choice)]
        said = label(look, _CAUTION, "small", soft=True)
        said.setWordWrap(True)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(12, 12, 12, 12)
        outer.addLayout(row(*fields, None, margins=(0, 0, 0, 0)))
        outer.addWidget(self.plot, 3)
        outer.addWidget(said)
        outer.addWidget(self.table, 2)
        most = parent.size()
        self.resize(min(look.px(860), most.width()), min(look.px(640), most.height()))
        for choice in (self.steel, self.of, self.by):
            choice.currentIndexChanged.connect(lambda at: self.show_results())
        workspace.changed.connect(self._changed)
        self.show_results()

    def _changed(self, change: Changed) -> None:
        if change.records:
            self.show_results()

    def show_results(self) -> None:
        """Show the blades of the steel that is chosen."""
        space = self._space
        results = heat_results(space.session.document, str(self.steel.currentData()))
        by, of = ResultBy(self.by.currentData()), ResultOf(self.of.currentData())
        self.plot.show_groups(grouped(space.model.facts, results, by, of, space.unit), of, space.unit)
        self.table.show_records(results, self._row)

    def _row(self, result: HeatResult) -> tuple[str, ...]:
        unit = self._space.unit
        lengths = (reading(each, unit) if each is not None else "–" for each in (result.thickness, result.before, result.after))
        thick, before, after = lengths
        hard = f"{result.hardness:g}" if result.hardness is not None else "–"
        return result.serial, "+".join(map(str, result.loads)), recipe_words(result, unit), thick, hard, before, after
