"""What a maker does with templates and settings, and the desks for all else: what the pages of the window ask."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any

from workbook.app.changed import Changed
from workbook.app.kept import lines_typed
from workbook.app.look import Look
from workbook.app.work import Work
from workbook.document.action import Action
from workbook.document.actions import templates, whole
from workbook.document.queries import job_of, revisions_of
from workbook.document.records import Revision, SettingsRecord
from workbook.formats.family import family
from workbook.later import modules
from workbook.model.model import Model
from workbook.shop.job import AnyTemplate, suits, thickness_of
from workbook.storage.session import Session
from workbook.structs import replace
from workbook.tasks.load import shaped
from workbook.tasks.work import new_id, now
from workbook.template.drawn import DrawnTemplate
from workbook.template.model import Template
from workbook.template.resizing import in_inches
from workbook.texts import _
from workbook.units import HABITS, Unit, reading

if TYPE_CHECKING:
    from workbook.app.desks import layouts, orders
    from workbook.app.desks.layouts import LayoutDesk
    from workbook.app.desks.orders import OrderDesk
else:
    layouts, orders = modules("app.desks.layouts", "app.desks.orders")

_LONGEST_NAME = 60  # letters


class Workspace(Work):
    """The work at hand with all that is done to it."""

    @cached_property
    def typed(self) -> dict[str, str]:
        """What stands in lines of the pages and is not added yet, by their names."""
        return lines_typed(self.session.path or self.session.file)

    @cached_property
    def orders(self) -> OrderDesk:
        """What is done with orders."""
        return orders.OrderDesk(self)

    @cached_property
    def layouts(self) -> LayoutDesk:
        """What is done with layouts and with what is to be made."""
        return layouts.LayoutDesk(self)

    def edit(self, path: str, value: Any) -> None:
        """Changes one parameter of the chosen template; its shape and checks follow."""
        if isinstance(self.chosen_template, Template):
            self.merge_edit(f"{self.chosen} {path}", templates.set_parameter(self.session.document, self.chosen, path, value))

    def set_thickness(self, thickness: float) -> None:
        """Changes the bar thickness of the chosen template, of whichever kind."""
        self.merge_edit(f"{self.chosen} thickness", templates.set_thickness(self.session.document, self.chosen, thickness))

    def add_family(self, family_id: str) -> None:
        """Adds a family's template to the shelf under a name of its own, and chooses it."""
        self._add(self.family_of(family_id))

    def family_of(self, family_id: str) -> Template:
        """A family's template; with inches first, in sizes an inch rule has and of bars that are sold so."""
        made = family(family_id)
        return made if HABITS[self.unit].metric else in_inches(made)

    def add_outline(self, outline: DrawnTemplate, name: str) -> None:
        """Adds an outline from a file to the shelf, for bars as thick as the chosen template's, and chooses it."""
        thickness = thickness_of(self.chosen_template)
        self._add(replace(outline, name=name, thickness=thickness))

    def add_template(self, template: Template, name: str) -> None:
        """Adds a template of one's own making to the shelf, and chooses it."""
        self._add(replace(template, name=name))

    def _add(self, template: AnyTemplate) -> None:
        job, id_ = self.model.job, new_id()
        if not self.do(templates.add_template(self.session.document, template, id_)):
            return
        self.choose(id_)
        wanted = f"{reading(thickness_of(template), self.unit)} {self.unit}"
        fits = any(suits(job, template, bar.steel, bar) for bar in job.bars)
        missing = _("No bar here is about {wanted} thick: change its thickness, or add a bar on the page Stock.", wanted=wanted)
        self.said.emit(f"{self.name} is on the shelf. {'Drag it to Lay out to have one made.' if fits else missing}")

    @property
    def tags(self) -> tuple[str, ...]:
        """The words that the chosen template is found by."""
        return self.record.tags

    def set_tags(self, words: str) -> None:
        """Other words for the chosen template, parted by commas."""
        self.do(templates.set_tags(self.session.document, self.chosen, words.split(",")))

    def duplicate(self) -> None:
        """A copy of the chosen template, which is then chosen."""
        id_ = new_id()
        if self.do(templates.duplicate(self.session.document, self.chosen, id_)):
            self.choose(id_)

    def rename(self, name: str) -> None:
        """Another name for the chosen template."""
        asked = name.strip()[:_LONGEST_NAME].strip()
        if not asked:
            self.said.emit(_("A name is wanted: {chosen} keeps its own.", chosen=self.name))
        elif self.do(templates.rename(self.session.document, self.chosen, asked)) and self.name != asked:
            self.said.emit(_("There is another {asked}: this one is {chosen} now.", asked=asked, chosen=self.name))

    def remove(self) -> None:
        """Takes the chosen template off the shelf; the last one stays."""
        if len(self.model.job.templates) < 2:
            self.said.emit(_("The last template stays: a workbook has at least one."))
            return
        self.do(templates.remove(self.session.document, self.chosen))

    def reshape(self, after: Template, action: Action) -> bool:
        """Several parameters or holes of the chosen template changed at once; `action`: what was done, but for its name."""
        return self.do(templates.reshape(self.session.document, self.chosen, after, action))

    def take_back(self, revision: Revision) -> None:
        """The template as it was in a revision."""
        self.do(templates.take_back(self.session.document, revision.id))

    def revisions(self) -> list[Revision]:
        """The revisions kept of the chosen template, oldest first."""
        return revisions_of(self.session.document, self.chosen)

    def keep_revision(self, key: str, why: str, note: str = "") -> bool:
        """Keeps a template as it is now, since it is printed or cut; False where that could not be kept: then nothing may leave.

        What is only looked at may be printed without.
        """
        edit = templates.keep_revision(self.session.document, key, new_id(), now(), why, note)
        return self.session.read_only or self.do(edit)

    def change_settings(self, key: str, value: Any = None, **changes: Any) -> None:
        """Other settings of the workbook; `key` and `value`: what changes, as the history tells it."""
        settings: SettingsRecord = replace(self.session.document.settings, **changes)
        self.merge_edit(key, whole.change_settings(self.session.document, settings, key, value))

    def change_tools(self, key: str, value: Any = None, **changes: Any) -> None:
        """Other tools."""
        owned = replace(self.session.document.tools.owned, **changes)
        self.merge_edit(key, whole.change_tools(self.session.document, owned, key, value))

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
        self.unit, self.chosen = self.model.job.unit, self.model.job.keys[0]
        self._last = ("", 0.0)
        self._tell(Changed(job=True, chosen=True, unit=True, history=True))
