"""Draw: shelf, board and panel; below the board the checks and the table of holes."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from PySide6.QtCore import QTimer, Signal, SignalInstance
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QPushButton, QVBoxLayout, QWidget

from workbook.app.canvas.board import Board
from workbook.app.canvas.scene import GhostAt, Scene
from workbook.app.changed import Changed
from workbook.app.elements.basics import button, label, named, row, surface, tool
from workbook.app.elements.checks import ChecksStrip
from workbook.app.elements.entry import Troubles
from workbook.app.elements.group import open_groups, open_only
from workbook.app.elements.room import roominess, side_width
from workbook.app.elements.shelf import Shelf
from workbook.app.look import PX_PER_MM
from workbook.app.pages.draw.compare import Compare, compared_words
from workbook.app.pages.draw.panel import Panel
from workbook.app.pages.draw.tables import DrawTables
from workbook.app.pages.page import Page
from workbook.app.workspace import Workspace
from workbook.document.action_words import in_words
from workbook.document.records import Revision
from workbook.document.words.templates import differences_in_words
from workbook.later import are_loaded, load, modules
from workbook.model.model import shape_for
from workbook.problems import Problem
from workbook.shop.wording import sentence
from workbook.structs import replace
from workbook.template.model import Template
from workbook.template.parameters import PARAMETERS
from workbook.template.pegs import pegs
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.pages import judging
    from workbook.app.pages.draw import moving, touching
    from workbook.app.pages.draw.moving import Moving
    from workbook.app.pages.draw.touching import Touching
    from workbook.document.action import Action
else:
    judging, moving, touching = modules("app.pages.judging", "app.pages.draw.moving", "app.pages.draw.touching")

_TABLE = 1100  # px of a page, from which the table of holes has all its columns
_BREATH = 10  # ms after a rough picture: waiting keys and clicks go first
_PARAMETERS = {parameter.path: parameter for parameter in PARAMETERS}


class DrawShowing(NamedTuple):
    """What the page shows besides the template itself, to be shown again in another look."""

    held: str
    compared: tuple[Revision | None, GhostAt]
    points: bool
    rule: bool
    groups: tuple[str, ...]


class DrawPage(Page):
    """Shows and edits one template at a time."""

    print_wanted = Signal()
    cut_file_wanted = Signal()
    seen = Signal()  # the rough picture is on the screen: slow modules may load now

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self.setObjectName("draw-page")
        self._workspace = workspace
        look = workspace.look
        self.board, self.shelf, self.panel = Board(look), Shelf(workspace), Panel(workspace)
        self.checks = ChecksStrip(look)
        self.tables = DrawTables(workspace)
        self.table, self.points = self.tables.holes, self.tables.points
        self._remedy: tuple[Template, Action] | None = None
        self._troubles = Troubles()
        self._compared: Revision | None = None
        self._differs = ""  # the differences reported last
        self._of_bars: tuple[Problem, ...] | None = None  # the problems of the bars; None until computed
        self.fix_button = tool(look, "fix-it", _("Fix it"), "tick")
        self.fix_button.setVisible(False)
        self.points_button = tool(look, "points-button", _("Points"), switch=False)
        self.zoom = label(look, "", "small", soft=True)
        self.trouble = named(label(look, "", "small", bold=True), "stop")
        self.trouble.setWordWrap(True)
        self.trouble.setVisible(False)
        bar = workspace.bar
        self.scene = Scene(blank=workspace.blank, unit=workspace.unit, bar=bar, rough=not are_loaded())
        self._seen = self.stale = False
        self._lay_out_widgets()
        self._connect()
        self.refresh()

    @cached_property
    def _moving(self) -> Moving:
        """Moves pegs; loaded when the first is taken or put back."""
        mover = moving.Moving(self._workspace)
        mover.shown.connect(self._moved)
        return mover

    @cached_property
    def touching(self) -> Touching:
        """Edits where the board is touched."""
        touch = touching.Touching(self._workspace)
        touch.chosen.connect(self._peg_chosen)
        return touch

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
        under.addWidget(surface("foot", row(self.checks, self.fix_button, self.points_button, margins=(0, 0, 8, 0)), look.px(36)))
        under.addWidget(self.tables)
        column.addWidget(self._under)
        right = QWidget()
        right_column = QVBoxLayout(right)
        right_column.setContentsMargins(0, 0, 0, 0)
        right_column.setSpacing(0)
        right_column.addWidget(self.panel, 1)
        right_column.addWidget(self._foot())
        self._right = right
        columns = QHBoxLayout(self)
        columns.setContentsMargins(0, 0, 0, 0)
        columns.setSpacing(0)
        for widget, stretch in ((self.shelf, 0), (middle, 1), (right, 0)):
            columns.addWidget(widget, stretch)

    def _strip(self) -> QWidget:
        look = self._workspace.look
        self._true, self._fit = tool(look, "true-size", _("True size")), tool(look, "fit", _("Fit"))
        self._rule = tool(look, "rule", _("Rule"), switch=True)
        self._shelf_button = tool(look, "shelf-button", _("Shelf"), "right", switch=False)
        self._compare = Compare(self._workspace)
        tools = (self._fit, self._true, self._rule, self._compare.button)
        self._view_name = label(look, _("Side view"), "strong")
        widgets = (self._shelf_button, self._view_name, *tools, None, self.zoom)
        return surface("strip", row(*widgets), look.px(40))

    def _take_back(self, revision: Revision) -> None:
        """Restore a revision; there is nothing to compare it with any more."""
        self.compare(None)
        self._workspace.take_back(revision)

    def compare(self, revision: Revision | None, place: GhostAt = GhostAt.OVER) -> None:
        """Show a revision's outline with the drawing and the changes since in words; None ends the comparison."""
        self._compared = revision
        if revision is None:
            self._show(ghost=None)
            self._compare.say("")
            return
        earlier = revision.family or revision.drawn
        assert earlier is not None
        self._show(ghost=shape_for(earlier, self._workspace.model.tools), ghost_at=place)
        self._compare.say(compared_words(revision.number, place))
        self.board.fit()  # so that both are seen
        self._say_compared()

    def _say_compared(self) -> None:
        """Report what has changed since the revision compared."""
        earlier = self._compared.family if self._compared is not None else None
        now = self._workspace.chosen_template
        words = (
            differences_in_words(earlier, now, self._workspace.unit) if earlier is not None and isinstance(now, Template) else ""
        )
        if words and words != self._differs:
            self.hint.emit(words)
        self._differs = words

    def _foot(self) -> QWidget:
        look = self._workspace.look
        self.print_button = button(look, "print-template", _("Print template sheet"), "print", main=True)
        self.cut_button = button(look, "cut-file", _("Cutting file"), "cut")
        column = QVBoxLayout()
        column.setContentsMargins(12, 4, 12, 12)
        column.setSpacing(6)
        column.addWidget(self.trouble)
        column.addWidget(self.cut_button)
        column.addWidget(self.print_button)
        return surface("foot", column)

    def _connect(self) -> None:
        self.board.zoomed.connect(self._say_zoom)
        self._true.clicked.connect(self.board.true_size)
        self._fit.clicked.connect(self.board.fit)
        self._rule.toggled.connect(self._show_rule)
        self._compare.wanted.connect(self.compare)
        self._compare.back.connect(self._take_back)
        self._shelf_button.toggled.connect(self.shelf.setVisible)
        self.print_button.clicked.connect(lambda: self._judged_first(self.print_button, self.print_wanted))
        self.cut_button.clicked.connect(lambda: self._judged_first(self.cut_button, self.cut_file_wanted))
        self.panel.lit.connect(lambda dimension: self._show(lit=dimension))
        self.panel.trouble.connect(self._troubles.of("panel", self._say_trouble))
        self.tables.hole_chosen.connect(self._hole_chosen)
        self.tables.point_chosen.connect(self._peg_chosen)
        self.tables.hole_typed.connect(self.panel.holes.put)
        self.tables.point_typed.connect(lambda peg, x, y: self._moving.put(peg, x, y))
        self.tables.trouble.connect(self._troubles.of("table", self._say_trouble))
        self.tables.removed.connect(lambda name: self.touching.take_out(name))
        self.points_button.toggled.connect(self.tables.show_points)
        self.fix_button.clicked.connect(self.fix)
        self._connect_pegs()
        self.checks.picked.connect(self._problem_picked)
        self._workspace.changed.connect(self._changed)

    def _say_zoom(self, zoom: float) -> None:
        """Show the zoom, relative to life size."""
        look = self._workspace.look
        self.zoom.setText(f"{zoom * look.text * PX_PER_MM / look.screen:.0%}")

    def _connect_pegs(self) -> None:
        board = self.board
        board.pointed.connect(self.hint)
        board.roughed_out.connect(lambda: QTimer.singleShot(_BREATH, self, self._finish))
        self.panel.holes.chosen.connect(self._peg_chosen)
        board.peg_chosen.connect(self._peg_chosen)
        board.peg_taken.connect(lambda peg: self._moving.take())
        board.peg_moved.connect(lambda peg, x, y, pull: self._moving.move(peg, x, y, pull))
        board.peg_released.connect(self._peg_released)
        board.peg_put_back.connect(self._peg_put_back)
        board.peg_nudged.connect(lambda peg, right, up: self._moving.nudge(peg, right, up))
        board.touched.connect(self._touched)
        board.asked.connect(lambda at, peg, x, y: self.touching.menu(board, at, peg, (x, y), board.reach()))
        board.peg_removed.connect(lambda name: self.touching.take_out(name))

    def _touched(self, x: float, y: float) -> None:
        """Add a free point to the curve at a double click; elsewhere fit the view."""
        if not self.touching.add_near((x, y), self.board.reach()):
            self.board.fit()

    def _peg_chosen(self, name: str) -> None:
        """Show the peg chosen on the board, by a click or by H: light its dimension and choose its row."""
        peg = next((each for each in self.scene.pegs if each.name == name), None)
        marks = [hole.mark for hole in self._workspace.blank.holes]
        self.tables.choose(name)
        lit = _PARAMETERS[peg.sets[0]].dimension if peg and peg.sets else ""
        self._show(held=name, tag="", stopped=False, lit=lit, chosen=name if name in marks else "")
        self.panel.holes.choose(name if name in marks else "")
        if peg is not None:
            if peg.sets:
                hint = _("Drag “{point}”, or use the arrow keys. Esc cancels.", point=peg.words)
            else:
                hint = _("Drag “{point}”, or use the arrow keys. Delete removes it, Esc cancels.", point=peg.words)
            self.hint.emit(hint)

    def _moved(self, peg: str, words: str, stopped: bool) -> None:
        """Show a moved peg with words beside it. A hole that passed another has a new mark."""
        marks = [hole.mark for hole in self._workspace.blank.holes]
        self._show(held=peg, tag=words, stopped=stopped, chosen=peg if peg in marks else "")
        self.tables.choose(peg)

    def _peg_released(self, name: str) -> None:
        self._moving.let_go(name)
        self._show(tag="", stopped=False)

    def _peg_put_back(self, name: str) -> None:
        self._moving.put_back()
        self._show(tag="", stopped=False)
        self.hint.emit(_("Move canceled."))

    def _say_trouble(self, problem: str) -> None:
        """Show what is wrong with the number being typed; the drawing stays as it is."""
        self.trouble.setText(problem)
        self.trouble.setVisible(bool(problem))

    def _show_rule(self, on: bool) -> None:
        self.board.rule_shown = on
        self.board.update()

    def _changed(self, change: Changed) -> None:
        if change.history:
            self._of_bars = None  # not computed at every move of a drag
        if change.chosen:
            self._other_template()
        self.refresh()  # also for the hands of those who ordered it
        if change.history:
            if self.scene.tag and not self._moving.under_way:
                self._show(tag="", stopped=False)  # it belonged to the previous state
            self._say_compared()

    def _other_template(self) -> None:
        """Drop what was chosen and compared of the previous template."""
        self._moving.put_back()
        self.tables.choose("")
        self.panel.holes.choose("")
        self.scene = replace(self.scene, lit="", chosen="", ring=None, held="", tag="", stopped=False, ghost=None)
        self._compared = None
        self._compare.say("")

    def _show(self, **changes: object) -> None:
        """Show the scene with some changes."""
        self.scene = replace(self.scene, **changes)  # type: ignore[arg-type]
        self.board.show_scene(self.scene, self._workspace.look)

    def showEvent(self, event: QShowEvent) -> None:
        """Catch up with changes made while another page was shown."""
        super().showEvent(event)
        self._seen = True
        if self.stale or (self.scene.rough and are_loaded()):
            self.refresh()

    def _judged_first(self, pressed: QPushButton, signal: SignalInstance) -> None:
        """Run the checks before anything is written."""
        self._finish()
        if pressed.isEnabled():
            signal.emit()

    def _finish(self) -> None:
        """Load what takes time once the rough picture is seen."""
        if self.scene.rough:
            self.seen.emit()
            load()
            self.refresh()

    def refresh(self) -> None:
        """Refresh board, checks and table, or mark the page stale while it is hidden."""
        self.stale = self._seen and not self.isVisible()
        if self.stale:
            return
        space, rough = self._workspace, not are_loaded()
        bar = space.bar
        self._show(blank=space.blank, unit=space.unit, rough=rough, bar=bar, ring=None, pegs=pegs(space.blank))
        if self.scene.held not in {peg.name for peg in self.scene.pegs}:
            self._show(held="", tag="", chosen="")
        self.tables.show_places(self.scene.pegs, self.scene.held, rough=rough)
        if not rough:
            self._judge()

    def _judge(self) -> None:
        """Check what the board shows."""
        self._remedy = None
        self.fix_button.setVisible(False)
        self._show_checks()
        judging.off_where_stopped(self._workspace, self.print_button, self.cut_button)

    def _show_checks(self) -> None:
        """Show the template's problems, and those of the bars it is to be made from."""
        space = self._workspace

        problems = space.model.checked(space.chosen)
        if self._of_bars is None:
            self._of_bars = space.model.of_bars
        self.checks.show_problems(judging.all_problems(space, problems, self._of_bars), judging.COUNT, space.unit)

    def _hole_chosen(self, mark: str) -> None:
        self._show(chosen=mark, held=mark, tag="", stopped=False, lit="")
        self.panel.holes.choose(mark)

    def _problem_picked(self, problem: Problem) -> None:
        self._show(ring=problem.at)
        self._remedy = judging.remedy_for(self._workspace, problem)
        self.fix_button.setVisible(self._remedy is not None)
        if self._remedy is not None:
            self.fix_button.setText(_("Fix it: {action}", action=in_words(self._remedy[1], self._workspace.unit)))
            self.fix_button.setAccessibleName(self.fix_button.text())
        self.hint.emit(judging.with_source(sentence(problem, self._workspace.unit), problem))

    def fix(self) -> None:
        """Apply the remedy for the problem chosen."""
        if self._remedy is not None:
            self._workspace.reshape(*self._remedy)

    def showing(self) -> DrawShowing:
        """What is shown besides the template itself."""
        scene = self.scene
        compared = (self._compared, scene.ghost_at)
        groups = open_groups(self.panel.groups)
        return DrawShowing(scene.held, compared, self.points_button.isChecked(), self._rule.isChecked(), groups)

    def show_again(self, showing: object) -> None:
        """Show what the page in another look did."""
        assert isinstance(showing, DrawShowing)
        self.points_button.setChecked(showing.points)
        self._rule.setChecked(showing.rule)
        open_only(self.panel.groups, showing.groups)
        self.compare(*showing.compared)
        if showing.held:
            self._peg_chosen(showing.held)

    def make_room(self, width: int, height: int) -> None:
        """Set the widths of the parts: a narrower window has a narrow shelf, a small one hides it behind its button."""
        look = self._workspace.look
        close = self.shelf.make_room(width, self._shelf_button)
        self._right.setFixedWidth(side_width(look, width))
        self._view_name.setVisible(roominess(look, width) >= 900)
        self.tables.show_columns(close=close or roominess(look, width) < _TABLE)
        self.tables.make_room(height)
