"""A peg of the board moved by mouse or keys: shown while it goes, kept as one step when it is let go, put back by Escape."""

from PySide6.QtCore import QObject, Signal

from workbook.app.workspace import Workspace
from workbook.document.actions import templates
from workbook.document.queries import template_named
from workbook.problems import Severity
from workbook.tasks.load import checked, with_template
from workbook.template.model import Template
from workbook.template.pegs import Moved, moved, pegs
from workbook.template.shape import Shape
from workbook.units import Unit, built, show


class Moving(QObject):
    """What moves on the board of one workspace."""

    shown = Signal(str, str, bool)  # the peg, the words at the pointer, whether it was stopped

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self._space = workspace
        self._before: Shape | None = None  # as it was when the peg was taken
        self._last: Moved | None = None

    @property
    def under_way(self) -> bool:
        """Whether a peg is held."""
        return self._before is not None

    def _step(self) -> float:
        return self._space.session.document.settings.steps.of(self._space.unit)

    def take(self) -> None:
        """A peg is taken hold of."""
        self._before, self._last = self._space.blank, None

    def move(self, name: str, x: float, y: float) -> None:
        """It is moved to a place in mm; it stops where it cannot go on."""
        if self._before is None:
            return
        found = moved(self._before, name, (x, y), self._step())
        refused = self._refused(found.template)
        reason = found.stopped or refused
        if not refused:
            self._last = found
            self._space.preview(found.template)
        words = in_words(found, self._space.unit)
        self.shown.emit(name, reason if reason and not words else f"{words}. {reason}" if reason else words, bool(reason))

    def _refused(self, template: Template) -> str:
        """Why a template cannot be: a stop that was not there before."""
        assert self._before is not None
        loaded = with_template(self._space.loaded, self._space.as_chosen(template))
        had = {p.what for p in checked(self._before, loaded.tools) if p.severity is Severity.STOP}
        now = loaded.checked(self._space.chosen)
        return next((p.what for p in now if p.severity is Severity.STOP and p.what not in had), "")

    def let_go(self, name: str) -> None:
        """It is let go: one step of the history."""
        before, last = self._before, self._last
        self._before = self._last = None
        if before is None or before.template is None:
            return
        if last is None or last.template == before.template:
            self._space.preview(before.template)
            return
        self._keep(name, last, again=False)

    def put_back(self) -> None:
        """As it was when it was taken."""
        before, self._before, self._last = self._before, None, None
        if before is not None and before.template is not None:
            self._space.preview(before.template)

    def nudge(self, name: str, dx: int, dy: int) -> None:
        """Moved by so many increments; nudges that follow at once are one step."""
        blank = self._space.blank
        peg = next((own for own in pegs(blank) if own.name == name), None)
        if peg is None:
            return
        self._before = blank
        step = self._step()
        found = moved(blank, name, (peg.at[0] + dx * step, peg.at[1] + dy * step), step)
        reason = found.stopped or self._refused(found.template)
        self._before = None
        words = in_words(found, self._space.unit)
        if found.template != blank.template and not (reason and not found.said):
            self._keep(name, found, again=True)
        self.shown.emit(name, f"{words}. {reason}" if reason else words, bool(reason))

    def _keep(self, name: str, found: Moved, *, again: bool) -> None:
        document = self._space.session.document
        record = template_named(document, self._space.chosen)
        edit = templates.reshape(document, record.id, found.template, in_words(found, self._space.unit, plain=True))
        if again:
            self._space.do_again(f"{record.id} peg {name}", edit)
        elif not self._space.do(edit) and record.family is not None:
            self._space.preview(record.family)


def in_words(found: Moved, unit: Unit, *, plain: bool = False) -> str:
    """What was set, and to what: "Blade length 5 1/2, Point drop 9/16"."""
    shown = [(said.label, show(said.value, unit) if said.is_length else f"{said.value:.0%}") for said in found.said]
    return ", ".join(f"{label} {value if plain else built(value)}" for label, value in shown) + (f" {unit}" if plain else "")
