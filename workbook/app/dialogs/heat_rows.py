"""The heats of a load as rows: what each is for, what is asked, how long, what was read."""

from collections.abc import Iterator, Sequence

from msgspec import Struct
from PySide6.QtCore import Signal
from PySide6.QtWidgets import QGridLayout, QLineEdit, QWidget

from workbook.app.dialogs.heat_fields import number_in
from workbook.app.elements.basics import label, named, tool
from workbook.app.elements.choice import ChoiceField
from workbook.app.elements.entry import WholeValue
from workbook.app.elements.tick_box import TickBox
from workbook.app.look import Look
from workbook.handbook.degrees import axis, of_axis, sign
from workbook.heat.load import CycleKind, HeatCycle
from workbook.model.heat_words import CYCLES
from workbook.number_in import NumberError
from workbook.structs import replace
from workbook.texts import _
from workbook.units import Unit

_HOTTEST, _COLDEST, _LONGEST, _MOST = 2400.0, -330.0, 10_000.0, 12


class HeatDraft(Struct, frozen=True, kw_only=True):
    """A row as it is typed."""

    kind: CycleKind
    asked: str = ""
    minutes: str = ""
    read: str = ""
    done: bool = False


def to_begin(kind: CycleKind, minutes: str = "") -> HeatDraft:
    """A row of a load that is begun: it is logged after the quench, when what comes after it is still to come."""
    return HeatDraft(kind=kind, minutes=minutes, done=kind not in (CycleKind.TEMPER, CycleKind.COLD))


def begun_drafts(cycles: Sequence[HeatCycle], unit: Unit) -> list[HeatDraft]:
    """The rows of heats that are planned."""
    drafts = drafts_of([replace(cycle, read=None) for cycle in cycles], unit)
    return [replace(draft, done=to_begin(draft.kind).done) for draft in drafts]


def drafts_of(cycles: Sequence[HeatCycle], unit: Unit) -> list[HeatDraft]:
    """The rows of heats that are known, temperatures as the unit has them."""
    return [
        HeatDraft(
            kind=cycle.kind, asked=f"{axis(cycle.asked, unit):.0f}", minutes=f"{cycle.minutes:g}" if cycle.minutes else "",
            read=f"{axis(cycle.read, unit):.0f}" if cycle.read is not None else "", done=cycle.done,
        )
        for cycle in cycles
    ]  # fmt: skip


class _HeatRow:
    """The fields of one heat."""

    def __init__(self, look: Look, number: int, draft: HeatDraft) -> None:
        self.kind = ChoiceField(look)
        for kind, words in CYCLES.items():
            self.kind.addItem(words, kind)
        self.kind.setCurrentIndex(list(CYCLES).index(draft.kind))
        self.asked, self.minutes, self.read = (WholeValue(text) for text in (draft.asked, draft.minutes, draft.read))
        self.done = named(TickBox(look, on=draft.done), f"done-{number}")
        self.done.setAccessibleName(_("Done, heat {number}", number=number))
        self.kind.currentIndexChanged.connect(lambda at: self.done.setChecked(to_begin(self.heat).done))
        self._ticked = False  # by a reading
        self.read.textEdited.connect(self._tick)
        self.drop = tool(look, f"drop-{number}", "×")
        self.drop.setAccessibleName(_("Remove heat {number}", number=number))
        names = ((self.kind, _("Heat")), (self.asked, _("Target")), (self.minutes, _("Minutes")), (self.read, _("Read")))
        for (widget, words), key in zip(names, ("heat", "asked", "minutes", "read"), strict=True):
            named(widget, f"{key}-{number}")
            widget.setAccessibleName(_("{what}, heat {number}", what=words, number=number))
            widget.setFont(look.font("body"))
            widget.setFixedSize(look.px(120 if key == "heat" else 62), look.size("row"))

    def _tick(self, reading: str) -> None:
        """What is read was done; a reading that goes takes the tick it made along."""
        if reading and not self.done.isChecked():
            self._ticked = True
            self.done.setChecked(True)
        elif not reading and self._ticked:
            self._ticked = False
            self.done.setChecked(False)

    @property
    def widgets(self) -> tuple[QWidget, ...]:
        """In their order."""
        return self.kind, self.asked, self.minutes, self.read, self.done, self.drop

    @property
    def heat(self) -> CycleKind:
        """What it is for."""
        return CycleKind(self.kind.currentData())

    def draft(self) -> HeatDraft:
        """As it is typed."""
        asked, minutes, read = (line.text() for line in (self.asked, self.minutes, self.read))
        return HeatDraft(kind=self.heat, asked=asked, minutes=minutes, read=read, done=self.done.isChecked())

    def cycle(self, unit: Unit, *, strict: bool = False) -> HeatCycle | None:
        """The heat; None where no temperature is asked for. NumberError, with the heat's name.

        `strict`: one that was done must have a temperature.
        """
        asked, read = self._degrees(self.asked, unit), self._degrees(self.read, unit)
        minutes = number_in(self.minutes, (0.0, _LONGEST), CYCLES[self.heat]) or 0.0
        done = self.done.isChecked()
        if asked is None and (read is not None or (done and strict)):
            raise NumberError(_("{heat}: type the target temperature, or remove the row with ×", heat=CYCLES[self.heat]))
        return None if asked is None else HeatCycle(kind=self.heat, asked=asked, minutes=minutes, read=read, done=done)

    def _degrees(self, line: QLineEdit, unit: Unit) -> float | None:
        least = _COLDEST if self.heat is CycleKind.COLD else 0.0
        value = number_in(line, (least, _HOTTEST), CYCLES[self.heat])
        return None if value is None else of_axis(value, unit)


