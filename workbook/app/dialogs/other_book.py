"""What to bring from another book: its templates, stock, orders, blades and rates beside those of this one."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QDialogButtonBox,
    QHeaderView,
    QPushButton,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbook.app.elements.basics import button, label, named, row
from workbook.app.look import Look
from workbook.app.plain import plain
from workbook.document.accounts import money_of
from workbook.document.document import Document
from workbook.document.fields import PAPER_WORDS
from workbook.document.orders import customer_of, lines_of
from workbook.document.other_book import BookItem, ItemGroup, Resolution
from workbook.document.records import (
    BarRecord,
    FamilyRecord,
    MaterialRecord,
    Record,
    SettingsRecord,
    TemplateRecord,
    ToolsRecord,
)
from workbook.document.shop_records import OrderRecord, PieceRecord
from workbook.shop.job import Bar
from workbook.shop.money import priced
from workbook.template.model import Template
from workbook.texts import _, ngettext
from workbook.units import Unit, show
from workbook.units import size as show_size

_HEADS = (_("Name"), _("In this shop book"), _("In the other"), _("Action"))
GROUP_WORDS = {
    ItemGroup.TEMPLATES: _("Templates"),
    ItemGroup.FAMILIES: _("Own families"),
    ItemGroup.BARS: _("Bars"),
    ItemGroup.MATERIALS: _("Other materials"),
    ItemGroup.ORDERS: _("Orders"),
    ItemGroup.PIECES: _("Blades cut"),
    ItemGroup.ACCOUNTS: _("Accounts"),
    ItemGroup.SETTINGS: _("Settings"),
}
SETTINGS_WORDS = {
    "rates": _("Rates and default prices"),
    "shop": _("Saw, settings and cutting services"),
    "prints": _("Paper, printers and steps"),
    "accounts": _("Payments and sales"),
}
_CLASHES = {Resolution.KEEP: _("keep mine"), Resolution.TAKE: _("use the other's"), Resolution.BESIDE: _("keep both")}
_NEW = {Resolution.KEEP: _("skip"), Resolution.TAKE: _("import")}
_CLASH_BUTTONS = {
    Resolution.KEEP: _("Keep mine"),
    Resolution.TAKE: _("Use the other's"),
    Resolution.BESIDE: _("Keep both"),
}
_NEW_BUTTONS = {Resolution.KEEP: _("Skip"), Resolution.TAKE: _("Import")}


class BringDialog(QDialog):
    """Shows all items side by side; what is chosen goes to `bring`."""

    def __init__(
        self,
        parent: QWidget,
        look: Look,
        books: tuple[Document, Document],
        items: Sequence[BookItem],
        bring: Callable[[Mapping[str, Resolution]], object],
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Import from {name}", name=books[1].settings.name))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.setFont(look.font("body"))
        self._look, self._books, self._items, self._bring = look, books, {item.key: item for item in items}, bring
        self.choices = {item.key: item.usual for item in items}
        self.tree = named(QTreeWidget(), "other-book")
        self.tree.setAccessibleName(_("Contents of the other shop book"))
        self.tree.setHeaderLabels(list(_HEADS))
        self.tree.setFont(look.font("body"))
        self.tree.setSelectionMode(QAbstractItemView.SelectionMode.ExtendedSelection)
        self.tree.header().setSectionResizeMode(QHeaderView.ResizeMode.Stretch)
        self._fill()
        self._buttons = {choice: button(look, f"choose-{choice}", "") for choice in Resolution}
        for choice, own in self._buttons.items():
            own.clicked.connect(lambda checked=False, choice=choice: self._choose(choice))
        self._box = QDialogButtonBox(QDialogButtonBox.StandardButton.Cancel)
        self.bring_button = named(QPushButton(), "bring-in")
        self._box.addButton(self.bring_button, QDialogButtonBox.ButtonRole.AcceptRole)
        self._lay_out()
        self.tree.itemSelectionChanged.connect(self._say)
        self._box.accepted.connect(self.accept)
        self._box.rejected.connect(self.reject)
        self._say()
        self.resize(min(look.px(900), parent.width()), min(look.px(620), parent.height()))

    def _lay_out(self) -> None:
        look = self._look
        words = _(
            "Select rows, then choose an action. A bar in both books is never counted twice: you choose which count is right."
        )
        mine, theirs = (book.settings.currency for book in self._books)
        if mine != theirs:
            words = _(
                "Its prices are in {theirs}, yours in {mine}. Things with a price are not imported.", theirs=theirs, mine=mine
            )
        head = label(look, words, "small", soft=True)
        head.setWordWrap(True)
        column = QVBoxLayout(self)
        column.addWidget(head)
        column.addWidget(self.tree, 1)
        column.addLayout(row(label(look, _("Selected rows:"), "small"), *self._buttons.values(), None, margins=(0, 0, 0, 0)))
        column.addWidget(self._box)

    def _fill(self) -> None:
        for group, words in GROUP_WORDS.items():
            own = [item for item in self._items.values() if item.group is group]
            if not own:
                continue
            head = QTreeWidgetItem(self.tree, [words])
            head.setFont(0, self._look.font("body", bold=True))
            for item in own:
                cells = self._words(item)
                line = QTreeWidgetItem(head, list(cells))
                for column, words in enumerate(cells):
                    line.setToolTip(column, plain(words))  # a narrow column cuts them
                line.setData(0, Qt.ItemDataRole.UserRole, item.key)
                if item.same:
                    for column in range(len(_HEADS)):
                        line.setForeground(column, self._look.colour("soft"))
            head.setExpanded(len(own) <= _MOST_OPEN and not all(item.same for item in own))

    def _words(self, item: BookItem) -> tuple[str, str, str, str]:
        here = self._described(0, item.here, item.part) if item.here is not None else _("missing")
        if item.group is ItemGroup.ACCOUNTS:
            here = self._described(0, self._books[0].settings, item.part)  # what is there stays, whatever comes
        name = SETTINGS_WORDS.get(item.part) or name_in_words(item.theirs)
        return name, here, self._described(1, item.theirs, item.part), self._done(item)

    def _described(self, book: int, record: Record, part: str) -> str:
        return described(record, self._books[book], self._books[0].settings.unit, part)

    def _done(self, item: BookItem) -> str:
        if item.same:
            return _("the same in both")
        words = _NEW if item.here is None else _CLASHES
        return words[self.choices[item.key]]

    def _chosen(self) -> Iterator[tuple[QTreeWidgetItem, BookItem]]:
        """Lines and items of the chosen rows; a chosen group stands for all of its own."""
        lines = dict[int, QTreeWidgetItem]()
        for line in self.tree.selectedItems():
            own = [child for n in range(line.childCount()) if (child := line.child(n)) is not None] or [line]
            lines |= {id(each): each for each in own}
        for line in lines.values():
            yield line, self._items[line.data(0, Qt.ItemDataRole.UserRole)]

    def _choose(self, choice: Resolution) -> None:
        for line, item in self._chosen():
            if choice in item.choices and not item.same:
                self.choices[item.key] = choice
                line.setText(_HEADS.index(_("Action")), self._done(item))
        self._say()

    def _say(self) -> None:
        """Label and enable the buttons for the chosen rows, and count what comes."""
        chosen = [item for _line, item in self._chosen() if not item.same]
        clash = any(item.here is not None for item in chosen) or not chosen
        for choice, own in self._buttons.items():
            words = _CLASH_BUTTONS[choice] if clash else _NEW_BUTTONS.get(choice, "")
            own.setText(words)
            own.setVisible(bool(words))
            own.setEnabled(any(choice in item.choices for item in chosen))
        count = sum(self.choices[key] is not Resolution.KEEP for key, item in self._items.items() if not item.same)
        self.bring_button.setText(ngettext("Import {count} item", "Import {count} items", count))
        self.bring_button.setEnabled(count > 0)

    def accept(self) -> None:
        """Bring in what is chosen."""
        super().accept()
        self._bring(self.choices)


_MOST_OPEN = 60  # rows of a group that opens by itself


def name_in_words(record: Record) -> str:
    """What a maker calls a record."""
    match record:
        case TemplateRecord() | FamilyRecord():
            return record.template.name
        case BarRecord():
            return record.bar.name
        case MaterialRecord():
            return record.material.name
        case OrderRecord():
            return _("Order {number}", number=record.number)
        case PieceRecord():
            return record.serial
        case _:
            return _("Tools")


def described(record: Record, document: Document, unit: Unit, part: str = "") -> str:
    """A record in a few words, by which two of one name are told apart. `part`: of the settings."""
    match record:
        case TemplateRecord() | FamilyRecord():
            return _template(record, unit)
        case BarRecord():
            return _bar(record.bar, document, unit)
        case MaterialRecord():
            own = record.material
            count = _("{count:g} × {unit} on hand", count=own.have, unit=own.per)
            return f"{count}, {priced(own.price, document.settings.money)}"
        case OrderRecord():
            return _order(record, document)
        case PieceRecord():
            return ", ".join(
                words for words in (record.name, record.steel, document.settings.local.short_day(record.at)) if words
            )
        case SettingsRecord() if part == "accounts":
            return ngettext("{count} entry", "{count} entries", len(money_of(document)))
        case SettingsRecord():
            return _of_settings(record, part, unit)
        case ToolsRecord():
            wheels, files = (len(own) for own in (record.owned.wheels, record.owned.files))
            return _("{wheels} wheels, {files} files", wheels=wheels, files=files)
        case _:
            return ""


def _bar(bar: Bar, document: Document, unit: Unit) -> str:
    size = " × ".join(show_size(mm, unit) for mm in (bar.thickness, bar.width, bar.length))
    price = priced(bar.price, document.settings.money)
    return _("{count} on the rack, {price}, {steel} {size}", count=bar.have, price=price, steel=bar.steel, size=size)


def _of_settings(record: SettingsRecord, part: str, unit: Unit) -> str:
    """What a part of the settings is known by."""
    if part == "rates":
        return _("{pay} per hour", pay=priced(record.charges.hour, record.money))
    if part == "shop":
        kerf = show(record.saw.kerf, unit)
        return _("saw kerf {kerf} {unit}", kerf=kerf, unit=unit)
    return dict(PAPER_WORDS)[record.paper]


def _template(record: TemplateRecord | FamilyRecord, unit: Unit) -> str:
    template = record.template
    if not isinstance(template, Template):
        return _("an imported outline, {thickness} {unit} thick", thickness=show(template.thickness, unit, fine=True), unit=unit)
    blade, handle = show(template.blade.length, unit), show(template.handle.length, unit)
    return _("blade {blade}, handle {handle} {unit}", blade=blade, handle=handle, unit=unit)


def _order(record: OrderRecord, document: Document) -> str:
    knives = sum(line.quantity for line in lines_of(document, record.id))
    who = customer_of(document, record) or _("shop stock")
    return _("{knives} for {who}, {taken}", knives=knives, who=who, taken=record.taken or "-")
