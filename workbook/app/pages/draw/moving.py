"""Move a peg of the board by mouse or keys: a preview while it moves, one step when it is released, undone by Escape."""

from math import hypot

from PySide6.QtCore import QObject, Signal

from workbook.app.workspace import Workspace
from workbook.document.action import Action, Value
from workbook.document.actions import templates
from workbook.model.model import with_template
from workbook.problems import Severity
from workbook.structs import replace
from workbook.template.hole_places import end_of, heads, reading
from workbook.template.model import Template
from workbook.template.peg_moves import UP_TO_SPINE, Moved, Said, moved, moved_to, nudged
from workbook.template.pegs import Pull, free_names, free_places, pegs, pulls_of
from workbook.template.shape import Shape
from workbook.texts import _, labelled
from workbook.units import Unit, built, show

_PULLS = {Pull.THICKEN: _("Thicken"), Pull.RAISE: _("Raise"), Pull.MOVE: _("Move")}
_BACK = 1e-6  # mm


class Moving(QObject):
    """Moves pegs on the board of one workspace."""

    shown = Signal(str, str, bool)  # the peg, the words at the pointer, whether it was stopped

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self._space = workspace
        self._before: Shape | None = None  # the shape when the peg was taken
        self._last: Moved | None = None
        self._name, self._done = "", 0  # of the template, and the steps done, when the peg was taken

    @property
    def under_way(self) -> bool:
        """Whether a peg is held."""
        return self._before is not None

    def _step(self) -> float:
        return self._space.session.document.settings.steps.of(self._space.unit)

    def take(self) -> None:
        """Take hold of a peg."""
        self._before, self._last = self._space.blank, None
        self._key, self._done = self._space.chosen, self._space.session.done

    def _current(self) -> Shape | None:
        """The shape when the peg was taken. None ends the drag, after another change meanwhile."""
        if self._before is None or (self._space.chosen == self._key and self._space.session.done == self._done):
            return self._before
        self._before = self._last = None
        return None

    def move(self, name: str, x: float, y: float, pull: Pull = Pull.THICKEN) -> None:
        """Move the peg to a place in mm; it stops at its limit. `pull`: what a peg of the handle does besides."""
        before = self._current()
        if before is None:
            return
        to, held_peg = (x, y - self._risen(before)), next((peg for peg in pegs(before) if peg.name == name), None)
        if held_peg is not None and before.template is not None and hypot(to[0] - held_peg.at[0], to[1] - held_peg.at[1]) < _BACK:
            result = Moved(before.template, (), "", name)  # back where it was taken: nothing changes
        else:
            result = moved(before, name, to, self._step(), pull=pull)
        refused = self._refused(before, result.template)
        if not refused:
            self._last = result
            self._space.preview(result.template)
        self._tell(result, result.stopped or refused, result.peg if not refused else name, pull)

    def _risen(self, before: Shape) -> float:
        """How far in mm the spine has risen over the axis since: the board moves with it, so that it stays in place on screen."""
        now = self._space.chosen_template
        if before.template is None or not isinstance(now, Template):
            return 0.0
        return (now.handle.front - before.template.handle.front) / 2

    def _tell(self, moved: Moved, reason: str, peg: str, pull: Pull = Pull.THICKEN) -> None:
        words = in_words(self._as_measured(moved), self._space.unit)
        if words and pull in pulls_of(peg):
            words = labelled(_PULLS[pull], words)
        self.shown.emit(peg, reason or words, bool(reason) and reason != UP_TO_SPINE)

    def _refused(self, before: Shape, template: Template) -> str:
        """The reason to refuse a template: a stop that was not there before; "" if there is none."""
        model = with_template(self._space.model, self._space.chosen, self._space.as_chosen(template))
        earlier = {p.what for p in model.judged(self._space.chosen, before) if p.severity is Severity.STOP}
        now = model.checked(self._space.chosen)
        return next((p.what for p in now if p.severity is Severity.STOP and p.what not in earlier), "")

    def let_go(self, name: str) -> None:
        """Release the peg: one step of the history."""
        before, last = self._current(), self._last
        self._before = self._last = None
        if before is None or before.template is None:
            return
        if last is None or last.template == before.template:
            self._space.preview(before.template)
            return
        self._keep(name, last, again=False)

    def put_back(self) -> None:
        """Restore the shape from before the peg was taken."""
        before = self._current()
        self._before = self._last = None
        if before is not None and before.template is not None:
            self._space.preview(before.template)

    def nudge(self, name: str, dx: int, dy: int) -> None:
        """Move a peg by increments, only in the direction pressed; nudges in quick succession are one step."""
        blank, step = self._space.blank, self._step()
        if all(peg.name != name for peg in pegs(blank)):
            return
        result = nudged(blank, name, dx, dy, step)
        refused = self._refused(blank, result.template)
        if result.template != blank.template and not refused:
            self._keep(name, result, again=True)
        self._tell(result, result.stopped or refused, name if refused else result.peg)

    def put(self, name: str, x: float, y: float) -> None:
        """Move a peg to a typed place in mm, exact to 0.001; it stops at its limit. One step."""
        blank = self._space.blank
        if all(peg.name != name for peg in pegs(blank)):
            return
        result = moved_to(blank, name, (x, y), self._space.model.tools)
        refused = self._refused(blank, result.template)
        if result.template != blank.template and not refused:
            self._keep(name, result, again=False)
        self._tell(result, result.stopped or refused, name)

    def _keep(self, name: str, moved: Moved, *, again: bool) -> None:
        document = self._space.session.document
        record = self._space.record
        edit = templates.reshape(document, record.id, moved.template, self._action(name, moved))
        if again:
            self._space.merge_edit(f"{record.id} peg {name}", edit)
        elif not self._space.do(edit) and record.family is not None:
            self._space.preview(record.family)

    def _action(self, name: str, moved: Moved) -> Action:
        """The action of a moved peg: a hole or a free point moved, or parameters set."""
        if all(setting.path for setting in moved.said):
            values: list[Value] = [
                [setting.path, setting.value, "length" if setting.is_length else "share"] for setting in moved.said
            ]
            return Action("peg.moved", {"peg": name, "set": values})
        first, second = (setting.value for setting in moved.said)
        if name in free_names(moved.template):
            run, number = free_places(moved.template)[free_names(moved.template).index(name)]
            return Action("free_point.pulled", {"run": run.value, "number": number, "along": first, "up": second})
        blank, datum = self._space.blank, self._space.datum
        along, across = reading(blank, (-first, second), datum)
        end, edge = end_of(blank, datum).value, datum.across.value
        return Action("hole.placed", {"hole": moved.peg, "along": along, "end": end, "across": across, "edge": edge})

    def _as_measured(self, moved: Moved) -> Moved:
        """The same move, with a hole's place in the words and numbers it is measured by."""
        if moved.peg in free_names(moved.template) or not moved.said or any(setting.path for setting in moved.said):
            return moved
        first, second = (setting.value for setting in moved.said)
        places = reading(self._space.blank, (-first, second), self._space.datum)
        words = heads(self._space.blank, self._space.datum)
        return replace(moved, said=tuple(Said(label, mm, True) for label, mm in zip(words, places, strict=True)))


def in_words(moved: Moved, unit: Unit) -> str:
    """The values set, as words at the pointer: "Blade length 5 1/2, Point drop 9/16"."""
    settings = (
        (setting.label, built(show(setting.value, unit)) if setting.is_length else f"{setting.value:.0%}")
        for setting in moved.said
    )
    return ", ".join(_("{parameter} {value}", parameter=label, value=value) for label, value in settings)
