"""Changes to batches, and what is entered about their blades. Each is a step that can be undone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbook.document.actions import making
from workbook.document.actions.making import Blades, Typed
from workbook.document.document import Document, Edit, joined
from workbook.document.making import batches, recipe_for
from workbook.document.making_records import BatchRecord, LoadRecord, RecipeRecord
from workbook.document.orders import serials_used
from workbook.document.queries import next_place, template_named
from workbook.document.shop_records import PieceRecord
from workbook.heat.load import HeatRecipe
from workbook.making.blade_line import blades_line
from workbook.making.entry import Logged
from workbook.model.taking import Taking, handles_of, short_words, taking_at
from workbook.shop.entry import EntryError
from workbook.shop.serials import letters
from workbook.structs import replace
from workbook.tasks.work import new_id, now
from workbook.texts import _

if TYPE_CHECKING:
    from workbook.app.work import Work


class MakingDesk:
    """Changes the batches of one workspace."""

    def __init__(self, space: Work) -> None:
        self._space = space

    @property
    def _document(self) -> Document:
        return self._space.session.document

    def added(self, text: str, chosen: str) -> tuple[str, str]:
        """Add blades typed in one line. Return the problem in words, and the id of their batch.

        `chosen`: the id of the batch at hand, whose stages the line may name.
        """
        job = self._space.model.job
        steels = tuple(dict.fromkeys(bar.steel for bar in job.bars))
        batch = self._document.records.get(chosen)
        stages = batch.stages if isinstance(batch, BatchRecord) else self._document.settings.charges.stages
        try:
            wish = blades_line(text, [t.name for t in job.templates], steels, [stage.name for stage in stages])
        except EntryError as trouble:
            return str(trouble), ""
        of = template_named(self._document, wish.template).id
        steel = wish.steel or self._space.model.steel_of(of)
        if not steel:
            return _("Which steel? Type it after the template, e.g. 3 Petty of 52100 at Harden"), ""
        into = next((each.id for each in batches(self._document) if each.number == wish.batch), "")
        if wish.batch and not into:
            return _("There is no batch {number}.", number=wish.batch), ""
        used = serials_used(self._document)
        letter = letters([template.name for template in job.templates])[wish.template]
        blades = Blades(
            of=of, steel=steel, first=wish.stage, serials=making.serials_for(self._document, letter, wish.quantity, used)
        )
        before = {each.id for each in batches(self._document)}
        if not self._space.do(making.add_blades(self._document, blades, into, now(), new_id)):
            return "", ""
        return "", into or next(each.id for each in batches(self._document) if each.id not in before)

    def name(self, batch: BatchRecord, name: str) -> None:
        """Name a batch."""
        self._space.do(making.change_batch(self._document, replace(batch, name=name)))

    def taking(self, batch: str, entry: Logged) -> Taking:
        """What an entry takes from the shelf."""
        return taking_at(self._document, self._space.model, making.batch_of(self._document, batch), entry)

    def enter(self, batch: str, first: Logged, *others: Logged) -> bool:
        """Add entries, and take from the shelf what they take, as one step. Return False if they could not be kept."""
        taken = self.taking(batch, first)
        edit = making.enter(self._document, batch, first, Typed(new_id(), now()))
        for entry in others:
            more = making.enter(self._document.applied(edit), batch, entry, Typed(new_id(), now()))
            edit = Edit(edit.action, joined(edit, more).changes)
        if taken.amounts:
            more = making.take_materials(self._document.applied(edit), taken.scales, taken.amounts, now(), new_id)
            edit = Edit(edit.action, joined(edit, more).changes)
        return self._space.do(edit)

    def give_scales(self, blade: str, handle: str) -> str:
        """Give a blade its scales of a material. Return what was not there in full, in words."""
        document = self._document
        taken = handles_of(document, self._space.model, [(document.get(blade, PieceRecord), handle)])
        kept = self._space.do(making.take_materials(document, taken.scales, taken.amounts, now(), new_id))
        return short_words(document, taken) if kept else ""

    def log_load(self, record: LoadRecord) -> bool:
        """Log a heat-treatment load. Return False if it could not be kept."""
        return self._space.do(making.log_load(self._document, record))

    def change_load(self, record: LoadRecord) -> bool:
        """Change what is known of a load. Return False if it could not be kept."""
        return self._space.do(making.change_load(self._document, record))

    def keep_recipe(self, steel: str, recipe: HeatRecipe) -> bool:
        """Keep the maker's own way with a steel. Return False if it could not be kept."""
        before = recipe_for(self._document, steel)
        place = before.place if before else next_place(self._document, RecipeRecord)
        record = RecipeRecord(id=before.id if before else new_id(), place=place, steel=steel, recipe=recipe)
        return self._space.do(making.keep_recipe(self._document, record))

    def take_back(self, entry: str) -> None:
        """Take an entry back by another."""
        self._space.do(making.take_back(self._document, entry, now()[:10], Typed(new_id(), now())))

    def give(self, blade: str, line: str) -> None:
        """Give a blade to a line of an order, or to the shop's own stock."""
        self._space.do(making.give_to(self._document, blade, line))

    def start_more(self, line: str, count: int) -> None:
        """Start more blanks for a line whose blades were lost."""
        self._space.do(making.start_more(self._document, line, count))
