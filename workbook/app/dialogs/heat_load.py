"""A heat-treatment load: cautions first, what the tables and the shop's tank say of these blades, and what was read."""

from collections.abc import Sequence

from PySide6.QtCore import Qt, Signal
from PySide6.QtGui import QCloseEvent, QKeyEvent
from PySide6.QtWidgets import QCheckBox, QComboBox, QDialog, QLineEdit, QMessageBox, QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.dialogs.heat_fields import ReadFields, choice_of, line_of, number_in
from workbook.app.dialogs.heat_rows import HeatRows, begun_drafts, drafts_of, to_begin
from workbook.app.elements.basics import Lettered, button, label, named, row, scrolled, surface, tool
from workbook.app.plain import message_box
from workbook.app.workspace import Workspace
from workbook.document.making import loads_of, next_load_number, recipe_for, untempered
from workbook.document.making_records import LoadRecord
from workbook.document.queries import next_place
from workbook.document.shop_records import PieceRecord
from workbook.heat.fields import HRC
from workbook.heat.load import Cover, CycleKind, HeatLoad, HeatRecipe
from workbook.model.heat_words import CAUTION, COVERS, controller_words, degrees, own_words, told_words
from workbook.model.heating import TEMPERS, TWO_HOURS, HeatAsked, begun_with, schedule_for, tempers_for, told_of
from workbook.number_in import NumberError
from workbook.shop.entry import EntryError
from workbook.structs import replace
from workbook.tasks.work import new_id, now
from workbook.texts import _, labelled

_LONGEST = 10_000.0
PUBLISHED, OWN, LAST = "published", "own", "last"


