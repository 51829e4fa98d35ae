"""How many pairs of scales one sheet or block gives, counted in a worker while the window goes on."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PySide6.QtCore import QObject, Signal

from workbook.app.search import Search
from workbook.document.actions import rack
from workbook.document.records import MaterialRecord
from workbook.structs import replace
from workbook.tasks.scales import pairs_of_one
from workbook.texts import _, ngettext

if TYPE_CHECKING:
    from workbook.app.workspace import Workspace


class PairsCount(QObject):
    """Counts for one material at a time, and sets the part of it that a knife takes; `ended` when it has."""

    ended = Signal()

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self._workspace, self._search = workspace, Search(1)
        self._of: MaterialRecord | None = None  # the material as it was when it was counted for
        self._template = ""  # its name
        self._search.answered.connect(self._counted)
        self._search.failed.connect(self._failed)

    def begin(self, record: MaterialRecord) -> None:
        """Count the pairs for the template that is shown."""
        space = self._workspace
        self._of, self._template = record, space.name
        space.said.emit(_("Counting the scales of {chosen} on one sheet.", chosen=space.name))
        self._search.ask(pairs_of_one, record.material, space.blank, space.model.job.saw)

    def close(self) -> None:
        """End the worker."""
        self._search.close()

    def _counted(self, pairs: object) -> None:
        assert isinstance(pairs, int)
        assert self._of is not None
        space, document = self._workspace, self._workspace.session.document
        record = document.records.get(self._of.id)
        if isinstance(record, MaterialRecord) and _sizes(record) != _sizes(self._of):
            space.said.emit(_("The sheet was changed meanwhile. Count again."))
        elif isinstance(record, MaterialRecord) and pairs:
            material = replace(record.material, knife=round(1 / pairs, 4))
            space.do(rack.change_material(document, record.id, material, space.stamp()))
            words = ngettext(
                "One gives {count} pair of scales for {chosen}. A knife uses all of it.",
                "One gives {count} pairs of scales for {chosen}. A knife uses 1/{count} of it.",
                pairs,
                chosen=self._template,
            )
            space.said.emit(words)
        elif record is not None:
            space.said.emit(_("It is too small, or too thin, for the scales of {chosen}.", chosen=self._template))
        self.ended.emit()

    def _failed(self, problem: str) -> None:
        self._workspace.said.emit(problem)
        self.ended.emit()


def _sizes(record: MaterialRecord) -> tuple[float, float, float]:
    return record.material.size, record.material.width, record.material.length
