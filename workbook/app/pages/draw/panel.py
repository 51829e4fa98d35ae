"""The parameters of the chosen template, grouped by part of the knife; edits show at once."""

from collections.abc import Sequence
from functools import partial

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtGui import QResizeEvent
from PySide6.QtWidgets import QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.elements.bar_choice import BarChoice
from workbook.app.elements.basics import Lettered, label, named, reveal, row, scrolled, surface
from workbook.app.elements.entry import Troubles
from workbook.app.elements.group import Group
from workbook.app.elements.length_field import ValueField
from workbook.app.elements.parameter_row import ParameterRow
from workbook.app.look import Look
from workbook.app.pages.draw.hole_group import HoleGroup
from workbook.app.workspace import Workspace
from workbook.document.orders import hands_for
from workbook.template.fittings import fitting_words, scale_wanted
from workbook.template.hand import BESIDE, GRIP, Hands, fit
from workbook.template.model import Template
from workbook.template.parameters import Kind, of_group
from workbook.template.words import choice_words
from workbook.texts import _, listing
from workbook.units import HABITS, Unit, built, show

_BESIDE_ROOM = 330  # px of the panel's width
_THICKNESSES = (0.2, 60.0)  # mm, of a bar
TITLES = {
    "blade": _("Blade"),
    "point": _("Tip"),
    "heel": _("Heel"),
    "handle": _("Handle"),
    "fittings": _("Guard, bolster, liner"),
    "tang": _("Tang"),
    "grind": _("Grind"),
}


class Panel(QWidget):
    """All groups in a scroll area, under a head with the template's name and units."""

    lit = Signal(str)
    trouble = Signal(str)

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self.setObjectName("panel")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._workspace = workspace
        look = workspace.look
        self._title, self._revision = Lettered(look, "", 9.75, bold=True), Lettered(look, "", 9.0, tone="soft")
        self._units = (Lettered(look, "", 9.0, tone="soft", anchor="end"), Lettered(look, "", 9.0, tone="soft", anchor="end"))
        for unit in self._units:
            unit.setFixedWidth(look.px(36))
        self.groups = {name: Group(look, name, title) for name, title in TITLES.items()}
        self.hand = label(look, "", "small", soft=True)
        self.hand.setWordWrap(True)
        self.hand.setContentsMargins(12, 4, 12, 4)
        self.holes = HoleGroup(workspace)
        self._troubles = Troubles()
        self.holes.trouble.connect(partial(self._tell, "holes"))
        self._rows: list[ParameterRow] = []
        self._beside = True  # the values in the other unit are shown
        self.next_time = label(look, "", "small")
        self.next_time.setWordWrap(True)
        self.next_time.setContentsMargins(12, 4, 12, 6)
        self._none = label(look, _("This is an imported outline.\nIts shape is fixed. The table shows its holes."), soft=True)
        self._none.setContentsMargins(12, 8, 12, 8)
        self.thickness = ValueField(look, "drawn.thickness", Kind.FINE, workspace.unit)
        self.thickness.setAccessibleName(_("Bar thickness"))
        self.thickness.setFixedWidth(look.px(92))
        self.thickness.entered.connect(workspace.set_thickness)
        self.thickness.trouble.connect(partial(self._tell, "thickness"))
        self.thickness.typing.connect(workspace.hold)
        self.thickness.given_up.connect(workspace.give_up)
        self.bars = BarChoice(workspace)
        self._drawn = named(QWidget(), "drawn")
        self._drawn.setLayout(row(Lettered(look, _("Bar thickness"), 9.75), self.thickness, margins=(12, 0, 10, 0)))
        self._build(look)
        self.groups["blade"].head.set_open(True)
        workspace.changed.connect(self._changed)
        workspace.refused.connect(self._refused)
        self.refresh()

    def _build(self, look: Look) -> None:
        inner = named(QWidget(), "inner")
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 6, 0, 6)
        column.setSpacing(0)
        column.addWidget(self.bars)
        column.addWidget(self._none)
        column.addWidget(self._drawn)
        column.addWidget(self.next_time)
        for name, group in self.groups.items():
            group.head.toggled.connect(lambda is_open, name=name: self._opened(name))
            column.addWidget(group)
        column.addWidget(self.holes)
        column.addStretch(1)
        self._scroll = scroll = scrolled(inner)
        self.holes.numbers_shown.connect(lambda: QTimer.singleShot(0, self, self._to_holes))  # once they are laid out
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(surface("strip", row(self._title, self._revision, *self._units, margins=(12, 0, 14, 0)), look.px(40)))
        layout.addWidget(scroll, 1)

    def resizeEvent(self, event: QResizeEvent) -> None:
        """Leave the values in the other unit out where labels need their room."""
        self._beside = event.size().width() >= self._workspace.look.px(_BESIDE_ROOM)
        self._units[1].setVisible(self._beside)
        for parameter_row in self._rows:
            parameter_row.show_beside(on=self._beside)

    def _tell(self, field: str, reason: str) -> None:
        self.trouble.emit(self._troubles.tell(field, reason))

    def go_to(self, path: str) -> None:
        """Open the group of a parameter and give its field the keyboard."""
        self.groups[path.partition(".")[0]].head.set_open(True)
        reveal(next(each.field for each in self._rows if each.parameter.path == path))

    def _to_holes(self) -> None:
        """Scroll to the chosen hole's numbers."""
        self._scroll.ensureWidgetVisible(self.holes.form, 0, 0)

    def _show_next_time(self) -> None:
        """Say what the maker noted for the next time."""
        note = self._workspace.record.next_time
        self.next_time.setText(_("Next time: {note}", note=note))
        self.next_time.setVisible(bool(note))

    def _opened(self, name: str) -> None:
        """Build a group's rows when it is first opened, so that the window starts sooner."""
        group, template = self.groups[name], self._any_template()
        if group.rows.count() or template is None:
            return
        for parameter in of_group(name):
            parameter_row = ParameterRow(self._workspace.look, parameter, type(getattr(template, name)), self._workspace.unit)
            parameter_row.edited.connect(self._workspace.edit)
            parameter_row.lit.connect(self.lit)
            parameter_row.held.connect(self._workspace.hold)
            parameter_row.given_up.connect(self._workspace.give_up)
            parameter_row.trouble.connect(partial(self._tell, parameter.path))
            parameter_row.show_beside(on=self._beside)
            group.rows.addWidget(parameter_row)
            self._rows.append(parameter_row)
        if name == "handle":
            group.rows.addWidget(self.hand)
        self.refresh()

    def _changed(self, change: Changed) -> None:
        if change.chosen:
            self._refused()  # typing was for the previous template
        else:
            self.refresh()  # the steps of the arrow keys may have changed too

    def _refused(self) -> None:
        """Drop unfinished typing: every field shows the kept value."""
        self.thickness.let_go()
        self.holes.let_go()
        for parameter_row in self._rows:
            parameter_row.let_go()
        self.refresh()

    def _any_template(self) -> Template | None:
        return next((t for t in self._workspace.model.job.templates if isinstance(t, Template)), None)

    def refresh(self) -> None:
        """Show the chosen template's numbers."""
        template, unit = self._workspace.chosen_template, self._workspace.unit
        words = (HABITS[unit].name, HABITS[HABITS[unit].beside].name)
        for unit_label, word in zip(self._units, words, strict=True):
            unit_label.say(word, "soft")
        self.bars.refresh()
        self._title.say(template.name)
        self._revision.say(_("revision {revision}", revision=template.revision), "soft")
        self._revision.setFixedWidth(self._revision.sizeHint().width())
        parametric = isinstance(template, Template)
        self._none.setVisible(not parametric)
        self._show_next_time()
        self._drawn.setVisible(not parametric)
        if not isinstance(template, Template):
            self.thickness.set_value(template.thickness, _THICKNESSES, unit)
        for group in (*self.groups.values(), self.holes):
            group.setVisible(parametric)
        if not isinstance(template, Template):
            return
        for parameter_row in self._rows:
            parameter_row.show_template(template, unit, self._workspace.session.document.settings.steps.of(unit))
        if self.groups["handle"].head.open:
            document = self._workspace.session.document
            customers = hands_for(document, self._workspace.chosen)
            self.hand.setText(hand_words(template, self._workspace.model.facts.hands, unit, customers))
        self.holes.refresh()
        for name, group in self.groups.items():
            group.head.summarise(summary(template, name, unit))