class HeatRows(QWidget):
    """The rows, each of which can be removed, and a button for one more."""

    edited = Signal()

    def __init__(self, look: Look, unit: Unit) -> None:
        super().__init__()
        self._look, self._unit = look, unit
        self.rows: list[_HeatRow] = []
        self._grid = QGridLayout(self)
        self._grid.setContentsMargins(14, 0, 14, 0)
        self._grid.setSpacing(4)
        heads = (_("Heat"), _("Target, {sign}", sign=sign(unit)), _("Minutes"), _("Read, {sign}", sign=sign(unit)), _("Done"))
        for column, head in enumerate(heads):
            self._grid.addWidget(label(look, head, "small", soft=True), 0, column)
        self._grid.setColumnStretch(6, 1)
        self.add_button = tool(look, "add-heat", _("Add a heat"), "add")
        self.add_button.clicked.connect(lambda: self.show_drafts([*self.drafts(), to_begin(CycleKind.TEMPER)]))

    def show_drafts(self, drafts: Sequence[HeatDraft]) -> None:
        """Show other rows."""
        for old in self.rows:
            for widget in old.widgets:
                self._grid.removeWidget(widget)
                widget.setParent(None)
                widget.deleteLater()
        self.rows = [_HeatRow(self._look, n, draft) for n, draft in enumerate(drafts[:_MOST], 1)]
        for n, made in enumerate(self.rows, 1):
            for column, widget in enumerate(made.widgets):
                self._grid.addWidget(widget, n, column)
            made.kind.currentIndexChanged.connect(self.edited)
            for line in (made.asked, made.minutes, made.read):
                line.textEdited.connect(self.edited)
            made.drop.clicked.connect(lambda checked=False, at=n - 1: self._drop(at))
        self._grid.addWidget(self.add_button, len(self.rows) + 1, 0)
        self.add_button.setEnabled(len(self.rows) < _MOST)
        self.edited.emit()

    def _drop(self, at: int) -> None:
        drafts = self.drafts()
        self.show_drafts([*drafts[:at], *drafts[at + 1 :]])

    def drafts(self) -> list[HeatDraft]:
        """The rows as they are typed."""
        return [made.draft() for made in self.rows]

    def cycles(self, *, strict: bool = False) -> tuple[HeatCycle, ...]:
        """The heats with a temperature. NumberError where one cannot be read, or with `strict` was done without any."""
        return tuple(cycle for made in self.rows if (cycle := made.cycle(self._unit, strict=strict)) is not None)

    @property
    def hardens(self) -> bool:
        """Whether a row is for hardening, at whatever temperature."""
        return any(made.heat is CycleKind.HARDEN for made in self.rows)

    def temper_minutes(self) -> list[float]:
        """The minutes of each temper, asked for or not. NumberError."""
        return list(self._of_tempers())

    def _of_tempers(self) -> Iterator[float]:
        for made in self.rows:
            if made.heat is CycleKind.TEMPER:
                yield number_in(made.minutes, (0.0, _LONGEST), CYCLES[made.heat]) or 0.0

    def set_tempers(self, celsius: float | None) -> None:
        """Ask for a temperature, °C, in every temper; None for none."""
        for made in self.rows:
            if made.heat is CycleKind.TEMPER:
                made.asked.setText("" if celsius is None else f"{axis(celsius, self._unit):.0f}")
        self.edited.emit()
