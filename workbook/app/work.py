"""The work at hand: its session, what follows from its document, the template chosen; every change goes through here."""

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
from workbook.document.queries import job_of, numbered
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

_ONE_STEP = 1.5  # s within which the same number changed again is the same step


def _nothing(edit: Edit) -> bool:
    """Whether an edit leaves everything as it is."""
    return all(change.before == change.after for change in edit.changes)


class Work(QObject):
    """Every change goes through the session as an edit; pages refresh when they are told of it, not from each other."""

    changed = Signal(object)  # a Changed
    trouble = Signal(str, object)  # what could not be done, and a StorageTrouble
    refused = Signal()  # a change was not made: what was typed goes back
    said = Signal(str)  # a sentence for the status line

    def __init__(self, session: Session, look: Look, before: Model | None = None) -> None:
        super().__init__()
        self.session, self.look = session, look
        self.model: Model = shaped(job_of(session.document), before)
        self.unit: Unit = self.model.job.unit
        self.chosen = self.model.job.keys[0]
        self.revision = 0  # counts changes, so that a layout knows whether it is of today
        self._last = ("", 0.0)  # the number changed last, and when
        self._held, self._done = False, -1  # whether a number is held, and the steps done when it was taken
        self._stamp = Stamp("", "")  # of what is being counted

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
        """The chosen template as it is shown."""
        return self.model.job.template(self.chosen)

    @property
    def blank(self) -> Shape:
        """The shape of the chosen template."""
        return self.model.shapes[self.chosen]

    @property
    def bar(self) -> float:
        """Thickness of the bar that blades of the chosen template are made of."""
        return self.model.in_hand(self.chosen).thickness

    def choose(self, key: str) -> None:
        """Puts a template on the board."""
        if key != self.chosen:
            ended = self._end_preview()
            self.chosen = key
            self._tell(Changed(template=ended, chosen=True))

    def _tell(self, change: Changed) -> None:
        """Tells those who show what changed."""
        self.revision += change.shapes
        self.changed.emit(change)

    def do(self, edit: Edit, *, same_step: bool = False) -> bool:
        """Makes an edit; False, and nothing changed, when it could not be kept."""
        return self.made(edit, lambda: self.session.edit(edit, now(), same_step=same_step))

    def keeping(self, edit: Edit) -> Callable[[], None]:
        """What keeps a large edit of the work as it is now, to be done beside the window; `made` is told what it came to."""
        session = self.session
        return lambda: session.edit(edit, now())

    def made(self, edit: Edit, keep: Callable[[], Model | None]) -> bool:
        """The same of an edit that `keep` keeps, or that was kept beside the window: then it raises what that came to. It returns
        the job of the work then, if that was found too.
        """
        self._last = ("", 0.0)
        try:
            found = keep()
        except (StorageTrouble, NotTaken) as trouble:
            self.trouble.emit(_("The change could not be kept"), trouble)
            self.refused.emit()
            return False
        self._follow(edit, found)
        return True

    def undo(self) -> None:
        """Takes the last step back."""
        self._step(self.session.undo, _("Undone"))

    def redo(self) -> None:
        """Does the next step again."""
        self._step(self.session.redo, _("Done again"))

    def go_to(self, done: int) -> None:
        """Undoes or does again until so many steps of the history are done."""
        while self.session.done > done and self._step(self.session.undo, _("Undone")):
            pass
        while self.session.done < min(done, len(self.session.steps)) and self._step(self.session.redo, _("Done again")):
            pass

    def _step(self, move: Callable[[], Edit | None], word: str) -> bool:
        """Whether a step was taken."""
        self._last = ("", 0.0)
        try:
            edit = move()
        except (StorageTrouble, NotTaken) as trouble:
            damaged = isinstance(trouble, NotAWorkbook | NotTaken)
            self.trouble.emit(_("The history ends here") if damaged else _("The change could not be kept"), trouble)
            return False
        if edit is None:
            if move == self.session.undo and self.session.gone:
                self.said.emit(
                    _(
                        "This is the oldest step kept: {gone} earlier ones were let go to keep the workbook small.",
                        gone=self.session.gone,
                    )
                )
            return False
        self._follow(edit)
        if word:
            self.said.emit(f"{word}: {in_words(edit.action, self.unit)}.")
        return True

    def _follow(self, edit: Edit, model: Model | None = None) -> None:
        """Brings what follows from the document up to date, and tells those who show it. `model`: its model, if that is known."""
        one = (edit.changes[0].before, edit.changes[0].after) if len(edit.changes) == 1 else (None, None)
        if isinstance(one[0], TemplateRecord) and isinstance(one[1], TemplateRecord):
            same_bar = (one[0].ground_from, one[0].bar) == (one[1].ground_from, one[1].bar)
            if one[0].template.name == one[1].template.name and same_bar:
                self.model = with_template(self.model, one[1].id, numbered(self.session.document, one[1]))
                self._tell(Changed(template=True, history=True))
                return
        change = self._everything(model) if edit.changes else Changed()
        self._tell(change._replace(history=True))

    def _everything(self, model: Model | None) -> Changed:
        """The whole job anew, if it is another; the choice stays where it can."""
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
        """Shows the chosen template as it would be; the document stays as it is until an edit makes it so."""
        self.model = with_template(self.model, self.chosen, self.as_chosen(template))
        self._tell(Changed(template=True))

    def _end_preview(self) -> bool:
        """What was only shown of the chosen template, and is not kept, goes; False where nothing was."""
        kept = numbered(self.session.document, self.record)
        if self.chosen_template == kept:
            return False
        self.model = with_template(self.model, self.chosen, kept)
        return True

    def as_chosen(self, template: Template) -> Template:
        """A template under the chosen one's name and revision."""
        return replace(template, name=self.name, revision=self.chosen_template.revision)

    def stamp(self) -> Stamp:
        """For a new entry of the ledger."""
        return Stamp(new_id(), now())

    def hold(self, on: bool) -> None:
        """While a number is held, however long, all that is done with it is one step."""
        self._held, self._done = on, self.session.done
        if on and time.monotonic() - self._last[1] > _ONE_STEP:
            self._last = ("", 0.0)

    def give_up(self) -> None:
        """What was being typed does not count: what is left of the step it made, where it was kept in other letters, goes."""
        if self._last[0] and self.session.done == self._done + 1:
            self.forget()

    def forget(self) -> None:
        """The last step goes, as if it had not been made."""
        self._step(self.session.forget, "")

    def _goes_on(self, what: str) -> bool:
        """Whether what is done to a number goes on with the last step."""
        return self._last[0] == what and (self._held or time.monotonic() - self._last[1] < _ONE_STEP)

    def merge_count(self, what: str, make: Callable[[Document, Stamp], Edit]) -> None:
        """Makes an edit that is booked where it changes a count; while it goes on with the last one it takes its place, so that
        a count is booked once and not at every key.
        """
        document, same = self.session.document, self._goes_on(what)
        last = self.session.last_edit if same else None
        back = last.inverse if last is not None else Edit(said(""), ())
        self._stamp = self._stamp if same else self.stamp()
        self._again(what, joined(back, make(document.applied(back), self._stamp)), same=same)

    def merge_edit(self, what: str, edit: Edit) -> None:
        """Makes an edit of one number; together with the last one, if that was of the same number and a moment ago."""
        self._again(what, edit, same=self._goes_on(what))

    def _again(self, what: str, edit: Edit, *, same: bool) -> None:
        if _nothing(edit):
            return
        if same and (before := self.session.last_edit) is not None and _nothing(joined(before, edit)):
            self.forget()  # as it was before: no step of the history
            return
        if self.do(edit, same_step=same):
            self._last = (what, time.monotonic())
