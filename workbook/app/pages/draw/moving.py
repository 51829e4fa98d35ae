"""A peg of the board moved by mouse or keys: shown while it goes, kept as one step when it is let go, put back by Escape."""

from math import hypot

from PySide6.QtCore import QObject, Signal

from workbook.app.workspace import Workspace
from workbook.document.action import Action, Value
from workbook.document.actions import templates
from workbook.model.model import with_template
from workbook.problems import Severity
from workbook.template.model import Template
from workbook.template.peg_moves import UP_TO_SPINE, Moved, moved, moved_to, nudged
from workbook.template.pegs import free_names, free_places, pegs
from workbook.template.shape import Shape
from workbook.units import Unit, built, show

_BACK = 1e-6  # mm


class Moving(QObject):
    """What moves on the board of one workspace."""

    shown = Signal(str, str, bool)  # the peg, the words at the pointer, whether it was stopped

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self._space = workspace
        self._before: Shape | None = None  # as it was when the peg was taken
        self._last: Moved | None = None
        self._name, self._done = "", 0  # of the template, and the steps done, when it was taken

    @property
    def under_way(self) -> bool:
        """Whether a peg is held."""
        return self._before is not None

    def _step(self) -> float:
        return self._space.session.document.settings.steps.of(self._space.unit)

    def take(self) -> None:
        """A peg is taken hold of."""
        self._before, self._last = self._space.blank, None
        self._key, self._done = self._space.chosen, self._space.session.done

    def _current(self) -> Shape | None:
        """The shape as it was when the peg was taken; None when something else was done meanwhile: then the drag has ended."""
        if self._before is None or (self._space.chosen == self._key and self._space.session.done == self._done):
            return self._before
        self._before = self._last = None
        return None

    def move(self, name: str, x: float, y: float) -> None:
        """It is moved to a place in mm; it stops where it cannot go on."""
        before = self._current()
        if before is None:
            return
        to, own = (x, y - self._risen(before)), next((peg for peg in pegs(before) if peg.name == name), None)
        if own is not None and before.template is not None and hypot(to[0] - own.at[0], to[1] - own.at[1]) < _BACK:
            found = Moved(before.template, (), "", name)  # back where it was taken: nothing is changed
        else:
            found = moved(before, name, to, self._step())
        refused = self._refused(before, found.template)
        if not refused:
            self._last = found
            self._space.preview(found.template)
        self._tell(found, found.stopped or refused, found.peg if not refused else name)

    def _risen(self, before: Shape) -> float:
        """How far the spine has risen over the axis since: the board has moved with it, so that it stays where it is seen."""
        now = self._space.chosen_template
        if before.template is None or not isinstance(now, Template):
            return 0.0
        return (now.handle.front - before.template.handle.front) / 2

    def _tell(self, moved: Moved, reason: str, peg: str) -> None:
        words = in_words(moved, self._space.unit)
        self.shown.emit(peg, reason or words, bool(reason) and reason != UP_TO_SPINE)

    def _refused(self, before: Shape, template: Template) -> str:
        """Why a template cannot be: a stop that was not there before."""
        model = with_template(self._space.model, self._space.chosen, self._space.as_chosen(template))
        had = {p.what for p in model.judged(self._space.chosen, before) if p.severity is Severity.STOP}
        now = model.checked(self._space.chosen)
        return next((p.what for p in now if p.severity is Severity.STOP and p.what not in had), "")

    def let_go(self, name: str) -> None:
        """It is let go: one step of the history."""
        before, last = self._current(), self._last
        self._before = self._last = None
        if before is None or before.template is None:
            return
        if last is None or last.template == before.template:
            self._space.preview(before.template)
            return
        self._keep(name, last, again=False)

    def put_back(self) -> None:
        """As it was when it was taken."""
        before = self._current()
        self._before = self._last = None
        if before is not None and before.template is not None:
            self._space.preview(before.template)

    def nudge(self, name: str, dx: int, dy: int) -> None:
        """Moved by so many increments, along what was pressed alone; nudges that follow at once are one step."""
        blank, step = self._space.blank, self._step()
        if all(own.name != name for own in pegs(blank)):
            return
        found = nudged(blank, name, dx, dy, step)
        refused = self._refused(blank, found.template)
        if found.template != blank.template and not refused:
            self._keep(name, found, again=True)
        self._tell(found, found.stopped or refused, name if refused else found.peg)

    def put(self, name: str, x: float, y: float) -> None:
        """Put at a place that was typed, to the thousandth; it stops where it cannot go on. One step."""
        blank = self._space.blank
        if all(own.name != name for own in pegs(blank)):
            return
        found = moved_to(blank, name, (x, y), self._space.model.tools)
        refused = self._refused(blank, found.template)
        if found.template != blank.template and not refused:
            self._keep(name, found, again=False)
        self._tell(found, found.stopped or refused, name)

    def _keep(self, name: str, moved: Moved, *, again: bool) -> None:
        document = self._space.session.document
        record = self._space.record
        edit = templates.reshape(document, record.id, moved.template, _action(name, moved))
        if again:
            self._space.merge_edit(f"{record.id} peg {name}", edit)
        elif not self._space.do(edit) and record.family is not None:
            self._space.preview(record.family)


def _action(name: str, moved: Moved) -> Action:
    """What was done with a peg: a hole or a free point moved, or parameters set."""
    if all(said.path for said in moved.said):
        put: list[Value] = [[said.path, said.value, "length" if said.is_length else "share"] for said in moved.said]
        return Action("peg.moved", {"peg": name, "set": put})
    first, second = (said.value for said in moved.said)
    if name in free_names(moved.template):
        run, number = free_places(moved.template)[free_names(moved.template).index(name)]
        return Action("free_point.pulled", {"run": run.value, "number": number, "along": first, "up": second})
    return Action("hole.moved", {"hole": moved.peg, "behind": first, "above": second})


def in_words(moved: Moved, unit: Unit) -> str:
    """What is set, and to what, at the pointer: "Blade length 5 1/2, Point drop 9/16"."""
    shown = ((said.label, built(show(said.value, unit)) if said.is_length else f"{said.value:.0%}") for said in moved.said)
    return ", ".join(f"{label} {value}" for label, value in shown)
