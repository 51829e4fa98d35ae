"""What the window works on: the session, what follows from its document, the template chosen, the unit and the look."""

from __future__ import annotations

import time
from collections.abc import Callable
from functools import cached_property
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import QObject, Signal

from workbook.app.changed import Changed
from workbook.app.look import Look
from workbook.document.action import Action, said
from workbook.document.actions import templates, whole
from workbook.document.actions.ledger import Stamp
from workbook.document.document import Document, Edit, NotTaken, joined
from workbook.document.queries import job_of, numbered, revisions_of, template_named
from workbook.document.records import Revision, SettingsRecord, TemplateRecord
from workbook.formats.family import family
from workbook.model.model import Model, with_template
from workbook.shop.job import AnyTemplate, suits, thickness_of
from workbook.storage.session import Session
from workbook.storage.trouble import NotAWorkbook, StorageTrouble
from workbook.structs import replace
from workbook.tasks.load import shaped
from workbook.tasks.work import new_id, now
from workbook.template.drawn import DrawnTemplate
from workbook.template.model import Template
from workbook.template.resizing import in_inches
from workbook.template.shape import Shape
from workbook.units import Unit, reading

if TYPE_CHECKING:
    from workbook.app.layout_desk import LayoutDesk
    from workbook.app.order_desk import OrderDesk

_LONGEST_NAME = 60  # letters
_ONE_STEP = 1.5  # s within which the same number changed again is the same step


def _nothing(edit: Edit) -> bool:
    """Whether an edit leaves everything as it is."""
    return all(change.before == change.after for change in edit.changes)


