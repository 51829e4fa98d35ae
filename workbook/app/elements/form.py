"""A column of named fields for the parts of one record; every entry is emitted at once, keystroke by keystroke."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from decimal import Decimal
from functools import partial
from typing import TYPE_CHECKING, Any

from msgspec import Struct
from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QPalette
from PySide6.QtWidgets import QCheckBox, QVBoxLayout, QWidget

from workbook.app.elements.basics import Lettered, reveal, row
from workbook.app.elements.choice import ChoiceField
from workbook.app.elements.entry import Troubles
from workbook.app.elements.length_field import ValueField
from workbook.app.elements.text_field import TextField
from workbook.app.look import Look
from workbook.app.plain import plain
from workbook.length_in import LengthError, parse_length
from workbook.number_in import MOST_MONEY, NumberError, parse_amount, parse_number, parse_whole, written
from workbook.structs import replace
from workbook.template.parameters import Kind
from workbook.texts import _, labelled
from workbook.units import Unit, show

if TYPE_CHECKING:
    from workbook.app.workspace import Workspace


class Item(Struct, frozen=True):
    """One field of a form; subclasses say what it takes."""

    key: str
    words: str
    meaning: str = ""  # its tool tip


class LengthItem(Item, frozen=True, kw_only=True):
    """A length between two limits, in mm."""

    low: float
    high: float
    kind: Kind = Kind.LENGTH
    zero: str = ""  # what 0 means: the field is then empty and shows this
    absent: bool = False  # 0 is emitted as None


class TextItem(Item, frozen=True, kw_only=True):
    """A line of text, not blank unless `empty`; `look_at` raises ValueError, worded for the user, to reject one."""

    most: int = 60
    empty: bool = False
    look_at: Callable[[str], object] = str


class AmountItem(Item, frozen=True, kw_only=True):
    """An amount of money."""


class NumberItem(Item, frozen=True, kw_only=True):
    """A number between two limits, whole or with decimals. `zero` and `absent` as for a length."""

    low: float = 0.0
    high: float = 1000.0
    whole: bool = False
    by: float = 1.0  # factor it is shown with: 100 for a share in per cent
    zero: str = ""
    absent: bool = False


class LengthsItem(Item, frozen=True, kw_only=True):
    """A list of lengths between two limits, in mm, typed as "10, 2 in"."""

    low: float
    high: float
    example: str = ""  # shown while the field is empty


class ChoiceItem(Item, frozen=True, kw_only=True):
    """One of a few options."""

    options: tuple[tuple[Any, str], ...] = ()  # values and their texts


class SwitchItem(Item, frozen=True, kw_only=True):
    """A check box."""


class Heading(Struct, frozen=True):
    """A heading above the fields that follow."""

    words: str


class Form(QWidget):
    """The fields. `entered` carries a key and its value; `trouble` what is wrong with the text typed, "" if nothing."""

    entered = Signal(str, object)
    typing = Signal(bool)  # whether an entry is in progress
    given_up = Signal()  # the previous value is restored and has been emitted
    trouble = Signal(str)

    def __init__(self, look: Look, items: Sequence[Item | Heading], unit: Unit) -> None:
        super().__init__()
        self._look, self._unit = look, unit
        self._items = {item.key: item for item in items if isinstance(item, Item)}
        self._fields: dict[str, QWidget] = {}
        self._labels: dict[str, Lettered] = {}
        self._troubles = Troubles()
        self._of = ""  # id of what the values belong to
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.setSpacing(look.px(2))
        for item in items:
            if isinstance(item, Heading):
                column.addSpacing(look.px(8))
                column.addLayout(row(Lettered(look, item.words, 9.75, bold=True), margins=(12, 0, 12, 0)))
            else:
                column.addWidget(self._row(item))

    def _row(self, item: Item) -> QWidget:
        look = self._look
        field = self._fields[item.key] = self._made(item)
        field.setObjectName(item.key)
        field.setAccessibleName(item.words)
        field.setFont(look.font("body"))
        holder = QWidget()
        if isinstance(item, SwitchItem):
            holder.setLayout(row(field, None, margins=(12, 0, 10, 0)))
        else:
            wide = isinstance(item, TextItem | ChoiceItem | LengthsItem)
            field.setFixedSize(look.px(180 if wide else 92), look.size("row"))
            if isinstance(item, ChoiceItem) and item.options:
                field.setMaximumWidth(look.px(225))  # for a long option
            elif isinstance(field, ChoiceField):  # its names come later: before or after it is first shown
                field.setSizeAdjustPolicy(ChoiceField.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
            self._labels[item.key] = Lettered(look, item.words, 9.75)
            holder.setLayout(row(self._labels[item.key], field, margins=(12, 0, 10, 0), gap=4))
        holder.setFixedHeight(look.px(34))
        holder.setToolTip(plain(item.meaning))  # not on the field, whose tool tip says what is wrong
        return holder

    def _made(self, item: Item) -> QWidget:
        key = item.key
        if isinstance(item, LengthItem):
            length = ValueField(self._look, key, item.kind, self._unit)
            length.exact, length.zero = True, item.zero
            length.setPlaceholderText(item.zero)
            length.least = item.low if item.zero else 0.0
            length.entered.connect(lambda value: self.entered.emit(key, None if item.absent and value < 1e-9 else value))
            length.typing.connect(self.typing)
            length.given_up.connect(self.given_up)
            length.trouble.connect(partial(self._tell, key))
            return length
        if isinstance(item, ChoiceItem):
            box = ChoiceField(self._look)
            for value, words in item.options:
                box.addItem(words, value)
            box.activated.connect(lambda index: self.entered.emit(key, self._options(key)[index][0]))
            return box
        if isinstance(item, SwitchItem):
            switch = QCheckBox(item.words)
            colours = switch.palette()
            colours.setColor(QPalette.ColorRole.Base, self._look.colour("field"))
            colours.setColor(QPalette.ColorRole.Text, self._look.colour("ink"))
            switch.setPalette(colours)
            switch.clicked.connect(lambda on: self.entered.emit(key, on))
            return switch
        return self._line(item)

    @property
    def problem(self) -> str:
        """What is wrong with a field that was left; "" if nothing is."""
        return self._troubles.first

    def _tell(self, key: str, reason: str) -> None:
        self.trouble.emit(self._troubles.tell(key, reason))

    def _line(self, item: Item) -> TextField:
        """A text field that reports its value as it is typed, or why it cannot be read."""
        line = TextField(item.key, lambda text: self._read(item, text), lambda value: self._written(item, value))
        line.whole = not isinstance(item, TextItem)
        if line.whole:
            line.setAlignment(Qt.AlignmentFlag.AlignRight)
        line.setMaxLength(item.most if isinstance(item, TextItem) else 120)
        empty = item.example if isinstance(item, LengthsItem) else item.zero if isinstance(item, NumberItem) else ""
        line.setPlaceholderText(empty)
        line.entered.connect(lambda value: self.entered.emit(item.key, value))
        line.typing.connect(self.typing)
        line.given_up.connect(self.given_up)
        line.trouble.connect(partial(self._tell, item.key))
        return line

    def _read(self, item: Item, text: str) -> Any:
        """Read the value of a text; raise ValueError, worded for the user, if it has none."""
        text = text.strip()
        match item:
            case TextItem():
                if not text and not item.empty:
                    raise ValueError(_("{words}: type some text", words=item.words))
                if text:
                    item.look_at(text)
                return text
            case AmountItem():
                return _read(item, parse_amount, text or "0")
            case LengthsItem():
                return self._lengths(item, text)
            case NumberItem():
                return self._number(item, text or ("0" if item.zero else ""))
            case _:
                raise TypeError(item)

    def _number(self, item: NumberItem, text: str) -> float | None:
        """Read a number; raise ValueError if there is none. With `zero`, 0 is taken even if the least number is larger."""

        def number(low: float) -> float:
            if item.whole:
                return int(_read(item, parse_whole, text, round(low), round(item.high)))
            return float(_read(item, partial(parse_number, sign="%°"), text, low * item.by, item.high * item.by)) / item.by

        value = number(0.0 if item.zero else item.low)
        if value and value < item.low:
            return number(item.low)  # raises, naming the least number
        return None if item.absent and not value else value

    def _lengths(self, item: LengthsItem, text: str) -> tuple[float, ...]:
        """Read a list of lengths, in mm; raise ValueError if unreadable or ambiguous. Semicolons separate, else commas."""
        if ";" in text:
            return self._each(item, text.split(";"))
        readings, problem = set[tuple[float, ...]](), ""
        for parts in (re.split(r",\s|,$", text), text.split(",")):
            try:
                readings.add(self._each(item, parts))
            except _OneOfThem:
                raise
            except ValueError as trouble:
                problem = problem or str(trouble)
        if not readings:
            raise ValueError(problem)
        if len(readings) > 1:
            raise ValueError(
                _("{field}: type a point in “{text}”, or a space after each comma between lengths", field=item.words, text=text)
            )
        return readings.pop()

    def _each(self, item: LengthsItem, parts: Sequence[str]) -> tuple[float, ...]:
        return tuple(self._length(item, part.strip()) for part in parts if part.strip())

    def _length(self, item: LengthsItem, text: str) -> float:
        try:
            value = parse_length(text, self._unit, (item.low, item.high))
        except LengthError as trouble:
            kind = _OneOfThem if trouble.two_ways else ValueError
            raise kind(f"{item.words}: “{text}”: {trouble.what}") from None
        if not item.low <= value <= item.high:
            low, high = show(item.low, self._unit), show(item.high, self._unit)
            raise ValueError(
                _("{field}: allowed for each: {low} to {high} {unit}", field=item.words, low=low, high=high, unit=self._unit)
            )
        return value

    @property
    def keys(self) -> tuple[str, ...]:
        """The keys of all fields."""
        return tuple(self._items)

    def field(self, key: str) -> QWidget:
        """The field of a key."""
        return self._fields[key]

    def go_to(self, key: str) -> None:
        """Scroll to a field and give it the keyboard."""
        reveal(self._fields[key])

    def row_of(self, key: str) -> QWidget:
        """The row of a key: its label and its field."""
        holder = self._fields[key].parentWidget()
        assert holder is not None
        return holder

    def _options(self, key: str) -> tuple[tuple[Any, str], ...]:
        """The options of a choice. Not read from the box, as Qt turns richer strings into plain ones."""
        item = self._items[key]
        assert isinstance(item, ChoiceItem)
        return item.options

    def set_options(self, key: str, options: Sequence[tuple[Any, str]]) -> None:
        """Replace the options of a choice."""
        item, box = self._items[key], self._fields[key]
        assert isinstance(item, ChoiceItem)
        assert isinstance(box, ChoiceField)
        if item.options != tuple(options):
            self._items[key] = replace(item, options=tuple(options))
            box.clear()
            for value, words in options:
                box.addItem(words, value)

    def call(self, key: str, words: str) -> None:
        """Give a field another label."""
        self._labels[key].say(words)
        self._fields[key].setAccessibleName(words)

    def keep_in(self, workspace: Workspace) -> None:
        """Make each entry one step of the workspace, none if it is given up; drop the typed text if the workspace refuses it."""
        self.typing.connect(workspace.hold)
        self.given_up.connect(workspace.give_up)
        workspace.refused.connect(self.let_go)

    def let_go(self) -> None:
        """Drop the typed text in every field, so that the next value set is shown."""
        for field in self._fields.values():
            if isinstance(field, ValueField | TextField):
                field.let_go()

    def show_values(self, values: Mapping[str, Any], unit: Unit, of: str = "") -> None:
        """Show values by key. A field being typed in is left alone unless the values are now `of` something else."""
        self._unit = unit
        if of != self._of:
            self._of = of
            self.let_go()
        for key, item in self._items.items():
            self._show(item, self._fields[key], values[key])

    def _show(self, item: Item, field: QWidget, value: Any) -> None:
        if isinstance(field, ValueField):
            assert isinstance(item, LengthItem)
            field.set_value(value or 0.0, (0.0 if item.zero else item.low, item.high), self._unit)
        elif isinstance(field, ChoiceField):
            assert isinstance(item, ChoiceItem)
            options = [option for option, _ in item.options]
            field.setCurrentIndex(options.index(value) if value in options else -1)
        elif isinstance(field, QCheckBox):
            field.setChecked(value)
        elif isinstance(field, TextField):
            field.show_value(value)

    def _written(self, item: Item, value: Any) -> str:
        if isinstance(value, tuple):
            return ", ".join(show(length, self._unit) for length in value)
        if isinstance(item, NumberItem):
            if item.zero and not value:
                return ""
            value = round(value * item.by, 6) if isinstance(value, float) else value
        most = item.high * item.by if isinstance(item, NumberItem) else MOST_MONEY
        return written(value, most) if isinstance(value, float | Decimal) else str(value)


class _OneOfThem(ValueError):
    """One part of a list can be read as two different lengths."""


def _read(item: Item, read: Callable[..., Any], text: str, *limits: float) -> Any:
    """Read the number of a text; raise ValueError naming the field if there is none."""
    try:
        return read(text, *limits)
    except NumberError as trouble:
        raise ValueError(labelled(item.words, trouble)) from None
