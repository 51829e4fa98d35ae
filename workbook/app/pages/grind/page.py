"""Grind: the chosen knife ground from its bar, and the settings for it at the bench."""

from typing import NamedTuple

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QButtonGroup, QHBoxLayout, QVBoxLayout, QWidget

from workbook.app.canvas.ground_board import GroundBoard, GroundScene
from workbook.app.changed import Changed
from workbook.app.elements.basics import button, label, named, row, surface, tool
from workbook.app.elements.checks import ChecksStrip
from workbook.app.elements.group import open_groups, open_only
from workbook.app.elements.room import TIGHT, roominess, side_width
from workbook.app.elements.shelf import Shelf
from workbook.app.pages.grind.side import BenchSide
from workbook.app.pages.judging import off_where_stopped, with_source
from workbook.app.pages.page import Page
from workbook.app.workspace import Workspace
from workbook.grind.checks import GRIND_CHECKS
from workbook.model.grinding import bench_of, masses_of
from workbook.problems import Problem
from workbook.shop.wording import finding
from workbook.template.checks import CHECKS
from workbook.template.model import Bevel, Held, Template
from workbook.texts import _

_WORDS = {
    Bevel.FLAT: _("Flat"),
    Bevel.HOLLOW: _("Hollow"),
    Bevel.CONVEX: _("Convex"),
    Bevel.SCANDI: _("Scandi"),
    Bevel.SINGLE: _("Chisel"),
}
_FIRST = 0.62  # of the blade's length from the front: the section's first place


class GrindShowing(NamedTuple):
    """What the page shows besides the grind itself: the section's place by template, the overlay of states, the open groups."""

    sections: tuple[tuple[str, float], ...]
    over: bool
    groups: tuple[str, ...]


