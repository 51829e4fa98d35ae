"""Saw, margins and habits of the workbook: each number an edit like any other."""

from dataclasses import dataclass, replace

from PySide6.QtCore import Qt
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QCheckBox, QComboBox, QDialog, QFormLayout, QWidget

from workbook.app.widgets.basics import label, named
from workbook.app.widgets.length_field import ValueField
from workbook.app.workspace import Workspace
from workbook.shop.job import Cutting
from workbook.template.parameters import Kind
from workbook.units import show

_NOTHING = 0.2  # mm; a narrower band, or a tighter turn, is none
_WAYS = {Cutting.LINE: "the saw follows the line", Cutting.STRAIGHT: "straight cuts only", Cutting.SERVICE: "jet or laser"}


@dataclass(frozen=True, slots=True)
class Habit:
    """One length: where it stands in the settings, its words, the most it may be, and what stands there when nothing does."""

    part: str  # "saw" or "rules"
    name: str
    words: str
    most: float
    kind: Kind = Kind.LENGTH


HABITS = (
    Habit("saw", "kerf", "Saw kerf", 20.0),
    Habit("saw", "clean_up", "Steel left outside the line", 20.0),
    Habit("saw", "bar_end", "Outline to the bar's ends", 100.0),
    Habit("saw", "bar_edge", "Outline to its long edges", 100.0),
    Habit("saw", "sheared_edge", "Outline to a sheared edge", 100.0),
    Habit("saw", "band", "Width of the saw's band (0: not known)", 60.0),
    Habit("saw", "tightest_radius", "Tightest turn of the saw (0: by its band)", 1000.0),
    Habit("rules", "keep_offcut", "Shortest offcut worth keeping", 5000.0),
    Habit("rules", "smallest_radius", "Smallest inside radius you can make", 50.0),
    Habit("rules", "tang_clearance", "Tang hole over its pin", 3.0, Kind.FINE),
    Habit("rules", "web", "Steel between holes", 50.0),
)
SWITCHES = (
    ("saw", "spine_on_edge", "Spines may lie on the bar's edge"),
    ("rules", "offcuts_first", "Use up offcuts first"),
    ("rules", "credit_offcuts", "Offcuts are worth their steel"),
)


_UNITS = {"in": "Lengths in inches", "mm": "Lengths in millimetres"}


class Habits(QDialog):
    """The dialog; what is entered counts at once and can be undone."""

    def __init__(self, parent: QWidget, workspace: Workspace) -> None:
        super().__init__(parent)
        self.setWindowTitle("Saw and habits")
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._space, look = workspace, workspace.look
        form = QFormLayout(self)
        form.setContentsMargins(*(look.px(16),) * 4)
        form.setVerticalSpacing(look.px(6))
        form.addRow(label(look, f"{_UNITS[workspace.unit]}. Every change can be undone.", "small", soft=True))
        self._fields = {habit: ValueField(look, habit.name, habit.kind, workspace.unit) for habit in HABITS}
        for habit, field in self._fields.items():
            field.setAccessibleName(habit.words)
            field.entered.connect(lambda value, habit=habit: self._entered(habit, value))
            form.addRow(label(look, habit.words), field)
        self._way = named(QComboBox(), "cutting")
        self._way.setAccessibleName("How blanks are cut")
        self._way.setFont(look.font("body"))
        self._way.setFixedHeight(look.size("row"))
        for way, words in _WAYS.items():
            self._way.addItem(words, way)
        self._way.activated.connect(self._way_chosen)
        form.addRow(label(look, "How blanks are cut"), self._way)
        self._switches = {}
        for part, name, words in SWITCHES:
            box = named(QCheckBox(words), name)
            box.setFont(look.font("body"))
            colours = box.palette()
            colours.setColor(QPalette.ColorRole.Base, look.colour("field"))
            colours.setColor(QPalette.ColorRole.Text, look.colour("ink"))
            box.setPalette(colours)
            box.clicked.connect(lambda on, part=part, name=name, words=words: self._switched(part, name, words, on))
            self._switches[part, name] = box
            form.addRow(box)
        workspace.history_changed.connect(self._fill)
        workspace.refused.connect(self._fill)
        self._fill()

    def _fill(self) -> None:
        """What the settings say now; a margin that is not set shows what counts instead."""
        settings, unit = self._space.session.document.settings, self._space.unit
        for habit, field in self._fields.items():
            value = getattr(getattr(settings, habit.part), habit.name)
            shown = settings.saw.edge_margin if habit.name == "bar_edge" and value is None else value or 0.0
            field.set_value(shown, (0.0, habit.most), unit)
        self._way.setCurrentIndex(list(_WAYS).index(settings.saw.cutting))
        for (part, name), box in self._switches.items():
            box.setChecked(getattr(getattr(settings, part), name))

    def _entered(self, habit: Habit, value: float) -> None:
        said = f"{show(value, self._space.unit, fine=habit.kind is Kind.FINE)} {self._space.unit}"
        kept = None if habit.name in ("band", "tightest_radius") and value < _NOTHING else value
        self._change(habit.part, habit.name, kept, f"{habit.words.lower()} {said}")

    def _switched(self, part: str, name: str, words: str, on: bool) -> None:
        self._change(part, name, on, f"{words[0].lower()}{words[1:]}: {'yes' if on else 'no'}")

    def _way_chosen(self, index: int) -> None:
        way = list(_WAYS)[index]
        self._change("saw", "cutting", way, f"cut: {_WAYS[way]}")

    def _change(self, part: str, name: str, value: object, words: str) -> None:
        own = getattr(self._space.session.document.settings, part)
        self._space.change_settings(f"{part}.{name}", words, **{part: replace(own, **{name: value})})
