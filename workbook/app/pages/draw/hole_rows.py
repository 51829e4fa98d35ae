"""The rows of the group of holes: the chosen hole's numbers, and buttons."""

from collections.abc import Sequence
from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtGui import QAction
from PySide6.QtWidgets import QMenu, QToolButton, QVBoxLayout, QWidget

from workbook.app.elements.basics import Lettered, named, row, tool
from workbook.app.elements.form import ChoiceItem, Form, LengthItem
from workbook.app.elements.text_field import EntryLine
from workbook.app.look import Look
from workbook.geometry.path import Point
from workbook.template.hole_places import ACROSS, ALONG
from workbook.template.hole_presets import PRESET_WORDS, HolePreset
from workbook.template.holes import WORDS, Hole
from workbook.template.model import Purpose
from workbook.texts import _
from workbook.units import HABITS, Unit

_PURPOSES = tuple((purpose, words) for purpose, words in WORDS.items())
ITEMS = (
    ChoiceItem("purpose", _("Purpose"), options=_PURPOSES),
    LengthItem("size", _("Pin or bolt"), low=0.5, high=25.4),
    LengthItem("along", _("From butt"), low=1.0, high=ALONG[1]),
    LengthItem("across", _("From spine"), low=ACROSS[0], high=ACROSS[1]),
)


class HoleRows(QWidget):
    """Shows one hole, and has fields and buttons to change it."""

    entered = Signal(str, object)  # a field and its value
    added = Signal(object)  # a hole of this purpose
    typed = Signal()  # the line describes another hole
    removed = Signal()
    copied = Signal()
    mirrored = Signal()
    spread = Signal()
    lightened = Signal()
    preset = Signal(object)  # a HolePreset
    presets_wanted = Signal()  # the menu of sets opens

    def __init__(self, look: Look, unit: Unit, typed: dict[str, str]) -> None:
        super().__init__()
        self.form = Form(look, ITEMS, unit)
        self.form.entered.connect(self.entered)
        self._none = Lettered(look, _("Choose a hole on the board or in the table."), 9.0, tone="soft")
        self._drilled = Lettered(look, "", 9.0, tone="soft")
        add = tool(look, "add-hole", _("Add"), "add")
        add.setMenu(self._menu(look))
        add.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self._remove = tool(look, "remove-hole", _("Remove"))
        self._remove.clicked.connect(self.removed)
        self._of_one: list[QAction] = []  # what is done with the chosen hole
        self._presets: dict[HolePreset, QAction] = {}
        arrange = tool(look, "arrange-holes", _("Arrange"))
        arrange.setMenu(self._arrange_menu(look))
        arrange.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.line = self._entry_line(look, typed)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(2)
        for widget in (self._none, self.form, self.line, self._drilled):
            holder = QWidget()
            holder.setLayout(row(widget, margins=(0 if widget is self.form else 12, 0, 10 if widget is self.line else 0, 0)))
            column.addWidget(holder)
        buttons = named(QWidget(), "hole-buttons")
        buttons.setLayout(row(add, self._remove, arrange, None, margins=(8, 0, 8, 0), gap=2))
        column.addWidget(buttons)

    def _entry_line(self, look: Look, typed: dict[str, str]) -> EntryLine:
        line = EntryLine("hole-line", _("New hole, in one line"), typed)
        line.setFont(look.font("body"))
        line.setFixedHeight(look.size("row"))
        line.returnPressed.connect(self.typed)
        return line

    def _arrange_menu(self, look: Look) -> QMenu:
        menu = QMenu(self)
        menu.setFont(look.font("body"))
        deeds = ((_("Copy"), self.copied), (_("Mirror end to end"), self.mirrored), (_("Space evenly"), self.spread))
        for words, signal in deeds:
            one = menu.addAction(words)
            one.triggered.connect(lambda checked=False, signal=signal: signal.emit())
            self._of_one.append(one)
        menu.addSeparator()
        sets = menu.addMenu(_("Pins and bolts"))
        sets.aboutToShow.connect(self.presets_wanted)
        self._no_preset = sets.addAction(_("None fits this tang"))
        self._no_preset.setEnabled(False)
        for preset, words in PRESET_WORDS.items():
            self._presets[preset] = sets.addAction(words)
            self._presets[preset].triggered.connect(lambda checked=False, preset=preset: self.preset.emit(preset))
        lighten = menu.addAction(_("Lighten the tang"))
        lighten.triggered.connect(lambda checked=False: self.lightened.emit())
        return menu

    def _menu(self, look: Look) -> QMenu:
        menu = QMenu(self)
        menu.setFont(look.font("body"))
        for purpose, words in _PURPOSES:
            menu.addAction(words).triggered.connect(lambda checked=False, p=purpose: self._add(p))
        return menu

    def _add(self, purpose: Purpose) -> None:
        self.added.emit(purpose)

    def call_places(self, along: str, across: str) -> None:
        """Label both numbers of a place by what they are measured from."""
        self.form.call("along", along)
        self.form.call("across", across)

    def offer(self, presets: Sequence[HolePreset]) -> None:
        """Offer these sets of holes."""
        for preset, action in self._presets.items():
            action.setVisible(preset in presets)
        self._no_preset.setVisible(not presets)

    def show_hole(self, hole: Hole | None, place: Point, unit: Unit, whose: str, drilled: str) -> None:
        """A hole's numbers, None: that one is to be chosen. `place`: as it is measured; `whose`: what a value that is typed
        belongs to.
        """
        if hole is None:
            self.form.let_go()  # typing was for the previous hole
        self._none.setVisible(hole is None)
        self.form.setVisible(hole is not None)
        self._remove.setEnabled(hole is not None)
        for one in self._of_one:
            one.setEnabled(hole is not None)
        self.line.setPlaceholderText(HABITS[unit].hole)
        self._drilled.say(drilled, "soft")
        if hole is not None:
            values: dict[str, Any] = {"purpose": hole.purpose, "size": hole.size}
            self.form.show_values(values | {"along": place[0], "across": place[1]}, unit, whose)
