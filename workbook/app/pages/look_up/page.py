"""Look up: a handbook of cards (steels, woods, drills, pins, grits) and the tables behind them, found by words."""

from collections.abc import Iterator

from PySide6.QtCore import Qt
from PySide6.QtGui import QShowEvent
from PySide6.QtWidgets import QHBoxLayout, QLineEdit, QStackedWidget, QTreeWidget, QTreeWidgetItem, QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.elements.basics import label, named, row, surface
from workbook.app.look import Look
from workbook.app.pages.look_up.card_view import CardView
from workbook.app.pages.look_up.table_view import TableView
from workbook.app.pages.page import Page
from workbook.app.workspace import Workspace
from workbook.formats.look_up import fact_tables
from workbook.formats.tables import rows
from workbook.handbook.card import CardKind, FactCard
from workbook.handbook.cards import card_named, cards, cards_of, matching
from workbook.texts import _, of_file
from workbook.units import Unit

_HEADS = {
    CardKind.STEEL: _("Steels"),
    CardKind.WOOD: _("Woods"),
    CardKind.DRILL: _("Drills"),
    CardKind.PIN: _("Pins and bolts"),
    CardKind.GRIT: _("Grits"),
}
_ROLE = Qt.ItemDataRole.UserRole


class LookUpPage(Page):
    """The contents on the left, the chosen card or table on the right; words typed above narrow both."""

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self.setObjectName("look-up-page")
        self._workspace = workspace
        look = workspace.look
        self.contents = named(QTreeWidget(), "found")
        self.contents.setHeaderHidden(True)
        self.contents.setAccessibleName(_("Contents"))
        self.contents.setFont(look.font("body"))
        self.contents.setUniformRowHeights(True)
        self.field = named(QLineEdit(), "look-up")
        self.field.setPlaceholderText(_("A steel, wood, drill or grit, e.g. O1, 1.2510, #30 or maple"))
        self.field.setAccessibleName(_("Words to look up"))
        self.field.setFont(look.font("body"))
        self.field.setFixedHeight(look.size("row"))
        self.field.setClearButtonEnabled(True)
        self.count = label(look, "", "small", soft=True)
        self.card_view, self.table_view = CardView(look), TableView(look)
        self._right, self._nothing = QStackedWidget(), QWidget()
        self._owed = True  # the card chosen is not shown yet
        self._leaves: list[tuple[QTreeWidgetItem, FactCard | int]] = []
        self._build(look)
        self._list()
        self.contents.currentItemChanged.connect(lambda now, before: self._chosen(now))
        self.field.textChanged.connect(lambda text: self._list())
        self.field.returnPressed.connect(self.contents.setFocus)
        workspace.changed.connect(self._changed)

    def _build(self, look: Look) -> None:
        left = QVBoxLayout()
        left.setContentsMargins(0, 0, 0, 0)
        left.setSpacing(0)
        left.addWidget(surface("strip", row(label(look, _("Contents"), "strong"), None), look.px(48)))
        left.addWidget(self.contents, 1)
        self._left = surface("shelf", left)
        right = QVBoxLayout()
        right.setContentsMargins(0, 0, 0, 0)
        right.setSpacing(0)
        self.field.setMinimumWidth(look.px(300))
        self.field.setMaximumWidth(look.px(460))
        right.addWidget(surface("strip", row(self.field, self.count, None), look.px(48)))
        self._right.addWidget(self._nothing)
        self._right.addWidget(self.card_view)
        self._right.addWidget(self.table_view)
        right.addWidget(self._right, 1)
        columns = QHBoxLayout(self)
        columns.setContentsMargins(0, 0, 0, 0)
        columns.setSpacing(0)
        columns.addWidget(self._left)
        columns.addLayout(right, 1)

    def make_room(self, width: int, height: int) -> None:
        """Set the width of the contents."""
        look = self._workspace.look
        self._left.setFixedWidth(look.px(250 if width / look.text >= 1000 else 176))

    def showEvent(self, event: QShowEvent) -> None:
        """Show the chosen card or table, if it was chosen while the page was hidden."""
        if self._owed:
            self._chosen(self.contents.currentItem())

    def _all(self) -> tuple[FactCard, ...]:
        return cards(rows, self._workspace.unit)

    def _list(self) -> None:
        """List what the words find, best first, and show the first of it."""
        words = self.field.text()
        matches = matching(self._all(), words)
        self.contents.blockSignals(True)
        self.contents.clear()
        self._leaves = []
        kinds = list(dict.fromkeys(card.kind for card in matches)) if words.strip() else list(CardKind)
        for kind in kinds:
            self._add_branch(_HEADS[kind], [(card.title, card) for card in matches if card.kind is kind])
        self._add_branch(_("Tables"), [(_title(number, words), number) for number in _tables(words)])
        if words.strip():
            self.contents.expandAll()
        self.contents.blockSignals(False)
        if self._leaves:
            self.contents.setCurrentItem(self._leaves[0][0])
        self._chosen(self._leaves[0][0] if self._leaves else None)

    def _add_branch(self, head: str, leaves: list[tuple[str, FactCard | int]]) -> None:
        if not leaves:
            return
        branch = QTreeWidgetItem([f"{head} ({len(leaves)})"])
        branch.setFlags(Qt.ItemFlag.ItemIsEnabled)
        for words, leaf in leaves:
            item = QTreeWidgetItem([words])
            item.setData(0, _ROLE, leaf)
            branch.addChild(item)
            self._leaves.append((item, leaf))
        self.contents.addTopLevelItem(branch)

    def _chosen(self, item: QTreeWidgetItem | None) -> None:
        self._owed = not self.isVisible()
        if self._owed:
            return  # its card is built when the page is shown
        leaf = item.data(0, _ROLE) if item is not None else None
        if item is None:
            self.count.setText(_("No card has these words."))
            self._right.setCurrentWidget(self._nothing)
        elif isinstance(leaf, FactCard):
            self.count.setText("")
            self.card_view.show_card(leaf, self._workspace.unit)
            self._right.setCurrentWidget(self.card_view)
        elif isinstance(leaf, int):
            self.count.setText(self.table_view.show_table(fact_tables()[leaf], self.field.text()))
            self._right.setCurrentWidget(self.table_view)

    def _changed(self, change: Changed) -> None:
        """Show the same card or table in another unit."""
        if change.unit:
            item = self.contents.currentItem()
            leaf = item.data(0, _ROLE) if item is not None else None
            self._list()
            self._choose(leaf.key if isinstance(leaf, FactCard) else leaf)

    def look_up(self, name: str) -> bool:
        """Show the card of a name, spelt in any way. Return False where there is none."""
        card = card_named(self._all(), name)
        if card is None:
            return False
        self.field.clear()
        self._choose(card.key)
        return True

    def _choose(self, leaf: str | int | None) -> None:
        """Choose a card by its key, or a table by its number."""
        keys = (each.key if isinstance(each, FactCard) else each for _item, each in self._leaves)
        item = next((item for (item, _leaf), key in zip(self._leaves, keys, strict=True) if key == leaf), None)
        if item is not None:
            self.contents.setCurrentItem(item)
            self.contents.scrollToItem(item)


def card_slices(unit: Unit) -> Iterator[None]:
    """Build the cards, a kind at a time."""
    for kind in CardKind:
        cards_of(kind, rows, unit)
        yield


def _tables(words: str) -> list[int]:
    """The numbers of the tables that have the words."""
    return [number for number, table in enumerate(fact_tables()) if not words.strip() or table.matching(words)]


def _title(number: int, words: str) -> str:
    table = fact_tables()[number]
    title = of_file(table.title)
    return f"{title} ({len(table.matching(words))})" if words.strip() else title
