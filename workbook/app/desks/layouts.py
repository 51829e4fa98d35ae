"""Changes to layouts, and to what is to be made besides orders. Each is a step that can be undone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from workbook.document.action import Action
from workbook.document.actions import layouts, ledger, rack, templates
from workbook.document.document import Document
from workbook.document.making import batches, name_of_batch
from workbook.document.orders import lines_of
from workbook.document.records import AT_HAND, LayoutRecord
from workbook.tasks.kept_layouts import record_of
from workbook.tasks.marking import as_cut
from workbook.tasks.work import new_id, now
from workbook.texts import _, ngettext

if TYPE_CHECKING:
    from workbook.app.work import Work
    from workbook.model.laying import Laid
    from workbook.tasks.keeping import Spots


class LayoutDesk:
    """Changes the layouts of one workspace."""

    def __init__(self, space: Work) -> None:
        self._space = space

    @property
    def _document(self) -> Document:
        return self._space.session.document

    def _name(self, template: str) -> str:
        return self._space.model.shapes[template].name

    def one_more(self, template: str) -> bool:
        """Add one more of a template (its id), in the steel it is ordered in or that suits it. Return False if there is none."""
        if template not in self._space.model.shapes:  # dragged from another window
            self._space.said.emit(_("That template is from another shop book. Import it first."))
            return False
        steel = self._space.model.steel_of(template)
        if steel:
            return self.make_more(template, steel)
        self._space.said.emit(_("No bar suits {template}. Add one on the Stock page.", template=self._name(template)))
        return False

    def make_more(self, template: str, steel: str) -> bool:
        """Add one more blank of a template in a steel to what is to be made. Return False if it could not be kept."""
        lines = lines_of(self._document, "")
        quantity = sum(line.quantity for line in lines if (line.of, line.steel) == (template, steel))
        if not self._space.do(rack.order(self._document, template, steel, quantity + 1, new_id())):
            return False
        self._space.said.emit(_("To make: one more {template} in {steel}.", template=self._name(template), steel=steel))
        return True

    def make(self, template: str, steel: str, quantity: int) -> None:
        """Set how many blanks of a template in a steel are to be made."""
        edit = rack.order(self._document, template, steel, quantity, new_id())
        self._space.merge_edit(f"{template} {steel} quantity", edit)

    def keep(self, laid: Laid, pinned: Spots, lost: float) -> None:
        """Keep a layout with the revisions of its templates."""
        document = self._document
        record = record_of(document, laid, pinned, lost, new_id(), now())
        if self._space.do(layouts.keep_layout(document, record, new_id)):
            self._space.said.emit(_("{name} saved.", name=record.name))

    def set_aside(self, bar: str, may: bool) -> None:
        """Set whether blanks may be laid out on a kind of bar."""
        self._space.do(ledger.set_aside(self._document, bar, aside=not may))

    def put_at_hand(self, laid: Laid, pinned: Spots, lost: float, action: Action) -> LayoutRecord | None:
        """Keep a layout arranged by hand, as a step. Return its record, or None if it could not be kept."""
        record = record_of(self._document, laid, pinned, lost, AT_HAND, now())
        return record if self._space.do(layouts.put_at_hand(self._document, record, action, new_id)) else None

    def noted(self, laid: Laid, reason: str) -> bool:
        """Keep revisions of the templates laid out, before they are printed or cut.

        Return False if they could not be kept: nothing may be written then. Work opened to look at may be printed without.
        """
        document, parts = self._document, laid.nesting.parts
        ids = dict.fromkeys(parts[piece.part].key for use in laid.layout.bars for piece in use.pieces)
        edit = templates.keep_revisions(document, list(ids), now(), reason, new_id)
        return self._space.session.read_only or self._space.do(edit)

    def mark_cut(self, laid: Laid, lost: float) -> bool:
        """Book a layout as cut: bars off the rack, offcuts on it, blanks to their orders. Return False if it cannot be kept."""
        if not self._space.do(as_cut(self._document, laid, lost, now(), new_id)):
            return False
        blanks = sum(len(use.pieces) for use in laid.layout.bars)
        said = ngettext(
            "{count} blank is cut. It is in {batch} on the Make page. Undo takes it all back.",
            "{count} blanks are cut. They are in {batch} on the Make page. Undo takes it all back.",
            blanks,
            batch=name_of_batch(batches(self._document)[0]),
        )
        self._space.said.emit(said)
        return True
