"""The working of a number: what it is made of, line by line; each line can be opened further."""

from collections.abc import Callable, Sequence

from msgspec import Struct
from PySide6.QtCore import QModelIndex, QPersistentModelIndex, QRect, QSize, Qt
from PySide6.QtGui import QFontMetrics
from PySide6.QtWidgets import (
    QAbstractItemView,
    QDialog,
    QHeaderView,
    QPushButton,
    QStyledItemDelegate,
    QStyleOptionViewItem,
    QTreeWidget,
    QTreeWidgetItem,
    QVBoxLayout,
    QWidget,
)

from workbook.app.elements.basics import label, named
from workbook.app.look import Look
from workbook.app.plain import plain
from workbook.shop.money import Money, priced
from workbook.shop.worked import Worked
from workbook.texts import _, labelled

_HOW = 2  # the column that tells how an amount comes about
_BESIDE, _HIGHEST = 10, 10_000  # px beside its text, and the highest row


class OpenedFigure(Struct, frozen=True):
    """A number as text: its name, value, working, and the parts it is made of."""

    words: str
    value: str
    how: str = ""
    parts: tuple["OpenedFigure", ...] = ()


def in_money(calculation: Worked, money: Money) -> OpenedFigure:
    """Convert a worked amount of money to text, with its parts."""
    parts = tuple(in_money(part, money) for part in calculation.parts)
    return OpenedFigure(calculation.words, priced(calculation.amount, money), calculation.how, parts)


def said(opened: OpenedFigure) -> str:
    """Put a number and its parts on one line: "Price of one $92.00 = Cost $58.12 + Put on $33.88"."""
    parts = " + ".join(f"{part.words} {part.value}" for part in opened.parts)
    return f"{opened.words} {opened.value}" + (f" = {parts}" if parts else "")


class _Wrapped(QStyledItemDelegate):
    """Makes a row as high as the lines of its last column, so that how an amount comes about is read whole."""

    def __init__(self, tree: QTreeWidget) -> None:
        super().__init__(tree)
        self._tree = tree

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex | QPersistentModelIndex) -> QSize:
        """The usual size, or the height of the wrapped text."""
        usual = super().sizeHint(option, index)
        if index.column() != _HOW or not index.data():
            return usual
        line = QFontMetrics(self._tree.font()).height()
        room = QRect(0, 0, max(self._tree.columnWidth(_HOW) - _BESIDE, 1), _HIGHEST)
        text = QFontMetrics(self._tree.font()).boundingRect(room, Qt.TextFlag.TextWordWrap, str(index.data()))
        return QSize(usual.width(), text.height() + max(usual.height() - line, 0) if text.height() > line else usual.height())


