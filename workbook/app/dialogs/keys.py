"""Keyboard shortcuts: the key of every action of the menus, which can be changed; another action's key is not taken unseen."""

from PySide6.QtCore import Qt
from PySide6.QtGui import QAction, QKeySequence
from PySide6.QtWidgets import QAbstractButton, QDialog, QKeySequenceEdit, QTreeWidget, QTreeWidgetItem, QVBoxLayout

from workbook.app.dialogs.findable import all_actions
from workbook.app.elements.basics import button, label, named, row
from workbook.app.frame import Frame
from workbook.app.own_keys import NAME, USUAL, change
from workbook.texts import _, labelled

_SHOWN = QKeySequence.SequenceFormat.NativeText


class Keys(QDialog):
    """The dialog: actions and their keys; below, the key to give to the one chosen."""

    def __init__(self, window: Frame) -> None:
        super().__init__(window)
        self.setWindowTitle(_("Keyboard shortcuts"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._window, look = window, window.workspace.look
        self.list = named(QTreeWidget(), "keys")
        self.list.setAccessibleName(_("Actions"))
        self.list.setFont(look.font("body"))
        self.list.setHeaderLabels([_("Action"), _("Key")])
        self.list.setRootIsDecorated(False)
        self.list.setUniformRowHeights(True)
        self.list.setColumnWidth(0, look.px(380))
        self.edit = named(QKeySequenceEdit(), "key")
        self.edit.setAccessibleName(_("New key"))
        self.edit.setMaximumSequenceLength(1)
        self.edit.setClearButtonEnabled(True)
        self.edit.setFont(look.font("body"))
        self.told = label(look, "", "small", soft=True)
        self.told.setWordWrap(True)
        self.use = button(look, "use-key", _("Use this key"), main=True)
        self.usual = button(look, "usual-key", _("Use the usual key"))
        lines = QVBoxLayout(self)
        lines.addWidget(label(look, _("Choose an action, then press the key it is to have.")))
        lines.addWidget(self.list, 1)
        lines.addLayout(row(self.edit, self.use, self.usual, None, margins=(0, 0, 0, 0)))
        lines.addWidget(self.told)
        self.resize(look.px(600), look.px(560))
        self._fill()
        self.list.currentItemChanged.connect(lambda: self._chosen())
        self.edit.keySequenceChanged.connect(lambda: self._tell())
        self.use.clicked.connect(lambda: self._change(self.edit.keySequence()))
        self.usual.clicked.connect(lambda: self._change(None))
        self._choose(0)

    def _choose(self, number: int) -> None:
        item = self.list.topLevelItem(number)
        if item is not None:
            self.list.setCurrentItem(item)

    def _actions(self) -> dict[str, QAction]:
        """The actions of the menus by name, as they are now; those of submenus come and go with what they name."""
        return {path: item for path, item in all_actions(self._window) if path == item.property(NAME)}

    def _fill(self) -> None:
        self.list.clear()
        for name, item in self._actions().items():
            self.list.addTopLevelItem(QTreeWidgetItem([name, item.shortcut().toString(_SHOWN)]))

    def _action(self) -> QAction | None:
        current = self.list.currentItem()
        return self._actions().get(current.text(0)) if current is not None else None

    def _chosen(self) -> None:
        item = self._action()
        if item is not None:
            self.edit.setKeySequence(item.shortcut())
        self._tell()

    def _tell(self) -> None:
        """Say who else has the key; one that is taken cannot be used."""
        item, key = self._action(), self.edit.keySequence()
        takers = [] if item is None or key.isEmpty() else self._takers(item, key)
        self.told.setText(_taken(key, takers[0]) if takers else "")
        self.use.setEnabled(item is not None and not takers and key != item.shortcut())
        self.usual.setEnabled(item is not None and item.shortcut().toString() != item.property(USUAL))

    def _takers(self, item: QAction, key: QKeySequence) -> list[str]:
        """Names of the other actions, and of the buttons of pages, that have the key."""
        others = [path for path, other in all_actions(self._window) if other is not item and other.shortcut() == key]
        return others + [page.text() for page in self._window.findChildren(QAbstractButton) if page.shortcut() == key]

    def _change(self, key: QKeySequence | None) -> None:
        item, number = self._action(), self.list.currentIndex().row()
        if item is None:
            return
        usual = QKeySequence.fromString(item.property(USUAL))
        takers = self._takers(item, usual) if key is None and not usual.isEmpty() else []
        if takers:
            self.told.setText(_taken(usual, takers[0]))
            return
        kept = change(item, key)
        self._fill()
        self._choose(number)
        words = labelled(item.property(NAME), item.shortcut().toString(_SHOWN) or _("no key"))
        self.told.setText(words if kept else _("The key could not be kept."))


def _taken(key: QKeySequence, name: str) -> str:
    return _("{key} is the key of {name}. Choose another.", key=key.toString(_SHOWN), name=name)
