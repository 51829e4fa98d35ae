"""A heat-treatment load: cautions first, what the tables and the shop's tank say of these blades, and what was read."""

from collections.abc import Sequence

from PySide6.QtCore import Qt
from PySide6.QtWidgets import QComboBox, QDialog, QLineEdit, QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.elements.basics import Lettered, button, label, named, row, scrolled, surface
from workbook.app.elements.choice import ChoiceField
from workbook.app.elements.entry import WholeValue
from workbook.app.workspace import Workspace
from workbook.document.making import next_load_number
from workbook.document.making_records import LoadRecord
from workbook.document.queries import next_place
from workbook.document.shop_records import PieceRecord
from workbook.handbook.degrees import of_axis, sign
from workbook.heat.load import Cover, CycleKind, HeatCycle, HeatLoad
from workbook.model.heat_words import CAUTION, COVERS, degrees, told_words
from workbook.model.heating import HeatAsked, oil_of, schedule_for, told_of
from workbook.number_in import NumberError, parse_number
from workbook.shop.entry import EntryError
from workbook.shop.order_entry import iso_date
from workbook.tasks.work import new_id, now
from workbook.texts import _

_HOTTEST, _MOST_HOURS, _MOST_TIMES = 2400.0, 24.0, 6.0


class HeatLoadDialog(QDialog):
    """The dialog for blades of one steel, in the order they are quenched."""

    def __init__(self, parent: QWidget, workspace: Workspace, pieces: Sequence[PieceRecord]) -> None:
        super().__init__(parent)
        self.setWindowTitle(_("Heat treatment"))
        self.setAttribute(Qt.WidgetAttribute.WA_DeleteOnClose)
        self._space, self.pieces, self._most = workspace, tuple(pieces), parent.size()
        self.steel = pieces[0].steel
        look, self._sign = workspace.look, sign(workspace.unit)
        self.harden, self.soak = (
            self._line("harden", _("Harden at, {sign}", sign=self._sign)),
            self._line("soak", _("Soak, minutes")),
        )
        self.temper = self._line("temper", _("Temper at, {sign}", sign=self._sign))
        self.hours, self.times = self._line("hours", _("Hours of each")), self._line("times", _("How many tempers"))
        self.read = self._line("read", _("Furnace read, {sign}", sign=self._sign))
        self.before = self._line("before", _("Oil before, {sign}", sign=self._sign))
        self.after = self._line("after", _("Oil after, {sign}", sign=self._sign))
        self.date, self.note = self._line("load-date", _("Date")), self._line("load-note", _("Note"))
        self.cover = ChoiceField(look)
        self.cover.setObjectName("cover")
        self.cover.setAccessibleName(_("Against air"))
        self.cover.setFont(look.font("body"))
        self.cover.setFixedSize(look.px(110), look.size("row"))
        for cover, words in COVERS.items():
            self.cover.addItem(words, cover)
        self.stops = named(label(look, "", bold=True), "stop")
        self.told = label(look, "")
        self.wrong = Lettered(look, "", 9, bold=True, tone="stop")
        self.keep_button = button(look, "keep-load", _("Log the load"), main=True)
        self.keep_button.setAutoDefault(False)
        self._build()
        self._start()
        for line in (self.harden, self.soak, self.temper, self.hours, self.times):
            line.textEdited.connect(lambda text: self.show_told())
        self.keep_button.clicked.connect(self.keep)
        workspace.changed.connect(self._changed)
        self.show_told()

    def _line(self, name: str, words: str) -> QLineEdit:
        line = named(WholeValue(""), name)
        line.setAccessibleName(words)
        line.setFont(self._space.look.font("body"))
        line.setFixedHeight(self._space.look.size("row"))
        line.setFixedWidth(self._space.look.px(110))
        return line

    def _build(self) -> None:
        look = self._space.look
        fields = QVBoxLayout()
        fields.setSpacing(4)
        serials = ", ".join(piece.serial for piece in self.pieces)
        title = label(look, _("{steel}: {serials}", steel=self.steel, serials=serials), "strong")
        title.setWordWrap(True)
        fields.addWidget(title)
        asked: tuple[QLineEdit | QComboBox, ...] = (self.harden, self.soak, self.cover, self.temper, self.hours, self.times)
        for field in asked:
            fields.addLayout(row(label(look, field.accessibleName()), None, field, margins=(0, 0, 0, 0)))
        fields.addSpacing(look.px(8))
        fields.addWidget(label(look, _("As it was read; leave empty what was not"), "small", soft=True))
        for field in (self.read, self.before, self.after, self.date, self.note):
            fields.addLayout(row(label(look, field.accessibleName()), None, field, margins=(0, 0, 0, 0)))
        fields.addStretch(1)
        words = named(QWidget(), "inner")
        right = QVBoxLayout(words)
        caution = label(look, CAUTION, "small", bold=True)
        for each in (caution, self.stops, self.told):
            each.setWordWrap(True)
            right.addWidget(each)
        right.addStretch(1)
        body = row(margins=(0, 0, 0, 0))
        left = QWidget()
        left.setLayout(fields)
        left.setFixedWidth(look.px(320))
        body.addWidget(left)
        body.addWidget(scrolled(words), 1)
        outer = QVBoxLayout(self)
        outer.setContentsMargins(12, 12, 12, 12)
        outer.addLayout(body, 1)
        outer.addWidget(self.wrong)
        outer.addWidget(surface("foot", row(None, self.keep_button, margins=(0, 8, 0, 0))))
        self.resize(min(look.px(900), self._most.width()), min(look.px(620), self._most.height()))

    def _start(self) -> None:
        """The published aim where there is one, two tempers of two hours (common practice), today."""
        schedule = schedule_for(self._space.model.facts, self.steel)
        if schedule is not None and schedule.aim is not None:
            self.harden.setText(degrees(schedule.aim, self._space.unit).split()[0])
        self.hours.setText("2")
        self.times.setText("2")
        self.date.setText(now()[:10])

    def _changed(self, change: Changed) -> None:
        if change.records:
            self.show_told()

    def _number(self, line: QLineEdit, most: float) -> float | None:
        """What a line says; None where it is empty. NumberError, with the field's name."""
        if not line.text().strip():
            return None
        try:
            return float(parse_number(line.text(), 0, most))
        except NumberError as trouble:
            raise NumberError(f"{line.accessibleName()}: {trouble}") from None

    def _degrees(self, line: QLineEdit) -> float | None:
        value = self._number(line, _HOTTEST)
        return None if value is None else of_axis(value, self._space.unit)

    def asked(self) -> HeatAsked:
        """What the fields ask for. NumberError where one cannot be read."""
        times = self._number(self.times, _MOST_TIMES)
        return HeatAsked(
            harden=self._degrees(self.harden),
            temper=self._degrees(self.temper),
            hours=self._number(self.hours, _MOST_HOURS) or 0.0,
            times=round(times or 0),
        )

    def show_told(self) -> None:
        """Say what is known of the load as it is asked for."""
        space = self._space
        try:
            told = told_of(space.model, space.session.document.settings.bath, self.steel, self.pieces, self.asked())
        except NumberError as trouble:
            self.wrong.say(str(trouble), "stop")
            return
        self.wrong.say("")
        self.stops.setText("\n".join(told.stops))
        self.stops.setVisible(bool(told.stops))
        self.told.setText("\n\n".join(told_words(told, space.unit)))

    def keep(self) -> None:
        """Log the load, or say what cannot be read."""
        try:
            load, date = self._load(), iso_date(self.date.text())
        except (NumberError, EntryError) as trouble:
            self.wrong.say(str(trouble), "stop")
            return
        document = self._space.session.document
        record = LoadRecord(
            id=new_id(), place=next_place(document, LoadRecord), number=next_load_number(document), date=date, steel=self.steel,
            pieces=tuple(piece.id for piece in self.pieces), load=load,
        )  # fmt: skip
        if self._space.making.log_load(record):
            self.close()

    def _load(self) -> HeatLoad:
        asked, space = self.asked(), self._space
        if asked.harden is None and asked.temper is None:
            raise NumberError(_("a temperature is wanted: to harden at, to temper at, or both"))
        cycles = []
        if asked.harden is not None:
            soak = self._number(self.soak, 10_000.0) or 0.0
            cycles.append(HeatCycle(kind=CycleKind.HARDEN, asked=asked.harden, minutes=soak, read=self._degrees(self.read)))
        if asked.temper is not None:
            cycles += [HeatCycle(kind=CycleKind.TEMPER, asked=asked.temper, minutes=60 * asked.hours)] * asked.times
        oil = oil_of(space.model.facts, space.session.document.settings.bath)
        schedule = schedule_for(space.model.facts, self.steel)
        in_air = schedule is not None and schedule.in_air
        quench = (_("air or plates") if in_air else oil.name if oil else "") if asked.harden is not None else ""
        return HeatLoad(
            cycles=tuple(cycles), cover=Cover(self.cover.currentData() or Cover.NONE), quench=quench,
            before=self._degrees(self.before), after=self._degrees(self.after), note=self.note.text().strip(),
        )  # fmt: skip
