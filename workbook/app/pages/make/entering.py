"""What is entered on Make: the chosen stage as done, readings, a reason; said where it cannot be."""

from collections.abc import Sequence
from datetime import datetime

from PySide6.QtCore import QObject, Qt, Signal
from PySide6.QtWidgets import QInputDialog

from workbook.app.pages.make.side import MakingSide
from workbook.app.pages.make.traveller import Traveller
from workbook.app.plain import plain
from workbook.app.workspace import Workspace
from workbook.document.document import Document
from workbook.document.making import batches, blades_of, entries_of, standings_in, untempered
from workbook.document.making_records import BatchRecord
from workbook.document.orders import lines_of
from workbook.document.records import MaterialRecord, TemplateRecord
from workbook.document.shop_records import OrderRecord, PieceRecord
from workbook.making.entering import refused
from workbook.making.entry import EntryKind, Logged, MeasuredAt
from workbook.making.minutes import minutes_in, minutes_words
from workbook.making.readings import readings_in
from workbook.making.standing import CellState
from workbook.model.blade_checks import hand_of
from workbook.model.taking import Taking, short_words
from workbook.number_in import NumberError
from workbook.shop.entry import EntryError
from workbook.shop.labour import Stage, StageAsks
from workbook.shop.materials import MaterialKind
from workbook.shop.order_entry import iso_date
from workbook.tasks.work import now
from workbook.texts import _, ngettext
from workbook.units import Unit, reading

_MOST_MINUTES = 10_000.0
_MOST_REASONS = 12
_LOOSE = 0.2  # mm by which an edge may be read thicker than its bar: a burr
_TIMER = "making-timer"
_REASONS = (_("cracked in the quench"), _("warped"), _("ground too thin"), _("cut into the line"), _("hole out of place"))


