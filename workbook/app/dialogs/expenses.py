"""What was spent for the shop, a row each, with what each year comes to."""

from collections.abc import Sequence
from decimal import Decimal

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QDialog, QHeaderView, QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.dialogs.record_cells import RecordCells, RecordColumn, record_column
from workbook.app.dialogs.undo_keys import undo_by_keys
from workbook.app.elements.basics import Lettered, label
from workbook.app.workspace import Workspace
from workbook.document.fields import row_of
from workbook.document.money_records import ExpenseRecord
from workbook.document.queries import next_place
from workbook.number_in import parse_amount
from workbook.shop.money import NOTHING, priced
from workbook.shop.order_entry import iso_date
from workbook.structs import replace
from workbook.tasks.work import new_id, now
from workbook.texts import _, labelled

_KEYS = ("kind", "supplier", "receipt", "note")
_DATE = RecordColumn("date", row_of(ExpenseRecord, "date").label, iso_date, str)
_AMOUNT = RecordColumn("amount", row_of(ExpenseRecord, "amount").label, parse_amount, lambda amount: f"{amount:.2f}")
_COLUMNS = (_DATE, _AMOUNT, *(replace(record_column(ExpenseRecord, key), words=True) for key in _KEYS))


class ExpensesDialog(QDialog):
    """The dialog; every entry takes effect at once and can be undone."""

    def __init__(self, parent: QWidget, workspace: Workspace) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Expenses"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._space, look = workspace, workspace.look
        self.cells = RecordCells(look, "expenses", _COLUMNS, self._new)
        self.cells.table.setAccessibleName(_("Expenses"))
        self.cells.table.horizontalHeader().setSectionResizeMode(len(_COLUMNS) - 1, QHeaderView.ResizeMode.Stretch)
        self.years = label(look, "", soft=True)
        self.years.setWordWrap(True)
        self.wrong = Lettered(look, "", 9, bold=True, tone="stop")
        words = _("What you pay for the shop, for your accountant. It changes no price and no stock. Check local tax rules.")
        note = label(look, words, "small", soft=True)
        note.setWordWrap(True)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(12, 10, 12, 10)
        outer.addWidget(note)
        outer.addWidget(self.cells, 1)
        outer.addWidget(self.years)
        outer.addWidget(self.wrong)
        self.resize(min(look.px(760), parent.width()), min(look.px(520), parent.height()))
        self.cells.changed.connect(self._keep)
        self.cells.cells.typing.connect(workspace.hold)
        self.cells.trouble.connect(self._say)
        undo_by_keys(self, workspace)
        workspace.changed.connect(self._changed)
        workspace.refused.connect(self._refused)
        self._fill()

    def _new(self) -> ExpenseRecord:
        """A row for today, for an amount to be typed."""
        place = next_place(self._space.session.document, ExpenseRecord)
        return ExpenseRecord(id=new_id(), place=place, date=now()[:10], amount=NOTHING)

    def _keep(self, records: Sequence[ExpenseRecord]) -> None:
        """Keep the rows; what is typed into one cell is one step of the history."""
        before = {record.id: record for record in self._space.session.document.all(ExpenseRecord)}
        changed = [record.id for record in records if before.get(record.id) != record]
        typed = len(records) == len(before) and len(changed) == 1 and changed[0] in before
        column = self.cells.table.currentColumn()
        self._space.accounts.spend(records, f"{changed[0]} {column}" if typed else "")

    def _say(self, problem: str) -> None:
        self.wrong.say(problem, "stop")
        self.wrong.setVisible(bool(problem))

    def _refused(self) -> None:
        self.cells.cells.let_go()
        self._fill()

    def _changed(self, change: Changed) -> None:
        if change.records:
            self._fill()

    def _fill(self) -> None:
        document = self._space.session.document
        records = list(document.all(ExpenseRecord))
        self.cells.show_records(records)
        sums = dict[str, Decimal]()
        for record in records:
            sums[record.date[:4]] = sums.get(record.date[:4], NOTHING) + record.amount
        told = (labelled(year, priced(sums[year], document.settings.money)) for year in sorted(sums, reverse=True))
        self.years.setText("   ".join(told))
        self._say("")
