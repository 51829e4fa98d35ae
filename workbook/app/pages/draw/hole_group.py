"""The panel's group of holes: the chosen hole's purpose, size and place; add, remove, lighten the tang."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Signal

from workbook.app.elements.group import Group
from workbook.app.workspace import Workspace
from workbook.document.action import Action, plain
from workbook.document.actions import templates
from workbook.later import modules
from workbook.template.hole_edits import NoRoomError, lightened, mark_after, with_changed, with_hole, without_hole
from workbook.template.holes import Hole, drilled_out
from workbook.template.model import Purpose, Template
from workbook.texts import _, ngettext
from workbook.units import HABITS, INCH

if TYPE_CHECKING:
    from workbook.app.elements.form import Form
    from workbook.app.pages.draw import hole_rows
    from workbook.app.pages.draw.hole_rows import HoleRows
else:
    (hole_rows,) = modules("app.pages.draw.hole_rows")

_USUAL_INCH = {Purpose.BOLT: 3 / 16 * INCH, Purpose.PIN: INCH / 8, Purpose.LANYARD: INCH / 4, Purpose.EPOXY: INCH / 4}  # habit
_USUAL_MM = {Purpose.BOLT: 5.0, Purpose.PIN: 3.0, Purpose.LANYARD: 6.0, Purpose.EPOXY: 6.0}


class HoleGroup(Group):
    """Edits holes by their numbers."""

    trouble = Signal(str)
    chosen = Signal(str)  # another hole, by its mark

    def __init__(self, workspace: Workspace) -> None:
        super().__init__(workspace.look, "holes", _("Holes"))
        self._space, self._mark = workspace, ""
        self._entry = 0  # counts choices of a hole: typing belongs to the last one
        self._made: HoleRows | None = None
        self.head.toggled.connect(lambda is_open: self.refresh())

    @property
    def _rows(self) -> HoleRows:
        """The rows, built when the group is first opened, so that the window starts sooner."""
        if self._made is None:
            self._made = rows = hole_rows.HoleRows(self._space.look, self._space.unit)
            rows.entered.connect(self._entered)
            rows.form.trouble.connect(self.trouble)
            rows.form.keep_in(self._space)
            rows.added.connect(self.add)
            rows.removed.connect(self.remove)
            rows.lightened.connect(self.lighten)
            self.rows.addWidget(rows)
            rows.show()  # Qt would show it a moment later
        return self._made

    @property
    def form(self) -> Form:
        """The form of the chosen hole."""
        return self._rows.form

    def let_go(self) -> None:
        """Drop unfinished typing."""
        if self._made is not None:
            self._made.form.let_go()

    def _hole(self) -> Hole | None:
        return next((hole for hole in self._space.blank.holes if hole.mark == self._mark), None)

    def choose(self, mark: str) -> None:
        """Show a hole's numbers; "" shows none."""
        if mark != self._mark:
            self._entry += 1
        self._mark = mark
        if mark and not self.head.open:
            self.head.set_open(True)
        self.refresh()

    def refresh(self) -> None:
        """Show the chosen hole's numbers after any change."""
        self.head.summarise(summary(self._space.blank.holes))
        if self.head.open or self._made is not None:
            owner = f"{self._entry} of {self._space.name}"
            self._rows.show_hole(self._hole(), self._space.unit, owner, self._drilled())

    def _drilled(self) -> str:
        """The mass in words of the steel taken out by the holes, from the density of the template's steel."""
        blank = self._space.blank
        if blank.template is None:
            return ""
        model = self._space.model
        grams = drilled_out(blank.template, blank.holes) * model.facts.density(model.steel_of(self._space.chosen)) / 1000
        return _("The holes take {grams:.1f} g of steel out.", grams=grams)

    def _entered(self, key: str, value: Any) -> None:
        if self._hole() is None:
            return
        changes = {"behind": {"x": -value}, "above": {"y": value}}.get(key, {key: value}) if key != "purpose" else {key: value}
        before, after = self._mark, mark_after(self._space.blank, self._mark, **changes)
        template, document = with_changed(self._space.blank, before, **changes), self._space.session.document
        self._mark = after  # a hole that passes another gets another mark, and typing goes on
        self._do(Action(f"hole.{key}", {"hole": after, "value": plain(value)}), template, f"hole {key}")
        if self._space.session.document is document:  # refused, or nothing has changed
            self._mark = before
            self.refresh()
        elif after != before:
            self.chosen.emit(after)

    def add(self, purpose: Purpose) -> None:
        """Add a hole where there is most room for it."""
        if self._space.blank.template is None:  # the menu offers it for any template
            self._space.said.emit(_("{chosen} came from a file: its holes are fixed.", chosen=self._space.name))
            return
        size = self._usual(purpose)
        web = self._space.session.document.settings.rules.web
        before = {hole.centre for hole in self._space.blank.holes}
        try:
            template = with_hole(self._space.blank, purpose, size, web)
        except NoRoomError as trouble:
            self._space.said.emit(_("{trouble}: move or remove one first.", trouble=trouble))
            return
        self._do(Action("hole.added", {"purpose": purpose.value}), template)
        new = next((hole.mark for hole in self._space.blank.holes if hole.centre not in before), "")
        self.chosen.emit(new)

    def _usual(self, purpose: Purpose) -> float:
        return (_USUAL_MM if HABITS[self._space.unit].metric else _USUAL_INCH)[purpose]

    def remove(self) -> None:
        """Remove the chosen hole."""
        mark = self._mark
        if self._hole() is not None:
            self._do(Action("hole.removed", {"hole": mark}), without_hole(self._space.blank, mark))
            self.chosen.emit("")

    def lighten(self) -> None:
        """Fill the tang with lightening holes, with the web from the settings."""
        size = self._usual(Purpose.EPOXY)
        web = self._space.session.document.settings.rules.web
        self._do(Action("holes.lightened"), lightened(self._space.blank, size, web))

    def _do(self, action: Action, after: Template, again: str = "") -> None:
        document = self._space.session.document
        key = self._space.chosen
        edit = templates.reshape(document, key, after, action)
        if again:
            self._space.merge_edit(f"{key} {self._entry} {again}", edit)
        else:
            self._space.do(edit)


def summary(holes: tuple[Hole, ...]) -> str:
    """The number of holes by purpose: "2 bolts, 1 pin"."""
    counts = {purpose: sum(hole.purpose is purpose for hole in holes) for purpose in Purpose}
    return ", ".join(_counted(purpose, count) for purpose, count in counts.items() if count) or _("none")


def _counted(purpose: Purpose, count: int) -> str:
    match purpose:
        case Purpose.BOLT:
            return ngettext("{count} bolt", "{count} bolts", count)
        case Purpose.PIN:
            return ngettext("{count} pin", "{count} pins", count)
        case Purpose.LANYARD:
            return ngettext("{count} tube", "{count} tubes", count)
        case Purpose.EPOXY:
            return ngettext("{count} epoxy hole", "{count} epoxy holes", count)
