"""Which orders are laid out, and on which bars: two lists with a tick for each."""

from collections.abc import Iterable, Iterator
from itertools import islice

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QListWidget, QListWidgetItem, QSizePolicy, QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.elements.basics import label, named
from workbook.app.plain import plain
from workbook.app.workspace import Workspace
from workbook.document.document import Document
from workbook.document.orders import by_date, customer_of, still_to_cut
from workbook.document.records import BarRecord
from workbook.shop.job import suits
from workbook.shop.orders import DONE
from workbook.texts import _, ngettext

_ID = 0x0100  # Qt.ItemDataRole.UserRole
_MOST = 200  # rows in a list, at most
Row = tuple[str, str, bool]  # an id, its words, and whether it is ticked


class LayoutChoice(QWidget):
    """Two lists with ticks. An order's tick lays its blanks out; a bar's tick lets blanks be laid out on it."""

    order_ticked = Signal(str, bool)
    bar_ticked = Signal(str, bool)

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        look = workspace.look
        self._workspace = workspace
        self._orders_word = label(look, _("Orders to include"), "strong")
        self._bars_word = label(look, _("Bars to use"), "strong")
        self.orders, self.bars = (
            self._list("layout-orders", _("Orders to include")),
            self._list("layout-bars", _("Bars to use")),
        )
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(4)
        for widget in (self._orders_word, self.orders, self._bars_word, self.bars):
            column.addWidget(widget)
        self.orders.itemChanged.connect(lambda item: self.order_ticked.emit(*_told(item)))
        self.bars.itemChanged.connect(lambda item: self.bar_ticked.emit(*_told(item)))
        workspace.changed.connect(self._changed)
        self._stale = False
        self.refresh()

    def _changed(self, change: Changed) -> None:
        self._stale |= change.records
        if self.isVisible():
            self._catch_up()

    def showEvent(self, event: QShowEvent) -> None:
        """Show what changed while nobody looked."""
        self._catch_up()
        super().showEvent(event)

    def _catch_up(self) -> None:
        if self._stale:
            self.refresh()

    def _list(self, name: str, words: str) -> QListWidget:
        widget = named(QListWidget(), name)
        widget.setAccessibleName(words)
        widget.setFont(self._workspace.look.font("body"))
        widget.setSizePolicy(QSizePolicy.Policy.Ignored, QSizePolicy.Policy.Fixed)
        widget.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        return widget

    def refresh(self) -> None:
        """Show the open orders, and the bars that suit a template on the shelf."""
        self._stale = False
        document = self._workspace.session.document
        self._fill(self.orders, _orders(document), self._orders_word)
        self._fill(self.bars, self._bars(document), self._bars_word)

    def _fill(self, widget: QListWidget, contents: Iterable[Row], word: QWidget) -> None:
        rows = list(islice(contents, _MOST))
        widget.blockSignals(True)
        widget.clear()
        for id_, words, ticked in rows:
            item = QListWidgetItem(words)
            item.setData(_ID, id_)
            item.setToolTip(plain(words))
            item.setFlags(item.flags() | Qt.ItemFlag.ItemIsUserCheckable)
            item.setCheckState(Qt.CheckState.Checked if ticked else Qt.CheckState.Unchecked)
            widget.addItem(item)
        widget.blockSignals(False)
        widget.setVisible(bool(rows))
        word.setVisible(bool(rows))
        widget.setFixedHeight(max(widget.sizeHintForRow(0), 1) * min(len(rows), 5) + 6)

    def _bars(self, document: Document) -> Iterator[Row]:
        """The bars that suit a blank that is asked for; while nothing is, those that suit a template on the shelf."""
        job = self._workspace.model.job
        asked = [(job.template(wish.template), wish.steel) for wish in job.make if wish.quantity]
        for record in document.all(BarRecord):
            bar = record.bar
            wanted = asked or [(template, bar.steel) for template in job.templates]
            if (bar.have or bar.buy) and any(suits(job, template, steel, bar) for template, steel in wanted):
                available = _("{have} on hand", have=bar.have) if bar.have else _("to buy")
                yield record.id, f"{bar.name}   {available}", not record.aside


def _told(item: QListWidgetItem) -> tuple[str, bool]:
    return str(item.data(_ID)), item.checkState() == Qt.CheckState.Checked


def _orders(document: Document) -> list[Row]:
    counts: dict[str, int] = {}
    for line, n in still_to_cut(document):
        counts[line.order] = counts.get(line.order, 0) + n
    rows = []
    for order in by_date(document):
        if order.status not in DONE:
            words = f"{order.number}  {customer_of(document, order) or _('shop stock')}"
            if order.laying:
                blanks = ngettext("{count} blank", "{count} blanks", counts.get(order.id, 0))
                words = f"{words}   {blanks}"
            rows.append((order.id, words, order.laying))
    return rows
