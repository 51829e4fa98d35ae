"""Tracing of a photo or scan: mark the sheet's corners or a known distance, then the outline, then fit a family."""

from concurrent.futures import Future, ThreadPoolExecutor
from math import hypot
from pathlib import Path

import numpy as np
from PySide6.QtCore import Qt, QTimer
from PySide6.QtGui import QCloseEvent
from PySide6.QtWidgets import QDialog, QHBoxLayout, QVBoxLayout, QWidget

from workbook.app.canvas.picture_view import PictureView
from workbook.app.elements.basics import Lettered, button, label, row, tool
from workbook.app.elements.form import ChoiceItem, Form, LengthItem
from workbook.app.workspace import Workspace
from workbook.formats.family import family, family_ids
from workbook.formats.picture import Picture
from workbook.geometry.path import Point
from workbook.sheets.paper import PAPERS
from workbook.system.names import shown
from workbook.template.picture_plane import Plane, TraceError, plane_of_distance, plane_of_sheet
from workbook.template.tracing import Clicked, Traced, best_of, outline_on
from workbook.texts import _, listing, ngettext
from workbook.units import HABITS, Unit, show

_SHEETS = (("letter", _("Letter sheet")), ("a4", _("A4 sheet")), ("distance", _("Two points I measured")))
_NAMED = ("point", "butt", "heel", "front")
_BEST = ""  # no family chosen: use the one that fits best
_APART = 10.0  # least pixels between two marks of the plane
_SAID = {
    "sheet": _("Click the four corners of the sheet under the knife."),
    "distance": _("Click two points and type the distance you measured between them."),
    "point": _("Click the tip of the blade."),
    "butt": _("Click the butt, the rearmost point of the handle."),
    "heel": _("Click the heel, where the cutting edge begins."),
    "front": _("Click where the handle begins: the front of the scales, or the shoulder."),
    "more": _("Click points all around the outline, closer together where it bends. Set twenty or more, then fit."),
}


class _Fit:
    """A fit running in another thread."""

    def __init__(self) -> None:
        self.found: Future[list[Traced]] | None = None
        self.tried, self.wanted = 0, True

    def go_on(self, tried: int) -> bool:
        """Record how many families have been tried; return whether to go on. Called from the thread."""
        self.tried = tried
        return self.wanted


