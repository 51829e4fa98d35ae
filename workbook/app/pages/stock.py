"""Stock: bars and offcuts as they lie, other materials, and one typed line that adds either."""

from collections.abc import Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QHBoxLayout, QHeaderView, QLineEdit, QTableWidget, QVBoxLayout, QWidget

from workbook.app.widgets.basics import Lettered, button, label, named, row, scrolled, surface, tool
from workbook.app.widgets.form import AmountItem, ChoiceItem, Form, Heading, Item, LengthItem, NumberItem, SwitchItem, TextItem
from workbook.app.widgets.length_field import ValueField
from workbook.app.widgets.lettered_table import fill, lettered_table
from workbook.app.workspace import Workspace
from workbook.document.actions import rack
from workbook.document.records import BarRecord, MaterialRecord
from workbook.shop.entry import BAR_EXAMPLES, MATERIAL_EXAMPLE, EntryError, bar_entry, material_entry
from workbook.shop.job import NOT_OF_THIS_BAR, Bar, Edges, PricePer, may_be_read
from workbook.shop.materials import Material, MaterialKind
from workbook.shop.money import NOTHING, priced
from workbook.tasks.work import new_id
from workbook.template.parameters import Kind
from workbook.units import Unit, built, reading, show

_EDGES = ((Edges.MILL, "as rolled"), (Edges.SAWN, "sawn"), (Edges.SHEARED, "sheared"))
_PER = ((PricePer.BAR, "one bar"), (PricePer.FOOT, "a foot"), (PricePer.METRE, "a metre"), (PricePer.KILOGRAM, "a kilogram"))
_BAR_ITEMS: tuple[Item | Heading, ...] = (
    TextItem("name", "Name"),
    TextItem("steel", "Steel", 30),
    LengthItem("thickness", "Thickness", 0.2, 60.0),
    LengthItem("width", "Width", 3.0, 1500.0),
    LengthItem("length", "Length", 10.0, 10_000.0),
    ChoiceItem("edges", "Long edges", _EDGES),
    SwitchItem("hot_rolled", "It is hot-rolled"),
    Heading("Calipers read (0: not measured)"),
    LengthItem("measured.thickness", "Thickness at end A", 0.2, 60.0, Kind.READING, none=True),
    LengthItem("measured.middle", "Thickness half-way", 0.2, 60.0, Kind.READING, none=True),
    LengthItem("measured.far", "Thickness at end B", 0.2, 60.0, Kind.READING, none=True),
    LengthItem("measured.bow", "Bow, flat on a plate", 0.0, 50.0, Kind.READING, none=True),
    LengthItem("measured.width", "Width", 3.0, 1500.0, Kind.READING, none=True),
    LengthItem("measured.length", "Length", 10.0, 10_000.0, Kind.READING, none=True),
    Heading("On the rack and for sale"),
    NumberItem("have", "On the rack", 0, 1000, whole=True),
    SwitchItem("offcut", "It is an offcut"),
    SwitchItem("buy", "More can be bought"),
    AmountItem("price", "Price"),
    ChoiceItem("per", "The price is for", _PER),
    AmountItem("shipping", "Carriage for a bar"),
    AmountItem("cut_charge", "Cut charge for a bar"),
)
_KINDS = tuple((kind, kind.value) for kind in MaterialKind)
_MATERIAL_ITEMS: tuple[Item | Heading, ...] = (
    TextItem("name", "Name"),
    ChoiceItem("kind", "Kind", _KINDS),
    TextItem("per", "One of it is a", 20),
    AmountItem("price", "Price for one"),
    NumberItem("have", "There are", 0, 100_000),
    NumberItem("low", "Buy when fewer than", 0, 100_000),
)
_BAR_HEADS = ("Bar", "Size", "Measured", "On the rack", "Price", "For sale")
_MATERIAL_HEADS = ("Material", "Kind", "There are", "One is a", "Price for one", "")


