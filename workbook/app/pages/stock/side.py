"""Beside the stock: the bar or material chosen, field by field; bookings of it; its ledger."""

from collections.abc import Sequence
from decimal import Decimal
from functools import partial
from typing import Any

from msgspec import Struct
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QVBoxLayout, QWidget

from workbook.app.elements.basics import Lettered, button, label, named, row, scrolled, surface, tool
from workbook.app.elements.choice import ChoiceField
from workbook.app.elements.count_field import CountField, NumberField
from workbook.app.elements.entry import Troubles
from workbook.app.elements.form import Form
from workbook.app.elements.record_table import RecordTable
from workbook.app.elements.working import Figure, in_money
from workbook.app.pages.stock.items import BAR_ITEMS, LEDGER_HEADS, MATERIAL_ITEMS, entry_row
from workbook.app.workspace import Workspace
from workbook.document.orders import by_date, customer_of, ledger_of
from workbook.document.records import BarRecord, MaterialRecord
from workbook.shop.fields import MOST_COUNTED
from workbook.shop.ledger import TAKES, Entry, Reason
from workbook.shop.orders import DONE
from workbook.shop.steel import mass
from workbook.shop.worth import at_bench, weight_words
from workbook.texts import _

Stocked = BarRecord | MaterialRecord
_BOOKED = ((Reason.BOUGHT, _("Buy")), (Reason.USED, _("Use")), (Reason.RETURNED, _("Return")), (Reason.SCRAPPED, _("Scrap")))


class _Line(Struct, frozen=True):
    id: str
    entry: Entry
    then: str