class TraceDialog(QDialog):
    """The dialog: the picture on the left; the next step, the choices and the result on the right."""

    def __init__(self, parent: QWidget, workspace: Workspace, picture: Picture, name: str) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Trace a picture"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._space, self._name = workspace, name
        look = workspace.look
        self._how, self._distance, self._family = HABITS[workspace.unit].paper, 0.0, _BEST
        self.places: list[Point] = []
        self.traced: Traced | None = None
        self._found: list[Traced] = []  # one per family tried, the best first
        self._work: _Fit | None = None
        self._pool = ThreadPoolExecutor(1)
        self._watch = QTimer(self, interval=100)
        self._watch.timeout.connect(self._look)
        self.view = PictureView(look)
        self.form = Form(look, (
            ChoiceItem("how", _("Scale from"), options=_SHEETS),
            LengthItem("distance", _("Distance between them"), low=0.0, high=2000.0),
            ChoiceItem("family", _("Family to fit"), options=_families()),
        ), workspace.unit)  # fmt: skip
        self._next, self._result = label(look, "", bold=True), label(look, "")
        for words in (self._next, self._result):
            words.setWordWrap(True)
        self.wrong = Lettered(look, "", 9, bold=True, tone="stop")
        self.back_button = tool(look, "trace-back", _("Undo last point"), "undo")
        self.fit_button = button(look, "trace-fit", _("Fit"))
        self.take_button = button(look, "trace-take", _("Add to shelf"), main=True)
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
        side.addWidget(self.wrong)
        side.addStretch(1)
        side.addWidget(label(look, _("Wheel zooms, middle button moves,\nright button removes a point."), "small", soft=True))
        for widget in (self.fit_button, self.take_button):
            widget.setAutoDefault(False)
        side.addLayout(row(self.fit_button, self.take_button, margins=(0, 0, 0, 0)))
        holder = QWidget()
        holder.setLayout(side)
        holder.setFixedWidth(look.px(360))
        columns = QHBoxLayout(self)
        columns.addWidget(self.view, 1)
        columns.addWidget(holder)

    def _connect(self) -> None:
        self.view.clicked.connect(self._put)
        self.view.moved.connect(self._move)
        self.view.removed.connect(self._remove)
        self.form.entered.connect(self._entered)
        self.form.trouble.connect(lambda problem: self.wrong.say(problem, "stop"))
        self.back_button.clicked.connect(lambda: self._remove(len(self.places) - 1))
        self.fit_button.clicked.connect(self.fit)
        self.take_button.clicked.connect(self.take)

    @property
    def _corners(self) -> int:
        """The number of places that define the plane."""
        return 2 if self._how == "distance" else 4

    def _put(self, x: float, y: float) -> None:
        marks = self.places if len(self.places) < self._corners else []
        if any(hypot(x - a, y - b) < _APART for a, b in marks):
            self.wrong.say(_("This corner is set already. Click each corner once."), "stop")
            return
        self.places.append((x, y))
        self._changed()

    def _move(self, index: int, x: float, y: float) -> None:
        self.places[index] = (x, y)
        self._changed()

    def _remove(self, index: int) -> None:
        if 0 <= index < len(self.places):
            del self.places[index]
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
        self._drop()
        self.traced, self._found = None, []
        self.wrong.say("")
        self._show()

    def _drop(self) -> None:
        """Abandon the fit in progress."""
        if self._work is not None:
            self._work.wanted = False
        self._work = None
        self._watch.stop()

    def _step(self) -> str:
        """The key in `_SAID` of the next step."""
        count = len(self.places)
        if count < self._corners:
            return "distance" if self._how == "distance" else "sheet"
        index = count - self._corners
        return _NAMED[index] if index < len(_NAMED) else "more"

    def _show(self) -> None:
        self.form.show_values({"how": self._how, "distance": self._distance, "family": self._family}, self._space.unit)
        self.form.field("distance").setEnabled(self._how == "distance")
        self._next.setText(_SAID[self._step()])
        names = [str(n + 1) for n in range(self._corners)] + list(_NAMED)
        words = [names[n] if n < len(names) else "" for n in range(len(self.places))]
        self.view.show_places(list(zip(self.places, words, strict=True)), self._outline())
        self.fit_button.setEnabled(self._step() == "more" and self._work is None)
        self.take_button.setEnabled(self.traced is not None and not self.traced.doubtful)
        self._result.setText(self._in_words())

    def _outline(self) -> list[Point]:
        if self.traced is None:
            return []
        return [(float(x), float(y)) for x, y in self._plane().pixels(outline_on(self.traced))]

    def _in_words(self) -> str:
        if self._work is not None:
            return _("Fitting: {tried} of {count} families tried.", tried=self._work.tried, count=len(self._families()))
        if self.traced is None:
            return ngettext("{count} point.", "{count} points.", len(self.places))
        words = [_sizes(self.traced, self._space.unit), _nearness(self.traced, self._space.unit)]
        if len(self._found) > 1:
            near = listing([family(fit.template.family).name for fit in self._found[1:3]])
            words.insert(0, _("{name} fits best, then {near}.", name=family(self.traced.template.family).name, near=near))
        if self.traced.doubtful:
            words.append(_("This does not look like the knife. Check the points and the sheet size."))
        return "\n".join(words)

    def _families(self) -> tuple[str, ...]:
        return (self._family,) if self._family else family_ids()

    def _plane(self) -> Plane:
        marks = self.places[: self._corners]
        if self._how == "distance":
            return plane_of_distance(marks[0], marks[1], self._distance)
        paper = PAPERS[self._how]
        return plane_of_sheet(marks, paper.width, paper.height)

    def fit(self) -> None:
        """Start fitting the chosen family, or all, to the places; the window stays responsive."""
        self.wrong.say("")
        try:
            mm = self._plane().mm(self.places[self._corners :])
        except TraceError as trouble:
            self.wrong.say(str(trouble), "stop")
            return
        point, butt, heel, front = ((float(x), float(y)) for x, y in mm[:4])
        knife = Clicked(point, butt, heel, np.asarray(mm[4:]), front)
        self._work = _Fit()
        families = [family(name) for name in self._families()]
        self._work.found = self._pool.submit(best_of, families, knife, self._work.go_on)
        self._watch.start()
        self._show()

    def _look(self) -> None:
        """Show the progress of the fit, then its result or the reason it failed."""
        work = self._work
        if work is None or work.found is None or not work.found.done():
            self._result.setText(self._in_words())
            return
        self._work = None
        self._watch.stop()
        problem = ""
        try:
            self._found = work.found.result()
            self.traced = self._found[0]
        except TraceError as trouble:
            problem = str(trouble)
        self._show()
        self.wrong.say(problem, "stop")

    def done(self, result: int) -> None:
        """Close the dialog and abandon a fit in progress."""
        self._drop()
        self._pool.shutdown(wait=False, cancel_futures=True)
        super().done(result)

    def closeEvent(self, event: QCloseEvent) -> None:
        """Abandon a fit in progress when the window is closed."""
        self._drop()
        self._pool.shutdown(wait=False, cancel_futures=True)
        super().closeEvent(event)

    def take(self) -> None:
        """Add the traced template to the shelf and close the dialog."""
        if self.traced is not None:
            self._space.add_template(self.traced.template, self._name)
            self.close()


def _families() -> tuple[tuple[str, str], ...]:
    return ((_BEST, _("best fit")), *((name, family(name).name) for name in family_ids()))


def _sizes(traced: Traced, unit: Unit) -> str:
    blade, handle = (show(mm, unit) for mm in (traced.template.blade.length, traced.template.handle.length))
    return _("Blade {blade} {unit}, handle {handle} {unit}.", blade=blade, unit=unit, handle=handle)


def _nearness(traced: Traced, unit: Unit) -> str:
    """The fit's error as text: root mean square, largest error, and the number of doubtful places."""
    near = f"{show(traced.root_mean_square, unit, fine=True)} {unit}"
    far = f"{show(float(traced.errors.max()), unit, fine=True)} {unit}"
    if not traced.slips:
        return _("Fit error: {near} on the whole, {far} at most.", near=near, far=far)
    good = len(traced.errors) - traced.slips
    return _(
        "Fit error of {kept} points: {near} on the whole. {slips} points are further off, up to {far}: check them.",
        kept=good,
        near=near,
        slips=traced.slips,
        far=far,
    )


def picture_name(file: Path) -> str:
    """The initial name of a template traced from a picture."""
    return shown(file.stem)[:60] or _("Traced")
