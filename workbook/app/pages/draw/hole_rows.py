"""The rows of the group of holes: the chosen hole's numbers, and buttons."""

from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QMenu, QToolButton, QVBoxLayout, QWidget

from workbook.app.elements.basics import Lettered, named, row, tool
from workbook.app.elements.form import ChoiceItem, Form, LengthItem
from workbook.app.look import Look
from workbook.template.holes import WORDS, Hole
from workbook.template.model import Purpose
from workbook.texts import _
from workbook.units import Unit

_PURPOSES = tuple((purpose, words) for purpose, words in WORDS.items())
ITEMS = (
    ChoiceItem("purpose", _("Purpose"), options=_PURPOSES),
    LengthItem("size", _("Takes"), low=0.5, high=25.4),
    LengthItem("behind", _("Behind handle front"), low=1.0, high=250.0),
    LengthItem("above", _("Above the axis"), low=-30.0, high=30.0),
)


class HoleRows(QWidget):
    """Shows one hole, and has fields and buttons to change it."""

    entered = Signal(str, object)  # a field and its value
    added = Signal(object)  # a hole of this purpose
    removed = Signal()
    lightened = Signal()

    def __init__(self, look: Look, unit: Unit) -> None:
        super().__init__()
        self.form = Form(look, ITEMS, unit)
        self.form.entered.connect(self.entered)
        self._none = Lettered(look, _("Choose a hole on the board or in the table."), 9.0, tone="soft")
        self._drilled = Lettered(look, "", 9.0, tone="soft")
        add = tool(look, "add-hole", _("Add"), "add")
        add.setMenu(self._menu(look))
        add.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self._remove, lighten = tool(look, "remove-hole", _("Remove")), tool(look, "lighten", _("Lighten the tang"))
        lighten.setToolTip(_("Fills the room between the holes that carry load, steel between as in the settings"))
        self._remove.clicked.connect(self.removed)
        lighten.clicked.connect(self.lightened)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        for widget in (self._none, self.form, self._drilled):
            holder = QWidget()
            holder.setLayout(row(widget, margins=(0 if widget is self.form else 12, 0, 0, 0)))
            column.addWidget(holder)
        buttons = named(QWidget(), "hole-buttons")
        buttons.setLayout(row(add, self._remove, lighten, None, margins=(8, 0, 8, 0), gap=2))
        column.addWidget(buttons)

    def _menu(self, look: Look) -> QMenu:
        menu = QMenu(self)
        menu.setFont(look.font("body"))
        for purpose, words in _PURPOSES:
            menu.addAction(words[:1].upper() + words[1:]).triggered.connect(lambda checked=False, p=purpose: self._add(p))
        return menu

    def _add(self, purpose: Purpose) -> None:
        self.added.emit(purpose)

    def show_hole(self, hole: Hole | None, unit: Unit, owner: str, drilled: str) -> None:
        """Show a hole's numbers; None asks to choose one. `owner`: what typed values belong to."""
        if hole is None:
            self.form.let_go()  # typing was for the previous hole
        self._none.setVisible(hole is None)
        self.form.setVisible(hole is not None)
        self._remove.setEnabled(hole is not None)
        self._drilled.say(drilled, "soft")
        if hole is not None:
            values: dict[str, Any] = {"purpose": hole.purpose, "size": hole.size}
            self.form.show_values(values | {"behind": -hole.centre[0], "above": hole.centre[1]}, unit, owner)