def hand_words(t: Template, hands: tuple[Hands, ...], unit: Unit, customers: Sequence[tuple[str, float]] = ()) -> str:
    """Whom the handle fits, of many people and of those who ordered it, and the scales its contour needs."""

    def length(mm: float) -> str:
        return f"{show(mm, unit)} {unit}"

    fitting = fit(t.handle, hands)
    shares = listing([_("{share:.0%} of {people}", share=share, people=people) for people, share in fitting.shares])
    said = [_("Long enough for the hands of {shares} (hand width, ANSUR II).", shares=shares)]
    for name, breadth in customers:
        if t.handle.length >= breadth + BESIDE:
            said.append(_("{name}’s hand is {length} wide. The handle is long enough.", name=name, length=length(breadth)))
        else:
            said.append(_("{name}’s hand is {length} wide. The handle is too short.", name=name, length=length(breadth)))
    girth, usual = length(fitting.girth), f"{show(GRIP[0], unit)}–{length(GRIP[1])}"
    if fitting.suits:
        said.append(
            _("Around the palm {girth}, within the usual {usual} (common practice, no source).", girth=girth, usual=usual)
        )
    else:
        said.append(
            _("Around the palm {girth}, outside the usual {usual} (common practice, no source).", girth=girth, usual=usual)
        )
    said.append(_("The contour needs scales of {length}.", length=length(scale_wanted(t, t.blade.thickness))))
    return " ".join(said)


def summary(t: Template, group: str, unit: Unit) -> str:
    """The summary on the head of a closed group."""

    def length(mm: float) -> str:
        return built(show(mm, unit))

    return {
        "blade": f"{length(t.blade.length)} × {length(t.blade.height)} {unit}",
        "point": _("{length} below spine", length=length(t.point.drop * t.blade.height)),
        "heel": _("{form}, {length} ahead", form=choice_words(t.heel.form), length=length(t.heel.ahead)),
        "handle": f"{length(t.handle.length)} × {length(t.handle.palm)} {unit}",
        "fittings": ", ".join(fitting_words(t)) or _("none"),
        "tang": choice_words(t.tang.form),
        "grind": f"{choice_words(t.grind.bevel)}, {t.grind.edge_angle:g}°",
    }[group]