class Working(QTreeWidget):
    """The lines of an opened number, as a tree that the arrow keys expand and collapse."""

    def __init__(self, look: Look, name: str = "working") -> None:
        super().__init__()
        named(self, name)
        self._look = look
        self.setAccessibleName(_("Breakdown"))
        self.setColumnCount(3)
        self.setHeaderLabels([_("Item"), _("Amount"), _("How")])
        self.header().setFont(look.font("small"))
        self.header().setStretchLastSection(True)
        self.setFont(look.font("body"))
        self.setEditTriggers(QAbstractItemView.EditTrigger.NoEditTriggers)
        self.setWordWrap(True)
        self.setItemDelegate(_Wrapped(self))
        self.header().sectionResized.connect(lambda: self.scheduleDelayedItemsLayout())
        self.setIndentation(look.px(16))

    def show_opened(self, opened: Sequence[OpenedFigure], deep: int = 1) -> None:
        """Show numbers expanded `deep` levels down; lines with the same path of names keep their state."""
        states = dict(self._states(self.invisibleRootItem(), ""))
        self.clear()
        for figure in opened:
            self._add(self.invisibleRootItem(), figure, "", deep, states)
        metrics = QFontMetrics(self._look.font("body"))
        self.header().setSectionResizeMode(0, QHeaderView.ResizeMode.Interactive)
        self.setColumnWidth(0, self._look.px(210))
        wide = max((metrics.horizontalAdvance(figure.value) for figure in opened), default=0)
        self.setColumnWidth(1, max(wide + self._look.px(28), self._look.px(84)))

    def _states(self, item: QTreeWidgetItem, path: str) -> list[tuple[str, bool]]:
        states = []
        for child in _children(item):
            child_path = f"{path}/{child.text(0)}"
            states += [(child_path, child.isExpanded()), *self._states(child, child_path)]
        return states

    def _add(self, under: QTreeWidgetItem, figure: OpenedFigure, path: str, deep: int, states: dict[str, bool]) -> None:
        item = QTreeWidgetItem(under, [figure.words, figure.value, figure.how])
        item.setTextAlignment(1, Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter)
        item.setToolTip(2, plain(figure.how))
        if figure.parts and deep > 0 and not path:
            for column in (0, 1):
                item.setFont(column, self._look.font("body", bold=True))
        item_path = f"{path}/{figure.words}"
        for part in figure.parts:
            self._add(item, part, item_path, deep - 1, states)
        item.setExpanded(states.get(item_path, deep > 0))

    def texts(self) -> list[tuple[str, str, str]]:
        """The texts of all lines, in order."""
        lines: list[tuple[str, str, str]] = []

        def walk(item: QTreeWidgetItem) -> None:
            for child in _children(item):
                lines.append((child.text(0), child.text(1), child.text(2)))
                walk(child)

        walk(self.invisibleRootItem())
        return lines


def _children(item: QTreeWidgetItem) -> list[QTreeWidgetItem]:
    return [child for n in range(item.childCount()) if (child := item.child(n)) is not None]


class Figure(QWidget):
    """A number that can be opened: a click or the space bar shows its working."""

    def __init__(self, look: Look, name: str, words: str, kind: str = "figure") -> None:
        super().__init__()
        self._look, self._words, self._opened = look, words, OpenedFigure(words, "-")
        self.value = named(QPushButton("-"), "figure")
        self.value.setProperty("figure", name)
        self.value.setFont(look.font(kind))
        self.value.setToolTip(_("Breakdown"))
        self.value.clicked.connect(self.open)
        self.dialog: Shown | None = None
        self._work_out: Callable[[], OpenedFigure] | None = None
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(0)
        column.addWidget(self.value, 0, Qt.AlignmentFlag.AlignLeft)
        if kind == "figure":
            column.addWidget(label(look, words, "small", soft=True))
        self.say(self._opened)

    def say(self, opened: OpenedFigure) -> None:
        """Show another number."""
        self._opened, self._work_out = opened, None
        self.value.setText(opened.value)
        self.value.setMinimumWidth(QFontMetrics(self.value.font()).horizontalAdvance(opened.value) + 2)
        self.value.setAccessibleName(labelled(self._words, opened.value))
        self.value.setEnabled(bool(opened.parts or opened.how))

    def say_only(self, value: str, opened: Callable[[], OpenedFigure]) -> None:
        """Show another number whose working takes time to compute: `opened` is called when it is opened."""
        self.say(OpenedFigure(self._words, value, "opens"))
        self._work_out = opened

    def text(self) -> str:
        """The text of the number."""
        return self.value.text()

    def open(self) -> None:
        """Show the working in a dialog."""
        self.dialog = Shown(self, self._look, self._work_out() if self._work_out else self._opened)
        self.dialog.show()


class Shown(QDialog):
    """A dialog with one opened number."""

    def __init__(self, parent: QWidget, look: Look, opened: OpenedFigure) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("{words}: breakdown", words=opened.words))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self.tree = Working(look)
        self.tree.show_opened([opened], deep=2)
        words = label(look, said(opened), "body")
        words.setWordWrap(True)
        column = QVBoxLayout(self)
        column.addWidget(words)
        column.addWidget(self.tree, 1)
        self.resize(look.px(620), look.px(360))
