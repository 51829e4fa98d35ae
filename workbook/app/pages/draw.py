"""Draw: shelf, board and panel; under the board the checks and the table of holes."""

from dataclasses import replace
from math import hypot

from PySide6.QtCore import QModelIndex, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QMenu, QToolButton, QVBoxLayout, QWidget

from workbook.app.canvas.board import Board
from workbook.app.canvas.knife_view import Scene
from workbook.app.look import PX_PER_MM
from workbook.app.pages.moving import Moving
from workbook.app.pages.panel import Panel
from workbook.app.pages.shelf import Shelf
from workbook.app.widgets.basics import button, label, named, row, surface, tool
from workbook.app.widgets.checks import ChecksStrip
from workbook.app.widgets.lettered_table import fill, lettered_table
from workbook.app.workspace import Workspace
from workbook.document.actions.templates import differences_in_words
from workbook.document.records import Revision
from workbook.geometry.polygon import edge_distance
from workbook.problems import Problem, Severity, worst_first
from workbook.tasks.load import shape_for
from workbook.template.checks import CHECKS
from workbook.template.holes import WORDS, Hole
from workbook.template.model import Purpose, Template
from workbook.template.parameters import PARAMETERS
from workbook.template.pegs import Peg, pegs
from workbook.template.remedies import Remedy, remedy
from workbook.template.shape import from_spine
from workbook.units import built, show

_PARAMETERS = {parameter.path: parameter for parameter in PARAMETERS}
_POINT_HEADS = ("Point", "Ahead of handle front", "Above axis", "Sets")
_HEADS = ("Mark", "Purpose", "From butt", "From spine", "Tang drill", "Takes", "To edge", "To next")


