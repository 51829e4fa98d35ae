"""The work at hand: its session, the model built from its document, the chosen template. Every change goes through here."""

from __future__ import annotations

import time
from collections.abc import Callable

from PySide6.QtCore import QObject, Signal

from workbook.app.changed import Changed
from workbook.app.look import Look
from workbook.document.action import said
from workbook.document.action_words import in_words
from workbook.document.actions.ledger import Stamp
from workbook.document.document import Document, Edit, NotTaken, joined
from workbook.document.queries import job_of, numbered, touches_job
from workbook.document.records import TemplateRecord
from workbook.model.model import Model, with_template
from workbook.shop.job import AnyTemplate
from workbook.storage.session import Session
from workbook.storage.trouble import NotAWorkbook, StorageTrouble
from workbook.structs import replace
from workbook.tasks.load import shaped
from workbook.tasks.work import new_id, now
from workbook.template.model import Template
from workbook.template.shape import Shape
from workbook.texts import _
from workbook.units import Unit

FINAL = ("payment.entered", "payment.taken_back", "invoice.issued", "invoice.cancelled")  # answered by another record
_ONE_STEP = 1.5  # s within which another change of the same number counts as the same step


def _nothing(edit: Edit) -> bool:
    """Whether an edit changes nothing."""
    return all(change.before == change.after for change in edit.changes)