class Entering(QObject):
    """Enters for the stage and the blades chosen on a traveller."""

    said = Signal(str)  # why something cannot be entered; "" where it was

    def __init__(self, workspace: Workspace, side: MakingSide, traveller: Traveller) -> None:
        super().__init__()
        self._workspace, self._side, self._traveller = workspace, side, traveller
        self.batch: BatchRecord | None = None  # the one at hand
        self.goes_on = False  # work is being entered: what comes next may be shown with it
        traveller.wanted.connect(self.enter)
        traveller.typed.connect(self._type)
        side.enter_wanted.connect(self.enter)
        side.measure_wanted.connect(self.measure)
        side.scrap_button.clicked.connect(lambda: self._with_reason(EntryKind.SCRAP))
        side.again_button.clicked.connect(lambda: self._with_reason(EntryKind.REWORK))
        side.pass_button.clicked.connect(lambda: self._with_reason(EntryKind.PASSED))
        side.move_button.clicked.connect(self._give_to)
        side.scales_button.clicked.connect(self._give_scales)
        side.send_button.clicked.connect(self._send_out)
        side.next_button.clicked.connect(self._note_next_time)
        side.timer_button.setChecked(_TIMER in workspace.typed)
        side.timer_button.toggled.connect(self._time)

    @property
    def _document(self) -> Document:
        return self._workspace.session.document

    @property
    def stage(self) -> Stage | None:
        """The stage chosen."""
        stages = self.batch.stages if self.batch else ()
        return next((stage for stage in stages if stage.name == self._traveller.made.stage), None)

    def _type(self, digit: str) -> None:
        """Begin the minutes with a digit typed on the traveller."""
        self._side.minutes.setFocus(Qt.FocusReason.OtherFocusReason)
        self._side.minutes.setText(digit)

    def enter(self) -> None:
        """Enter the chosen stage as done for the chosen blades."""
        stage, side, made = self.stage, self._side, self._traveller.made
        pieces = tuple(blade.id for blade in made.blades if blade.id in made.chosen)
        if stage is None or not pieces:
            self.said.emit(_("Choose a stage and at least one blade. The space bar selects the blade at the cursor."))
            return
        try:
            minutes, set_up = (_minutes(line.text()) for line in (side.minutes, side.set_up))
            date = _past(side.date.text())
        except (NumberError, EntryError) as trouble:
            self.said.emit(str(trouble))
            return
        note = side.note.text().strip()
        entries = [Logged(kind=EntryKind.DONE, date=date, stage=stage.name, pieces=pieces, minutes=minutes, note=note)]
        if set_up:
            entries.append(Logged(kind=EntryKind.SET_UP, date=date, stage=stage.name, minutes=set_up))
        skipped, lacking = self._skipped(stage, pieces), short_words(self._document, self._taking(entries[0]))
        self.goes_on = True
        kept = self._keep(*entries)
        self.goes_on = False
        if kept:
            self.said.emit(" ".join(part for part in (self._entered(entries[0], skipped), lacking) if part))
            side.timer_button.setChecked(False)
            side.clear()
            self._traveller.setFocus(Qt.FocusReason.OtherFocusReason)

    def _keep(self, *entries: Logged) -> bool:
        """Add entries, or say why they cannot be."""
        batch = self.batch
        assert batch is not None
        standings = standings_in(self._document, batch.id)
        serials = {piece.id: piece.serial for piece in blades_of(self._document, batch.id)}
        why = next((why for entry in entries if (why := refused(entry, batch.stages, standings, serials))), "")
        why = why or self._not_tempered(entries[0])
        if why:
            self.said.emit(why)
            return False
        kept = self._workspace.making.enter(batch.id, *entries)
        self.said.emit("")
        return kept

    def _not_tempered(self, entry: Logged) -> str:
        """Why blades that wait for their temper cannot be entered as hardened; "" where none waits."""
        batch = self.batch
        assert batch is not None
        heats = any(each.name == entry.stage and each.asks is StageAsks.HARDNESS for each in batch.stages)
        if entry.kind is not EntryKind.DONE or not heats:
            return ""
        load = next((load for load in untempered(self._document) if set(load.pieces) & set(entry.pieces)), None)
        return (
            _("Load {number} is not tempered. Open it and tick its temper once it is done.", number=load.number) if load else ""
        )

    def _taking(self, entry: Logged) -> Taking:
        """What an entry takes from the shelf."""
        assert self.batch is not None
        return self._workspace.making.taking(self.batch.id, entry)

    def _skipped(self, stage: Stage, pieces: Sequence[str]) -> str:
        """A stage before this one that is still to be done for a blade; "" for none."""
        assert self.batch is not None
        stages, standings = self.batch.stages, standings_in(self._document, self.batch.id)
        open_ = (CellState.OPEN, CellState.NEXT, CellState.AGAIN)
        before = stages[: [each.name for each in stages].index(stage.name)]
        return next((each.name for n, each in enumerate(before) if any(standings[p].cells[n].state in open_ for p in pieces)), "")

    def _entered(self, entry: Logged, skipped: str) -> str:
        """What was entered, and what was left out."""
        blades = ngettext("{count} blade", "{count} blades", len(entry.pieces))
        minutes = minutes_words(entry.minutes) if entry.minutes else _("without minutes")
        said = [_("{stage}: {blades}, {minutes}, entered.", stage=entry.stage, blades=blades, minutes=minutes)]
        said += [_("{stage} before it is still open.", stage=skipped)] if skipped else []
        return " ".join(said)

    def measure(self) -> None:
        """Enter the readings of the blade at hand, and go to the next; once a hold point holds none, to the next stage."""
        stage, blade, side, table = self.stage, self._traveller.blade, self._side, self._traveller
        if stage is None or blade is None:
            return
        try:
            unit = self._workspace.unit
            readings = readings_in(side.measured.text(), stage.asks, unit)
            date = _past(side.date.text())
            _fits(readings, hand_of(self._workspace.model, self._document.get(blade.id, PieceRecord)).thickness, unit)
        except ValueError as trouble:
            self.said.emit(str(trouble))
            return
        if self._keep(Logged(kind=EntryKind.MEASURED, date=date, stage=stage.name, pieces=(blade.id,), readings=readings)):
            side.measured.clear()
            row = table.currentIndex().row() + 1
            if stage.hold and table.nothing_at(stage.name):
                table.go_on()
                table.setFocus(Qt.FocusReason.OtherFocusReason)
            elif row < len(table.made.blades):
                table.setCurrentIndex(table.made.index(row, table.currentIndex().column()))

    def _with_reason(self, kind: EntryKind) -> None:
        """Scrap the blade at hand, send it back to a stage, or pass its hold point, with a reason."""
        stage, blade = self.stage, self._traveller.blade
        if stage is None or blade is None:
            return
        titles = {
            EntryKind.SCRAP: _("Scrap {serial} at {stage}", serial=blade.serial, stage=stage.name),
            EntryKind.REWORK: _("{serial}: repeat {stage}", serial=blade.serial, stage=stage.name),
            EntryKind.PASSED: _("Pass {serial} at {stage}", serial=blade.serial, stage=stage.name),
        }
        reason, sure = QInputDialog.getItem(self._side, titles[kind], _("Reason"), self._reasons(kind), 0, editable=True)
        if not sure:
            return
        if not reason.strip():
            self.said.emit(_("Type a reason. It is what you will search for later."))
            return
        try:
            date = _past(self._side.date.text() or now()[:10])
        except EntryError as trouble:
            self.said.emit(str(trouble))
            return
        if self._keep(Logged(kind=kind, date=date, stage=stage.name, pieces=(blade.id,), reason=reason.strip())):
            self._traveller.setFocus(Qt.FocusReason.OtherFocusReason)

    def _reasons(self, kind: EntryKind) -> list[str]:
        """The maker's own reasons, the commonest first, then the usual ones."""
        own = [
            record.entry.reason
            for batch in batches(self._document)
            for record in entries_of(self._document, batch.id)
            if record.entry.kind is kind and record.entry.reason
        ]
        ranked = sorted(dict.fromkeys(own), key=lambda reason: -own.count(reason))
        return list(dict.fromkeys((*ranked, *(_REASONS if kind is not EntryKind.PASSED else ()))))[:_MOST_REASONS]

    def _send_out(self) -> None:
        """Enter that the chosen blades went to a service; they are back when the stage is entered as done."""
        stage, made = self.stage, self._traveller.made
        pieces = tuple(blade.id for blade in made.blades if blade.id in made.chosen)
        if stage is None or not pieces:
            self.said.emit(_("Choose a stage and at least one blade. The space bar selects the blade at the cursor."))
            return
        try:
            date = _past(self._side.date.text() or now()[:10])
        except EntryError as trouble:
            self.said.emit(str(trouble))
            return
        note = self._side.note.text().strip()
        if self._keep(Logged(kind=EntryKind.SENT, date=date, stage=stage.name, pieces=pieces, note=note)):
            self._side.clear()
            blades, skipped = ngettext("{count} blade", "{count} blades", len(pieces)), self._skipped(stage, pieces)
            said = [_("{blades} sent out. Enter the stage as done when they are back.", blades=blades)]
            said += [_("{stage} before it is still open.", stage=skipped)] if skipped else []
            self.said.emit(" ".join(said))
            self._traveller.setFocus(Qt.FocusReason.OtherFocusReason)

    def _note_next_time(self) -> None:
        """Keep a note that comes back when the template of the blade at hand is made again."""
        blade = self._traveller.blade
        record = self._document.records.get(self._document.get(blade.id, PieceRecord).of) if blade is not None else None
        if not isinstance(record, TemplateRecord):
            self.said.emit(_("The template of this blade was deleted."))
            return
        title = _("{name}: next time", name=record.template.name)
        words = _("It comes back here, on the traveler and on Draw:")
        note, sure = QInputDialog.getMultiLineText(self._side, title, plain(words), record.next_time)
        if sure:
            self._workspace.accounts.note_next_time(record.id, " ".join(note.split()))

    def _give_to(self) -> None:
        """Give the blade at hand to another order, or to the shop's own stock."""
        blade, document = self._traveller.blade, self._document
        if blade is None:
            return
        piece = document.get(blade.id, PieceRecord)
        choices = {_("shop stock"): ""}
        for order in document.all(OrderRecord):
            for line in lines_of(document, order.id):
                if line.of == piece.of and line.id != piece.line:
                    words = _("order {number}, {count} {name}", number=order.number, count=line.quantity, name=piece.name)
                    choices[words] = line.id
        words, sure = QInputDialog.getItem(self._side, piece.serial, _("Order of the blade"), list(choices), 0, editable=False)
        if sure:
            self._workspace.making.give(blade.id, choices[words])

    def _give_scales(self) -> None:
        """Give the blade at hand a pair of scales from the shelf."""
        blade, document = self._traveller.blade, self._document
        if blade is None:
            return
        found = [record for record in document.all(MaterialRecord) if record.material.kind is MaterialKind.HANDLE]
        if not found:
            self.said.emit(_("No handle material is in stock. Add it on the Stock page first."))
            return
        choices = {
            _("{name} ({have:g} {per})", name=each.material.name, have=each.material.have, per=each.material.per): each.id
            for each in found
        }
        words, sure = QInputDialog.getItem(self._side, blade.serial, _("Scales of"), list(choices), 0, editable=False)
        if sure:
            self.said.emit(self._workspace.making.give_scales(blade.id, choices[words]))

    def _time(self, on: bool) -> None:
        """Start the timer, or put what it counted into the minutes. It goes on while the program is closed."""
        typed = self._workspace.typed
        if on:
            typed[_TIMER] = now()
            return
        began = typed.pop(_TIMER, "")
        if began:
            passed = (datetime.fromisoformat(now()) - datetime.fromisoformat(began)).total_seconds() / 60
            if not self._side.minutes.text():
                self._side.minutes.setText(f"{max(passed, 0):.0f}")


def _past(text: str) -> str:
    """A date that was typed, ISO, not later than today. EntryError."""
    date = iso_date(text)
    if date > now()[:10]:
        raise EntryError(_("{date} is in the future", date=date))
    return date


def _fits(readings: Sequence[MeasuredAt], thick: float, unit: Unit) -> None:
    """Raise ValueError where an edge would be thicker than the bar it is ground from."""
    worst = max((each.value for each in readings if each.what == StageAsks.EDGE), default=0.0)
    if worst > thick + _LOOSE:
        value, bar = f"{reading(worst, unit)} {unit}", f"{reading(thick, unit)} {unit}"
        raise ValueError(_("an edge of {value} is thicker than the bar, {bar}", value=value, bar=bar))


def _minutes(text: str) -> float:
    """Minutes that were typed, or none. Raises NumberError."""
    return minutes_in(text, _MOST_MINUTES) if text.strip() else 0.0
