"""One parameter of a template as a row: a label that can be dragged, a field, and the value in the other unit."""

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QMouseEvent
from PySide6.QtWidgets import QComboBox, QWidget

from workbook.app.elements.basics import Lettered, named, row
from workbook.app.elements.choice import ChoiceField
from workbook.app.elements.length_field import ValueField
from workbook.app.elements.text_field import TextField
from workbook.app.look import Look
from workbook.app.plain import plain
from workbook.formats.family import as_form, form_words
from workbook.template.model import Template
from workbook.template.parameters import Kind, Parameter
from workbook.template.words import choice_words
from workbook.units import HABITS, Unit, built, show

_SCRUB = 4  # px of a drag for one step


class Scrub(Lettered):
    """A label that changes its number when dragged left or right."""

    moved = Signal(object)  # steps since the start of the drag (int); None when it starts or ends

    def __init__(self, look: Look, text: str) -> None:
        super().__init__(look, text, 9.75)
        self.setCursor(Qt.CursorShape.SizeHorCursor)
        self._from: float | None = None
        self._steps = 0

    def mousePressEvent(self, event: QMouseEvent) -> None:
        """Start a drag; a second button restores the number."""
        if self._from is not None:
            self.moved.emit(0)
            self._from = None
            return
        self._from, self._steps = event.position().x(), 0
        self.moved.emit(None)

    def mouseMoveEvent(self, event: QMouseEvent) -> None:
        """Emit one step for every few pixels from the start of the drag."""
        if self._from is None:
            return
        steps = int((event.position().x() - self._from) / _SCRUB)
        if steps != self._steps:
            self._steps = steps
            self.moved.emit(steps)

    def mouseReleaseEvent(self, event: QMouseEvent) -> None:
        """End the drag."""
        self._from = None
        self.moved.emit(None)


class ParameterRow(QWidget):
    """One parameter: its label, its field, and the value in the other unit."""

    edited = Signal(str, object)
    held = Signal(bool)  # whether the label is being dragged or a value typed
    given_up = Signal()  # the typed text is discarded
    lit = Signal(str)
    trouble = Signal(str)

    def __init__(self, look: Look, parameter: Parameter, kind_of_group: type, unit: Unit) -> None:
        super().__init__()
        self.parameter = parameter
        self._group = kind_of_group
        textual = parameter.kind in (Kind.CHOICE, Kind.TEXT)
        self._label = Lettered(look, parameter.label, 9.75) if textual else Scrub(look, parameter.label)
        self._label.setToolTip(plain(parameter.meaning))
        self._other = Lettered(look, "", 9.0, tone="soft", anchor="end")
        self._other.setFixedSize(look.px(50), self._other.sizeHint().height())  # fixed, so that a new text moves nothing else
        self.field = self._made_field(look, unit)
        self.field.setFixedWidth(look.px(92 if parameter.kind not in (Kind.CHOICE, Kind.TEXT) else 142))
        self.field.setAccessibleName(parameter.label)
        self.field.setToolTip(plain(parameter.meaning))
        if isinstance(self._label, Scrub) and isinstance(self.field, ValueField):
            self._label.moved.connect(self.field.scrub)
            self._label.moved.connect(lambda steps: self.held.emit(steps is not None))
        widgets = [self._label, self.field] if textual else [self._label, self.field, self._other]
        self.setLayout(row(*widgets, margins=(12, 0, 10, 0), gap=4))
        self.setFixedHeight(look.px(34))

    def show_beside(self, *, on: bool) -> None:
        """Show the value in the other unit, or leave its room to the label."""
        self._other.setVisible(on)

    def _made_field(self, look: Look, unit: Unit) -> QWidget:
        name = self.parameter.path
        if self.parameter.kind is Kind.CHOICE:
            box = named(ChoiceField(look), name)
            box.setFont(look.font("body"))
            box.setFixedHeight(look.size("row"))
            for value in form_words(self._group, self.parameter.key) or ():
                box.addItem(choice_words(value), value)
            box.activated.connect(lambda at: self.edited.emit(name, as_form(self._group, self.parameter.key, box.itemData(at))))
            return box
        if self.parameter.kind is Kind.TEXT:
            line = TextField(name, str.strip)
            line.setFont(look.font("body"))
            line.setFixedHeight(look.size("row"))
            line.setMaxLength(60)
            line.entered.connect(lambda value: self.edited.emit(name, value))
            line.typing.connect(self.held)
            line.given_up.connect(self.given_up)
            return line
        field = ValueField(look, name, self.parameter.kind, unit)
        field.entered.connect(lambda value: self.edited.emit(name, value))
        field.focused.connect(lambda on: self.lit.emit(self.parameter.dimension if on else ""))
        field.typing.connect(self.held)
        field.given_up.connect(self.given_up)
        field.trouble.connect(self.trouble)
        return field

    def show_template(self, template: Template, unit: Unit, step: float) -> None:
        """Show the template's value, or hide the row where the parameter does not apply."""
        applies = self.parameter.applies(template)
        if not applies:
            self.let_go()
        self.setVisible(applies)
        value = self.parameter.value(template)
        if isinstance(self.field, QComboBox):
            self.field.setCurrentIndex(self.field.findData(str(value)))
        elif isinstance(self.field, ValueField):
            self._show_number(template, value, unit, step)
        elif isinstance(self.field, TextField):
            self.field.show_value(value)

    def let_go(self) -> None:
        """Drop the typed text, so that the next value set is shown."""
        if isinstance(self.field, ValueField | TextField):
            self.field.let_go()

    def _show_number(self, template: Template, value: float | None, unit: Unit, step: float) -> None:
        assert isinstance(self.field, ValueField)
        low, high = self.parameter.limits(template)
        number = template.blade.height if value is None else value  # a full-height bevel reaches the spine
        self.field.set_value(number, (low, high), unit, step)
        if self.parameter.kind in (Kind.LENGTH, Kind.FINE):
            other_unit = HABITS[unit].beside
            fine = HABITS[other_unit].metric or self.parameter.kind is Kind.FINE
            self._other.say(built(show(number, other_unit, fine=fine)), "soft")
