"""When an order can be promised: worked out when asked, from the shop's hours and all that lies before it."""

from math import inf

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QVBoxLayout, QWidget

from workbook.app.elements.basics import label, row, tool
from workbook.app.plans import Plans
from workbook.app.workspace import Workspace
from workbook.document.document import Document
from workbook.document.shop_records import OrderRecord
from workbook.shop.orders import TALKED_OF
from workbook.texts import _


class PromiseRow(QWidget):
    """Two dates, and a button that takes the later one for the order."""

    date_wanted = Signal(str)  # ISO date

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        look = workspace.look
        self._workspace, self._order = workspace, ""
        self.plans, self.date = Plans(workspace), ""
        self._of: tuple[str, Document] | None = None  # what is shown is for this order in this document
        self.ask_button = tool(look, "promise", _("Delivery date"), "wait")
        self.use_button = tool(look, "use-promise", "")
        self.words = label(look, "", "small", soft=True)
        self.words.setWordWrap(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        column.addLayout(row(self.ask_button, None, self.use_button))
        column.addLayout(row(self.words))
        self.ask_button.clicked.connect(self.ask)
        self.use_button.clicked.connect(lambda: self.date_wanted.emit(self.date))
        self.plans.foreseen.connect(self._show)
        self._say("")

    def _say(self, words: str, date: str = "") -> None:
        self.date = date
        self.words.setText(words)
        self.words.setVisible(bool(words))
        local = self._workspace.session.document.settings.local
        self.use_button.setText(_("Use {date}", date=local.brief_day(date)) if date else "")
        self.use_button.setAccessibleName(self.use_button.text())
        self.use_button.setVisible(bool(date))

    def show_order(self, order: OrderRecord | None) -> None:
        """Be ready for an order; what was worked out for another, or before something changed, goes."""
        of = order.id if order else "", self._workspace.session.document
        if self._of is not None and (of[0], of[1] is self._of[1]) == (self._of[0], True):
            return
        self._of, self._order = of, of[0]
        self.plans.end()
        self.ask_button.setEnabled(order is not None)
        self._say("")

    def ask(self) -> None:
        """Work the dates out."""
        record = self._workspace.session.document.records.get(self._order)
        if isinstance(record, OrderRecord):
            self._say(_("Working out when it is done…"))
            asked = record if record.status in TALKED_OF and not record.laying else None
            self.plans.plan(0.0, asked, self._order)

    def _show(self) -> None:
        promise = self.plans.promise(self._order)
        if promise is None:
            self._say(_("Nothing of this order is left to make."))
            return
        self._say(self.plans.promise_words(promise), self.plans.day(promise.likely) if promise.likely < inf else "")