class Workspace(QObject):
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
        self.chosen = self.model.job.templates[0].name
        self.revision = 0  # counts changes, so that a layout knows whether it is of today
        self._last = ("", 0.0)  # the number changed last, and when
        self._held, self._done = False, -1  # whether a number is held, and the steps done when it was taken
        self._stamp = Stamp("", "")  # of what is being counted

    @cached_property
    def typed(self) -> dict[str, str]:
        """What stands in lines of the pages and is not added yet, by their names."""
        from workbook.app.kept import lines_typed

        return lines_typed(self.session.path or self.session.file)

    @cached_property
    def orders(self) -> OrderDesk:
        """What is done with orders."""
        from workbook.app.order_desk import OrderDesk  # brings pricing and nesting, which no start needs

        return OrderDesk(self)

    @cached_property
    def layouts(self) -> LayoutDesk:
        """What is done with layouts and with what is to be made."""
        from workbook.app.layout_desk import LayoutDesk

        return LayoutDesk(self)

    def template(self, name: str) -> AnyTemplate:
        """A template by name."""
        return self.model.job.template(name)

    @property
    def blank(self) -> Shape:
        """The shape of the chosen template."""
        return self.model.shapes[self.chosen]

    def bar(self, name: str) -> float:
        """Thickness of the bar a template's blades are made of."""
        return self.model.in_hand(name).thickness

    def choose(self, name: str) -> None:
        """Puts a template on the board."""
        if name != self.chosen:
            ended = self._end_preview()
            self.chosen = name
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
            self.trouble.emit("The change could not be kept", trouble)
            self.refused.emit()
            return False
        self._follow(edit, found)
        return True

    def undo(self) -> None:
        """Takes the last step back."""
        self._step(self.session.undo, "Undone")

    def redo(self) -> None:
        """Does the next step again."""
        self._step(self.session.redo, "Done again")

    def go_to(self, done: int) -> None:
        """Undoes or does again until so many steps of the history are done."""
        while self.session.done > done and self._step(self.session.undo, "Undone"):
            pass
        while self.session.done < min(done, len(self.session.steps)) and self._step(self.session.redo, "Done again"):
            pass

    def _step(self, move: Callable[[], Edit | None], word: str) -> bool:
        """Whether a step was taken."""
        self._last = ("", 0.0)
        try:
            edit = move()
        except (StorageTrouble, NotTaken) as trouble:
            damaged = isinstance(trouble, NotAWorkbook | NotTaken)
            self.trouble.emit("The history ends here" if damaged else "The change could not be kept", trouble)
            return False
        if edit is None:
            if word == "Undone" and self.session.gone:
                self.said.emit(
                    f"This is the oldest step kept: {self.session.gone} earlier ones were let go to keep the workbook small."
                )
            return False
        self._follow(edit)
        if word:
            from workbook.document.action_words import in_words

            self.said.emit(f"{word}: {in_words(edit.action, self.unit)}.")
        return True

    def _follow(self, edit: Edit, found: Model | None = None) -> None:
        """Brings what follows from the document up to date, and tells those who show it. `found`: its job, if that is known."""
        one = (edit.changes[0].before, edit.changes[0].after) if len(edit.changes) == 1 else (None, None)
        if isinstance(one[0], TemplateRecord) and isinstance(one[1], TemplateRecord):
            before, after = one[0].template.name, one[1].template
            same_bar = (one[0].ground_from, one[0].bar) == (one[1].ground_from, one[1].bar)
            if before == after.name and same_bar:
                self.model = with_template(self.model, numbered(self.session.document, one[1]))
                self._tell(Changed(template=True, history=True))
                return
            self.chosen = after.name if self.chosen == before else self.chosen
        change = self._everything(found) if edit.changes else Changed()
        self._tell(change._replace(history=True))

    def _everything(self, found: Model | None) -> Changed:
        """The whole job anew, if it is another; the choice stays where it can."""
        job, unit = found.job if found else job_of(self.session.document), self.model.job.unit
        if job == replace(self.model.job, defaults=()):
            return Changed()
        self.model = found or shaped(job, self.model)
        names = [template.name for template in self.model.job.templates]
        moved, other_unit = self.chosen not in names, job.unit != unit
        self.chosen = names[0] if moved else self.chosen
        self.unit = job.unit if other_unit else self.unit
        return Changed(job=True, chosen=moved, unit=other_unit)

    def edit(self, path: str, value: Any) -> None:
        """Changes one parameter of the chosen template; its shape and checks follow."""
        if isinstance(self.template(self.chosen), Template):
            record = template_named(self.session.document, self.chosen)
            self.do_again(f"{record.id} {path}", templates.set_parameter(self.session.document, record.id, path, value))

    def preview(self, template: Template) -> None:
        """Shows the chosen template as it would be; the document stays as it is until an edit makes it so."""
        self.model = with_template(self.model, self.as_chosen(template))
        self._tell(Changed(template=True))

    def _end_preview(self) -> bool:
        """What was only shown of the chosen template, and is not kept, goes; False where nothing was."""
        kept = numbered(self.session.document, template_named(self.session.document, self.chosen))
        if self.model.job.template(self.chosen) == kept:
            return False
        self.model = with_template(self.model, kept)
        return True

    def as_chosen(self, template: Template) -> Template:
        """A template under the chosen one's name and revision."""
        return replace(template, name=self.chosen, revision=self.template(self.chosen).revision)

    def set_thickness(self, thickness: float) -> None:
        """Changes the bar thickness of the chosen template, of whichever kind."""
        record = template_named(self.session.document, self.chosen)
        self.do_again(f"{record.id} thickness", templates.set_thickness(self.session.document, record.id, thickness))

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

    def count_again(self, what: str, make: Callable[[Document, Stamp], Edit]) -> None:
        """Makes an edit that is booked where it changes a count; while it goes on with the last one it takes its place, so that
        a count is booked once and not at every key.
        """
        document, same = self.session.document, self._goes_on(what)
        last = self.session.last_edit if same else None
        back = last.inverse if last is not None else Edit(said(""), ())
        self._stamp = self._stamp if same else self.stamp()
        self._again(what, joined(back, make(document.applied(back), self._stamp)), same=same)

    def do_again(self, what: str, edit: Edit) -> None:
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

    def add_family(self, family_id: str) -> None:
        """Adds a family's template to the shelf under a name of its own, and chooses it."""
        self._add(self.family_of(family_id))

    def family_of(self, family_id: str) -> Template:
        """A family's template; with inches first, in sizes an inch rule has and of bars that are sold so."""
        made = family(family_id)
        return in_inches(made) if self.unit == "in" else made

    def add_outline(self, outline: DrawnTemplate, name: str) -> None:
        """Adds an outline from a file to the shelf, for bars as thick as the chosen template's, and chooses it."""
        thickness = thickness_of(self.template(self.chosen))
        self._add(replace(outline, name=name, thickness=thickness))

    def add_template(self, template: Template, name: str) -> None:
        """Adds a template of one's own making to the shelf, and chooses it."""
        self._add(replace(template, name=name))

    def _add(self, template: AnyTemplate) -> None:
        job, id_ = self.model.job, new_id()
        if not self.do(templates.add_template(self.session.document, template, id_)):
            return
        name = self.session.document.get(id_, TemplateRecord).template.name
        self.choose(name)
        wanted = f"{reading(thickness_of(template), self.unit)} {self.unit}"
        fits = any(suits(job, template, bar.steel, bar) for bar in job.bars)
        missing = f"No bar here is about {wanted} thick: change its thickness, or add a bar on the page Stock."
        self.said.emit(f"{name} is on the shelf. {'Drag it to Lay out to have one made.' if fits else missing}")

    def tags(self, name: str) -> tuple[str, ...]:
        """The words a template is found by."""
        return template_named(self.session.document, name).tags

    def set_tags(self, words: str) -> None:
        """Other words for the chosen template, parted by commas."""
        record = template_named(self.session.document, self.chosen)
        self.do(templates.set_tags(self.session.document, record.id, words.split(",")))

    def duplicate(self) -> None:
        """A copy of the chosen template, which is then chosen."""
        id_, record = new_id(), template_named(self.session.document, self.chosen)
        if self.do(templates.duplicate(self.session.document, record.id, id_)):
            self.choose(self.session.document.get(id_, TemplateRecord).template.name)

    def rename(self, name: str) -> None:
        """Another name for the chosen template."""
        record, asked = template_named(self.session.document, self.chosen), name.strip()[:_LONGEST_NAME].strip()
        if not asked:
            self.said.emit(f"A name is wanted: {self.chosen} keeps its own.")
        elif self.do(templates.rename(self.session.document, record.id, asked)) and self.chosen != asked:
            self.said.emit(f"There is another {asked}: this one is {self.chosen} now.")

    def remove(self) -> None:
        """Takes the chosen template off the shelf; the last one stays."""
        if len(self.model.job.templates) < 2:
            self.said.emit("The last template stays: a workbook has at least one.")
            return
        self.do(templates.remove(self.session.document, template_named(self.session.document, self.chosen).id))

    def reshape(self, made: Template, action: Action) -> bool:
        """Several parameters or holes of the chosen template changed at once; `action`: what was done, but for its name."""
        record = template_named(self.session.document, self.chosen)
        return self.do(templates.reshape(self.session.document, record.id, made, action))

    def take_back(self, revision: Revision) -> None:
        """The template as it was in a revision."""
        self.do(templates.take_back(self.session.document, revision.id))

    def revisions(self) -> list[Revision]:
        """The revisions kept of the chosen template, oldest first."""
        return revisions_of(self.session.document, template_named(self.session.document, self.chosen).id)

    def keep_revision(self, name: str, why: str, note: str = "") -> bool:
        """Keeps a template as it is now, since it is printed or cut; False where that could not be kept: then nothing may leave.

        What is only looked at may be printed without.
        """
        record = template_named(self.session.document, name)
        edit = templates.keep_revision(self.session.document, record.id, new_id(), now(), why, note)
        return self.session.read_only or self.do(edit)

    def change_settings(self, key: str, value: Any = None, **changes: Any) -> None:
        """Other settings of the workbook; `key` and `value`: what changes, as the history tells it."""
        settings: SettingsRecord = replace(self.session.document.settings, **changes)
        self.do_again(key, whole.change_settings(self.session.document, settings, key, value))

    def change_tools(self, key: str, value: Any = None, **changes: Any) -> None:
        """Other tools."""
        owned = replace(self.session.document.tools.owned, **changes)
        self.do_again(key, whole.change_tools(self.session.document, owned, key, value))

    def seen_as(self, look: Look) -> Workspace:
        """The same work for a window built anew in another look; nobody listens to it yet."""
        other = Workspace(self.session, look, self.model)
        other.unit, other.chosen, other.revision, other.typed = self.unit, self.chosen, self.revision, self.typed
        return other

    def choose_unit(self, unit: Unit) -> None:
        """Lengths in another unit first, from now on; of a workbook that is only looked at, for now."""
        if self.session.read_only:
            self.use_unit(unit)
        elif unit != self.session.document.settings.unit:
            self.change_settings("unit", unit, unit=unit)
        elif unit != self.unit:
            self.use_unit(unit)

    def use_unit(self, unit: Unit) -> None:
        """Shows lengths in another unit first."""
        self.unit = unit
        self._tell(Changed(unit=True))

    def work_on(self, session: Session, model: Model | None = None) -> None:
        """Other work; the present one is ended by whoever asks. `model`: its model, where that was made already."""
        self.session = session
        self.model = model or shaped(job_of(session.document))
        self.unit, self.chosen = self.model.job.unit, self.model.job.templates[0].name
        self._last = ("", 0.0)
        self._tell(Changed(job=True, chosen=True, unit=True, history=True))
