"""What if: a bevel's angle, height, thickness and edge before hardening; three are typed, the fourth follows."""

from math import degrees, radians
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from workbook.app.elements.basics import button, label, named, row
from workbook.app.elements.form import ChoiceItem, Form, LengthItem, NumberItem
from workbook.app.workspace import Workspace
from workbook.document.action import Action
from workbook.grind.bench import Bench
from workbook.grind.bevel import FlatBevel, Fourth, height_for
from workbook.structs import replace
from workbook.template.model import Bevel, Template
from workbook.template.parameters import Kind
from workbook.template.resizing import out_of_range
from workbook.texts import _

_SAME = 0.005  # mm
_FOURTH = {
    Fourth.ANGLE: _("angle"),
    Fourth.HEIGHT: _("height"),
    Fourth.THICKNESS: _("thickness"),
    Fourth.EDGE: _("edge"),
}
ITEMS = (
    LengthItem("thickness", _("Thickness"), low=0.2, high=60.0, kind=Kind.READING),
    LengthItem("edge", _("Edge"), low=0.0, high=20.0, kind=Kind.READING),
    LengthItem("height", _("Grind line height"), low=0.5, high=300.0),
    NumberItem("angle", _("Angle per side, °"), low=0.05, high=60.0),
    ChoiceItem("follows", _("Solve for"), options=tuple(_FOURTH.items())),
)


def _with(bevel: FlatBevel, key: str, value: float) -> FlatBevel:
    """The bevel with one of its numbers changed."""
    match key:
        case "thickness":
            return replace(bevel, thickness=value)
        case "edge":
            return replace(bevel, edge=value)
        case "height":
            return replace(bevel, height=value)
        case _:
            return replace(bevel, angle=radians(value))


class WhatIf(QWidget):
    """A calculator beside the template: nothing changes until its result is used."""

    trouble = Signal(str)

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self._workspace = workspace
        look = workspace.look
        self.form = Form(look, ITEMS, workspace.unit)
        self.form.setObjectName("what-if")
        self.use_button = button(look, "use-what-if", _("Use in the template"))
        self.wrong = named(label(look, "", "small", bold=True), "stop")
        self.wrong.setWordWrap(True)
        self.wrong.setContentsMargins(12, 0, 12, 0)
        self._bevel: FlatBevel | None = None
        self._of: tuple[Bench, str] | None = None  # whose numbers it started from
        self._follows = Fourth.ANGLE
        self._touched = False
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.form)
        column.addWidget(self.wrong)
        column.addLayout(row(self.use_button, margins=(12, 2, 12, 4)))
        self.wrong.setVisible(False)
        self.form.entered.connect(self._entered)
        self.form.trouble.connect(self.trouble)
        self.use_button.clicked.connect(self.use)
        self.use_button.setEnabled(False)

    def refresh(self, bench: Bench, name: str) -> None:
        """Start again from a template's numbers whenever they change."""
        if (bench, name) == self._of:
            self._show()
            return
        self._of, self._touched = (bench, name), False
        bevel = FlatBevel(
            thickness=bench.thickness_before,
            edge=bench.edge_before,
            height=bench.line_before,
            angle=bench.angle,
            faces=bench.faces,
        )
        at_spine = bench.line_before >= bench.blade_height - 1e-6  # there the steel is thinner than the bar
        self._bevel = bevel.completed(Fourth.HEIGHT if at_spine else Fourth.ANGLE)
        self._say("")
        self._show()

    def _show(self) -> None:
        bevel = self._bevel
        assert bevel is not None
        values: dict[str, Any] = {
            "thickness": bevel.thickness,
            "edge": max(bevel.edge, 0.0),
            "height": bevel.height,
            "angle": round(degrees(bevel.angle), 2),
            "follows": self._follows,
        }
        self.form.show_values(values, self._workspace.unit, self._workspace.chosen)
        self.use_button.setEnabled(self._touched)

    def _entered(self, key: str, value: Any) -> None:
        assert self._bevel is not None
        if key == "follows":
            self._follows = value
        else:
            bevel = _with(self._bevel, key, value)
            if self._follows.value == key:  # a typed number does not follow
                self._follows = Fourth.ANGLE if key != "angle" else Fourth.HEIGHT
            try:
                self._bevel = bevel.completed(self._follows)
            except ValueError as trouble:
                self._say(str(trouble))
                return
            self._touched = True
        self._say("")
        self._show()

    def _say(self, problem: str) -> None:
        self.wrong.setText(problem)
        self.wrong.setVisible(bool(problem))

    def use(self) -> None:
        """Grind the template at this bevel: the edge before hardening, and the finished height at this angle; or say why not."""
        space, bevel = self._workspace, self._bevel
        template = space.chosen_template
        if bevel is None or self._of is None or not isinstance(template, Template):
            return
        problem, result = self._used(template, self._of[0], bevel)
        if result is None:
            self._say(problem)
        elif space.reshape(result, Action("grind.angle", {"angle": degrees(bevel.angle)})):
            space.said.emit(_("{chosen} is ground at {degrees:.1f}° now.", chosen=space.name, degrees=degrees(bevel.angle)))

    def _used(self, template: Template, bench: Bench, bevel: FlatBevel) -> tuple[str, Template | None]:
        """The template ground at this bevel, or the problem and None."""
        if abs(bevel.thickness - bench.thickness_before) > _SAME:
            return _("The thickness is the bar's. Type it under “Bar in hand”."), None
        if template.grind.bevel is Bevel.SCANDI:
            grind = replace(template.grind, edge_before_hardening=bevel.edge, edge_angle=degrees(bevel.angle))
        else:
            height = height_for(bench.thickness_finished, bench.edge_finished, bevel.angle, bevel.faces)
            if height > bench.blade_height + _SAME:
                return _("A bevel that flat would reach past the spine."), None
            full = height >= bench.blade_height - _SAME
            grind = replace(template.grind, edge_before_hardening=bevel.edge, height=None if full else height)
        result = replace(template, grind=grind)
        wrong = out_of_range(result) - out_of_range(template)
        return (_("{wrong} would go out of its range.", wrong=min(wrong)), None) if wrong else ("", result)
