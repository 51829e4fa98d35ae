"""Tracing over a photo or scan: the sheet's corners or a known distance, then places of the outline, then a family fitted."""

from pathlib import Path

import numpy as np
from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout, QWidget

from workbook.app.canvas.picture_view import PictureView
from workbook.app.widgets.basics import Lettered, button, label, row, tool
from workbook.app.widgets.form import ChoiceItem, Form, LengthItem
from workbook.app.workspace import Workspace
from workbook.formats.family import family, family_ids
from workbook.formats.picture import Picture
from workbook.geometry.path import Point
from workbook.sheets.paper import PAPERS
from workbook.template.tracing import Plane, Traced, TraceError, outline_on, plane_of_distance, plane_of_sheet, trace
from workbook.units import show

_SHEETS = (("letter", "a letter sheet"), ("a4", "an A4 sheet"), ("distance", "two places I measured"))
_NAMED = ("point", "butt", "heel")
_SAID = {
    "sheet": "Click the four corners of the sheet that lies under the knife.",
    "distance": "Click two places whose distance you measured, and type it.",
    "point": "Click the point of the blade.",
    "butt": "Click the butt: the rearmost place.",
    "heel": "Click the heel: where the cutting edge begins.",
    "more": "Click places all round the outline, closer where it bends: twenty or more. Then fit.",
}


class TraceDialog(QDialog):
    """Picture at the left; what to do next, the choices and the result at the right."""

    def __init__(self, parent: QWidget, workspace: Workspace, picture: Picture, name: str) -> None:
        super().__init__(parent)
        self.setWindowTitle("Trace a picture")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._space, self._name = workspace, name
        look = workspace.look
        self._how, self._distance, self._family = ("letter" if workspace.unit == "in" else "a4"), 0.0, family_ids()[0]
        self._places: list[Point] = []
        self.traced: Traced | None = None
        self.view = PictureView(look)
        self.form = Form(look, (
            ChoiceItem("how", "Size by", _SHEETS),
            LengthItem("distance", "They are apart", 0.0, 2000.0),
            ChoiceItem("family", "Family to fit", tuple((name, family(name).name) for name in family_ids())),
        ), workspace.unit)  # fmt: skip
        self._next, self._result = label(look, "", bold=True), label(look, "")
        for words in (self._next, self._result):
            words.setWordWrap(True)
        self._wrong = Lettered(look, "", 9, bold=True, tone="stop")
        self.back_button = tool(look, "trace-back", "Take the last place away", "undo")
        self.fit_button = button(look, "trace-fit", "Fit the family")
        self.take_button = button(look, "trace-take", "Take it to the shelf", main=True)
        self._build()
        self._connect()
        self.view.show_picture(picture)
        self.resize(min(look.px(1120), parent.width()), min(look.px(720), parent.height()))
        self._show()

    def _build(self) -> None:
        look = self._space.look
        side = QVBoxLayout()
        side.addWidget(self._next)
        side.addWidget(self.form)
        side.addWidget(self.back_button)
        side.addWidget(self._result)
        side.addWidget(self._wrong)
        side.addStretch(1)
        side.addWidget(label(look, "Wheel zooms, middle button moves,\nright button takes a place away.", "small", soft=True))
        for made in (self.fit_button, self.take_button):
            made.setAutoDefault(False)
        side.addLayout(row(self.fit_button, self.take_button, margins=(0, 0, 0, 0)))
        holder = QWidget()
        holder.setLayout(side)
        holder.setFixedWidth(look.px(360))
        whole = QHBoxLayout(self)
        whole.addWidget(self.view, 1)
        whole.addWidget(holder)

    def _connect(self) -> None:
        self.view.clicked.connect(self._put)
        self.view.moved.connect(self._move)
        self.view.removed.connect(self._remove)
        self.form.entered.connect(self._entered)
        self.form.trouble.connect(lambda why: self._wrong.say(why, "stop"))
        self.back_button.clicked.connect(lambda: self._remove(len(self._places) - 1))
        self.fit_button.clicked.connect(self.fit)
        self.take_button.clicked.connect(self.take)

    @property
    def _corners(self) -> int:
        """How many places make the plane."""
        return 2 if self._how == "distance" else 4

    def _put(self, x: float, y: float) -> None:
        self._places.append((x, y))
        self._changed()

    def _move(self, index: int, x: float, y: float) -> None:
        self._places[index] = (x, y)
        self._changed()

    def _remove(self, index: int) -> None:
        if 0 <= index < len(self._places):
            del self._places[index]
            self._changed()

    def _entered(self, key: str, value: object) -> None:
        if key == "how":
            self._how = str(value)
        elif key == "distance":
            assert isinstance(value, float)
            self._distance = value
        else:
            self._family = str(value)
        self._changed()

    def _changed(self) -> None:
        self.traced = None
        self._wrong.say("")
        self._show()

    def _step(self) -> str:
        """What is wanted next."""
        done = len(self._places)
        if done < self._corners:
            return "distance" if self._how == "distance" else "sheet"
        named = done - self._corners
        return _NAMED[named] if named < len(_NAMED) else "more"

    def _show(self) -> None:
        self.form.show_values({"how": self._how, "distance": self._distance, "family": self._family}, self._space.unit)
        self.form.field("distance").setEnabled(self._how == "distance")
        self._next.setText(_SAID[self._step()])
        names = [str(n + 1) for n in range(self._corners)] + list(_NAMED)
        words = [names[n] if n < len(names) else "" for n in range(len(self._places))]
        self.view.show_places(list(zip(self._places, words, strict=True)), self._outline())
        self.fit_button.setEnabled(self._step() == "more")
        self.take_button.setEnabled(self.traced is not None)
        self._result.setText(self._in_words())

    def _outline(self) -> list[Point]:
        if self.traced is None:
            return []
        return [(float(x), float(y)) for x, y in self._plane().pixels(outline_on(self.traced))]

    def _in_words(self) -> str:
        if self.traced is None:
            return f"{len(self._places)} places."
        unit, found = self._space.unit, self.traced
        lengths = [found.template.blade.length, found.template.handle.length]
        sizes = f"Blade {show(lengths[0], unit)} {unit}, handle {show(lengths[1], unit)} {unit}."
        worst = int(found.errors.argmax())
        far = f"The places lie {found.root_mean_square:.2f} mm from it on the whole, the farthest {found.errors[worst]:.1f} mm."
        return f"{sizes} {far}"

    def _plane(self) -> Plane:
        marks = self._places[: self._corners]
        if self._how == "distance":
            return plane_of_distance(marks[0], marks[1], self._distance)
        paper = PAPERS[self._how]
        return plane_of_sheet(marks, paper.width, paper.height)

    def fit(self) -> None:
        """Fits the family to the places; says why not."""
        try:
            mm = self._plane().mm(self._places[self._corners :])
            point, butt, heel = ((float(x), float(y)) for x, y in mm[:3])
            self.traced = trace(family(self._family), point, butt, heel, np.asarray(mm[3:]))
        except TraceError as trouble:
            self._wrong.say(str(trouble), "stop")
            return
        self._show()

    def take(self) -> None:
        """The template found goes to the shelf."""
        if self.traced is not None:
            self._space.add_template(self.traced.template, self._name)
            self.close()


def picture_name(file: Path) -> str:
    """What a template traced from a picture is called at first."""
    return file.stem[:60] or "Traced"
