"""The panel's group of holes: what the chosen one is, how big and where; one more, one less, the tang lightened."""

from typing import Any

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QMenu, QToolButton, QWidget

from workbook.app.look import Look
from workbook.app.widgets.basics import Lettered, named, row, tool
from workbook.app.widgets.form import ChoiceItem, Form, LengthItem
from workbook.app.widgets.group import Group
from workbook.app.workspace import Workspace
from workbook.document.actions import templates
from workbook.document.queries import template_named
from workbook.formats.tables import density_of_steel
from workbook.template.hole_edits import NoRoomError, lightened, mark_after, with_changed, with_hole, without_hole
from workbook.template.holes import WORDS, Hole, drilled_out
from workbook.template.model import Purpose, Template
from workbook.units import INCH, Unit, show

_PURPOSES = tuple((purpose, words) for purpose, words in WORDS.items())
_ITEMS = (
    ChoiceItem("purpose", "Purpose", _PURPOSES),
    LengthItem("size", "Takes", 0.5, 25.4),
    LengthItem("behind", "Behind handle front", 1.0, 250.0),
    LengthItem("above", "Above the axis", -30.0, 30.0),
)
_USUAL = {Purpose.BOLT: 3 / 16 * INCH, Purpose.PIN: INCH / 8, Purpose.LANYARD: INCH / 4, Purpose.EPOXY: INCH / 4}  # habit
_USUAL_MM = {Purpose.BOLT: 5.0, Purpose.PIN: 3.0, Purpose.LANYARD: 6.0, Purpose.EPOXY: 6.0}


