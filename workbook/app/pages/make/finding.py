"""Find a blade by any word that is known of it."""

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from workbook.app.elements.basics import label
from workbook.app.elements.record_table import RecordTable
from workbook.app.elements.text_field import EntryLine
from workbook.app.workspace import Workspace
from workbook.document.document import Document
from workbook.document.making import standing_of
from workbook.document.shop_records import PieceRecord
from workbook.model.blade_history import blades_found
from workbook.model.making_words import for_words
from workbook.texts import _

_MOST = 200  # blades in the list


class Finding(QWidget):
    """A line to type in, and the blades found by it under it."""

    chosen = Signal(str)  # the id of a blade

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        look = workspace.look
        self._workspace = workspace
        self.line = EntryLine("find-blade", _("Find a blade"), {})
        self.line.setPlaceholderText(_("serial, order, customer, steel, date"))
        self.line.setFont(look.font("body"))
        self.line.setFixedHeight(look.size("row"))
        self.line.setClearButtonEnabled(True)
        self.found = RecordTable(look, "blades-found", _("Blades found"), ("", _("Template, for"), _("Stage")))
        self.found.set_widths(look, {0: 62, 2: 84})
        self.found.setVisible(False)
        column = QVBoxLayout(self)
        column.setContentsMargins(10, 6, 10, 6)
        column.addWidget(label(look, _("Find a blade"), "strong"))
        column.addWidget(self.line)
        self.found.setFixedHeight(look.px(220))
        column.addWidget(self.found)
        self.line.textChanged.connect(lambda text: self.refresh())
        self.found.chosen.connect(self.chosen)
        self.line.returnPressed.connect(self._choose_first)

    def _choose_first(self) -> None:
        """Enter takes the first blade found."""
        if self.found.count:
            self.found.selectRow(0)
            self.found.setFocus()

    def find_blades(self, words: str) -> None:
        """Find by words, as if they were typed."""
        self.line.setText(words)

    def refresh(self) -> None:
        """Find again, as the blades are now."""
        document = self._workspace.session.document
        pieces = blades_found(document, self.line.text())[:_MOST]
        self.found.setVisible(bool(self.line.text().strip()))
        self.found.show_records(pieces, lambda piece: _row(document, piece))


def _row(document: Document, piece: PieceRecord) -> tuple[str, ...]:
    standing = standing_of(document, piece)
    lost = next((cell for cell in standing.cells if standing.scrapped and cell.reason), None)
    last = document.settings.local.brief_day(max(cell.date for cell in standing.cells))
    stands = lost.reason if lost else standing.next or _("finished {day}", day=last)
    return piece.serial, for_words(document, piece), stands
