"""Everything that is known of one blade."""

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from workbook.app.elements.basics import Lettered, row, surface, tool
from workbook.app.elements.lettered_table import LetteredCells, fill, lettered_table
from workbook.app.look import Look
from workbook.document.document import Document
from workbook.document.shop_records import PieceRecord
from workbook.model.blade_history import blade_history
from workbook.model.model import Model
from workbook.texts import _


class BladeHistory(QWidget):
    """The page of one blade, in place of the traveller."""

    back_wanted = Signal()

    def __init__(self, look: Look) -> None:
        super().__init__()
        self._head = Lettered(look, "", 9.75, bold=True)
        self.back_button = tool(look, "to-traveller", _("Traveler"), "undo")
        self.table = lettered_table(look, "blade-history", (_("Item"), "", _("Date")))
        header = self.table.horizontalHeader()
        header.setSectionResizeMode(0, header.ResizeMode.Fixed)
        header.setSectionResizeMode(2, header.ResizeMode.Fixed)
        self.table.setColumnWidth(0, look.px(190))
        self.table.setColumnWidth(2, look.px(96))
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(surface("strip", row(self._head, None, self.back_button), look.px(40)))
        column.addWidget(self.table, 1)
        self.back_button.clicked.connect(self.back_wanted)
        header.sectionResized.connect(lambda column, before, now: self._share_height() if column == 1 else None)

    def show_blade(self, document: Document, model: Model, piece: PieceRecord) -> None:
        """Show a blade."""
        local = document.settings.local
        self._head.say(f"{piece.serial}   {piece.name}, {piece.steel}")
        fill(self.table, [(told.what, told.words, local.short_day(told.date)) for told in blade_history(document, model, piece)])
        self._share_height()
        QTimer.singleShot(0, self, self._share_height)  # once the table has its width

    def _share_height(self) -> None:
        """Make every row as high as its words need."""
        cells = self.table.itemDelegate()
        assert isinstance(cells, LetteredCells)
        for n in range(self.table.rowCount()):
            item = self.table.item(n, 1)
            self.table.setRowHeight(n, cells.high(item.text() if item else "", self.table.columnWidth(1), bold=False))
