"""Edit where the board is touched: add or remove a free point, remove a hole, reset a peg to its family."""

from collections.abc import Callable, Iterator
from functools import reduce

from PySide6.QtCore import QObject, QPoint, Signal
from PySide6.QtWidgets import QMenu, QWidget

from workbook.app.pages.draw.tables import LABELS
from workbook.app.workspace import Workspace
from workbook.document.action import Action, plain
from workbook.geometry.path import Point
from workbook.template.free_edits import TooManyError, run_near, with_free, with_free_at, without_free
from workbook.template.hole_edits import without_hole
from workbook.template.model import OutlineRun, Template
from workbook.template.parameters import PARAMETERS, changed
from workbook.template.pegs import RUN_WORDS, Peg, free_names, free_places, pegs
from workbook.texts import _

Deed = tuple[str, Callable[[], object]]  # its words, and what it does
_PARAMETERS = {parameter.path: parameter for parameter in PARAMETERS}


class Touching(QObject):
    """Edits at a place of the chosen template; each is one step."""

    chosen = Signal(str)  # the new peg; "" when one was removed

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self._space = workspace

    def menu(self, board: QWidget, at: QPoint, peg: str, place: Point, reach: float) -> None:
        """Open the menu of a place of the board, if there is anything to do there."""
        deeds = list(self.deeds(peg, place, reach))
        if not deeds:
            return
        menu = QMenu(board)
        menu.setObjectName("board-menu")
        menu.setFont(self._space.look.font("body"))
        for words, run in deeds:
            menu.addAction(words).triggered.connect(lambda checked=False, run=run: run())
        menu.aboutToHide.connect(menu.deleteLater)
        menu.popup(at)

    def deeds(self, peg: str, place: Point, reach: float) -> Iterator[Deed]:
        """What can be done with a peg, or without one with the curve within reach (mm) of a place."""
        template = self._template()
        if template is None:
            return
        target = next((each for each in pegs(self._space.blank) if each.name == peg), None)
        if target is None:
            run, share, distance = run_near(self._space.blank, place)
            if distance <= reach:
                yield _("Add a control point here: {run}", run=RUN_WORDS[run]), lambda: self._add_at(run, share)
        elif target.sets:
            yield from self._back_to_family(template, target)
        else:
            yield _("Remove “{point}”", point=target.words), lambda: self.take_out(peg)

    def _back_to_family(self, template: Template, peg: Peg) -> Iterator[Deed]:
        base = self._space.base
        if base is None:
            return
        paths = [p for p in peg.sets if _PARAMETERS[p].value(template) != _PARAMETERS[p].value(base)]
        if paths:
            words = _("Reset: {parameters}", parameters=", ".join(LABELS[path] for path in paths))
            reset = reduce(lambda t, path: changed(t, path, _PARAMETERS[path].value(base)), paths, template)
            yield words, lambda: self._space.reshape(reset, Action("parameters.reset", {"parameters": plain(paths)}))

    def add_near(self, place: Point, reach: float) -> bool:
        """Add a free point where a curve was touched. Return False if none is within reach (mm)."""
        if self._template() is None:
            return False
        run, share, distance = run_near(self._space.blank, place)
        if distance > reach:
            return False
        self._add_at(run, share)
        return True

    def add_on(self, run: OutlineRun) -> None:
        """Add a free point where a run has most room for it."""
        if self._template() is None:
            self._space.said.emit(_("An imported outline has no curves to pull."))
        else:
            self._add(lambda: with_free(self._space.blank, run), run)

    def take_out(self, peg: str) -> None:
        """Remove a free point or a hole; other pegs are set by parameters and stay."""
        template, blank = self._template(), self._space.blank
        if template is None:
            return
        if peg in free_names(template):
            index = free_names(template).index(peg)
            run, number = free_places(template)[index]
            action = Action("free_point.removed", {"run": run.value, "number": number})
            self._space.reshape(without_free(template, index), action)
        elif peg in [hole.mark for hole in blank.holes]:
            self._space.reshape(without_hole(blank, peg), Action("hole.removed", {"hole": peg}))
        else:
            self._space.said.emit(_("This point is set by the template's numbers and cannot be removed."))
            return
        self.chosen.emit("")

    def _template(self) -> Template | None:
        template = self._space.chosen_template
        return template if isinstance(template, Template) else None

    def _add_at(self, run: OutlineRun, share: float) -> None:
        self._add(lambda: with_free_at(self._space.blank, run, share), run)

    def _add(self, make: Callable[[], tuple[Template, int]], run: OutlineRun) -> None:
        try:
            template, index = make()
        except TooManyError as trouble:
            self._space.said.emit(_("{trouble}. Remove one first.", trouble=trouble))
            return
        action = Action("free_point.added", {"run": run.value})
        if template == self._space.blank.template or self._space.reshape(template, action):
            self.chosen.emit(free_names(template)[index])