class Work(QObject):
    """Every change goes through the session as an edit; pages refresh on the signal, not from each other."""

    changed = Signal(object)  # a Changed
    trouble = Signal(str, object)  # the title, and a StorageTrouble
    refused = Signal()  # a change was not made: fields show the old value again
    said = Signal(str)  # a sentence for the status line
    look_up_wanted = Signal(str)  # the title of a card of the handbook
    blades_wanted = Signal(str)  # words by which blades are found

    def __init__(self, session: Session, look: Look, before: Model | None = None) -> None:
        super().__init__()
        self.session, self.look = session, look
        self.model: Model = shaped(job_of(session.document), before)
        self.unit: Unit = self.model.job.unit
        self.chosen = self.model.job.keys[0]
        self.revision = 0  # counts changes, so that a layout knows whether it is up to date
        self._last = ("", 0.0)  # the number changed last, and when
        self._held, self._done = False, -1  # whether a number is held, and the steps done when the hold began
        self._stamp = Stamp("", "")  # of the count being entered

    @property
    def record(self) -> TemplateRecord:
        """The record of the chosen template."""
        return self.session.document.get(self.chosen, TemplateRecord)

    @property
    def name(self) -> str:
        """The name of the chosen template."""
        return self.record.template.name

    @property
    def chosen_template(self) -> AnyTemplate:
        """The chosen template as shown."""
        return self.model.job.template(self.chosen)

    @property
    def blank(self) -> Shape:
        """The shape of the chosen template."""
        return self.model.shapes[self.chosen]

    @property
    def bar(self) -> float:
        """The thickness in mm of the bar for blades of the chosen template."""
        return self.model.in_hand(self.chosen).thickness

    def choose(self, key: str) -> None:
        """Put a template on the board."""
        if key != self.chosen:
            ended = self._end_preview()
            self.chosen = key
            self._tell(Changed(template=ended, chosen=True))

    def _tell(self, change: Changed) -> None:
        """Emit what changed."""
        self.revision += change.shapes
        self.changed.emit(change)

    def do(self, edit: Edit, *, same_step: bool = False) -> bool:
        """Make an edit. Return False, with nothing changed, when it could not be kept."""
        return self.made(edit, lambda: self.session.edit(edit, now(), same_step=same_step))

    def keeping(self, edit: Edit) -> Callable[[], None]:
        """Build the function that keeps a large edit of the present work beside the window; pass the result to `made`."""
        session = self.session
        return lambda: session.edit(edit, now())

    def made(self, edit: Edit, keep: Callable[[], Model | None]) -> bool:
        """Make an edit that `keep` keeps, or follow one kept beside the window, whose error `keep` raises.

        `keep` returns the model of the new work, if it was built too. Returns False when the edit could not be kept.
        """
        self._last = ("", 0.0)
        try:
            model = keep()
        except (StorageTrouble, NotTaken) as trouble:
            self.trouble.emit(_("The change could not be saved"), trouble)
            self.refused.emit()
            return False
        self._follow(edit, model)
        return True

    def undo(self) -> None:
        """Undo the last step, unless it has left the house."""
        if not self._final():
            self._step(self.session.undo, _("Undone"))

    def redo(self) -> None:
        """Redo the next step."""
        self._step(self.session.redo, _("Redone"))

    def go_to(self, position: int) -> None:
        """Undo or redo until `position` steps of the history are done."""
        while self.session.done > position and not self._final() and self._step(self.session.undo, _("Undone")):
            pass
        while self.session.done < min(position, len(self.session.steps)) and self._step(self.session.redo, _("Redone")):
            pass

    def _final(self) -> bool:
        """Whether the last step cannot be undone, which is said: it has left the house."""
        step = self.session.steps[self.session.done - 1] if self.session.done else None
        if step is None or step.action.id not in FINAL:
            return False
        words = in_words(step.action, self.unit)
        self.said.emit(_("{step}: this cannot be undone. Take it back in the account of the order.", step=words))
        return True

    def _step(self, move: Callable[[], Edit | None], word: str) -> bool:
        """Undo or redo one step; return whether a step was taken."""
        self._last = ("", 0.0)
        try:
            edit = move()
        except (StorageTrouble, NotTaken) as trouble:
            damaged = isinstance(trouble, NotAWorkbook | NotTaken)
            self.trouble.emit(_("The history ends here") if damaged else _("The change could not be saved"), trouble)
            return False
        if edit is None:
            if move == self.session.undo and self.session.gone:
                self.said.emit(
                    _(
                        "This is the oldest step. {gone} earlier ones were deleted to keep the shop book small.",
                        gone=self.session.gone,
                    )
                )
            return False
        self._follow(edit)
        if word:
            self.said.emit(_("{done}: {action}.", done=word, action=in_words(edit.action, self.unit)))
        return True

    def _follow(self, edit: Edit, model: Model | None = None) -> None:
        """Update the model after an edit and emit the change. `model`: the new model, if already built."""
        pair = (edit.changes[0].before, edit.changes[0].after) if len(edit.changes) == 1 else (None, None)
        if isinstance(pair[0], TemplateRecord) and isinstance(pair[1], TemplateRecord):
            same_bar = (pair[0].ground_from, pair[0].bar) == (pair[1].ground_from, pair[1].bar)
            if pair[0].template.name == pair[1].template.name and same_bar:
                self.model = with_template(self.model, pair[1].id, numbered(self.session.document, pair[1]))
                self._tell(Changed(template=True, history=True))
                return
        change = self._everything(model) if touches_job(edit) else Changed()
        self._tell(change._replace(history=True))

    def _everything(self, model: Model | None) -> Changed:
        """Rebuild the model if the job has changed; keep the chosen template if it still exists."""
        job, unit = model.job if model else job_of(self.session.document), self.model.job.unit
        if job == replace(self.model.job, defaults=()):
            return Changed()
        self.model = model or shaped(job, self.model)
        keys = self.model.job.keys
        moved, other_unit = self.chosen not in keys, job.unit != unit
        self.chosen = keys[0] if moved else self.chosen
        self.unit = job.unit if other_unit else self.unit
        return Changed(job=True, chosen=moved, unit=other_unit)

    def preview(self, template: Template) -> None:
        """Show the chosen template as it would be; the document changes only with an edit."""
        self.model = with_template(self.model, self.chosen, self.as_chosen(template))
        self._tell(Changed(template=True))

    def _end_preview(self) -> bool:
        """Drop a preview of the chosen template. Return False if there was none."""
        template = numbered(self.session.document, self.record)
        if self.chosen_template == template:
            return False
        self.model = with_template(self.model, self.chosen, template)
        return True

    def as_chosen(self, template: Template) -> Template:
        """A template with the chosen one's name and revision."""
        return replace(template, name=self.name, revision=self.chosen_template.revision)

    def stamp(self) -> Stamp:
        """A stamp for a new entry of the ledger."""
        return Stamp(new_id(), now())

    def hold(self, on: bool) -> None:
        """Start or end holding a number: all changes while it is held are one step."""
        self._held, self._done = on, self.session.done
        if on and time.monotonic() - self._last[1] > _ONE_STEP:
            self._last = ("", 0.0)

    def give_up(self) -> None:
        """Forget the step made by unfinished typing."""
        if self._last[0] and self.session.done == self._done + 1:
            self.forget()

    def forget(self) -> None:
        """Remove the last step as if it had not been made."""
        self._step(self.session.forget, "")

    def _goes_on(self, key: str) -> bool:
        """Whether a change of a number continues the last step."""
        return self._last[0] == key and (self._held or time.monotonic() - self._last[1] < _ONE_STEP)

    def merge_count(self, key: str, make: Callable[[Document, Stamp], Edit]) -> None:
        """Make an edit that is booked if it changes a count.

        While it continues the last edit it replaces it, so that a count is booked once and not at every key.
        """
        document, same = self.session.document, self._goes_on(key)
        last = self.session.last_edit if same else None
        back = last.inverse if last is not None else Edit(said(""), ())
        self._stamp = self._stamp if same else self.stamp()
        self._again(key, joined(back, make(document.applied(back), self._stamp)), same=same)

    def merge_edit(self, key: str, edit: Edit) -> None:
        """Make an edit of one number, joined with the last one if that changed the same number a moment ago."""
        self._again(key, edit, same=self._goes_on(key))

    def _again(self, key: str, edit: Edit, *, same: bool) -> None:
        if _nothing(edit):
            return
        if same and (before := self.session.last_edit) is not None and _nothing(joined(before, edit)):
            self.forget()  # back to the old value: no step of the history
            return
        if self.do(edit, same_step=same):
            self._last = (key, time.monotonic())
