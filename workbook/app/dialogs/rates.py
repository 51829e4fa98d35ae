"""The shop's rates: hourly rate, stages, outside work, tax, deposit, and the text of its quotes."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

from msgspec import Struct
from msgspec.structs import fields
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QKeySequence, QShortcut
from PySide6.QtWidgets import QDialog, QHBoxLayout, QHeaderView, QTableWidget, QTableWidgetItem, QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.dialogs.typed_cells import TypedCells
from workbook.app.elements.basics import Lettered, label, named, row, scrolled, tool
from workbook.app.elements.form import Form, Heading, Item
from workbook.app.elements.items import form_items, item
from workbook.app.look import Look
from workbook.app.workspace import Workspace
from workbook.document.fields import FIELDS, row_of
from workbook.document.records import SettingsRecord
from workbook.fields import Kind
from workbook.number_in import parse_amount, parse_number, written
from workbook.shop.charges import Charges, Outside
from workbook.shop.fields import HOURS, ON_QUOTE, PRICE
from workbook.shop.labour import Stage, share_good
from workbook.shop.pricing import MOST_MARGIN, PriceMethod, Pricing
from workbook.structs import replace
from workbook.texts import _, labelled

# A target price is set per line of an order, not for the shop.
_WAYS = tuple((way, words) for way, words in row_of(Pricing, "way").options if way is not PriceMethod.TARGET)
ITEMS: tuple[Item | Heading, ...] = (
    *form_items(Charges, heads=(HOURS,)),
    Heading(_("Margin or markup")),
    item(Pricing, "way", options=_WAYS),
    item(Pricing, "share"),
    *form_items(Charges, heads=(PRICE,)),
    *form_items(SettingsRecord, heads=(ON_QUOTE,)),
    *(each for each in form_items(Charges, heads=(ON_QUOTE,)) if isinstance(each, Item)),
)
OF_SHOP = ("shop", "address", "contact")


class _Column(Struct, frozen=True):
    """A column of a table of records: the field, its heading, and how a cell is read and written."""

    field: str
    head: str
    read: Callable[[str], Any]
    written: Callable[[Any], str]


def _column(kind: type, field: str) -> _Column:
    """The column of a field, with the limits of the record."""
    row = row_of(kind, field)
    head = row.label
    if row.kind is Kind.CHOICE:
        words = dict(row.options)
        return _Column(field, head, partial(_one_of, row.options), words.__getitem__)
    if row.kind is Kind.SWITCH:
        return _Column(field, head, _yes, lambda value: _("yes") if value else _("no"))
    if row.kind is Kind.TEXT:
        return _Column(field, head, partial(_words, row.letters), str)
    if row.kind is Kind.MONEY:
        return _Column(field, head, parse_amount, written)
    by = 100.0 if row.kind is Kind.SHARE else 1.0
    low, high = row.low * by, row.high * by
    return _Column(
        field, head, lambda text: float(parse_number(text, low, high, sign="%")) / by, lambda value: written(value * by, high)
    )


def _words(most: int, text: str) -> str:
    if not 1 <= len(text.strip()) <= most:
        raise ValueError(_("type a name of up to {most} characters", most=most))
    return text.strip()


def _one_of(options: Sequence[tuple[Any, str]], text: str) -> Any:
    """The value of an option by its words, or the beginning of them."""
    wanted = text.strip().casefold()
    found = [value for value, words in options if wanted and words.casefold().startswith(wanted)]
    exact = [value for value, words in options if words.casefold() == wanted]
    if len(exact or found) != 1:
        raise ValueError(_("choose one of {names}", names=", ".join(words for _value, words in options)))
    return (exact or found)[0]


def _yes(text: str) -> bool:
    word = text.strip().casefold()
    if word not in (_("yes"), _("no")):
        raise ValueError(_("type yes or no"))
    return word == _("yes")


_STAGE = tuple(_column(Stage, row.key) for row in FIELDS[Stage])
_OUTSIDE = tuple(_column(Outside, row.key) for row in FIELDS[Outside])


class Rates(QDialog):
    """The dialog; every entry takes effect at once and can be undone."""

    def __init__(self, parent: QWidget, workspace: Workspace) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Shop rates"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._space, look = workspace, workspace.look
        self.form = Form(look, ITEMS, workspace.unit)
        self.stages = Records(look, "stages", _STAGE, lambda: Stage(name=_("New stage"), set_up=0.0, minutes=10.0))
        self.outside = Records(look, "outside", _OUTSIDE, lambda: Outside(name=_("Outside heat treatment")))
        self._yield = label(look, "", soft=True)
        self.wrong = Lettered(look, "", 9, bold=True, tone="stop")
        self._build()
        self.resize(min(look.px(1400), parent.width()), min(look.px(660), parent.height()))
        self.form.entered.connect(self._entered)
        for part, name in ((self.stages, "stages"), (self.outside, "outside")):
            part.changed.connect(lambda records, name=name: self._keep(name, None, **{name: records}))
            part.trouble.connect(self._say)
            part.cells.typing.connect(workspace.hold)
        self.form.trouble.connect(self._say)
        self.form.keep_in(workspace)
        for key, run in ((QKeySequence.StandardKey.Undo, workspace.undo), (QKeySequence.StandardKey.Redo, workspace.redo)):
            QShortcut(QKeySequence(key), self).activated.connect(run)
        workspace.changed.connect(self._changed)
        workspace.refused.connect(self._refused)
        self._fill()

    def _build(self) -> None:
        look = self._space.look
        inner = named(QWidget(), "inner")
        column = QVBoxLayout(inner)
        column.setContentsMargins(4, 0, 4, 8)
        column.addWidget(self.form)
        column.addStretch(1)
        tables = QVBoxLayout()
        tables.addWidget(self.stages, 3)
        tables.addWidget(self._yield)
        tables.addWidget(self.outside, 1)
        body = QHBoxLayout()
        form = scrolled(inner)
        form.setFixedWidth(look.px(400))
        body.addWidget(form)
        body.addLayout(tables, 1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(8, 10, 8, 10)
        words = _(
            "Every change takes effect at once and can be undone. The minutes in a new shop book are common "
            "practice: type your own."
        )
        note = label(look, words, "small", soft=True)
        note.setWordWrap(True)
        outer.addWidget(note)
        outer.addLayout(body, 1)
        outer.addWidget(self.wrong)

    def _say(self, problem: str) -> None:
        self.wrong.say(problem, "stop")
        self.wrong.setVisible(bool(problem))

    def _refused(self) -> None:
        self.stages.cells.let_go()
        self.outside.cells.let_go()
        self._fill()

    def _changed(self, change: Changed) -> None:
        if change.records:
            self._fill()

    def _fill(self) -> None:
        settings = self._space.session.document.settings
        charges = settings.charges
        values: dict[str, Any] = {item.name: getattr(charges, item.name) for item in fields(Charges)}
        values |= {"way": charges.pricing.way, "share": charges.pricing.share}
        values |= {name: getattr(settings, name) for name in OF_SHOP}
        self.form.show_values({key: values[key] for key in self.form.keys}, self._space.unit)
        self.stages.show_records(charges.stages)
        self.outside.show_records(charges.outside)
        self._yield.setText(_("{share:.1%} of the blanks started pass all stages.", share=share_good(charges.stages)))
        self._say("")

    def _entered(self, key: str, value: Any) -> None:
        charges = self._space.session.document.settings.charges
        if key in OF_SHOP:
            self._space.change_settings(key, value, **{key: value})
        elif key in ("way", "share"):
            pricing: Pricing = replace(charges.pricing, **{key: value})
            most = MOST_MARGIN if pricing.way is PriceMethod.MARGIN else pricing.share
            pricing = replace(pricing, share=min(pricing.share, most))
            self._keep(key, getattr(pricing, key), pricing=pricing)
        else:
            self._keep(key, value, **{key: value})

    def _keep(self, key: str, value: Any, **parts: Any) -> None:
        charges = replace(self._space.session.document.settings.charges, **parts)
        self._space.change_settings(f"charges.{key}", value, charges=charges)


_FEW = 4  # columns that fit beside each other: the first takes what is left; where there are more, each is as wide as its words


class Records(QWidget):
    """An editable table of records of one kind, with buttons to add and remove one."""

    changed = Signal(tuple)
    trouble = Signal(str)

    def __init__(self, look: Look, name: str, columns: Sequence[_Column], new: Callable[[], Any]) -> None:
        super().__init__()
        self._columns, self._new = columns, new
        self._records: tuple[Any, ...] = ()
        self.table = named(QTableWidget(0, len(columns)), name)
        self.table.setAccessibleName(columns[0].head)
        self.table.setHorizontalHeaderLabels([column.head for column in columns])
        self.table.horizontalHeader().setFont(look.font("small"))
        self.table.horizontalHeader().setSectionResizeMode(QHeaderView.ResizeMode.ResizeToContents)
        if len(columns) <= _FEW:
            self.table.horizontalHeader().setSectionResizeMode(0, QHeaderView.ResizeMode.Stretch)
        self.table.verticalHeader().setVisible(False)
        self.table.verticalHeader().setDefaultSectionSize(look.px(26))
        self.table.setFont(look.font("body"))
        self.cells = TypedCells(self.table)
        self.table.setItemDelegate(self.cells)
        self.table.cellChanged.connect(self._typed)
        add, less = tool(look, f"add-{name}", _("Add"), "add"), tool(look, f"less-{name}", _("Remove"))
        add.clicked.connect(lambda: self.changed.emit((*self._records, self._new())))
        less.clicked.connect(self._less)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self.table, 1)
        column.addLayout(row(add, less, None, margins=(0, 0, 0, 0)))

    def show_records(self, records: Sequence[Any]) -> None:
        """Show other records. Only changed cells are written, as each write measures its column again."""
        self._records = tuple(records)
        self.table.blockSignals(True)
        self.table.setRowCount(len(records))
        for r, record in enumerate(records):
            for c, column in enumerate(self._columns):
                self._write(r, c, column.written(getattr(record, column.field)))
        self.table.blockSignals(False)

    def _write(self, r: int, c: int, text: str) -> None:
        item = self.table.item(r, c)
        if item is None:
            item = QTableWidgetItem(text)
            if c:
                item.setTextAlignment(Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
            self.table.setItem(r, c, item)
        elif item.text() != text:
            item.setText(text)

    def _typed(self, r: int, c: int) -> None:
        """Read a typed cell; invalid text emits the reason and restores the value from before typing."""
        column, item, problem = self._columns[c], self.table.item(r, c), ""
        try:
            value = column.read(item.text() if item else "")
        except ValueError as trouble:
            problem = labelled(column.head, trouble)
            value = column.read(self.cells.before) if self.cells.open else getattr(self._records[r], column.field)
        record = replace(self._records[r], **{column.field: value})
        self.show_records(self._records)
        self.changed.emit((*self._records[:r], record, *self._records[r + 1 :]))
        self.trouble.emit(problem)

    def _less(self) -> None:
        r = self.table.currentRow()
        if 0 <= r < len(self._records):
            self.changed.emit((*self._records[:r], *self._records[r + 1 :]))
