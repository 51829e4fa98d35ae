"""Make: batches as their travellers; an evening's work is a stage, minutes and Enter."""

from collections.abc import Iterator, Mapping, Sequence
from typing import NamedTuple

from PySide6.QtCore import Qt, Signal
from PySide6.QtWidgets import QHBoxLayout, QInputDialog, QLabel, QStackedWidget, QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.elements.basics import Lettered, label, row, surface, tool
from workbook.app.elements.record_table import RecordTable
from workbook.app.elements.text_field import EntryLine
from workbook.app.pages.make.entering import Entering
from workbook.app.pages.make.finding import Finding
from workbook.app.pages.make.history import BladeHistory
from workbook.app.pages.make.shorts import Shorts, short_lines
from workbook.app.pages.make.side import MakingSide
from workbook.app.pages.make.traveller import BladeRow, Traveller
from workbook.app.pages.make.words import batch_row, head_words
from workbook.app.pages.page import Page
from workbook.app.pages.red import RedLine
from workbook.app.workspace import Workspace
from workbook.document.document import Document
from workbook.document.fields import row_of
from workbook.document.making import batch_id, batches, blades_of, entries_of, loads_of, name_of_batch, order_of, standings_in
from workbook.document.making_records import BatchRecord
from workbook.document.shop_records import PieceRecord
from workbook.making.blade_line import BLADES_EXAMPLE
from workbook.making.cautions import DEFER, caution_of
from workbook.making.minutes import minutes_words
from workbook.making.readings import asked_words, example_of, readings_words
from workbook.making.standing import CellState
from workbook.model.blade_checks import blade_checks
from workbook.model.blade_history import blades_found
from workbook.model.making import planned
from workbook.model.making_words import for_words, next_times
from workbook.shop.labour import Stage, StageAsks, StageFor, StageKind
from workbook.tasks.work import now
from workbook.texts import _, labelled, ngettext
from workbook.units import reading

_CLOSE = 1100  # width of a window, in pixels at 100 %, under which the list of batches is folded away


_EMPTY = _(
    "No batch yet. Mark a layout as cut on the Lay out page and its blanks become a batch. Or type "
    "blades you have begun in the line above: {example}",
    example=BLADES_EXAMPLE,
)
_KEYS = _("The arrow keys choose stage and blade. The space bar selects a blade, digits are minutes, Enter enters them.")
KINDS_OF_STAGE, ASKED = (dict(row_of(Stage, key).options) for key in ("kind", "asks"))


class MakingShowing(NamedTuple):
    """What the page shows besides the batches themselves: the id of the one chosen, and the stage."""

    batch: str
    stage: str


