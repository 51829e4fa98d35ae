"""What a maker does with templates and settings, for the pages of the window; orders and layouts have desks of their own."""

from __future__ import annotations

from functools import cached_property
from typing import TYPE_CHECKING, Any

from workbook.app.changed import Changed
from workbook.app.kept import lines_typed
from workbook.app.look import Look
from workbook.app.work import Work
from workbook.document.accounts import has_account
from workbook.document.action import Action
from workbook.document.actions import families, templates, whole
from workbook.document.document import Edit
from workbook.document.queries import job_of, revisions_of
from workbook.document.records import FamilyRecord, Revision, SettingsRecord
from workbook.document.shop_records import OrderLine, OrderRecord
from workbook.formats.family import family, family_ids
from workbook.later import modules
from workbook.model.model import Model
from workbook.shop.job import AnyTemplate, suits, thickness_of
from workbook.storage.session import Session
from workbook.structs import replace
from workbook.tasks.load import shaped
from workbook.tasks.work import new_id, now
from workbook.template.drawn import DrawnTemplate
from workbook.template.hole_places import Datum
from workbook.template.model import Template
from workbook.template.resizing import in_inches
from workbook.texts import _
from workbook.units import HABITS, Unit, reading

if TYPE_CHECKING:
    from workbook.app.desks import accounts, layouts, making, orders
    from workbook.app.desks.accounts import AccountDesk
    from workbook.app.desks.layouts import LayoutDesk
    from workbook.app.desks.making import MakingDesk
    from workbook.app.desks.orders import OrderDesk
else:
    accounts, layouts, making, orders = modules("app.desks.accounts", "app.desks.layouts", "app.desks.making", "app.desks.orders")

_LONGEST_NAME = 60  # letters


