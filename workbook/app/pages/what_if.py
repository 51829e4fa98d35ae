"""What if: a bevel's angle, height, thickness and edge before hardening; three are typed, the fourth follows."""

from dataclasses import replace
from math import degrees, radians, tan
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from workbook.app.widgets.basics import Lettered, button, row
from workbook.app.widgets.form import ChoiceItem, Form, LengthItem, NumberItem
from workbook.app.workspace import Workspace
from workbook.grind.bench import Bench
from workbook.grind.bevel import FlatBevel, Fourth
from workbook.template.model import Bevel, Template
from workbook.template.parameters import Kind

_ITEMS = (
    LengthItem("thickness", "Thickness", 0.2, 60.0, Kind.READING),
    LengthItem("edge", "Edge", 0.0, 20.0, Kind.READING),
    LengthItem("height", "Height of the grind line", 0.5, 300.0),
    NumberItem("angle", "Angle per side, degrees", 0.05, 60.0),
    ChoiceItem("follows", "What follows", tuple((f, f.value) for f in Fourth)),
)


def _with(bevel: FlatBevel, key: str, value: float) -> FlatBevel:
    """The bevel with one of its numbers as typed."""
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
    """A calculator beside the template: nothing changes until it is used."""

    trouble = Signal(str)

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self._workspace = workspace
        look = workspace.look
        self.form = Form(look, _ITEMS, workspace.unit)
        self.form.setObjectName("what-if")
        self.use_button = button(look, "use-what-if", "Use it in the template")
        self._wrong = Lettered(look, "", 9, bold=True, tone="stop")
        self._bevel: FlatBevel | None = None
        self._of: Bench | None = None
        self._follows = Fourth.ANGLE
        self._touched = False
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.form)
        column.addLayout(row(self._wrong))
        column.addLayout(row(self.use_button, margins=(12, 2, 12, 4)))
        self._wrong.setVisible(False)
        self.form.entered.connect(self._entered)
        self.form.trouble.connect(self.trouble)
        self.use_button.clicked.connect(self.use)
        self.use_button.setEnabled(False)

    def refresh(self, made: Bench) -> None:
        """Begins from the template's own numbers, whenever those change."""
        if made == self._of and self._bevel is not None:
            self._show()
            return
        self._of = made
        self._bevel = FlatBevel(
            thickness=made.thickness_before,
            edge=made.edge_before,
            height=made.line_before,
            angle=made.angle,
            faces=made.faces,
        )
        self._touched = False
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
        self.form.show_values(values, self._workspace.unit)
        self.use_button.setEnabled(self._touched)

    def _entered(self, key: str, value: Any) -> None:
        assert self._bevel is not None
        if key == "follows":
            self._follows = value
        else:
            asked = _with(self._bevel, key, value)
            if self._follows.value == key:  # what is typed does not follow
                self._follows = Fourth.ANGLE if key != "angle" else Fourth.HEIGHT
            try:
                self._bevel = asked.completed(self._follows)
            except ValueError as trouble:
                self._say(f"{trouble}"[:1].upper() + f"{trouble}"[1:])
                return
            self._touched = True
        self._say("")
        self._show()

    def _say(self, why: str) -> None:
        self._wrong.say(why, "stop")
        self._wrong.setVisible(bool(why))

    def use(self) -> None:
        """The template ground so: the edge before hardening, and the finished height that has this angle."""
        space, bevel = self._workspace, self._bevel
        template = space.template(space.chosen)
        if bevel is None or not isinstance(template, Template) or self._of is None:
            return
        grind = template.grind
        finished = self._of.thickness_finished - self._of.edge_finished
        height = finished / (bevel.faces * tan(bevel.angle))
        full = height >= template.blade.height - 1e-6
        made = replace(grind, edge_before_hardening=bevel.edge, height=None if full else height)
        if grind.bevel is Bevel.SCANDI:
            made = replace(grind, edge_before_hardening=bevel.edge, edge_angle=degrees(bevel.angle))
        if space.reshape(replace(template, grind=made), f"bevel of {degrees(bevel.angle):.1f}°"):
            space.said.emit(f"{space.chosen} is ground at {degrees(bevel.angle):.1f}° now.")
