"""What all open orders need: bars by a layout, materials by knife, and what of it must be bought."""

from collections.abc import Sequence

from msgspec import Struct
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from workbook.app.elements.basics import label, row, tool
from workbook.app.elements.record_table import RecordTable
from workbook.app.elements.working import Figure, in_money
from workbook.app.workspace import Workspace
from workbook.model.buying import Need, to_spend
from workbook.shop.money import Money, priced
from workbook.texts import _

_HEADS = (_("Item"), _("Needed"), _("On hand"), _("To buy"), _("Cost"), "")


class _Row(Struct, frozen=True):
    id: str
    need: Need


class Needs(QWidget):
    """The list, its total cost, and a button that writes it."""

    write_wanted = Signal()

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        look = workspace.look
        self._workspace = workspace
        self.needs: Sequence[Need] = ()
        self.table = RecordTable(look, "needs", _("Needs of open orders"), _HEADS, right=(1, 2, 3, 4))
        self.table.set_widths(look, {1: 100, 2: 90, 3: 90, 4: 96})
        self.words = label(look, "", soft=True)
        self.words.setWordWrap(True)
        self.spend = Figure(look, "spend", _("to buy"))
        self.write_button = tool(look, "write-needs", _("Export CSV…"))
        self.write_button.clicked.connect(self.write_wanted)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.table, 1)
        column.addLayout(row(self.spend, self.words, self.write_button, margins=(14, 10, 14, 12), gap=18))

    def show_needs(self, needs: Sequence[Need], words: str) -> None:
        """Show a list of needs and a remark on it."""
        self.needs = needs
        money = self._workspace.session.document.settings.money
        self.table.show_records([_Row(str(n), need) for n, need in enumerate(needs)], lambda need_row: _row(need_row.need, money))
        self.spend.say(in_money(to_spend(needs), money))
        self.words.setText(words)
        self.write_button.setEnabled(bool(needs))


def _row(need: Need, money: Money) -> tuple[str, ...]:
    buy = f"{need.buy:g} {need.unit}" if need.buy else "-"
    return need.what, f"{need.needed:.3g}", f"{need.have:g}", buy, priced(need.cost, money) if need.cost else "-", need.why