class MakePage(Page):
    """Shows the batches of a workbook."""

    heat_wanted = Signal(tuple)  # the blades of a load
    load_wanted = Signal(str)  # the id of one that was logged
    finished_wanted = Signal()

    def __init__(self, workspace: Workspace, side: MakingSide) -> None:
        super().__init__()
        self.setObjectName("make-page")
        self._workspace, self.side = workspace, side
        look = workspace.look
        self.batch = self._blade = ""  # the id of the batch chosen, and of the blade whose history is shown
        self._planned: Mapping[str, float] = {}  # minutes of each stage of the batch
        self._entries = 0  # of the batch, as they were last shown
        self.stale = True
        self.blade_line = EntryLine("blade-line", _("New blades, in one line"), workspace.typed)
        self.blade_line.setPlaceholderText(BLADES_EXAMPLE)
        self.blade_line.setFont(look.font("body"))
        self.blade_line.setFixedHeight(look.size("row"))
        self.list = RecordTable(look, "batches", _("Batches"), (_("No."), _("Knives"), _("Stage")))
        self.list.set_widths(look, {0: 38, 2: 110})
        self.traveller, self.shorts = Traveller(look), Shorts(look)
        self.finding, self.history = Finding(workspace), BladeHistory(look)
        self.entering = Entering(workspace, side, self.traveller)
        self._red = RedLine(look)
        self.red = self._red.label
        self._head = Lettered(look, "", 9.75, bold=True)
        self.name_button = tool(look, "name-batch", _("Rename…"))
        self.print_button = tool(look, "print-traveller", _("Traveler"), "print")
        self._batches_button = tool(look, "batches-button", _("Batches"), "right", switch=False)
        self.finished_button = tool(look, "finished", _("Finished knives…"))
        self.add_button = tool(look, "add-blades", _("Add"), "add")
        self.empty, self._keys = self._said(_EMPTY), self._said(_KEYS)
        self.first: QWidget = self.traveller  # where the keyboard starts on this page
        self._build()
        self._connect()

    def _said(self, words: str) -> QLabel:
        said = label(self._workspace.look, words, "small", soft=True)
        said.setWordWrap(True)
        said.setContentsMargins(14, 8, 14, 8)
        return said

    def _build(self) -> None:
        look = self._workspace.look
        left = QVBoxLayout()
        left.setContentsMargins(0, 0, 0, 0)
        left.setSpacing(0)
        left.addWidget(surface("strip", row(label(look, _("Batches"), "strong"), None), look.px(40)))
        left.addWidget(surface("strip", row(self.blade_line, self.add_button, margins=(10, 0, 6, 0)), look.px(48)))
        self.empty.setAlignment(Qt.AlignmentFlag.AlignTop)
        left.addWidget(self.empty)
        left.addWidget(self.list, 1)
        left.addLayout(row(self.finished_button, None, margins=(3, 0, 6, 0)))
        left.addWidget(self.finding)
        self._left = surface("shelf", left)
        batch = QWidget()
        middle = QVBoxLayout(batch)
        middle.setContentsMargins(0, 0, 0, 0)
        middle.setSpacing(0)
        tools = (self._batches_button, self._head, self.name_button, self.print_button)
        middle.addWidget(surface("strip", row(*tools), look.px(40)))
        middle.addWidget(self.red)
        middle.addWidget(self.shorts)
        middle.addWidget(self.traveller, 1)
        middle.addWidget(self._keys)
        columns = QHBoxLayout(self)
        columns.setContentsMargins(0, 0, 0, 0)
        columns.setSpacing(0)
        columns.addWidget(self._left)
        self.middle = QStackedWidget()
        self.middle.addWidget(batch)
        self.middle.addWidget(self.history)
        columns.addWidget(self.middle, 1)
        columns.addWidget(self.side)

    def _connect(self) -> None:
        space = self._workspace
        self.blade_line.returnPressed.connect(self._add)
        self.add_button.clicked.connect(self._add)
        self.finished_button.clicked.connect(self.finished_wanted)
        self.blade_line.textEdited.connect(lambda text: self.hint.emit(""))
        self.list.chosen.connect(self.choose)
        self.name_button.clicked.connect(self._name)
        self._batches_button.toggled.connect(lambda on: self._fold(True))
        self.traveller.changed.connect(self._show_chosen)
        self.finding.chosen.connect(self._show_history)
        self.history.back_wanted.connect(lambda: self.middle.setCurrentIndex(0))
        self.side.history_wanted.connect(lambda: self._show_history(blade.id if (blade := self.traveller.blade) else ""))
        self.side.heat_button.clicked.connect(self._ask_heat)
        self.side.load_wanted.connect(self.load_wanted)
        self.side.take_back_wanted.connect(space.making.take_back)
        self.entering.said.connect(self.hint)
        self.shorts.give_wanted.connect(space.making.give)
        self.shorts.more_wanted.connect(space.making.start_more)
        space.changed.connect(self._changed)
        space.refused.connect(self.out_of_date)

    def showing(self) -> MakingShowing:
        """The batch and the stage chosen."""
        return MakingShowing(self.batch, self.traveller.made.stage)

    def show_again(self, showing: object) -> None:
        """Choose what the page in another look had chosen."""
        assert isinstance(showing, MakingShowing)
        self.batch, self.traveller.made.stage = showing
        self.out_of_date()

    def make_room(self, width: int, height: int) -> None:
        """Set the widths of the list and the panel; a narrow page hides the list behind a button."""
        look = self._workspace.look
        room = width / look.text
        self._left.setFixedWidth(look.px(300 if room >= 1400 else 250))
        self.side.setFixedWidth(look.px(330 if room >= 1280 else 300))
        self._fold(room < _CLOSE)

    def _fold(self, close: bool) -> None:
        self._batches_button.setVisible(close)
        self._left.setVisible(not close or self._batches_button.isChecked())
        self.side.setVisible(not close or not self._batches_button.isChecked())

    @property
    def _document(self) -> Document:
        return self._workspace.session.document

    def _changed(self, change: Changed) -> None:
        if change.records or change.unit:
            self.out_of_date()

    def refresh(self) -> None:
        """Show everything as it is now."""
        self.stale = False
        self._show(anew=self.entering.goes_on)

    def choose(self, batch: str) -> None:
        """Show another batch."""
        self.middle.setCurrentIndex(0)
        if batch and batch != self.batch:
            self.batch = batch
            self._show(anew=True)

    def propose(self, batch: str, stage: str, blades: Sequence[str], minutes: float) -> None:
        """Fill in an entry, for the maker to confirm."""
        self.entered()
        self.choose(batch)
        self.middle.setCurrentIndex(0)
        if blades:
            self.traveller.take_up(blades[0])
        self.traveller.choose_for(stage, frozenset(blades))
        self.side.minutes.setText(f"{minutes:.0f}")
        self.side.minutes.setFocus(Qt.FocusReason.OtherFocusReason)
        self.side.minutes.selectAll()
        self.hint.emit(_("Correct the minutes when it is done, and press Enter."))

    def find_blades(self, words: str) -> None:
        """Find blades by words; the only one is shown. Without words the keyboard goes to where they are typed."""
        self.finding.find_blades(words)
        if not words:
            self.finding.line.setFocus(Qt.FocusReason.OtherFocusReason)
        pieces = blades_found(self._document, words)
        if len(pieces) == 1:
            self._show_history(pieces[0].id)

    def _show_history_again(self) -> None:
        piece = self._document.records.get(self._blade)
        if isinstance(piece, PieceRecord):
            self.history.show_blade(self._document, self._workspace.model, piece)
        else:
            self.middle.setCurrentIndex(0)

    def _show_history(self, blade: str) -> None:
        """Show everything about a blade; its batch comes with it."""
        piece = self._document.records.get(blade)
        if isinstance(piece, PieceRecord):
            self.choose(batch_id(piece))
            self.traveller.take_up(blade)
            self.history.show_blade(self._document, self._workspace.model, piece)
            self._blade = blade
            self.middle.setCurrentWidget(self.history)

    def _at_hand(self) -> BatchRecord | None:
        return next((batch for batch in batches(self._document) if batch.id == self.batch), None)

    def _show(self, *, anew: bool) -> None:
        document = self._document
        listed = batches(document)
        if all(batch.id != self.batch for batch in listed):
            self.batch, anew = listed[0].id if listed else "", True
        self.empty.setVisible(not listed)
        self.list.setVisible(bool(listed))
        self.finished_button.setVisible(bool(listed))
        self.list.show_records(listed, lambda batch: batch_row(document, batch), self.batch)
        self.finding.refresh()
        if self.middle.currentWidget() is self.history:
            self._show_history_again()
        entries, batch = entries_of(document, self.batch), self._at_hand()
        anew = anew or len(entries) < self._entries  # one was undone: what comes next is chosen again
        self._entries = len(entries)
        for button in (self.name_button, self.side.labels_button, self.print_button):
            button.setEnabled(batch is not None)
        self._head.say(head_words(document, batch) if batch else "")
        self._red.show_document(document)
        self.shorts.show_lines(short_lines(document, self.batch))
        self.entering.batch = batch
        self.side.date.setText(self.side.date.text() or now()[:10])
        stages = batch.stages if batch else ()
        self.traveller.made.write_as(document.settings.local)
        self.traveller.show_batch(list(self._blades()), stages, self._sums(batch), anew=anew)
        self.side.show_entries(document, entries)

    def _blades(self) -> Iterator[BladeRow]:
        document = self._document
        standings = standings_in(document, self.batch)
        for piece in blades_of(document, self.batch):
            yield BladeRow(
                id=piece.id,
                serial=piece.serial,
                words=for_words(document, piece),
                scales=piece.scales,
                standing=standings[piece.id],
            )

    def _sums(self, batch: BatchRecord | None) -> list[str]:
        """Minutes so far and planned, for each stage."""
        if batch is None:
            return []
        self._planned, spent = planned(self._document, self._workspace.model, batch), self._spent(batch)
        return [f"{spent[stage.name]:.0f} / {self._planned[stage.name]:.0f}" for stage in batch.stages]

    def _spent(self, batch: BatchRecord) -> dict[str, float]:
        standings = standings_in(self._document, batch.id).values()
        return {stage.name: sum(s.cells[n].minutes for s in standings) for n, stage in enumerate(batch.stages)}

    def _show_chosen(self) -> None:
        """Say what an entry would be for, and what is known of the blade at hand."""
        stage, batch, chosen = self.entering.stage, self.entering.batch, self.traveller.made.chosen
        if stage is None or batch is None:
            self.side.show_stage(_("Nothing to enter"), "", "", ready=False)
            self.side.show_measure("", "")
            self.side.show_blade("", (), going=False, held=False)
            return
        plan, spent = self._planned[stage.name], self._spent(batch)[stage.name]
        words = [_("planned {plan}, so far {spent}", plan=minutes_words(plan), spent=minutes_words(spent))]
        words += (
            [_("then {wait} of {kind}", wait=minutes_words(stage.wait), kind=KINDS_OF_STAGE[stage.kind])] if stage.wait else []
        )
        at = [each.name for each in batch.stages].index(stage.name)
        held = sum(blade.standing.cells[at].state is CellState.HELD for blade in self.traveller.made.blades)
        here = ngettext("{count} blade", "{count} blades", len(chosen))
        if held and not chosen:
            here = _("{count} held", count=held)
        head = f"{stage.name}, {here}"
        away = stage.kind is StageKind.OUTSIDE
        caution = f"{caution_of(stage)} {DEFER}" if caution_of(stage) and not away else ""
        self.side.show_stage(head, "; ".join(words), caution, ready=bool(chosen))
        unit = self._workspace.unit
        example = example_of(stage.asks, unit)
        self.side.show_measure(
            asked_words(stage.asks, ASKED[stage.asks]) if example else "",
            example,
            heats=stage.asks is StageAsks.HARDNESS and not away,
            handles=stage.of is StageFor.HANDLED,
            outside=away,
        )
        self._show_blade(stage)

    def _show_blade(self, stage: Stage) -> None:
        blade = self.traveller.blade
        if blade is None:
            self.side.show_blade("", (), going=False, held=False)
            self.side.show_loads({})
            return
        piece, batch = self._document.get(blade.id, PieceRecord), self._at_hand()
        assert batch is not None
        names = [each.name for each in batch.stages]
        cell = blade.standing.cells[names.index(stage.name)]
        self.side.show_blade(
            f"{piece.serial}   {piece.name}",
            list(self._lines_of(piece, blade)),
            going=not blade.standing.scrapped,
            held=cell.state is CellState.HELD,
            bare=not piece.handle,
        )
        self.side.show_loads({load.id: load.number for load in loads_of(self._document, piece.id)})

    def _lines_of(self, piece: PieceRecord, blade: BladeRow) -> Iterator[str]:
        """What is known of a blade."""
        document, unit = self._document, self._workspace.unit
        yield from next_times(document, [piece.of])
        if piece.bar:
            read = piece.measured.thickness
            thick = f"{reading(read or piece.thickness, unit)} {unit}"
            nominal = _("{bar}, {thick} nominal", bar=piece.bar, thick=thick)
            yield _("{bar}, {thick} measured", bar=piece.bar, thick=thick) if read else nominal
        order = order_of(document, piece)
        if order is not None and order.wanted:
            yield _("order {number}, due {date}", number=order.number, date=self._document.settings.local.short_day(order.wanted))
        elif order is not None:
            yield _("order {number}", number=order.number)
        yield _("{steel}, heat no. {heat}", steel=piece.steel, heat=piece.heat) if piece.heat else piece.steel
        yield _("{minutes} so far, revision {revision}", minutes=minutes_words(blade.standing.minutes), revision=piece.revision)
        for stage in dict.fromkeys(stage for stage, _measured in blade.standing.readings):
            yield labelled(stage, readings_words([own for at, own in blade.standing.readings if at == stage], unit))
        batch = self._at_hand()
        yield from blade_checks(self._workspace.model, batch, piece, blade.standing) if batch else ()

    def _add(self) -> None:
        text = self.blade_line.text()
        if not text.strip():
            return
        problem, batch = self._workspace.making.added(text, self.batch)
        self.hint.emit(problem)
        if batch:
            self.blade_line.clear()
            self.choose(batch)

    def _ask_heat(self) -> None:
        """Open the load for the chosen blades of one steel, else for the blade at hand."""
        chosen, at_hand = self.traveller.made.chosen, self.traveller.blade
        ids = [blade.id for blade in self.traveller.made.blades if blade.id in chosen] or ([at_hand.id] if at_hand else [])
        pieces = [self._document.get(id_, PieceRecord) for id_ in ids]
        if pieces:
            self.heat_wanted.emit(tuple(piece for piece in pieces if piece.steel == pieces[0].steel))

    def _name(self) -> None:
        batch = self._at_hand()
        if batch is None:
            return
        name, sure = QInputDialog.getText(self, _("Name the batch"), _("Name"), text=name_of_batch(batch))
        if sure:
            self._workspace.making.name(batch, name.strip())