class Workspace(Work):
    """The work at hand and the changes to it."""

    @cached_property
    def typed(self) -> dict[str, str]:
        """Unfinished lines of the pages, by line name."""
        return lines_typed(self.session.path or self.session.file)

    @property
    def datum(self) -> Datum:
        """What holes are measured from."""
        return self.session.document.settings.rules.datum

    @cached_property
    def orders(self) -> OrderDesk:
        """Changes to orders."""
        return orders.OrderDesk(self)

    @cached_property
    def layouts(self) -> LayoutDesk:
        """Changes to layouts and to what is to be made."""
        return layouts.LayoutDesk(self)

    @cached_property
    def making(self) -> MakingDesk:
        """Changes to batches, and what is entered about their blades."""
        return making.MakingDesk(self)

    @cached_property
    def accounts(self) -> AccountDesk:
        """Changes accounts."""
        return accounts.AccountDesk(self)

    def edit(self, path: str, value: Any) -> None:
        """Change one parameter of the chosen template; its shape and checks follow."""
        if isinstance(self.chosen_template, Template):
            self.merge_edit(f"{self.chosen} {path}", templates.set_parameter(self.session.document, self.chosen, path, value))

    def set_thickness(self, thickness: float) -> None:
        """Change the bar thickness in mm of the chosen template, of either kind."""
        self.merge_edit(f"{self.chosen} thickness", templates.set_thickness(self.session.document, self.chosen, thickness))

    def add_family(self, family_id: str) -> None:
        """Add a family's template to the shelf under a name of its own, and choose it."""
        self._add(self.family_of(family_id))

    def family_of(self, family_id: str) -> Template:
        """A family's template; with inches first, in sizes of an inch rule and for bars sold in inches."""
        template = family(family_id)
        return template if HABITS[self.unit].metric else in_inches(template)

    @property
    def own_family(self) -> FamilyRecord | None:
        """The maker's own family that the chosen template belongs to."""
        record = self.session.document.records.get(self.record.own_family)
        return record if isinstance(record, FamilyRecord) else None

    @property
    def base(self) -> Template | None:
        """The chosen template as its family has it; None for a drawn one, or one of a later program's family."""
        template, own = self.chosen_template, self.own_family
        if not isinstance(template, Template):
            return None
        known = template.family in family_ids()
        return own.template if own is not None else self.family_of(template.family) if known else None

    def save_family(self, name: str) -> None:
        """Save the chosen template as one of the maker's own families, in place of one of the same name."""
        new_name = name.strip()[:_LONGEST_NAME].strip() or self.name
        if self.do(families.save_family(self.session.document, self.chosen, new_name, new_id())):
            self.said.emit(_("{name} is a family now. New on the shelf starts from it.", name=new_name))

    def add_own_family(self, own_family: str) -> None:
        """Add a template of one of the maker's own families to the shelf, and choose it."""
        id_ = new_id()
        self._put_on_shelf(families.begin(self.session.document, own_family, id_), id_)

    def remove_family(self, own_family: str) -> None:
        """Delete one of the maker's own families."""
        self.do(families.remove_family(self.session.document, own_family))

    def add_outline(self, outline: DrawnTemplate, name: str) -> None:
        """Add an outline from a file to the shelf, for bars as thick as the chosen template's, and choose it."""
        thickness = thickness_of(self.chosen_template)
        self._add(replace(outline, name=name, thickness=thickness))

    def add_template(self, template: Template, name: str) -> None:
        """Add a template built elsewhere to the shelf, and choose it."""
        self._add(replace(template, name=name))

    def _add(self, template: AnyTemplate) -> None:
        id_ = new_id()
        self._put_on_shelf(templates.add_template(self.session.document, template, id_), id_)

    def _put_on_shelf(self, edit: Edit, id_: str) -> None:
        """Add a template by an edit, choose it, and say whether a bar fits it."""
        if not self.do(edit):
            return
        self.choose(id_)
        job, template = self.model.job, self.chosen_template
        thickness = f"{reading(thickness_of(template), self.unit)} {self.unit}"
        fits = any(suits(job, template, bar.steel, bar) for bar in job.bars)
        if fits:
            self.said.emit(_("{name} is on the shelf. Drag it to Lay out to make one.", name=self.name))
            return
        self.said.emit(
            _(
                "{name} is on the shelf. No bar is about {thickness} thick. Change its thickness, or add a bar on "
                "the Stock page.",
                name=self.name,
                thickness=thickness,
            )
        )

    @property
    def tags(self) -> tuple[str, ...]:
        """The tags that the chosen template is found by."""
        return self.record.tags

    def set_tags(self, words: str) -> None:
        """Set the tags of the chosen template from words separated by commas."""
        self.do(templates.set_tags(self.session.document, self.chosen, words.split(",")))

    def duplicate(self) -> None:
        """Copy the chosen template and choose the copy."""
        id_ = new_id()
        if self.do(templates.duplicate(self.session.document, self.chosen, id_)):
            self.choose(id_)

    def rename(self, name: str) -> None:
        """Rename the chosen template."""
        new_name = name.strip()[:_LONGEST_NAME].strip()
        if not new_name:
            self.said.emit(_("Type a name. {chosen} keeps its own.", chosen=self.name))
        elif self.do(templates.rename(self.session.document, self.chosen, new_name)) and self.name != new_name:
            self.said.emit(_("{asked} is taken. This template is {chosen} now.", asked=new_name, chosen=self.name))

    def remove(self) -> None:
        """Take the chosen template off the shelf; the last one stays."""
        if len(self.model.job.templates) < 2:
            self.said.emit(_("The last template cannot be deleted. A shop book has at least one."))
            return
        document = self.session.document
        orders_of = {line.order for line in document.all(OrderLine) if line.of == self.chosen and line.order}
        paid_for = [document.get(order, OrderRecord).number for order in orders_of if has_account(document, order)]
        if paid_for:
            numbers = ", ".join(map(str, sorted(paid_for)))
            self.said.emit(_("Order {numbers} has payments, an invoice or deliveries. Its template stays.", numbers=numbers))
            return
        self.do(templates.remove(document, self.chosen))

    def reshape(self, after: Template, action: Action) -> bool:
        """Change several parameters or holes of the chosen template at once; `action` leaves out its name."""
        return self.do(templates.reshape(self.session.document, self.chosen, after, action))

    def take_back(self, revision: Revision) -> None:
        """Restore the template from a revision."""
        self.do(templates.take_back(self.session.document, revision.id))

    def revisions(self) -> list[Revision]:
        """The revisions kept of the chosen template, oldest first."""
        return revisions_of(self.session.document, self.chosen)

    def keep_revision(self, key: str, reason: str, note: str = "") -> bool:
        """Keep a template as it is now, because it is printed or cut. Return False, and nothing may be written, if that fails.

        Work opened to look at may be printed without.
        """
        edit = templates.keep_revision(self.session.document, key, new_id(), now(), reason, note)
        return self.session.read_only or self.do(edit)

    def change_settings(self, key: str, value: Any = None, **changes: Any) -> None:
        """Change settings of the workbook; `key` and `value` say what changes, for the history."""
        if key == "name":
            changes["follows_file"] = False
        settings: SettingsRecord = replace(self.session.document.settings, **changes)
        self.merge_edit(key, whole.change_settings(self.session.document, settings, key, value))

    def change_tools(self, key: str, value: Any = None, **changes: Any) -> None:
        """Change tools."""
        owned = replace(self.session.document.tools.owned, **changes)
        self.merge_edit(key, whole.change_tools(self.session.document, owned, key, value))

    def seen_as(self, look: Look) -> Workspace:
        """The same work in another look, for a window built anew; no signal is connected yet."""
        other = Workspace(self.session, look, self.model)
        other.unit, other.chosen, other.revision, other.typed = self.unit, self.chosen, self.revision, self.typed
        return other

    def choose_unit(self, unit: Unit) -> None:
        """Show lengths in another unit first from now on; in work opened to look at, until it is closed."""
        if self.session.read_only:
            self.use_unit(unit)
        elif unit != self.session.document.settings.unit:
            self.change_settings("unit", unit, unit=unit)
        elif unit != self.unit:
            self.use_unit(unit)

    def use_unit(self, unit: Unit) -> None:
        """Show lengths in another unit first."""
        self.unit = unit
        self._tell(Changed(unit=True))

    def work_on(self, session: Session, model: Model | None = None) -> None:
        """Switch to other work; the caller ends the present one. `model`: its model, if already built."""
        self.session = session
        self.model = model or shaped(job_of(session.document))
        self.unit, self.chosen = self.model.job.unit, self.model.job.keys[0]
        self._last = ("", 0.0)
        self._tell(Changed(job=True, chosen=True, unit=True, history=True))
