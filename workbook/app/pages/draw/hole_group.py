"""The panel's group of holes: the chosen hole's purpose, size and place; add, remove, lighten the tang."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from PySide6.QtCore import Signal

from workbook.app.elements.group import Group
from workbook.app.workspace import Workspace
from workbook.document.action import Action, plain
from workbook.document.actions import templates
from workbook.geometry.path import Point
from workbook.later import modules
from workbook.structs import replace
from workbook.template.hole_edits import (
    NoRoomError,
    copied,
    lightened,
    mark_after,
    mirrored,
    spread,
    with_changed,
    with_hole,
    with_hole_at,
    without_hole,
)
from workbook.template.hole_places import Across, end_of, heads, point_at, reading
from workbook.template.hole_presets import HolePreset, with_preset
from workbook.template.holes import Hole, drilled_out
from workbook.template.model import Purpose, Template
from workbook.template.shape import Shape
from workbook.texts import _, ngettext
from workbook.units import HABITS, INCH

if TYPE_CHECKING:
    from workbook.app.elements.form import Form
    from workbook.app.pages.draw import hole_rows
    from workbook.app.pages.draw.hole_rows import HoleRows
    from workbook.template import hole_entry, preset_fit
else:
    hole_entry, hole_rows, preset_fit = modules("template.hole_entry", "app.pages.draw.hole_rows", "template.preset_fit")

_USUAL_INCH = {Purpose.BOLT: 3 / 16 * INCH, Purpose.PIN: INCH / 8, Purpose.LANYARD: INCH / 4, Purpose.EPOXY: INCH / 4}  # habit
_USUAL_MM = {Purpose.BOLT: 5.0, Purpose.PIN: 3.0, Purpose.LANYARD: 6.0, Purpose.EPOXY: 6.0}


class HoleGroup(Group):
    """Edits holes by their numbers."""

    trouble = Signal(str)
    chosen = Signal(str)  # another hole, by its mark
    numbers_shown = Signal()  # those of another hole

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
            self._made = rows = hole_rows.HoleRows(self._space.look, self._space.unit, self._space.typed)
            rows.entered.connect(self._entered)
            rows.form.trouble.connect(self.trouble)
            rows.form.keep_in(self._space)
            rows.added.connect(self.add)
            rows.removed.connect(self.remove)
            rows.lightened.connect(self.lighten)
            rows.preset.connect(self.use_preset)
            rows.presets_wanted.connect(self._offer)
            rows.typed.connect(self._add_typed)
            rows.copied.connect(self.copy)
            rows.mirrored.connect(self.mirror)
            rows.spread.connect(self.spread)
            rows.line.textEdited.connect(lambda text: self.trouble.emit(""))
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
        if mark:
            self.numbers_shown.emit()

    def refresh(self) -> None:
        """Show the chosen hole's numbers after any change."""
        self.head.summarise(summary(self._space.blank.holes))
        if self.head.open or self._made is not None:
            owner, hole, blank = f"{self._entry} {self._space.name}", self._hole(), self._space.blank
            self._rows.call_places(*heads(blank, self._space.datum))
            place = reading(blank, hole.centre, self._space.datum) if hole is not None else (0.0, 0.0)
            self._rows.show_hole(hole, place, self._space.unit, owner, self._drilled())

    def _drilled(self) -> str:
        """The mass in words of the steel taken out by the holes, from the density of the template's steel."""
        blank = self._space.blank
        if blank.template is None:
            return ""
        model = self._space.model
        grams = drilled_out(blank.template, blank.holes) * model.facts.density(model.steel_of(self._space.chosen)) / 1000
        return _("The holes remove {grams:.1f} g of steel.", grams=grams)

    def put(self, mark: str, key: str, value: Any) -> None:
        """Give a hole another purpose, size or place, as typed in the table: one step."""
        self.choose(mark)
        self._change(key, value)

    def _entered(self, key: str, value: Any) -> None:
        self._change(key, value, f"hole {key}")

    def _change(self, key: str, value: Any, again: str = "") -> None:
        """Change the chosen hole. `again`: the key under which edits that follow join this step."""
        hole = self._hole()
        if hole is None:
            return
        changes = self._moved(hole, key, value) if key in ("along", "across") else {key: value}
        before, after = self._mark, mark_after(self._space.blank, self._mark, **changes)
        template, document = with_changed(self._space.blank, before, **changes), self._space.session.document
        self._mark = after  # a hole that passes another gets another mark, and typing goes on
        edit = templates.reshape(document, self._space.chosen, template, self._action(after, key, value))
        if again:
            self._space.merge_edit(f"{self._space.chosen} {self._entry} {again}", edit)
        else:
            self._space.do(edit)
        if self._space.session.document is document:  # refused, or nothing has changed
            self._mark = before
            self.refresh()
        elif after != before:
            self.chosen.emit(after)

    def _moved(self, hole: Hole, key: str, value: float) -> dict[str, object]:
        """The hole's new x and y for one reading; its other reading stays."""
        along, across = reading(self._space.blank, hole.centre, self._space.datum)
        x, y = point_at(self._space.blank, (value, across) if key == "along" else (along, value), self._space.datum)
        return {"x": x, "y": y}

    def _action(self, mark: str, key: str, value: Any) -> Action:
        if key == "along":
            end = end_of(self._space.blank, self._space.datum)
            return Action("hole.placed", {"hole": mark, "along": value, "end": end.value})
        if key == "across":
            return Action("hole.placed", {"hole": mark, "across": value, "edge": self._space.datum.across.value})
        return Action(f"hole.{key}", {"hole": mark, "value": plain(value)})

    def _add_typed(self) -> None:
        """Add the hole that the line describes. A line that cannot be read stays, to be corrected."""
        line, blank = self._rows.line, self._space.blank
        try:
            entry = hole_entry.hole_entry(line.text(), self._space.unit)
        except hole_entry.HoleEntryError as trouble:
            self.trouble.emit(_("{finding}.", finding=trouble))
            return
        on_center = replace(self._space.datum, across=Across.CENTER)
        datum = on_center if entry.across is None else self._space.datum
        point = point_at(blank, (entry.along, entry.across or 0.0), datum)
        size = self._usual(entry.purpose) if entry.size is None else entry.size
        template = with_hole_at(blank, entry.purpose, size, point)
        if self._add(Action("hole.added", {"purpose": entry.purpose.value}), template, point):
            line.clear()

    def copy(self) -> None:
        """Add a second hole beside the chosen one."""
        web = self._space.session.document.settings.rules.web
        self._again("hole.copied", lambda blank, mark: copied(blank, mark, self._space.datum, web))

    def mirror(self) -> None:
        """Add a second hole as far from the butt as the chosen one is behind the handle front."""
        self._again("hole.mirrored", lambda blank, mark: mirrored(blank, mark, self._space.datum))

    def _again(self, name: str, make: Callable[[Shape, str], tuple[Template, Point]]) -> None:
        """Add a second hole like the chosen one."""
        if self._hole() is not None:
            template, point = make(self._space.blank, self._mark)
            self._add(Action(name, {"hole": self._mark}), template, point)

    def spread(self) -> None:
        """Space the holes of the chosen one's purpose evenly between the first and the last."""
        hole = self._hole()
        if hole is not None:
            template = spread(self._space.blank, hole.purpose, self._space.datum)
            self._do(Action("holes.spread", {"purpose": hole.purpose.value}), template)

    def _usual_places(self) -> tuple[dict[Purpose, float], float]:
        """Usual sizes of what goes through holes, and the multiple of which their places are, mm."""
        return (_USUAL_MM, 1.0) if HABITS[self._space.unit].metric else (_USUAL_INCH, INCH / 16)

    def _offer(self) -> None:
        """Offer the sets that fit the chosen template."""
        self._rows.offer(preset_fit.presets_of(self._space.blank, self._space.model.tools, *self._usual_places()))

    def use_preset(self, preset: HolePreset) -> None:
        """Replace pins, bolts and tubes by a usual set."""
        template = with_preset(self._space.blank, preset, *self._usual_places())
        if self._do(Action("holes.preset", {"preset": preset.value}), template):
            self.chosen.emit("")

    def _add(self, action: Action, template: Template, point: Point) -> bool:
        """Add a hole at a point and choose it. Return whether it was accepted."""
        if not self._do(action, template):
            return False
        self.chosen.emit(next((hole.mark for hole in self._space.blank.holes if hole.centre == point), ""))
        return True

    def add(self, purpose: Purpose) -> None:
        """Add a hole where there is most room for it."""
        if self._space.blank.template is None:  # the menu offers it for any template
            self._space.said.emit(_("{chosen} is an imported outline. Its holes are fixed.", chosen=self._space.name))
            return
        size = self._usual(purpose)
        web = self._space.session.document.settings.rules.web
        before = {hole.centre for hole in self._space.blank.holes}
        try:
            template = with_hole(self._space.blank, purpose, size, web)
        except NoRoomError as trouble:
            self._space.said.emit(_("{trouble}. Move or remove one first.", trouble=trouble))
            return
        wish = next(wish for wish in template.holes or () if (wish.x, wish.y) not in before)
        self._add(Action("hole.added", {"purpose": purpose.value}), template, (wish.x, wish.y))

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

    def _do(self, action: Action, after: Template) -> bool:
        """Make a template with other holes of the chosen one; return False when it is refused."""
        return self._space.do(templates.reshape(self._space.session.document, self._space.chosen, after, action))


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