class HeatLoadDialog(QDialog):
    """The dialog for blades of one steel, in the order they are quenched; for a load that was logged, to fill it in."""

    results_wanted = Signal(str)  # the steel

    def __init__(
        self, parent: QWidget, workspace: Workspace, pieces: Sequence[PieceRecord], record: LoadRecord | None = None
    ) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Load {number}", number=record.number) if record else _("Heat treatment"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._space, self.pieces, self._most, self._record = workspace, tuple(pieces), parent.size(), record
        self.steel = record.steel if record else pieces[0].steel
        look = workspace.look
        self.heats = HeatRows(look, workspace.unit)
        self.wanted, self.time = (
            line_of(look, "wanted", _("Target hardness, HRC")),
            line_of(look, "time", _("Time available, minutes")),
        )
        self.begin = choice_of(look, "begin", _("Start from"), self._beginnings(), 150)
        self.cover = choice_of(look, "cover", _("Decarb protection"), COVERS, 150)
        self.read = ReadFields(look, workspace.unit)
        self.stops = named(label(look, "", bold=True), "stop")
        self.told = label(look, "")
        self.suggested, self._suggested_for = label(look, "", "small", bold=True), ""
        self.suggested.setWordWrap(True)
        self.suggested.setVisible(False)
        self.wrong = Lettered(look, "", 9, bold=True, tone="stop")
        self.own_button = tool(look, "keep-recipe", _("Save as my own for this steel"))
        self.results_button = tool(look, "heat-results", _("Results…"))
        self.keep_button = button(look, "keep-load", _("Save load") if record else _("Log load"), main=True)
        self.keep_button.setAutoDefault(False)
        self._build()
        self._start()
        self._connect()
        self.show_told()
        self._typed = self._all_typed()

    def _connect(self) -> None:
        self.heats.edited.connect(self.show_told)
        self.time.textEdited.connect(lambda text: self.show_told())
        self.cover.currentIndexChanged.connect(lambda at: self.show_told())
        self.begin.currentIndexChanged.connect(lambda at: self._begin_again())
        self.wanted.editingFinished.connect(self._temper_for)
        self.keep_button.clicked.connect(self.keep)
        self.own_button.clicked.connect(self._keep_recipe)
        self.results_button.clicked.connect(lambda: self.results_wanted.emit(self.steel))
        self._space.changed.connect(self._changed)

    def _beginnings(self) -> dict[str, str]:
        """What the heats can begin with: what is published, the maker's own, the last load of the steel."""
        found = {PUBLISHED: _("as published")}
        if recipe_for(self._space.session.document, self.steel) is not None:
            found[OWN] = _("my own")
        last = self._last()
        if last is not None:
            found[LAST] = _("as load {number}", number=last.number)
        return found

    def _last(self) -> LoadRecord | None:
        """The newest other load of the steel."""
        loads = self._space.session.document.all(LoadRecord)
        alike = (load for load in loads if load.steel.casefold() == self.steel.casefold() and load is not self._record)
        return max(alike, key=lambda load: load.number, default=None)

    def _build(self) -> None:
        look = self._space.look
        inner = named(QWidget(), "inner")
        fields = QVBoxLayout(inner)
        fields.setContentsMargins(0, 0, 0, 0)
        fields.setSpacing(4)
        serials = ", ".join(piece.serial for piece in self.pieces)
        title = label(look, labelled(self.steel, serials), "strong")
        title.setWordWrap(True)
        fields.addLayout(row(title))
        if self._record is None:  # what was read stays
            self._add_line(fields, self.begin)
        fields.addWidget(self.heats)
        asked: tuple[QWidget, ...] = (self.cover, self.wanted, self.time)
        for each in asked:
            self._add_line(fields, each)
            if each is self.wanted:
                fields.addLayout(row(self.suggested, margins=(14, 0, 14, 0)))
        fields.addSpacing(look.px(8))
        fields.addLayout(row(label(look, _("As read. Leave empty what was not read."), "small", soft=True)))
        for field in self.read.fields:
            self._add_line(fields, field)
        fields.addStretch(1)
        words = named(QWidget(), "inner")
        right = QVBoxLayout(words)
        for said in (label(look, CAUTION, "small", bold=True), self.stops, self.told):
            said.setWordWrap(True)
            right.addWidget(said)
        right.addStretch(1)
        left = scrolled(inner)
        left.setFixedWidth(look.px(440))
        body = row(left, margins=(0, 0, 0, 0))
        body.addWidget(scrolled(words), 1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(12, 12, 12, 12)
        outer.addLayout(body, 1)
        outer.addWidget(self.wrong)
        foot = row(self.own_button, self.results_button, None, self.keep_button, margins=(0, 8, 0, 0))
        outer.addWidget(surface("foot", foot))
        self.resize(min(look.px(1040), self._most.width()), min(look.px(720), self._most.height()))

    def _add_line(self, column: QVBoxLayout, field: QWidget) -> None:
        column.addLayout(row(label(self._space.look, field.accessibleName()), None, field, margins=(14, 0, 14, 0)))

    def _start(self) -> None:
        """A load as it was logged; else the maker's own way, or the published aim."""
        if self._record is not None:
            load = self._record.load
            self.heats.show_drafts(drafts_of(load.cycles, self._space.unit))
            self.cover.setCurrentIndex(list(COVERS).index(load.cover))
            self.read.show_load(load, self._record.date)
            return
        self.begin.setCurrentIndex(max(self.begin.findData(OWN), 0))
        self._begin_again()
        bath, schedule = self._space.session.document.settings.bath, schedule_for(self._space.model.facts, self.steel)
        in_air = schedule is not None and schedule.in_air
        self.read.begin(now()[:10], bath.furnace, _("air or plates") if in_air else bath.oil)

    def _begin_again(self) -> None:
        """Fill in the heats that were chosen to begin with; two tempers of two hours where none are told (common practice)."""
        document, last = self._space.session.document, self._last()
        own = recipe_for(document, self.steel) if self.begin.currentData() == OWN else None
        cycles, cover = begun_with(schedule_for(self._space.model.facts, self.steel), own.recipe if own else None)
        if self.begin.currentData() == LAST and last is not None:
            cycles, cover = last.load.cycles, last.load.cover
        drafts = begun_drafts(cycles, self._space.unit) or [to_begin(CycleKind.HARDEN)]
        if all(draft.kind is not CycleKind.TEMPER for draft in drafts):
            drafts += [to_begin(CycleKind.TEMPER, f"{TWO_HOURS:.0f}")] * TEMPERS
        self.cover.setCurrentIndex(list(COVERS).index(cover))
        self.heats.show_drafts(drafts)

    def _changed(self, change: Changed) -> None:
        if change.records:
            self.show_told()

    def asked(self) -> HeatAsked:
        """What the fields ask for. NumberError where one cannot be read."""
        cycles, hardens, time = self.heats.cycles(), self.heats.hardens, number_in(self.time, (0.0, _LONGEST))
        return HeatAsked(cycles=cycles, cover=_of(self.cover), time=time, hardens=hardens)

    def _temper_for(self) -> None:
        """Ask for the temper that gives the hardness wanted; say why none can be told, and ask for none then."""
        text = self.wanted.text().strip()
        if text == self._suggested_for:
            return
        self._suggested_for = text
        try:
            wanted, minutes = number_in(self.wanted, HRC), self.heats.temper_minutes()
        except NumberError as trouble:
            self._suggest(str(trouble))
            return
        self._suggest("")
        if wanted is None:
            return
        found, words = tempers_for(self._space.model.facts, self.steel, wanted, minutes), ""
        if len(found) > 1:
            others = ", ".join(degrees(at, self._space.unit) for at in found[1:])
            words = _("The published points cross it again at {others}. The coolest is suggested.", others=others)
        elif not found:
            words = _("No published points of {steel} cross {wanted:g} HRC, so no temper is suggested. Test a piece of "
                      "your own bar.",
                steel=self.steel, wanted=wanted)  # fmt: skip
        self.heats.set_tempers(found[0] if found else None)
        self._suggest(words)

    def _suggest(self, words: str) -> None:
        self.suggested.setText(words)
        self.suggested.setVisible(bool(words))

    def show_told(self) -> None:
        """Say what is known of the load as it is asked for."""
        space = self._space
        try:
            asked = self.asked()
            told = told_of(space.model, space.session.document.settings.bath, self.steel, self.pieces, asked)
        except NumberError as trouble:
            self.wrong.say(str(trouble), "stop")
            return
        self.wrong.say("")
        stops = [*self._hardened_before(), *told.stops]
        self.stops.setText("\n".join(stops))
        self.stops.setVisible(bool(stops))
        own = recipe_for(space.session.document, self.steel)
        words = [own_words(own.recipe, space.unit, space.session.document.settings.local)] if own is not None else []
        self.told.setText("\n\n".join((*words, *told_words(told, space.unit), *controller_words(asked.cycles, space.unit))))

    def _hardened_before(self) -> list[str]:
        """Which of the blades were hardened already, where this load is another."""
        if self._record is not None or not self.heats.hardens:
            return []
        document, told = self._space.session.document, list[str]()
        waiting = {record.id for record in untempered(document)}
        for piece in self.pieces:
            last = next((load for load in reversed(loads_of(document, piece.id)) if load.load.hardened), None)
            if last is not None:
                told.append(_hardened_in(last, piece.serial, tempered=last.id not in waiting))
        return told

    def _keep_recipe(self) -> None:
        """Keep the heats as the maker's own way with the steel, with the note as where it comes from."""
        try:
            cycles = self.heats.cycles()
        except NumberError as trouble:
            self.wrong.say(str(trouble), "stop")
            return
        if not cycles:
            self.wrong.say(_NO_HEAT_TYPED, "stop")
            return
        kept = tuple(replace(cycle, read=None, done=True) for cycle in cycles)
        source = self.read.note.text().strip()
        recipe = HeatRecipe(cycles=kept, cover=_of(self.cover), source=source, date=now()[:10])
        if self._space.making.keep_recipe(self.steel, recipe):
            self.wrong.say(_("Saved as your recipe for {steel}. Undo brings back the one before.", steel=self.steel), "ink")

    def keep(self) -> None:
        """Log the load, or say what cannot be read."""
        try:
            load, date = self._load(), self.read.date_typed()
        except (NumberError, EntryError) as trouble:
            self.wrong.say(str(trouble), "stop")
            return
        kept = self._change(load, date) if self._record is not None else self._log(load, date)
        if kept:
            self.close()

    def _all_typed(self) -> tuple[object, ...]:
        """All that can be typed, chosen or ticked, as it is."""
        lines = [field.text() for field in self.findChildren(QLineEdit)]
        ticks = [box.isChecked() for box in self.findChildren(QCheckBox)]
        return (*lines, *ticks, *(field.currentIndex() for field in self.findChildren(QComboBox)))

    def keyPressEvent(self, event: QKeyEvent) -> None:
        """Escape closes, but not over what is typed and not kept."""
        if event.key() != Qt.Key.Key_Escape or self._may_close():
            super().keyPressEvent(event)

    def closeEvent(self, event: QCloseEvent) -> None:
        """So does the window's own button."""
        if event.spontaneous() and not self._may_close():
            event.ignore()
            return
        super().closeEvent(event)

    def _may_close(self) -> bool:
        """Whether nothing was typed that is not kept, or the maker lets it go."""
        if self._all_typed() == self._typed:
            return True
        yes = QMessageBox.StandardButton.Yes
        box = message_box(self, self.windowTitle(), _("Close without logging what you typed?"), warning=False)
        box.setStandardButtons(yes | QMessageBox.StandardButton.No)
        return box.exec() == yes

    def _log(self, load: HeatLoad, date: str) -> bool:
        document = self._space.session.document
        record = LoadRecord(
            id=new_id(), place=next_place(document, LoadRecord), number=next_load_number(document), date=date,
            steel=self.steel, pieces=tuple(piece.id for piece in self.pieces), load=load,
        )  # fmt: skip
        return self._space.making.log_load(record)

    def _change(self, load: HeatLoad, date: str) -> bool:
        """Keep a logged load as it is now typed, unless it was changed or undone meanwhile."""
        assert self._record is not None
        if self._space.session.document.records.get(self._record.id) != self._record:
            self.wrong.say(_("This load was changed or undone meanwhile. Open it again."), "stop")
            return False
        return self._space.making.change_load(replace(self._record, load=load, date=date))

    def _load(self) -> HeatLoad:
        cycles = self.heats.cycles(strict=True)
        if not cycles:
            raise NumberError(_NO_HEAT_TYPED)
        if not any(cycle.done for cycle in cycles):
            raise NumberError(_("no heat in it is ticked as done"))
        before = self._record.load if self._record is not None else HeatLoad()
        return self.read.into(replace(before, cycles=cycles, cover=_of(self.cover)))


_NO_HEAT_TYPED = _("type a temperature to harden at, to temper at, or both")


def _hardened_in(load: LoadRecord, serial: str, *, tempered: bool) -> str:
    """Say which load a blade was hardened in, and what to do if that waits for its temper."""
    if tempered:
        return _("{serial} was hardened in load {number} already.", serial=serial, number=load.number)
    return _(
        "{serial} is in load {number}, which is not tempered. Open that load and tick its temper once it is done.",
        serial=serial,
        number=load.number,
    )


def _of(choice: QComboBox) -> Cover:
    return Cover(choice.currentData() or Cover.NONE)