class StockPage(QWidget):
    """The rack and what else lies in the shop."""

    hint = Signal(str)

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self.setObjectName("stock-page")
        self._workspace = workspace
        look = workspace.look
        self._record: BarRecord | MaterialRecord | None = None
        self.bars = lettered_table(look, "bars", _BAR_HEADS)
        self.bars.setAccessibleName("Bars")
        self.materials = lettered_table(look, "materials", _MATERIAL_HEADS)
        self.materials.setAccessibleName("Other materials")
        self.bar_line = self._entry("bar-line", "A bar in one line", BAR_EXAMPLES[workspace.unit])
        self.material_line = self._entry("material-line", "A material in one line", MATERIAL_EXAMPLE)
        self.bar_form = Form(look, _BAR_ITEMS, workspace.unit)
        self.material_form = Form(look, _MATERIAL_ITEMS, workspace.unit)
        self._title = Lettered(look, "", 9.75, bold=True)
        self._wrong = named(label(look, "", bold=True), "stop")
        self._wrong.setWordWrap(True)
        self._wrong.setContentsMargins(12, 6, 12, 6)
        self._wrong.setVisible(False)
        self._none = label(look, "Choose a bar or a material to change it.", soft=True)
        self._none.setContentsMargins(12, 8, 12, 8)
        self.remove_button = button(look, "remove-stock", "Take it off the list")
        self._build()
        self._connect()
        self.refresh()

    def _entry(self, name: str, words: str, example: str) -> QLineEdit:
        look = self._workspace.look
        line = named(QLineEdit(), name)
        line.setAccessibleName(words)
        line.setPlaceholderText(example)
        line.setFont(look.font("body"))
        line.setFixedHeight(look.size("row"))
        line.setMaxLength(200)
        return line

    def _build(self) -> None:
        look = self._workspace.look
        middle = QVBoxLayout()
        middle.setContentsMargins(0, 0, 0, 0)
        middle.setSpacing(0)
        for words, line, table, stretch in (
            ("Bars and offcuts", self.bar_line, self.bars, 3),
            ("Other materials", self.material_line, self.materials, 2),
        ):
            add = tool(look, f"add-{line.objectName()}", "Add", "add")
            add.clicked.connect(line.returnPressed)
            line.setMaximumWidth(look.px(380))
            middle.addWidget(surface("strip", row(label(look, words, "strong"), line, add), look.px(48)))
            if table is self.bars:
                middle.addWidget(self._wrong)
            middle.addWidget(table, stretch)
        inner = named(QWidget(), "inner")
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 6, 0, 6)
        for widget in (self._none, self.bar_form, self.material_form):
            column.addWidget(widget)
        column.addStretch(1)
        scroll = scrolled(inner)
        side = QVBoxLayout()
        side.setContentsMargins(0, 0, 0, 0)
        side.setSpacing(0)
        side.addWidget(surface("strip", row(self._title), look.px(48)))
        side.addWidget(scroll, 1)
        foot = QVBoxLayout()
        foot.setContentsMargins(12, 4, 12, 12)
        foot.addWidget(self.remove_button)
        side.addWidget(surface("foot", foot))
        self._right = surface("panel", side)
        whole = QHBoxLayout(self)
        whole.setContentsMargins(0, 0, 0, 0)
        whole.setSpacing(0)
        whole.addLayout(middle, 1)
        whole.addWidget(self._right)

    def _connect(self) -> None:
        space = self._workspace
        self.bar_line.returnPressed.connect(self._add_bar)
        self.material_line.returnPressed.connect(self._add_material)
        for line in (self.bar_line, self.material_line):
            line.textEdited.connect(lambda text: self._say(""))
        self.bars.itemSelectionChanged.connect(lambda: self._chosen(self.bars, self.materials, BarRecord))
        self.materials.itemSelectionChanged.connect(lambda: self._chosen(self.materials, self.bars, MaterialRecord))
        for form in (self.bar_form, self.material_form):
            form.entered.connect(self._changed)
            form.trouble.connect(self._say)
        for name in ("thickness", "middle", "far", "width", "length"):
            read = self.bar_form.field(f"measured.{name}")
            assert isinstance(read, ValueField)
            read.refuse = partial(self._far_off, name)
        self.remove_button.clicked.connect(self._remove)
        space.history_changed.connect(self.refresh)
        space.unit_changed.connect(self.refresh)
        space.refused.connect(self._refused)

    def _say(self, why: str) -> None:
        self._wrong.setText(why)
        self._wrong.setVisible(bool(why))
        self.hint.emit(why)

    def _refused(self) -> None:
        self.bar_form.let_go()
        self.material_form.let_go()
        self.refresh()

    def make_room(self, width: int, height: int) -> None:
        """The side panel's width; a narrow page leaves out what is measured."""
        look = self._workspace.look
        room = width / look.text
        self._right.setFixedWidth(look.px(340 if room >= 1280 else 310))
        self.bars.setColumnHidden(_BAR_HEADS.index("Measured"), room < 1100)
        self.bars.setColumnHidden(_BAR_HEADS.index("For sale"), room < 900)
        for column in (0, *range(3, len(_BAR_HEADS))):
            self.bars.horizontalHeader().setSectionResizeMode(column, QHeaderView.ResizeMode.Fixed)
            self.bars.setColumnWidth(column, look.px(92 if column == _BAR_HEADS.index("On the rack") else 78))
        self.materials.setColumnHidden(_MATERIAL_HEADS.index("One is a"), room < 900)

    def refresh(self) -> None:
        """Both tables and the form, after any change."""
        space = self._workspace
        document = space.session.document
        self._bars, self._materials = list(document.all(BarRecord)), list(document.all(MaterialRecord))
        currency = document.settings.currency
        self.bar_line.setPlaceholderText(BAR_EXAMPLES[space.unit])
        _fill(self.bars, [bar_row(record.bar, space.unit, currency) for record in self._bars])
        _fill(self.materials, [material_row(record.material, currency) for record in self._materials])
        if self._record is not None:
            now = document.records.get(self._record.id)
            self._record = now if isinstance(now, BarRecord | MaterialRecord) else None
        self._choose_rows()
        self._show_record()

    def _choose_rows(self) -> None:
        """The rows chosen are those of the record that is shown, whatever came or went above them."""
        wanted = self._record.id if self._record else ""
        for table, ids in (
            (self.bars, [record.id for record in self._bars]),
            (self.materials, [record.id for record in self._materials]),
        ):
            at = ids.index(wanted) if wanted in ids else -1
            table.blockSignals(True)
            table.selectRow(at) if at >= 0 else table.clearSelection()
            table.blockSignals(False)

    def _chosen(self, table: QTableWidget, other: QTableWidget, kind: type[BarRecord | MaterialRecord]) -> None:
        rows = table.selectionModel().selectedRows()
        records: Sequence[BarRecord | MaterialRecord] = self._bars if kind is BarRecord else self._materials
        if rows:
            other.blockSignals(True)
            other.clearSelection()
            other.blockSignals(False)
            self._record = records[rows[0].row()]
        elif isinstance(self._record, kind):
            self._record = None
        self._show_record()

    def _show_record(self) -> None:
        record, unit = self._record, self._workspace.unit
        self._none.setVisible(record is None)
        self.remove_button.setEnabled(record is not None)
        self.bar_form.setVisible(isinstance(record, BarRecord))
        self.material_form.setVisible(isinstance(record, MaterialRecord))
        if isinstance(record, BarRecord):
            self._title.say(record.bar.name)
            self.bar_form.show_values({key: _value(record.bar, key) for key in self.bar_form.keys}, unit)
        elif isinstance(record, MaterialRecord):
            self._title.say(record.material.name)
            self.material_form.show_values({key: _value(record.material, key) for key in self.material_form.keys}, unit)
        else:
            self._title.say("")

    def _add_bar(self) -> None:
        space, prices = self._workspace, self._workspace.session.document.settings.prices
        try:
            bar = bar_entry(self.bar_line.text(), space.unit)
        except EntryError as trouble:
            self._say(str(trouble))
            return
        if bar.buy:
            bar = replace(bar, shipping=prices.shipping, cut_charge=prices.cut_charge)
        if bar.per is PricePer.BAR:
            bar = replace(bar, per=prices.per)
        self._added(rack.add_bar(space.session.document, bar, id_ := new_id(), space.stamp()), id_, self.bar_line)

    def _add_material(self) -> None:
        try:
            material = material_entry(self.material_line.text())
        except EntryError as trouble:
            self._say(str(trouble))
            return
        edit = rack.add_material(self._workspace.session.document, material, id_ := new_id(), self._workspace.stamp())
        self._added(edit, id_, self.material_line)

    def _added(self, edit: Any, id_: str, line: QLineEdit) -> None:
        """What was added is shown, and the line is free for the next."""
        if self._workspace.do(edit):
            line.clear()
            found = self._workspace.session.document.records[id_]
            assert isinstance(found, BarRecord | MaterialRecord)
            self._record = found
            self.refresh()

    def _changed(self, key: str, value: Any) -> None:
        record, document = self._record, self._workspace.session.document
        if isinstance(record, BarRecord):
            edit = rack.change_bar(document, record.id, _changed(record.bar, key, value), self._workspace.stamp())
        elif isinstance(record, MaterialRecord):
            edit = rack.change_material(document, record.id, _changed(record.material, key, value), self._workspace.stamp())
        else:
            return
        self._workspace.do_again(f"{record.id} {key}", edit)

    def _far_off(self, name: str, value: float) -> str:
        """Why a reading cannot be of a bar of this nominal size; "" when it can, or stands for none."""
        if not isinstance(self._record, BarRecord) or value == 0:
            return ""
        nominal = "thickness" if name in ("middle", "far") else name
        return "" if may_be_read(value, getattr(self._record.bar, nominal)) else NOT_OF_THIS_BAR

    def _remove(self) -> None:
        record, document = self._record, self._workspace.session.document
        if isinstance(record, BarRecord):
            self._workspace.do(rack.remove_bar(document, record.id))
            self.bars.setFocus()
        elif isinstance(record, MaterialRecord):
            self._workspace.do(rack.remove_material(document, record.id))
            self.materials.setFocus()


