"""Stock: the rack to scale, bars and offcuts, other materials; one typed line adds either; a ledger for each."""

from contextlib import suppress
from decimal import Decimal
from functools import partial, reduce
from typing import Any, NamedTuple

from PySide6.QtCore import QTimer, Signal
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QScrollArea, QSizePolicy, QVBoxLayout

from workbook.app.canvas.rack import OnRack, RackView
from workbook.app.changed import Changed
from workbook.app.elements.basics import label, named, row, surface, tool
from workbook.app.elements.length_field import ValueField
from workbook.app.elements.record_table import RecordTable
from workbook.app.elements.text_field import EntryLine
from workbook.app.elements.working import Figure, in_money
from workbook.app.pages.page import Page
from workbook.app.pages.stock.items import BAR_HEADS, MATERIAL_HEADS, bar_row, material_row, spoken
from workbook.app.pages.stock.pairs import PairsCount
from workbook.app.pages.stock.side import Stocked, StockSide, heads_hidden
from workbook.app.threads import begun
from workbook.app.workspace import Workspace
from workbook.document.actions import ledger, rack
from workbook.document.actions.ledger import Stamp
from workbook.document.document import Document, Edit, joined
from workbook.document.records import BarRecord, MaterialRecord
from workbook.shop.entry import MATERIAL_EXAMPLE, EntryError, bar_entries, material_entry
from workbook.shop.job import NOT_OF_THIS_BAR, PricePer, lacks_too_much, may_be_read
from workbook.shop.ledger import Reason
from workbook.shop.money import priced
from workbook.shop.worked import Worked
from workbook.shop.worth import worth
from workbook.structs import replace
from workbook.tasks.work import new_id
from workbook.texts import _
from workbook.units import HABITS

_PICTURED = 60  # kinds of bars in the picture, at most


class StockShowing(NamedTuple):
    """What the page shows besides the stock itself: the id of what is chosen, whether used-up bars show, and the picture."""

    chosen: str
    used: bool
    picture: bool


