"""Finder of menu actions by name: type a few letters and press Enter."""

from collections.abc import Iterator

from PySide6.QtCore import QEvent, QObject, Qt
from PySide6.QtGui import QAction, QKeyEvent
from PySide6.QtWidgets import QDialog, QLineEdit, QListWidget, QListWidgetItem, QMainWindow, QMenu, QVBoxLayout

from workbook.app.elements.basics import named
from workbook.app.look import Look
from workbook.texts import _

_STEPS = {Qt.Key.Key_Down: 1, Qt.Key.Key_Up: -1}


class Finder(QDialog):
    """A field and the list of matching actions; up and down choose one, Enter runs it."""

    def __init__(self, window: QMainWindow, look: Look) -> None:
        super().__init__(window)
        self._window = window
        self.setWindowTitle(_("Find an action"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._ways = self._found()
        self.field = named(QLineEdit(), "find")
        self.field.setAccessibleName(_("Find an action"))
        self.field.setPlaceholderText(_("A few letters of what you want to do"))
        self.list = named(QListWidget(), "found")
        self.list.setAccessibleName(_("Actions found"))
        for widget in (self.field, self.list):
            widget.setFont(look.font("body"))
        column = QVBoxLayout(self)
        column.addWidget(self.field)
        column.addWidget(self.list)
        self.resize(look.px(420), look.px(360))
        self.field.textChanged.connect(self._show)
        self.field.returnPressed.connect(self._do)
        self.list.itemActivated.connect(lambda item: self._do())
        self.field.installEventFilter(self)
        self._show("")

    def eventFilter(self, watched: QObject, event: QEvent) -> bool:
        """Move through the list with up and down while the field has the focus."""
        if isinstance(event, QKeyEvent) and event.type() == QEvent.Type.KeyPress and Qt.Key(event.key()) in _STEPS:
            row = self.list.currentRow() + _STEPS[Qt.Key(event.key())]
            self.list.setCurrentRow(max(0, min(row, self.list.count() - 1)))
            return True
        return super().eventFilter(watched, event)

    def _show(self, text: str) -> None:
        words = text.casefold().split()
        self.list.clear()
        for path, key in self._ways:
            if all(word in path.casefold() for word in words):
                item = QListWidgetItem(f"{path}    {key}".rstrip())
                item.setData(Qt.ItemDataRole.UserRole, path)
                self.list.addItem(item)
        self.list.setCurrentRow(0)

    def _do(self) -> None:
        """Run the chosen action. It is looked up again, since menus may be refilled while the dialog is open."""
        item = self.list.currentItem()
        target = item.data(Qt.ItemDataRole.UserRole) if item is not None else None
        action = next((action for path, action in _all(self._window.menuBar().actions(), "") if path == target), None)
        if action is not None and action.isEnabled():
            self.close()
            action.trigger()
        else:
            self._ways = self._found()
            self._show(self.field.text())

    def _found(self) -> list[tuple[str, str]]:
        """Every enabled action as its path through the menus and its shortcut."""
        actions = _all(self._window.menuBar().actions(), "")
        return [(path, action.shortcut().toString()) for path, action in actions if action.isEnabled()]


def _all(actions: list[QAction], before: str) -> Iterator[tuple[str, QAction]]:
    """Every action of the menus and their submenus, with its path."""
    for action in actions:
        words = action.text().replace("&&", "\0").replace("&", "").replace("\0", "&")
        menu = action.menu()
        if isinstance(menu, QMenu):
            menu.aboutToShow.emit()  # some menus are filled only when shown
            yield from _all(menu.actions(), f"{before}{words}: ")
        elif words and not action.isSeparator():
            yield f"{before}{words}", action