class GrindPage(Page):
    """Views and sections at the left, numbers at the right."""

    print_wanted = Signal()

    def __init__(self, workspace: Workspace, side: BenchSide) -> None:
        super().__init__()
        self.setObjectName("grind-page")
        self._workspace = workspace
        look = workspace.look
        self.board, self.side, self.shelf = GroundBoard(look), side, Shelf(workspace)
        self.checks = ChecksStrip(look)
        self._title = label(look, "", "strong")
        self._shelf_button = tool(look, "shelf-button", _("Shelf"), "right", switch=False)
        self.bevels = QButtonGroup(self)
        self._held, self._wide = tool(look, "held", ""), True
        self._over = tool(look, "over", _("Overlay states"), switch=False)
        self._none = label(look, _("An imported outline has no grind. Choose another template on the Draw page."), soft=True)
        self._trouble = named(label(look, "", "small", bold=True), "stop")
        self._trouble.setWordWrap(True)
        self._trouble.setVisible(False)
        self.print_button = button(look, "print-card", _("Print bench set"), "print", main=True)
        self._sections: dict[str, float] = {}  # the section's place on each template, mm
        self._build()
        self._connect()

    def _build(self) -> None:
        look = self._workspace.look
        tools: list[QWidget] = []
        for number, bevel in enumerate(_WORDS):
            bevel_button = tool(look, f"bevel-{bevel.value}", _WORDS[bevel], switch=False)
            self.bevels.addButton(bevel_button, number)
            tools.append(bevel_button)
        middle = QVBoxLayout()
        middle.setContentsMargins(0, 0, 0, 0)
        middle.setSpacing(0)
        middle.addWidget(surface("strip", row(self._shelf_button, self._title, *tools, None, self._held), look.px(40)))
        self._none.setContentsMargins(16, 12, 16, 12)
        middle.addWidget(self._none)
        middle.addWidget(self.board, 1)
        middle.addWidget(surface("foot", row(self.checks, self._over, margins=(0, 0, 8, 0)), look.px(36)))
        foot = QVBoxLayout()
        foot.setContentsMargins(12, 4, 12, 12)
        foot.setSpacing(6)
        foot.addWidget(self._trouble)
        foot.addWidget(self.print_button)
        right = QVBoxLayout()
        right.setContentsMargins(0, 0, 0, 0)
        right.setSpacing(0)
        right.addWidget(self.side, 1)
        right.addWidget(surface("foot", foot))
        self._right = QWidget()
        self._right.setLayout(right)
        columns = QHBoxLayout(self)
        columns.setContentsMargins(0, 0, 0, 0)
        columns.setSpacing(0)
        columns.addWidget(self.shelf)
        columns.addLayout(middle, 1)
        columns.addWidget(self._right)

    def _connect(self) -> None:
        space = self._workspace
        self.bevels.idClicked.connect(lambda number: space.edit("grind.bevel", list(_WORDS)[number]))
        self._held.clicked.connect(self._change_held)
        self._shelf_button.toggled.connect(self.shelf.setVisible)
        self._over.toggled.connect(lambda on: self.refresh())
        self.print_button.clicked.connect(self.print_wanted)
        self.side.trouble.connect(self._say_trouble)
        self.board.section_moved.connect(self._section_moved)
        self.checks.picked.connect(self._problem_picked)
        space.changed.connect(self._changed)
        space.refused.connect(self.refresh)

    def _changed(self, change: Changed) -> None:
        if change.shapes or change.chosen or change.unit:
            self.refresh()

    def _show_held(self) -> None:
        """Show the button where there is room; the group of the grind has it too."""
        self._held.setVisible(self._wide and isinstance(self._workspace.chosen_template, Template))

    def _change_held(self) -> None:
        template = self._workspace.chosen_template
        if isinstance(template, Template):
            self._workspace.edit("grind.held", Held.ANGLE if template.grind.held is Held.HEIGHT else Held.HEIGHT)

    def _say_trouble(self, problem: str) -> None:
        self._trouble.setText(problem)
        self._trouble.setVisible(bool(problem))

    def _section_moved(self, at: float) -> None:
        self._sections[self._workspace.chosen] = at

    def _length(self) -> float:
        template = self._workspace.chosen_template
        return template.blade.length if isinstance(template, Template) else 0.0

    def _problem_picked(self, problem: Problem) -> None:
        self.hint.emit(with_source(finding(problem), problem))
        if problem.at is not None:
            self._sections[self._workspace.chosen] = max(problem.at[0], -0.3 * self._length())
            self.refresh()

    def refresh(self) -> None:
        """Refresh everything after any change, unless another page is shown."""
        if self.isVisible():
            self.fill()

    def fill(self) -> None:
        """Show everything as it is now."""
        space = self._workspace
        template, look = space.chosen_template, space.look
        hand = space.model.in_hand(space.chosen)
        self._title.setText(_("{chosen}, revision {revision}", chosen=space.name, revision=template.revision))
        ground = isinstance(template, Template)
        self._none.setVisible(not ground)
        self.board.setVisible(ground)
        self._show_held()
        for widget in (*self.bevels.buttons(), self._over):
            widget.setVisible(ground)
        off_where_stopped(space, self.print_button)
        if not ground:
            self.print_button.setEnabled(False)
        problems = space.model.judged_with_bars(space.chosen)
        self.checks.show_problems(problems, len(CHECKS) + len(GRIND_CHECKS), space.unit)
        if not isinstance(template, Template):
            self.board.show_scene(None, look)
            self.side.refresh(None, masses_of(space.model, space.chosen, hand))
            return
        self.bevels.button(list(_WORDS).index(template.grind.bevel)).setChecked(True)
        held_angle = template.grind.held is Held.ANGLE
        self._held.setText(_("Constant angle") if held_angle else _("Constant height"))
        self._held.setAccessibleName(_("Constant angle along the blade") if held_angle else _("Constant height along the blade"))
        self._held.setToolTip(_("What stays constant where the blade gets thinner: the bevel's height, or its angle"))
        bench, length = bench_of(space.model, space.chosen, hand), template.blade.length
        scene = GroundScene(
            blank=space.blank,
            bench=bench,
            bar=bench.bar,
            clean_up=space.model.job.saw.clean_up,
            unit=space.unit,
            at=min(self._sections.get(space.chosen, _FIRST * length), length - 0.5),
            over=self._over.isChecked(),
            step=space.session.document.settings.steps.of(space.unit),
        )
        self.board.show_scene(scene, look)
        self.side.refresh(bench, masses_of(space.model, space.chosen, hand))

    def entered(self) -> None:
        """Catch up with changes made elsewhere. In a window built anew the page is not visible yet."""
        self.fill()

    def showing(self) -> GrindShowing:
        """The places of the sections, and what is open."""
        return GrindShowing(tuple(self._sections.items()), self._over.isChecked(), open_groups(self.side.groups))

    def show_again(self, showing: object) -> None:
        """Show what the page in another look did."""
        assert isinstance(showing, GrindShowing)
        self._sections = dict(showing.sections)
        self._over.setChecked(showing.over)
        open_only(self.side.groups, showing.groups)
        self.refresh()

    def make_room(self, width: int, height: int) -> None:
        """Set the width of the right side; a narrow page leaves out what is shown elsewhere."""
        look = self._workspace.look
        self._right.setFixedWidth(side_width(look, width))
        self._title.setVisible(roominess(look, width) >= 1480)
        self.shelf.make_room(width, self._shelf_button)
        self._wide = roominess(look, width) >= TIGHT
        self._show_held()
