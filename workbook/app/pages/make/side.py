"""Beside a traveller: the entry for the stage chosen, the blade at hand, what was entered so far."""

from collections.abc import Mapping, Sequence
from functools import partial

from PySide6.QtCore import Signal
from PySide6.QtWidgets import QLineEdit, QMenu, QToolButton, QVBoxLayout, QWidget

from workbook.app.elements.basics import Lettered, button, label, named, row, scrolled, surface, tool
from workbook.app.elements.entry import WholeValue
from workbook.app.elements.record_table import RecordTable
from workbook.app.elements.wrapping_row import WrappingRow
from workbook.app.look import Look
from workbook.app.pages.make.words import entry_row
from workbook.document.document import Document
from workbook.document.making_records import EntryRecord
from workbook.making.entry import EntryKind
from workbook.texts import _

_ENTRY_HEADS = (_("Date"), _("Entry"), _("Blades"), _("Time"))
_MOST_LINES = 12  # of the blade at hand


class MakingSide(QWidget):
    """The panel. Its fields hold what will be entered; nothing is entered until it is asked for."""

    enter_wanted = Signal()
    measure_wanted = Signal()
    load_wanted = Signal(str)  # the id of a load
    take_back_wanted = Signal(str)  # the id of an entry
    history_wanted = Signal()  # everything about the blade at hand

    def __init__(self, look: Look) -> None:
        super().__init__()
        self._look = look
        self.minutes, self.set_up = self._line("minutes", _("Minutes, all blades")), self._line("set-up", _("Set-up, minutes"))
        self.date, self.note = self._line("date", _("Date")), self._line("note", _("Note"))
        self.measured = self._line("measured", _("Measured"))
        self.minutes.setPlaceholderText("95")
        self.set_up.setPlaceholderText("0")
        self.head, self._plan = Lettered(look, "", 9.75, bold=True), label(look, "", "small", soft=True)
        self._plan.setWordWrap(True)
        self.enter_button = button(look, "enter", _("Enter as done"), main=True)
        self.timer_button = tool(look, "timer", _("Timer"), "wait", switch=False)
        self.scrap_button, self.again_button = tool(look, "scrap", _("Scrap…")), tool(look, "again", _("Repeat…"))
        self.heat_button, self.load_button = tool(look, "heat-load", _("Heat treatment…")), tool(look, "load", _("Load…"))
        self.loads: Mapping[str, int] = {}  # numbers of the loads of the blade at hand, by their ids
        self.send_button = tool(look, "send-out", _("Send out"))
        self.outgoing_button = tool(look, "print-outgoing", _("Sheet to send"), "print")
        self.labels_button = tool(look, "print-labels", _("Labels"), "print")
        self.sheets_button = tool(look, "print-heat", _("Heat sheets"), "print")
        self.scale_sheets_button = tool(look, "print-scales", _("Scale sheets"), "print")
        self.scales_button, self.next_button = tool(look, "scales", _("Scales…")), tool(look, "next-time", _("Next time…"))
        self.pass_button, self.move_button = tool(look, "pass", _("Pass…")), tool(look, "give", _("Order…"))
        self._blade, self.lines = Lettered(look, "", 9.75, bold=True), label(look, "")
        self.lines.setWordWrap(True)
        self.entries = RecordTable(look, "entries", _("Entries"), _ENTRY_HEADS, right=(3,))
        self.entries.set_widths(look, {0: 70, 2: 70, 3: 62})
        self.history_button = tool(look, "history", _("History"), "right")
        self.history_button.clicked.connect(self.history_wanted)
        self.load_button.clicked.connect(self._ask_load)
        self.back_button = tool(look, "take-back", _("Take back"))
        self._caution = label(look, "", "small")
        self._caution.setWordWrap(True)
        self._chosen, self._stand = "", set[str]()  # ids: of the entry chosen, and of those that can be taken back
        self._build()
        for line in (self.minutes, self.set_up, self.date, self.note):
            line.returnPressed.connect(self.enter_wanted)
        self.enter_button.clicked.connect(self.enter_wanted)
        self.measured.returnPressed.connect(self.measure_wanted)
        self.entries.chosen.connect(self._choose)
        self.back_button.clicked.connect(lambda: self.take_back_wanted.emit(self._chosen))

    def _line(self, name: str, words: str) -> QLineEdit:
        line = named(WholeValue(""), name)
        line.setAccessibleName(words)
        line.setFont(self._look.font("body"))
        line.setFixedHeight(self._look.size("row"))
        return line

    def _build(self) -> None:
        look = self._look
        inner = named(QWidget(), "inner")
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 8, 0, 8)
        column.setSpacing(4)
        self.head.setMinimumWidth(0)
        column.addLayout(row(self.head))
        for line in (self.minutes, self.set_up, self.date, self.note):
            line.setFixedWidth(look.px(180 if line is self.note else 110))
            column.addLayout(row(label(look, line.accessibleName()), None, line))
        column.addLayout(row(self._plan))
        self._measured_row = QWidget()
        self._measured_words = label(look, "")
        measured = QVBoxLayout(self._measured_row)
        measured.setContentsMargins(0, 0, 0, 0)
        measured.setSpacing(2)
        measured.addLayout(row(self._measured_words))
        measured.addLayout(row(self.measured))
        column.addWidget(self._measured_row)
        column.addLayout(WrappingRow(*self._tools()))
        column.addLayout(row(self._caution))
        column.addSpacing(look.px(6))
        column.addLayout(row(self._blade, self.history_button))
        column.addLayout(row(self.lines))
        column.addSpacing(look.px(6))
        column.addLayout(row(label(look, _("Entries"), "strong"), None, self.back_button))
        self.entries.setMinimumHeight(look.px(150))
        column.addWidget(self.entries, 1)
        layout = QVBoxLayout()
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(scrolled(inner), 1)
        buttons = row(self.timer_button, None, self.enter_button, margins=(12, 12, 12, 12))
        layout.addWidget(surface("foot", buttons))
        outer = QVBoxLayout(self)
        outer.setContentsMargins(0, 0, 0, 0)
        outer.addWidget(surface("panel", layout))

    def _tools(self) -> tuple[QToolButton, ...]:
        """The buttons below the fields, those of blades first; each shows where it can do something."""
        of_blades = (self.scrap_button, self.again_button, self.pass_button, self.move_button)
        of_heat, of_handles = (self.heat_button, self.load_button), (self.scales_button, self.scale_sheets_button)
        outside = (self.send_button, self.outgoing_button)
        return (*of_blades, *outside, *of_heat, *of_handles, self.labels_button, self.sheets_button, self.next_button)

    def show_stage(self, head: str, plan: str, caution: str, *, ready: bool) -> None:
        """Say what an entry would be for. `ready`: there is a blade to enter for."""
        self.head.say(head)
        self._plan.setText(plan)
        self._caution.setText(caution)
        self._caution.setVisible(bool(caution))
        for widget in (self.enter_button, self.timer_button, self.minutes, self.set_up):
            widget.setEnabled(ready)

    def show_measure(
        self, words: str, example: str, *, heats: bool = False, handles: bool = False, outside: bool = False
    ) -> None:
        """Ask for readings of the blade at hand; "" where the stage asks for none. `heats`: it is the heat treatment;
        `handles`: handles are made at it; `outside`: blades go to a service.
        """
        self._measured_row.setVisible(bool(words))
        for each in (self.heat_button, self.sheets_button):
            each.setVisible(heats)
        for each in (self.scales_button, self.scale_sheets_button):
            each.setVisible(handles)
        for each in (self.send_button, self.outgoing_button):
            each.setVisible(outside)
        self._measured_words.setText(words)
        self.measured.setPlaceholderText(example)

    def show_blade(self, head: str, lines: Sequence[str], *, going: bool, held: bool, bare: bool = False) -> None:
        """Say what is known of the blade at hand. `bare`: it has no scales yet."""
        self.scales_button.setEnabled(going and bare)
        self._blade.say(head)
        self.lines.setText("\n".join(lines[:_MOST_LINES]))
        self.history_button.setEnabled(bool(head))
        self.next_button.setEnabled(bool(head))
        self.pass_button.setEnabled(held)
        for widget in (self.scrap_button, self.again_button, self.move_button):
            widget.setEnabled(going)

    def show_loads(self, loads: Mapping[str, int]) -> None:
        """Offer the loads of the blade at hand, by their ids with their numbers."""
        self.loads = loads
        numbers = ", ".join(map(str, loads.values()))
        self.load_button.setText(_("Load {numbers}…", numbers=numbers) if loads else _("Load…"))
        self.load_button.setAccessibleName(self.load_button.text())
        self.load_button.setVisible(bool(loads) and self.heat_button.isVisibleTo(self))

    def _ask_load(self) -> None:
        """Open the only load, or let one be chosen."""
        if len(self.loads) == 1:
            self.load_wanted.emit(next(iter(self.loads)))
            return
        menu = QMenu(self)
        for load, number in self.loads.items():
            menu.addAction(_("Load {number}", number=number), partial(self.load_wanted.emit, load))
        menu.popup(self.load_button.mapToGlobal(self.load_button.rect().bottomLeft()))

    def show_entries(self, document: Document, entries: Sequence[EntryRecord]) -> None:
        """List what was entered, the last first."""
        gone = {record.entry.of for record in entries}
        self._stand = {record.id for record in entries if record.entry.kind is not EntryKind.TAKEN_BACK} - gone
        self.entries.show_records(list(reversed(entries)), lambda record: entry_row(document, record, gone), self._chosen)
        self._choose(self._chosen if any(record.id == self._chosen for record in entries) else "")

    def _choose(self, entry: str) -> None:
        self._chosen = entry
        self.back_button.setEnabled(entry in self._stand)

    def clear(self) -> None:
        """Empty the fields after an entry; the date stays."""
        for line in (self.minutes, self.set_up, self.note, self.measured):
            line.clear()