class StockPage(Page):
    """Shows the rack and the other materials in the shop."""

    _counted = Signal(object, object)  # a document, and the worth of its stock or the error

    def __init__(self, workspace: Workspace, side: StockSide) -> None:
        super().__init__()
        self.setObjectName("stock-page")
        self._workspace = workspace
        look = workspace.look
        self._record: Stocked | None = None
        self.stale = True
        self.bars = RecordTable(look, "bars", _("Bars"), BAR_HEADS)
        self.materials = RecordTable(look, "materials", _("Other materials"), MATERIAL_HEADS)
        self.bars.set_widths(look, {0: 78, 3: 104, 4: 112, 5: 82, 6: 100})
        self.materials.set_widths(look, {1: 82, 2: 70, 3: 96, 4: 92})
        self.rack = RackView(look)
        self.bar_line = self._entry("bar-line", _("New bar, in one line"), HABITS[workspace.unit].bar)
        self.material_line = self._entry("material-line", _("New material, in one line"), MATERIAL_EXAMPLE)
        self.side, self.pairs = side, PairsCount(workspace)
        self.bar_form, self.material_form = self.side.bar_form, self.side.material_form
        self.remove_button = self.side.remove_button
        self.worth = Figure(look, "worth", _("in stock"), "body")
        self._count = QTimer(self)
        self._count.setSingleShot(True)
        self._count.timeout.connect(self._count_worth)
        self._counted.connect(self._show_worth)
        self.used_button = tool(look, "used-up", _("Show used-up"), switch=False)
        self.picture_button = tool(look, "rack-picture", _("Show rack"), switch=True)
        self.wrong = named(label(look, "", bold=True), "stop")
        self.wrong.setWordWrap(True)
        self.wrong.setContentsMargins(12, 6, 12, 6)
        self.wrong.setVisible(False)
        self.first = self.bar_line  # where the keyboard starts on this page
        self._build()
        self._connect()
        self.refresh()

    def _entry(self, name: str, words: str, example: str) -> QLineEdit:
        look = self._workspace.look
        line = EntryLine(name, words, self._workspace.typed)
        line.setPlaceholderText(example)
        line.setFont(look.font("body"))
        line.setFixedHeight(look.size("row"))
        line.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Fixed)
        return line

    def _build(self) -> None:
        look = self._workspace.look
        middle = QVBoxLayout()
        middle.setContentsMargins(0, 0, 0, 0)
        middle.setSpacing(0)
        self._rack_area = QScrollArea()
        self._rack_area.setWidgetResizable(True)
        self._rack_area.setWidget(self.rack)
        add = tool(look, "add-bar-line", _("Add"), "add")
        add.clicked.connect(self.bar_line.returnPressed)
        strip = row(
            label(look, _("Bars and offcuts"), "strong"), self.bar_line, add, self.worth, self.used_button, self.picture_button
        )
        middle.addWidget(surface("strip", strip, look.px(48)))
        middle.addWidget(self.wrong)
        middle.addWidget(self._rack_area, 3)
        middle.addWidget(self.bars, 3)
        add = tool(look, "add-material-line", _("Add"), "add")
        add.clicked.connect(self.material_line.returnPressed)
        middle.addWidget(surface("strip", row(label(look, _("Other materials"), "strong"), self.material_line, add), look.px(48)))
        middle.addWidget(self.materials, 2)
        columns = QHBoxLayout(self)
        columns.setContentsMargins(0, 0, 0, 0)
        columns.setSpacing(0)
        columns.addLayout(middle, 1)
        columns.addWidget(self.side)

    def _connect(self) -> None:
        space = self._workspace
        self.bar_line.returnPressed.connect(self._add_bar)
        self.material_line.returnPressed.connect(self._add_material)
        for line in (self.bar_line, self.material_line):
            line.textEdited.connect(lambda text: self._say(""))
        self.bars.chosen.connect(partial(self._chosen, BarRecord))
        self.materials.chosen.connect(partial(self._chosen, MaterialRecord))
        self.rack.chosen.connect(self.bars.choose)
        self.side.entered.connect(self._entered)
        self.side.trouble.connect(self._say)
        self.side.booked.connect(self._book)
        self.side.spoken_for.connect(self._speak_for)
        self.side.remove_wanted.connect(self._remove)
        self.side.pairs_wanted.connect(self._pairs)
        self.pairs.ended.connect(lambda: self.side.pairs_button.setEnabled(True))
        self.used_button.toggled.connect(lambda on: self.refresh())
        self.picture_button.toggled.connect(self._rack_area.setVisible)
        for name in ("thickness", "middle", "far", "width", "length"):
            reading_field = self.bar_form.field(f"measured.{name}")
            assert isinstance(reading_field, ValueField)
            reading_field.refuse = partial(self._far_off, name)
        for name in ("slant", "length", "width", "corner_length", "corner_width"):
            size_field = self.bar_form.field(name)
            assert isinstance(size_field, ValueField)
            size_field.refuse = partial(self._lacks_too_much, name)
        space.changed.connect(self._changed)
        space.refused.connect(self._refused)

    def _changed(self, change: Changed) -> None:
        if change.records:
            self.out_of_date()

    def _say(self, problem: str) -> None:
        self.wrong.setText(problem)
        self.wrong.setVisible(bool(problem))
        self.hint.emit(problem)

    def _refused(self) -> None:
        self.side.let_go()
        self.refresh()

    def showing(self) -> StockShowing:
        """The bar or material chosen, and what the buttons show."""
        chosen = self._record.id if self._record is not None else ""
        return StockShowing(chosen, self.used_button.isChecked(), self.picture_button.isChecked())

    def show_again(self, showing: object) -> None:
        """Show what the page in another look did."""
        assert isinstance(showing, StockShowing)
        record = self._workspace.session.document.records.get(showing.chosen)
        self._record = record if isinstance(record, BarRecord | MaterialRecord) else None
        self.used_button.setChecked(showing.used)
        self.picture_button.setChecked(showing.picture)
        self.out_of_date()

    def make_room(self, width: int, height: int) -> None:
        """Set the width of the side panel; a narrow page leaves out columns, a low one the picture."""
        look = self._workspace.look
        room = width / look.text
        self.side.setFixedWidth(look.px(340 if room >= 1280 else 310))
        heads_hidden(
            self.bars, BAR_HEADS, {_("Measured"): room < 1300, _("Reserved for"): room < 1180, _("Can reorder"): room < 960}
        )
        heads_hidden(self.materials, MATERIAL_HEADS, {_("Unit"): room < 960, _("Kind"): room < 860})
        self._rack_area.setVisible(self.picture_button.isChecked() and height / look.text >= 640)
        self.worth.setVisible(room >= 1180)

    def refresh(self) -> None:
        """Refresh tables, picture and form after any change."""
        self.stale = False
        space = self._workspace
        document = space.session.document
        self.bar_line.setPlaceholderText(HABITS[space.unit].bar)
        if self._record is not None:
            now = document.records.get(self._record.id)
            self._record = now if isinstance(now, BarRecord | MaterialRecord) else None
        chosen, include_used = self._record.id if self._record else "", self.used_button.isChecked()
        all_bars = list(document.all(BarRecord))
        bars = [r for r in all_bars if include_used or r.bar.have or r.bar.buy or r.id == chosen]
        self.used_button.setVisible(include_used or len(bars) < len(all_bars))
        money = document.settings.money
        self.bars.show_records(bars, lambda record: bar_row(document, record, space.unit), chosen)
        materials = list(document.all(MaterialRecord))
        self.materials.show_records(materials, lambda record: material_row(record.material, money), chosen)
        self._show_rack(chosen, bars)
        self._count.start()
        self.side.show_record(self._record)

    def _count_worth(self) -> None:
        """Compute the worth of the stock in a thread: with very many bars it takes as long as all the rest."""
        document, facts = self._workspace.session.document, self._workspace.model.facts

        def count() -> None:
            try:
                bars = (record.bar for record in document.all(BarRecord))
                result: Worked | Exception = worth(bars, (r.material for r in document.all(MaterialRecord)), facts)
            except Exception as trouble:  # noqa: BLE001  # raised again on the window's thread
                result = trouble
            with suppress(RuntimeError):  # the window is gone
                self._counted.emit(document, result)

        begun(count, "worth")

    def _show_worth(self, document: Document, worth: Worked | Exception) -> None:
        """Show the worth of the stock, unless the document has changed meanwhile. Raises the error, if that is the result."""
        if isinstance(worth, Exception):
            raise worth
        money = document.settings.money
        if document is self._workspace.session.document:
            self.worth.say_only(priced(worth.amount, money), lambda: in_money(worth, money))

    def _show_rack(self, chosen: str, bars: list[BarRecord]) -> None:
        present = [r for r in bars if r.bar.have][:_PICTURED]
        document = self._workspace.session.document
        self.rack.show_bars([OnRack(r.id, r.bar, spoken(document, r)) for r in present], chosen, self._workspace.unit)

    def _chosen(self, kind: type[Stocked], id: str) -> None:  # noqa: A002
        """Show a row chosen in one table and clear the choice in the other."""
        record = self._workspace.session.document.records.get(id)
        if isinstance(record, BarRecord | MaterialRecord):
            self._record = record
            (self.materials if kind is BarRecord else self.bars).clear_choice()
        elif isinstance(self._record, kind):
            self._record = None
        self._show_rack(id, [r for r in self._workspace.session.document.all(BarRecord) if r.bar.have or r.bar.buy])
        self.side.show_record(self._record)

    def _add_bar(self) -> None:
        space, prices = self._workspace, self._workspace.session.document.settings.prices
        try:
            bars = bar_entries(self.bar_line.text(), space.unit)
        except EntryError as trouble:
            self._say(str(trouble))
            return
        document, edits, id_ = space.session.document, list[Edit](), ""
        for bar in bars:
            priced_bar = replace(bar, shipping=prices.shipping, cut_charge=prices.cut_charge) if bar.buy else bar
            new_bar = replace(priced_bar, per=prices.per) if bar.per is PricePer.BAR else priced_bar
            edits.append(rack.add_bar(document, new_bar, id_ := new_id(), space.stamp()))
            document = document.applied(edits[-1])
        self._added(reduce(joined, edits), id_, self.bar_line)

    def _add_material(self) -> None:
        space = self._workspace
        try:
            material = material_entry(self.material_line.text())
        except EntryError as trouble:
            self._say(str(trouble))
            return
        edit = rack.add_material(space.session.document, material, id_ := new_id(), space.stamp())
        self._added(edit, id_, self.material_line)

    def _added(self, edit: Any, id_: str, line: QLineEdit) -> None:
        """Add the record, show it, and clear the line for the next."""
        if self._workspace.do(edit):
            line.clear()
            record = self._workspace.session.document.records[id_]
            assert isinstance(record, BarRecord | MaterialRecord)
            self._record = record
            self.refresh()
            (self.bars if isinstance(record, BarRecord) else self.materials).reveal(id_)

    def _entered(self, key: str, value: Any) -> None:
        record = self._record
        if record is None:
            return

        def made(document: Document, stamp: Stamp) -> Edit:
            now = document.records[record.id]
            if isinstance(now, BarRecord):
                return rack.change_bar(document, now.id, _changed(now.bar, key, value), stamp)
            assert isinstance(now, MaterialRecord)
            return rack.change_material(document, now.id, _changed(now.material, key, value), stamp)

        self._workspace.merge_count(f"{record.id} {key}", made)

    def _book(self, reason: Reason, by: Decimal) -> None:
        """Book an amount in or out; refuse to take out more than there is."""
        record = self._record
        if record is None:
            return
        remaining = ledger.have(record) + by
        if remaining < 0:
            self._say(
                _(
                    "{name_of}: {have:f} on hand, so {by:f} cannot be taken.",
                    name_of=ledger.name_of(record),
                    have=ledger.have(record),
                    by=-by,
                )
            )
            return
        self._say("")
        self._workspace.do(ledger.moved(self._workspace.session.document, record.id, reason, by, self._workspace.stamp()))

    def _speak_for(self, order: str, count: int) -> None:
        if isinstance(self._record, BarRecord):
            self._workspace.do(ledger.speak_for(self._workspace.session.document, self._record.id, order, count))

    def _far_off(self, name: str, value: float) -> str:
        """The reason why a reading cannot be of a bar of this nominal size; "" if it can, or if it is 0 for no reading."""
        if not isinstance(self._record, BarRecord) or value == 0:
            return ""
        nominal = "thickness" if name in ("middle", "far") else name
        return "" if may_be_read(value, getattr(self._record.bar, nominal)) else NOT_OF_THIS_BAR

    def _pairs(self) -> None:
        """Count how many pairs of scales of the chosen template one sheet gives."""
        if isinstance(self._record, MaterialRecord):
            self.side.pairs_button.setEnabled(False)
            self.pairs.begin(self._record)

    def end(self) -> None:
        """End the counting of scales."""
        self.pairs.close()

    def _lacks_too_much(self, name: str, value: float) -> str:
        """The reason why so much of the bar cannot be missing, or the bar be so small; "" if it can."""
        if not isinstance(self._record, BarRecord):
            return ""
        bar = _changed(self._record.bar, name, value)
        return next((reason for _key, reason in lacks_too_much(bar)), "")

    def _remove(self) -> None:
        record, document = self._record, self._workspace.session.document
        if isinstance(record, BarRecord):
            self._workspace.do(rack.remove_bar(document, record.id))
            self.bars.setFocus()
        elif isinstance(record, MaterialRecord):
            self._workspace.do(rack.remove_material(document, record.id))
            self.materials.setFocus()


def _changed(owner: Any, key: str, value: Any) -> Any:
    """A copy of a bar or material with one part changed, named by its path."""
    name, _, subkey = key.partition(".")
    return replace(owner, **{name: replace(getattr(owner, name), **{subkey: value}) if subkey else value})