class HoleGroup(Group):
    """All that is done with holes by numbers."""

    trouble = Signal(str)
    chosen = Signal(str)  # another hole, by its mark

    def __init__(self, workspace: Workspace) -> None:
        super().__init__(workspace.look, "holes", "Holes")
        self._space, self._mark = workspace, ""
        self._entry = 0  # counts the holes chosen: what is typed is for the one chosen last
        look = workspace.look
        self.form = Form(look, _ITEMS, workspace.unit)
        self.form.entered.connect(self._entered)
        self.form.trouble.connect(self.trouble)
        self.form.typing.connect(workspace.hold)
        self._none = Lettered(look, "Choose a hole on the board or in the table.", 9.0, tone="soft")
        self.add_button = tool(look, "add-hole", "Add", "add")
        self.add_button.setMenu(self._menu(look))
        self.add_button.setPopupMode(QToolButton.ToolButtonPopupMode.InstantPopup)
        self.remove_button = tool(look, "remove-hole", "Remove")
        self.fill_button = tool(look, "lighten", "Lighten the tang")
        self.fill_button.setToolTip("Fills the room between the holes that carry load, steel between as in the settings")
        self.remove_button.clicked.connect(self.remove)
        self.fill_button.clicked.connect(self.lighten)
        self.drilled = Lettered(look, "", 9.0, tone="soft")
        for widget in (self._none, self.form, self.drilled):
            holder = QWidget()
            holder.setLayout(row(widget, margins=(0 if widget is self.form else 12, 0, 0, 0)))
            self.rows.addWidget(holder)
        buttons = named(QWidget(), "hole-buttons")
        buttons.setLayout(row(self.add_button, self.remove_button, self.fill_button, None, margins=(8, 0, 8, 0), gap=2))
        self.rows.addWidget(buttons)

    def _menu(self, look: Look) -> QMenu:
        menu = QMenu(self)
        menu.setFont(look.font("body"))
        for purpose, words in _PURPOSES:
            menu.addAction(words[:1].upper() + words[1:]).triggered.connect(lambda checked=False, p=purpose: self.add(p))
        return menu

    def _hole(self) -> Hole | None:
        return next((hole for hole in self._space.blank.holes if hole.mark == self._mark), None)

    def choose(self, mark: str) -> None:
        """Shows a hole's numbers; "" shows none."""
        if mark != self._mark:
            self._entry += 1
        self._mark = mark
        if mark and not self.head.open:
            self.head.set_open(True)
        self.refresh()

    def refresh(self) -> None:
        """The chosen hole's numbers, after any change."""
        hole, unit = self._hole(), self._space.unit
        self._none.setVisible(hole is None)
        self.form.setVisible(hole is not None)
        self.remove_button.setEnabled(hole is not None)
        if hole is not None:
            values = {"purpose": hole.purpose, "size": hole.size, "behind": -hole.centre[0], "above": hole.centre[1]}
            self.form.show_values(values, unit, f"{self._entry} of {self._space.chosen}")
        self.head.summarise(summary(self._space.blank.holes))
        self.drilled.say(self._drilled(), "soft")

    def _drilled(self) -> str:
        """What the holes take off the knife, from the density of the steel it is to be made of."""
        blank = self._space.blank
        if blank.template is None:
            return ""
        steel = next((wish.steel for wish in self._space.loaded.job.make if wish.template == blank.name), "")
        grams = drilled_out(blank.template, blank.holes) * density_of_steel(steel) / 1000
        return f"The holes take {grams:.1f} g of steel out."

    def _entered(self, key: str, value: Any) -> None:
        changes = {"behind": {"x": -value}, "above": {"y": value}}.get(key, {key: value}) if key != "purpose" else {key: value}
        before, after = self._mark, mark_after(self._space.blank, self._mark, **changes)
        made = with_changed(self._space.blank, before, **changes)
        self._mark = after  # a hole that passes another is called otherwise, and is typed on all the same
        self._do(f"hole {after}: {_said(key, value, self._space.unit)}", made, f"hole {key}")
        if after != before:
            self.chosen.emit(after)

    def add(self, purpose: Purpose) -> None:
        """One more hole, where there is most room for it."""
        size = (_USUAL if self._space.unit == "in" else _USUAL_MM)[purpose]
        web = self._space.session.document.settings.rules.web
        before = {hole.centre for hole in self._space.blank.holes}
        try:
            made = with_hole(self._space.blank, purpose, size, web)
        except NoRoomError as trouble:
            self._space.said.emit(f"{trouble}: move or remove one first.")
            return
        self._do(f"one more {WORDS[purpose]}", made)
        new = next((hole.mark for hole in self._space.blank.holes if hole.centre not in before), "")
        self.chosen.emit(new)

    def remove(self) -> None:
        """Takes the chosen hole out."""
        mark = self._mark
        if self._hole() is not None:
            self._do(f"hole {mark} removed", without_hole(self._space.blank, mark))
            self.chosen.emit("")

    def lighten(self) -> None:
        """Fills the tang with lightening holes, with the web of the settings."""
        size = (_USUAL if self._space.unit == "in" else _USUAL_MM)[Purpose.EPOXY]
        web = self._space.session.document.settings.rules.web
        self._do("lightening holes", lightened(self._space.blank, size, web))

    def _do(self, words: str, made: Template, again: str = "") -> None:
        document = self._space.session.document
        record = template_named(document, self._space.chosen)
        edit = templates.reshape(document, record.id, made, words)
        if again:
            self._space.do_again(f"{record.id} {self._entry} {again}", edit)
        else:
            self._space.do(edit)


def _said(key: str, value: Any, unit: Unit) -> str:
    if isinstance(value, Purpose):
        return WORDS[value]
    words = {"size": "takes", "behind": "behind the front", "above": "above the axis"}[key]
    return f"{words} {show(value, unit)} {unit}"


def summary(holes: tuple[Hole, ...]) -> str:
    """How many of each: "2 bolts, 1 pin"."""
    counts = {purpose: sum(hole.purpose is purpose for hole in holes) for purpose in Purpose}
    short = {Purpose.BOLT: "bolt", Purpose.PIN: "pin", Purpose.LANYARD: "tube", Purpose.EPOXY: "epoxy hole"}
    return ", ".join(f"{n} {short[p]}{'s' if n > 1 else ''}" for p, n in counts.items() if n) or "none"
