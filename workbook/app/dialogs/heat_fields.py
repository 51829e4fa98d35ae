"""The fields of what was read of a load: times, oil, file and hardness as quenched, straightening, remarks."""

from collections.abc import Mapping
from enum import StrEnum
from typing import TypeVar

from PySide6.QtWidgets import QLineEdit, QWidget

from workbook.app.elements.basics import named
from workbook.app.elements.choice import ChoiceField
from workbook.app.elements.entry import WholeValue
from workbook.app.look import Look
from workbook.handbook.degrees import axis, of_axis, sign
from workbook.heat.clock import is_clock
from workbook.heat.fields import HRC
from workbook.heat.load import CycleKind, FileTest, HeatLoad, Straightened
from workbook.model.heat_words import FILES, STRAIGHTENED
from workbook.number_in import NumberError, parse_number
from workbook.shop.order_entry import iso_date
from workbook.structs import replace
from workbook.texts import _, labelled
from workbook.units import Unit

_Word = TypeVar("_Word", bound=StrEnum)
_WARMEST, _SECONDS, _LONGEST = 572.0, 600.0, 10_000.0  # °F or °C of an oil, seconds, minutes


def line_of(look: Look, name: str, words: str, wide: int = 110) -> QLineEdit:
    """A line for one value."""
    line = named(WholeValue(""), name)
    line.setAccessibleName(words)
    line.setFont(look.font("body"))
    line.setFixedSize(look.px(wide), look.size("row"))
    return line


def choice_of(look: Look, name: str, words: str, options: Mapping[_Word, str] | Mapping[str, str], wide: int) -> ChoiceField:
    """A choice of one of a few words."""
    choice = named(ChoiceField(look), name)
    choice.setAccessibleName(words)
    choice.setFont(look.font("body"))
    choice.setFixedSize(look.px(wide), look.size("row"))
    for value, shown in options.items():
        choice.addItem(shown, value)
    return choice


def number_in(line: QLineEdit, limits: tuple[float, float], words: str = "") -> float | None:
    """What a line says; None where it is empty. NumberError, with the line's name or `words` in front."""
    if not line.text().strip():
        return None
    try:
        return float(parse_number(line.text(), *limits))
    except NumberError as trouble:
        raise NumberError(labelled(words or line.accessibleName(), trouble)) from None


class ReadFields:
    """The fields; empty ones were not read."""

    def __init__(self, look: Look, unit: Unit) -> None:
        self._unit = unit
        self.quenched = line_of(look, "quenched", _("Time of quench"))
        self.quenched.setPlaceholderText("21:40")
        self.seconds = line_of(look, "seconds", _("Furnace to quench, seconds"))
        self.quench = line_of(look, "quench", _("Quench medium"), 180)
        self.before = line_of(look, "before", _("Oil before, {sign}", sign=sign(unit)))
        self.after = line_of(look, "after", _("Oil after, {sign}", sign=sign(unit)))
        self.file = choice_of(look, "file", _("File test as quenched"), FILES, 150)
        self.hardness = line_of(look, "as-quenched", _("Hardness as quenched, HRC"))
        self.straightened = choice_of(look, "straightened", _("Straightened"), STRAIGHTENED, 150)
        self.until = line_of(look, "until-temper", _("Wait before temper, minutes"))
        self.furnace, self.date = line_of(look, "furnace", _("Furnace or forge"), 180), line_of(look, "load-date", _("Date"))
        self.note = line_of(look, "load-note", _("Note"), 220)

    @property
    def fields(self) -> tuple[QWidget, ...]:
        """In their order."""
        return (
            self.date, self.furnace, self.quench, self.quenched, self.seconds, self.before, self.after, self.file, self.hardness,
            self.straightened, self.until, self.note,
        )  # fmt: skip

    def begin(self, date: str, furnace: str, quench: str) -> None:
        """Fill in what a new load begins with."""
        self.date.setText(date)
        self.furnace.setText(furnace)
        self.quench.setText(quench)

    def show_load(self, load: HeatLoad, date: str) -> None:
        """Fill in what is known of a load."""
        self.begin(date, load.furnace, load.quench)
        self.quenched.setText(load.quenched)
        self.note.setText(load.note)
        for line, value in ((self.seconds, load.seconds), (self.hardness, load.as_quenched), (self.until, load.until_temper)):
            line.setText("" if value is None else f"{value:g}")
        for line, value in ((self.before, load.before), (self.after, load.after)):
            line.setText("" if value is None else f"{axis(value, self._unit):.0f}")
        self.file.setCurrentIndex(list(FILES).index(load.file))
        self.straightened.setCurrentIndex(list(STRAIGHTENED).index(load.straightened))

    def date_typed(self) -> str:
        """The load's ISO date. EntryError where it is none."""
        return iso_date(self.date.text())

    def into(self, load: HeatLoad) -> HeatLoad:
        """A load with what was read. NumberError, with the field's name, where a field cannot be read."""
        quenched = self.quenched.text().strip()
        if quenched and not is_clock(quenched):
            raise NumberError(_("{field}: type a time of day, e.g. 21:40", field=self.quenched.accessibleName()))
        straightened = Straightened(self.straightened.currentData())
        hardened = any(cycle.kind is CycleKind.HARDEN for cycle in load.cycles)
        if straightened in (Straightened.IN_TEMPER, Straightened.AFTER_TEMPER) and CycleKind.TEMPER not in load.done:
            raise NumberError(_("Straightened, but no temper is ticked. Cold as quenched, blades break."))
        return replace(
            load, quenched=quenched, seconds=number_in(self.seconds, (0.0, _SECONDS)), before=self._degrees(self.before),
            after=self._degrees(self.after), file=FileTest(self.file.currentData()),
            as_quenched=number_in(self.hardness, HRC), straightened=straightened,
            until_temper=number_in(self.until, (0.0, _LONGEST)), furnace=self.furnace.text().strip(),
            note=self.note.text().strip(), quench=self.quench.text().strip() if hardened else "",
        )  # fmt: skip

    def _degrees(self, line: QLineEdit) -> float | None:
        value = number_in(line, (0.0, _WARMEST))
        return None if value is None else of_axis(value, self._unit)