def _fill(table: QTableWidget, rows: Sequence[Sequence[str]]) -> None:
    table.blockSignals(True)
    fill(table, rows)
    table.blockSignals(False)


def _value(owner: Any, key: str) -> Any:
    for name in key.split("."):
        owner = getattr(owner, name)
    return owner


def _changed(owner: Any, key: str, value: Any) -> Any:
    """A bar or material with one part of it changed."""
    name, _, rest = key.partition(".")
    return replace(owner, **{name: replace(getattr(owner, name), **{rest: value}) if rest else value})


def bar_row(bar: Bar, unit: Unit, currency: str) -> tuple[str, ...]:
    """A bar as a row of the table."""
    sizes = " × ".join(built(show(v, unit)) for v in (bar.thickness, bar.width, bar.length))
    own = (bar.measured.least, bar.measured.width, bar.measured.length)
    measured = " × ".join(reading(v, unit) if v else "-" for v in own) if bar.measured.anything else ""
    per = "" if bar.per is PricePer.BAR else f" / {bar.per}"
    price = f"{priced(bar.price, currency)}{per}" if bar.price != NOTHING else "-"
    have = f"{bar.have} offcut" if bar.offcut and bar.have else str(bar.have) if bar.have else "-"
    return bar.steel, f"{sizes} {unit}", measured, have, price, "yes" if bar.buy else "-"


def material_row(material: Material, currency: str) -> tuple[str, ...]:
    """A material as a row of the table."""
    price = priced(material.price, currency) if material.price != NOTHING else "-"
    short = f"fewer than {material.low:g}: to buy" if material.short else ""
    return material.name, material.kind, f"{material.have:g}", material.per, price, short