class DrawPage(QWidget):
    """The workshop of one template at a time."""

    print_wanted = Signal()
    cut_file_wanted = Signal()
    hint = Signal(str)

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self.setObjectName("draw-page")
        self._workspace = workspace
        look = workspace.look
        self.board, self.shelf, self.panel = Board(look), Shelf(workspace), Panel(workspace)
        self.checks = ChecksStrip(look)
        self.table = lettered_table(look, "holes", _HEADS)
        self.table.setAccessibleName("Holes")
        self.points = lettered_table(look, "points", _POINT_HEADS)
        self.points.setAccessibleName("Points")
        self._remedy: Remedy | None = None
        self._of_bars = workspace.loaded.of_bars
        self._fix_button = tool(look, "fix-it", "Fix it", "tick")
        self._fix_button.setVisible(False)
        self._points_button = tool(look, "points-button", "Points", switch=False)
        self._zoom = label(look, "", "small", soft=True)
        self._trouble = named(label(look, "", "small", bold=True), "stop")
        self._trouble.setWordWrap(True)
        self._trouble.setVisible(False)
        self._scene = Scene(blank=workspace.blank, unit=workspace.unit, bar=workspace.bar(workspace.chosen))
        self._moving, self._rows_shown = Moving(workspace), (-1, -1)
        self._seen = self._stale = False
        self._lay_out_widgets()
        self._connect()
        self.refresh()

    def _lay_out_widgets(self) -> None:
        look = self._workspace.look
        middle = QWidget()
        column = QVBoxLayout(middle)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self._strip())
        column.addWidget(self.board, 1)
        self._under = named(QWidget(), "panel-under")
        under = QVBoxLayout(self._under)
        under.setContentsMargins(0, 0, 0, 0)
        under.setSpacing(0)
        under.addWidget(
            surface("foot", row(self.checks, self._fix_button, self._points_button, margins=(0, 0, 8, 0)), look.px(36))
        )
        under.addWidget(self.table)
        under.addWidget(self.points)
        column.addWidget(self._under)
        right = QWidget()
        right_column = QVBoxLayout(right)
        right_column.setContentsMargins(0, 0, 0, 0)
        right_column.setSpacing(0)
        right_column.addWidget(self.panel, 1)
        right_column.addWidget(self._foot())
        self._right = right
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        for widget, stretch in ((self.shelf, 0), (middle, 1), (right, 0)):
            whole.addWidget(widget, stretch)

    def _strip(self) -> QWidget:
        look = self._workspace.look
        self._true, self._fit = tool(look, "true-size", "True size"), tool(look, "fit", "Fit")
        self._rule = tool(look, "rule", "Rule", switch=True)
        self._shelf_button = tool(look, "shelf-button", "Shelf", "right", switch=False)
        self._compare = tool(look, "compare", "Compare")
        self._compare.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        menu = QMenu(self._compare)
        menu.setFont(look.font("body"))
        menu.aboutToShow.connect(lambda: self._fill_compare(menu))
        self._compare.setMenu(menu)
        tools = (self._fit, self._true, self._rule, self._compare)
        widgets = (self._shelf_button, label(look, "Side view", "strong"), *tools, None, self._zoom)
        return surface("strip", row(*widgets), look.px(40))

    def _fill_compare(self, menu: QMenu) -> None:
        """The revisions kept of the chosen template, the last first; each over the drawing, or taken back."""
        menu.clear()
        revisions = self._workspace.revisions()
        if not revisions:
            menu.addAction("No revision is kept yet (menu Knife)").setEnabled(False)
        for revision in reversed(revisions):
            note = revision.note or revision.why
            words = f"Revision {revision.number}, {revision.made[:10]}: {note}"
            menu.addAction(f"Over this: {words}").triggered.connect(lambda checked=False, r=revision: self.compare(r))
            beside = menu.addAction(f"Below this: {words}")
            beside.triggered.connect(lambda checked=False, r=revision: self.compare(r, below=True))
        if self._scene.ghost is not None:
            menu.addAction("Nothing over this").triggered.connect(lambda checked=False: self.compare(None))
        menu.addSeparator()
        for revision in reversed(revisions):
            words = f"Back to revision {revision.number}"
            menu.addAction(words).triggered.connect(lambda checked=False, r=revision: self._workspace.take_back(r))

    def compare(self, revision: Revision | None, *, below: bool = False) -> None:
        """A revision's outline over the drawing or below it, and in words what has changed since; None: nothing of it."""
        if revision is None:
            self._show(ghost=None, below=False)
            self._compare.setText("Compare")
            return
        was = revision.family or revision.drawn
        assert was is not None
        self._show(ghost=shape_for(was, self._workspace.loaded.tools).outline, below=below)
        self._compare.setText(f"{'Below' if below else 'Over'} revision {revision.number}")
        now = self._workspace.template(self._workspace.chosen)
        if isinstance(was, Template) and isinstance(now, Template):
            self.hint.emit(differences_in_words(was, now, self._workspace.unit))

    def _foot(self) -> QWidget:
        look = self._workspace.look
        self.print_button = button(look, "print-template", "Print the template sheet", "print", main=True)
        self.cut_button = button(look, "cut-file", "Cut file", "cut")
        column = QVBoxLayout()
        column.setContentsMargins(12, 4, 12, 12)
        column.setSpacing(6)
        column.addWidget(self._trouble)
        column.addWidget(self.cut_button)
        column.addWidget(self.print_button)
        return surface("foot", column)

    def _connect(self) -> None:
        self.board.zoomed.connect(self._say_zoom)
        self._true.clicked.connect(self.board.true_size)
        self._fit.clicked.connect(self.board.fit)
        self._rule.toggled.connect(self._show_rule)
        self._shelf_button.toggled.connect(self.shelf.setVisible)
        self.print_button.clicked.connect(self.print_wanted)
        self.cut_button.clicked.connect(self.cut_file_wanted)
        self.panel.lit.connect(lambda dimension: self._show(lit=dimension))
        self.panel.trouble.connect(self._say_trouble)
        self.table.itemSelectionChanged.connect(self._hole_chosen)
        self.points.itemSelectionChanged.connect(self._point_chosen)
        self._points_button.toggled.connect(self._show_points)
        self._fix_button.clicked.connect(self.fix)
        self._connect_pegs()
        self.checks.picked.connect(self._problem_picked)
        self._workspace.template_changed.connect(lambda name: self.refresh())
        self._workspace.chosen_changed.connect(lambda name: self._other_template())
        self._workspace.unit_changed.connect(self.refresh)
        self._workspace.history_changed.connect(self._look_at_bars)  # a bar may be another, or what is to be made

    def _say_zoom(self, zoom: float) -> None:
        """How large the knife is shown beside life size."""
        look = self._workspace.look
        self._zoom.setText(f"{zoom * look.text * PX_PER_MM / look.screen:.0%}")

    def _connect_pegs(self) -> None:
        board, moving = self.board, self._moving
        board.pointed.connect(self.hint)
        self.panel.holes.chosen.connect(self._peg_chosen)
        board.peg_chosen.connect(self._peg_chosen)
        board.peg_taken.connect(lambda peg: moving.take())
        board.peg_moved.connect(moving.move)
        board.peg_released.connect(self._peg_released)
        board.peg_put_back.connect(self._peg_put_back)
        board.peg_nudged.connect(moving.nudge)
        moving.shown.connect(self._moved)

    def _peg_chosen(self, name: str) -> None:
        """A peg is chosen on the board, by a click or by H: its dimension is lit, its row chosen."""
        peg = next((own for own in self._scene.pegs if own.name == name), None)
        marks = [hole.mark for hole in self._workspace.blank.holes]
        self._choose_rows(name)
        lit = _PARAMETERS[peg.sets[0]].dimension if peg and peg.sets else ""
        self._show(held=name, tag="", stopped=False, lit=lit, chosen=name if name in marks else "")
        self.panel.holes.choose(name if name in marks else "")
        if peg is not None:
            self.hint.emit(f"{peg.words[:1].upper()}{peg.words[1:]}: drag it, or press the arrow keys; Esc lets it be.")

    def _moved(self, peg: str, words: str, stopped: bool) -> None:
        """A peg has moved: words stand beside it. A hole that passed another has another mark."""
        marks = [hole.mark for hole in self._workspace.blank.holes]
        self._show(held=peg, tag=words, stopped=stopped, chosen=peg if peg in marks else "")
        self._choose_rows(peg)

    def _choose_rows(self, name: str) -> None:
        """The rows of both tables follow what is held on the board, and never the other way by themselves."""
        marks = [hole.mark for hole in self._workspace.blank.holes]
        for table, names in ((self.table, marks), (self.points, self._point_names())):
            table.blockSignals(True)
            if name in names:
                table.selectRow(names.index(name))
            else:
                table.clearSelection()
                table.setCurrentIndex(QModelIndex())
            table.blockSignals(False)

    def _peg_released(self, name: str) -> None:
        self._moving.let_go(name)
        self._show(tag="", stopped=False)

    def _peg_put_back(self, name: str) -> None:
        self._moving.put_back()
        self._show(tag="", stopped=False)
        self.hint.emit("Put back.")

    def _point_names(self) -> list[str]:
        return [peg.name for peg in self._scene.pegs if peg.sets]

    def _point_chosen(self) -> None:
        rows = self.points.selectionModel().selectedRows()
        if rows:
            self._peg_chosen(self._point_names()[rows[0].row()])

    def _show_points(self, on: bool) -> None:
        """The table of points in place of that of the holes."""
        self.points.setVisible(on)
        self.table.setVisible(not on and bool(self._workspace.blank.holes))

    def _say_trouble(self, why: str) -> None:
        """What is wrong with the number being typed; the drawing stays as it was."""
        self._trouble.setText(why)
        self._trouble.setVisible(bool(why))

    def _show_rule(self, on: bool) -> None:
        self.board.rule_shown = on
        self.board.update()

    def _other_template(self) -> None:
        self._moving.put_back()
        self._choose_rows("")
        self.panel.holes.choose("")
        self._scene = replace(self._scene, lit="", chosen="", ring=None, held="", tag="", stopped=False, ghost=None, below=False)
        self._compare.setText("Compare")
        self.refresh()

    def _show(self, **changes: object) -> None:
        """Shows the scene with something changed."""
        self._scene = replace(self._scene, **changes)  # type: ignore[arg-type]
        self.board.show_scene(self._scene, self._workspace.look)

    def showEvent(self, event: QShowEvent) -> None:
        """Catches up with what was done while another page showed."""
        super().showEvent(event)
        self._seen = True
        if self._stale:
            self.refresh()

    def refresh(self) -> None:
        """Board, checks and table after any change; when the page shows again, if it does not."""
        self._stale = self._seen and not self.isVisible()
        if self._stale:
            return
        space = self._workspace
        self._show(blank=space.blank, unit=space.unit, bar=space.bar(space.chosen), ring=None, pegs=pegs(space.blank))
        self._remedy = None
        self._fix_button.setVisible(False)
        problems = self._show_checks()
        for table in (self.table, self.points):
            table.blockSignals(True)
        fill(self.table, [self._row(hole) for hole in space.blank.holes])
        fill(self.points, [self._point_row(peg) for peg in self._scene.pegs if peg.sets])
        for table in (self.table, self.points):
            table.blockSignals(False)
        if (self.table.rowCount(), self.points.rowCount()) != self._rows_shown:
            self._rows_shown = (self.table.rowCount(), self.points.rowCount())
            self._table_heights(self.window().height())
        if self._scene.held not in {peg.name for peg in self._scene.pegs}:
            self._show(held="", tag="", chosen="")
        self._choose_rows(self._scene.held)
        self._show_points(self._points_button.isChecked())
        stopped = any(p.severity is Severity.STOP for p in problems)
        self.print_button.setEnabled(not stopped)
        self.cut_button.setEnabled(not stopped)

    def _show_checks(self) -> tuple[Problem, ...]:
        """The template's problems, which are returned, and those of the bars it is to be made from."""
        space = self._workspace
        own = space.loaded.checked(space.chosen)
        of_bars = (p for p in self._of_bars if p.template == space.chosen)
        self.checks.show_problems(worst_first((*own, *of_bars)), len(CHECKS), space.unit)
        return own

    def _look_at_bars(self) -> None:
        """What the bars have to say: when something is done, not at every move of a drag."""
        self._of_bars = self._workspace.loaded.of_bars
        self._show_checks()

    def _row(self, hole: Hole) -> tuple[str, ...]:
        space = self._workspace
        x = hole.centre[0]

        def length(mm: float) -> str:
            return built(show(mm, space.unit))

        takes = "-" if hole.purpose is Purpose.EPOXY else length(hole.size)
        to_edge = f"{edge_distance(space.blank.outline, hole.centre) / hole.diameter:.1f} d"
        butt = length(x - space.blank.extent()[0])
        spine = length(from_spine(space.blank, hole))
        others = [hypot(x - o.centre[0], hole.centre[1] - o.centre[1]) for o in space.blank.holes if o.mark != hole.mark]
        to_next = length(min(others)) if others else "-"
        return hole.mark, WORDS[hole.purpose].capitalize(), butt, spine, hole.drill.named(space.unit), takes, to_edge, to_next

    def _point_row(self, peg: Peg) -> tuple[str, ...]:
        unit = self._workspace.unit
        along, up = (built(show(v, unit)) for v in peg.at)
        return f"{peg.words[:1].upper()}{peg.words[1:]}", along, up, ", ".join(_PARAMETERS[path].label for path in peg.sets)

    def _hole_chosen(self) -> None:
        rows = self.table.selectionModel().selectedRows()
        mark = str(self.table.model().index(rows[0].row(), 0).data()) if rows else ""
        self._show(chosen=mark, held=mark, tag="", stopped=False, lit="")
        self.panel.holes.choose(mark)

    def _problem_picked(self, problem: Problem) -> None:
        self._show(ring=problem.at)
        source = f" Source: {problem.source}." if problem.source else ""
        self._remedy = remedy(self._workspace.blank, problem, self._workspace.loaded.tools)
        self._fix_button.setVisible(self._remedy is not None)
        if self._remedy is not None:
            self._fix_button.setText(f"Fix it: {self._remedy.words}")
            self._fix_button.setAccessibleName(self._fix_button.text())
        self.hint.emit(f"{problem.what[:1].upper()}{problem.what[1:]}.{source}")

    def fix(self) -> None:
        """Does what was offered for the problem chosen."""
        if self._remedy is not None:
            self._workspace.reshape(self._remedy.template, self._remedy.words)

    def make_room(self, width: int, height: int) -> None:
        """Gives the parts their widths: roomy shows everything, snug a narrow shelf, close hides it behind its button."""
        look = self._workspace.look
        roominess = width / look.text
        close = roominess < 1000
        self.shelf.setFixedWidth(look.px(196 if roominess >= 1280 else 148))
        self._right.setFixedWidth(look.px(340 if roominess >= 1280 else 288))
        self._shelf_button.setVisible(close)
        self.shelf.setVisible(not close or self._shelf_button.isChecked())
        for column in (_HEADS.index("Takes"), _HEADS.index("To edge"), _HEADS.index("To next")):
            self.table.setColumnHidden(column, close)
        self._table_heights(height)

    def _table_heights(self, height: int) -> None:
        """As many rows as there are, or as the window has room for."""
        look = self._workspace.look
        tall = height / look.text
        rows = 6 if tall > 760 else 3 if tall > 560 else 1
        for table in (self.table, self.points):
            table.setFixedHeight(look.px(32) + min(max(table.rowCount(), 1), rows) * look.px(28))