class StockSide(QWidget):
    """The panel beside the tables."""

    entered = Signal(str, object)
    trouble = Signal(str)
    booked = Signal(object, object)  # the reason, and the number
    spoken_for = Signal(str, int)  # an order's id, and the number
    remove_wanted = Signal()
    pairs_wanted = Signal()

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        look = workspace.look
        self._workspace = workspace
        self.bar_form = Form(look, BAR_ITEMS, workspace.unit)
        self.material_form = Form(look, MATERIAL_ITEMS, workspace.unit)
        self.title = Lettered(look, "", 9.75, bold=True)
        self.none = label(look, _("Select a bar or a material to change it, use it up, or see its ledger."), soft=True)
        self.none.setWordWrap(True)
        self.none.setContentsMargins(12, 8, 12, 8)
        self.price = Figure(look, "bar-price", _("landed cost, each"), "body")
        self.weight = label(look, "", soft=True)
        self.count = NumberField(look, "book-count", _("Quantity"), 70)
        self.buttons = {reason: tool(look, f"book-{reason.name.lower()}", words) for reason, words in _BOOKED}
        self.order = ChoiceField(look)
        self.kept = CountField(look, "kept-count", _("Number to reserve"), 70)
        self.order.setObjectName("kept-for")
        self.order.setAccessibleName(_("Reserve for order"))
        self.order.setFont(look.font("body"))
        self.ledger = RecordTable(look, "ledger", _("Ledger"), LEDGER_HEADS, right=(2, 3))
        self.ledger.set_widths(look, {0: 94, 1: 70, 2: 38, 3: 62})
        self.pairs_button = button(look, "pairs-of-one", _("Count pairs from one"))
        self.blades_button = tool(look, "blades-of-bar", _("Blades"), "right")
        self.blades_button.clicked.connect(lambda: workspace.blades_wanted.emit(self.title.text()))
        self.remove_button = button(look, "remove-stock", _("Delete"))
        self._build()
        self._troubles = Troubles()
        for form in (self.bar_form, self.material_form):
            form.entered.connect(self.entered)
            form.keep_in(workspace)
            form.trouble.connect(self._troubles.of("bar" if form is self.bar_form else "material", self.trouble.emit))
        for reason, reason_button in self.buttons.items():
            reason_button.clicked.connect(partial(self._book, reason))
        self.kept.entered.connect(self._keep)
        for field in (self.count, self.kept):
            field.trouble.connect(self._troubles.of(field.objectName(), self.trouble.emit))
        self.order.activated.connect(lambda index: self._show_kept())
        self.remove_button.clicked.connect(self.remove_wanted)
        self.pairs_button.clicked.connect(self.pairs_wanted)
        self._record: Stocked | None = None

    def _build(self) -> None:
        look = self._workspace.look
        inner = named(QWidget(), "inner")
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 6, 0, 6)
        self._of_bar = QWidget()
        self._of_bar.setLayout(row(label(look, _("Landed cost, each")), self.price, None, self.weight, margins=(12, 0, 12, 4)))
        for widget in (self.none, self._of_bar, self.bar_form, self.material_form):
            column.addWidget(widget)
        column.addStretch(1)
        self._booking = QWidget()
        booking = QVBoxLayout(self._booking)
        booking.setContentsMargins(0, 6, 0, 0)
        booking.setSpacing(4)
        line = QHBoxLayout()
        line.setContentsMargins(12, 0, 4, 0)
        line.setSpacing(0)
        line.addWidget(self.count)
        for reason_button in self.buttons.values():
            line.addWidget(reason_button)
        line.addStretch(1)
        booking.addLayout(line)
        self._kept_row = QWidget()
        self._kept_row.setLayout(row(label(look, _("Reserved for")), self.order, self.kept, margins=(12, 0, 12, 0)))
        booking.addWidget(self._kept_row)
        booking.addWidget(self.ledger)
        self.ledger.setFixedHeight(look.px(32 + 5 * 28))
        side = QVBoxLayout(self)
        side.setContentsMargins(0, 0, 0, 0)
        side.setSpacing(0)
        layout = QVBoxLayout()
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(surface("strip", row(self.title, self.blades_button), look.px(48)))
        layout.addWidget(scrolled(inner), 1)
        layout.addWidget(surface("foot", self._foot()))
        side.addWidget(surface("panel", layout))

    def _foot(self) -> QVBoxLayout:
        foot = QVBoxLayout()
        foot.setContentsMargins(0, 0, 0, 10)
        foot.addWidget(self._booking)
        foot.addLayout(row(self.remove_button, self.pairs_button, margins=(12, 4, 12, 0)))
        return foot

    def show_record(self, record: Stocked | None) -> None:
        """Show another bar or material, or none."""
        if record is None or self._record is None or record.id != self._record.id:
            self.let_go()  # typing was for the previous one
            self.count.show_number(1)
        self._record = record
        self.none.setVisible(record is None)
        self.remove_button.setEnabled(record is not None)
        self.bar_form.setVisible(isinstance(record, BarRecord))
        self.material_form.setVisible(isinstance(record, MaterialRecord))
        self._booking.setVisible(record is not None)
        material = record.material if isinstance(record, MaterialRecord) else None
        self.pairs_button.setVisible(bool(material and material.width and material.length and material.size))
        self._kept_row.setVisible(isinstance(record, BarRecord))
        self._of_bar.setVisible(isinstance(record, BarRecord))
        self.blades_button.setVisible(isinstance(record, BarRecord))
        if record is None:
            self.title.say("")
            return
        owner, form = (record.bar, self.bar_form) if isinstance(record, BarRecord) else (record.material, self.material_form)
        self.title.say(owner.name)
        form.show_values({key: value_of(owner, key) for key in form.keys}, self._workspace.unit, record.id)
        self._show_ledger(record)
        if isinstance(record, BarRecord):
            self._show_orders()
            money = self._workspace.session.document.settings.money
            density = self._workspace.model.facts.density(record.bar.steel)
            self.price.say(in_money(at_bench(record.bar, density, money), money))
            self.weight.setText(weight_words(mass(record.bar, density), self._workspace.unit))

    def _show_ledger(self, record: Stocked) -> None:
        document, lines, then = self._workspace.session.document, list[_Line](), Decimal(0)
        for n, entry in enumerate(ledger_of(document, record.id)):
            then += entry.by
            lines.append(_Line(str(n), entry, f"{then:f}"))
        self.ledger.show_records(lines[::-1], lambda line: entry_row(line.entry, line.then, document.settings.local))
        self.count.set_limits(0, MOST_COUNTED, whole=isinstance(record, BarRecord))

    def _show_orders(self) -> None:
        """List the orders that bars may be kept for."""
        document, at = self._workspace.session.document, self.order.currentData()
        rows = [(o.id, f"{o.number} {customer_of(document, o)}") for o in by_date(document) if o.status not in DONE]
        self.order.clear()
        for id_, words in rows:
            self.order.addItem(words, id_)
        ids = [id_ for id_, _ in rows]
        self.order.setCurrentIndex(ids.index(at) if at in ids else 0)
        self._kept_row.setVisible(bool(rows))
        self._show_kept()

    def _show_kept(self) -> None:
        record = self._record
        if isinstance(record, BarRecord):
            self.kept.set_limits(0, max(record.bar.have, 0))
            self.kept.show_count(next((each.count for each in record.spoken if each.order == self.order.currentData()), 0))

    def _keep(self, count: int) -> None:
        order = self.order.currentData()
        if isinstance(self._record, BarRecord) and isinstance(order, str):
            self.spoken_for.emit(order, count)

    def _book(self, reason: Reason) -> None:
        """Book the number in the field; if it is wrong, say why and book nothing."""
        if self.count.why_not:
            self.trouble.emit(self.count.why_not)
        elif by := self.count.number:
            self.booked.emit(reason, -by if reason in TAKES else by)

    def let_go(self) -> None:
        """Drop unfinished typing."""
        self.bar_form.let_go()
        self.material_form.let_go()
        self.kept.let_go()


def value_of(owner: Any, key: str) -> Any:
    """A part of a record, by its dotted path."""
    for name in key.split("."):
        owner = getattr(owner, name)
    return owner


def heads_hidden(table: RecordTable, heads: Sequence[str], hidden: dict[str, bool]) -> None:
    """Show or hide columns by their heads."""
    for head, hide in hidden.items():
        table.setColumnHidden(heads.index(head), hide)
