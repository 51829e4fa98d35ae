"""The right side of the page Grind: bench card, the bar at hand, the grind's numbers, mass, what would change it, what if."""

from collections.abc import Iterator
from math import degrees

from PySide6.QtCore import Qt, QTimer, Signal
from PySide6.QtWidgets import QLabel, QVBoxLayout, QWidget

from workbook.app.changed import Changed
from workbook.app.elements.bar_choice import BarChoice
from workbook.app.elements.basics import Lettered, button, label, named, reveal, row, scrolled, surface
from workbook.app.elements.entry import Troubles
from workbook.app.elements.form import Form
from workbook.app.elements.group import Group
from workbook.app.elements.items import item
from workbook.app.elements.length_field import ValueField
from workbook.app.elements.parameter_row import ParameterRow
from workbook.app.pages.grind.card import BenchCard
from workbook.app.pages.grind.rows import Rows
from workbook.app.pages.grind.what_if import WhatIf
from workbook.app.workspace import Workspace
from workbook.document.action import Action
from workbook.document.actions import rack
from workbook.document.queries import bar_to_measure
from workbook.document.records import BarRecord
from workbook.grind.balance import Lightened
from workbook.grind.bench import Bench
from workbook.grind.mass import Masses
from workbook.model.grinding import advice_of, changes_of, densities_for, lightenings_of, piece_of_bar
from workbook.sheets.bench_words import change_words, mass_rows, mass_words, over_words, rest_rows
from workbook.shop.in_hand import InHand, Source
from workbook.shop.job import NOT_OF_THIS_BAR, Measured, may_be_read
from workbook.structs import replace
from workbook.template.model import Grind, Template
from workbook.template.parameters import Kind, of_group
from workbook.template.words import choice_words
from workbook.texts import _, ngettext
from workbook.units import Unit, built, reading, show

_BAR = tuple(item(Measured, key) for key in ("thickness", "middle", "far", "bow"))
_NEAR = 1.0  # mm from the balance wanted that count as met
_WAIT = 250  # ms after the last change before the effects are computed again


class BenchSide(QWidget):
    """The page's words and numbers; typing here makes edits as elsewhere."""

    trouble = Signal(str)

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self.setObjectName("panel")
        self.setAttribute(Qt.WidgetAttribute.WA_StyledBackground)
        self._workspace = workspace
        look = workspace.look
        self._head = (label(look, _("At the bench"), "strong"), Lettered(look, "", 9.0, tone="soft", anchor="end"))
        self.card = BenchCard(look)
        self.rest, self.mass = Rows(look, points=8.5), Rows(look)
        self.bar_form = Form(look, _BAR, workspace.unit)
        self.bars, self.bar_words = BarChoice(workspace), self._words()
        self._assumed, self._heat = self._words(), self._words()
        self.changes = Rows(look, widths=(62, 74), points=8.5)
        self.what_if = WhatIf(workspace)
        self._parameters: list[ParameterRow] = []
        self.groups = {
            name: Group(look, f"bench-{name}", title)
            for name, title in (
                ("rest", _("More settings")),
                ("bar", _("Bar in hand")),
                ("grind", _("Grind")),
                ("mass", _("Mass and balance")),
                ("changes", _("What changes the balance")),
                ("whatif", _("What if")),
                ("heat", _("Decarb in hardening")),
            )
        }
        self._wanted = ValueField(look, "balance-wanted", Kind.LENGTH, workspace.unit)
        self.suggest = button(look, "suggest-holes", _("Find lightening holes"))
        self._suggested = self._words()
        self._search: Iterator[Lightened | None] | None = None
        self._found: Lightened | None = None
        self._later = QTimer(self)
        self._later.setSingleShot(True)
        self._later.setInterval(_WAIT)
        self._later.timeout.connect(self._weigh_changes)
        self._turn = QTimer(self)
        self._turn.timeout.connect(self._search_on)
        self._build()
        self._connect()

    def _words(self) -> QLabel:
        words = label(self._workspace.look, "", "small", soft=True)
        words.setWordWrap(True)
        words.setContentsMargins(12, 2, 12, 4)
        return words

    def _build(self) -> None:
        look = self._workspace.look
        inner = named(QWidget(), "inner")
        column = QVBoxLayout(inner)
        column.setContentsMargins(0, 8, 0, 8)
        column.setSpacing(0)
        holder = QWidget()
        holder.setLayout(row(self.card, margins=(12, 0, 12, 8)))
        column.addWidget(holder)
        self._wanted.setAccessibleName(_("Target balance, ahead of the handle front"))
        self._wanted.setFixedWidth(look.px(92))
        wish = QWidget()
        wish.setLayout(row(Lettered(look, _("Target balance"), 9.75), self._wanted, margins=(12, 4, 12, 0)))
        wish.setFixedHeight(look.px(38))
        ask = QWidget()
        ask.setLayout(row(self.suggest, margins=(12, 2, 12, 2)))
        contents: dict[str, tuple[QWidget, ...]] = {
            "rest": (self.rest,),
            "bar": (self.bars, self.bar_words, self.bar_form),
            "grind": (),
            "mass": (self.mass, self._assumed),
            "changes": (self.changes, wish, ask, self._suggested),
            "whatif": (self.what_if,),
            "heat": (self._heat,),
        }
        for name, group in self.groups.items():
            for widget in contents[name]:
                group.rows.addWidget(widget)
            column.addWidget(group)
        column.addStretch(1)
        self._inner = inner
        scroll = scrolled(inner)
        layout = QVBoxLayout(self)
        layout.setContentsMargins(0, 0, 0, 0)
        layout.setSpacing(0)
        layout.addWidget(surface("strip", row(*self._head, margins=(12, 0, 14, 0)), look.px(40)))
        layout.addWidget(scroll, 1)

    def _connect(self) -> None:
        self.bar_form.entered.connect(self._bar_read)
        self._troubles, self._shown_of = Troubles(), ""
        self.bar_form.trouble.connect(self._troubles.of("bar", self.trouble.emit))
        self.bar_form.keep_in(self._workspace)
        self.what_if.trouble.connect(self._troubles.of("what-if", self.trouble.emit))
        self._wanted.trouble.connect(self._troubles.of("wanted", self.trouble.emit))
        for name in ("thickness", "middle", "far"):
            field = self.bar_form.field(name)
            assert isinstance(field, ValueField)
            field.refuse = self._far_off
        self.groups["grind"].head.toggled.connect(lambda is_open: self._open_grind())
        self.groups["changes"].head.toggled.connect(lambda is_open: self._later.start())
        self.suggest.clicked.connect(self._suggest)
        self._workspace.refused.connect(self._refused)
        self._workspace.changed.connect(self._changed)
        for name in ("bar", "mass"):
            self.groups[name].head.set_open(True)

    def _changed(self, change: Changed) -> None:
        if change.chosen:  # typing was for the previous template
            self._refused()
            self.bar_form.let_go()
        if change.chosen or change.template:
            self._stop_search()

    def _refused(self) -> None:
        """Let every field show the kept value at the next refresh, after a change was refused."""
        for parameter in self._parameters:
            parameter.let_go()

    def refresh(self, bench: Bench | None, weighed: Masses) -> None:
        """Show the chosen template's numbers; `bench` is None for an outline from a file."""
        space = self._workspace
        template, unit = space.chosen_template, space.unit
        hand = space.model.in_hand(space.chosen)
        under = f"{hand.steel or _('no steel selected')}, {reading(hand.thickness, unit)} {unit}"
        self._head[1].say(under, "soft")
        self._inner.setVisible(bench is not None)
        self._stop_search()
        if bench is None or not isinstance(template, Template):
            return
        self.card.say(bench, space.name, _("{under}, before hardening", under=under), template.revision, unit)
        self.rest.say(rest_rows(bench, unit))
        self.mass.say(mass_rows(weighed, unit, piece_of_bar(space.model, space.chosen, hand)))
        assumed = densities_for(space.model, space.chosen, hand)[1]
        self._assumed.setText("\n".join(assumed))
        self._assumed.setVisible(bool(assumed))
        self._show_bar(bench, hand, unit)
        self._show_heat(template, unit)
        self.what_if.refresh(bench, space.chosen)
        for parameter in self._parameters:
            parameter.show_template(template, unit, space.session.document.settings.steps.of(unit))
        self._summarise(template, bench, weighed, unit)
        if self._shown_of != space.chosen:  # what is typed was for another template
            self._shown_of = space.chosen
            self._wanted.let_go()
        self._wanted.set_value(weighed.balance[0], (-500.0, 500.0), unit)
        self._later.start()

    def _summarise(self, template: Template, bench: Bench, weighed: Masses, unit: Unit) -> None:
        words = {
            "rest": _("1 in {run:.0f}", run=bench.run_for_one),
            "bar": f"{reading(bench.bar, unit)} {unit}",
            "grind": f"{choice_words(template.grind.bevel)}, {template.grind.edge_angle:g}°",
            "mass": mass_words(weighed.knife_mass, unit),
            "changes": "",
            "whatif": f"{degrees(bench.angle):.1f}°",
            "heat": f"{self._workspace.model.job.settings.heat:g} °C",
        }
        for name, group in self.groups.items():
            group.head.summarise(words[name])

    def _show_bar(self, bench: Bench, hand: InHand, unit: Unit) -> None:
        """Show which bar it is and what follows from its thickness, with a form for caliper readings if it is on the rack."""
        self.bars.refresh()
        record, over = self._record(), over_words(hand, bench, unit)
        self.bar_form.setVisible(record is not None)
        words = [_("{finding}.", finding=over)] if over else []
        if hand.source is Source.NOMINAL:
            words.append(_("These numbers are for the nominal thickness. Add bars on the Stock page."))
        elif record is not None and not hand.read:
            words.append(_("Type the caliper readings at three places. Everything follows from them."))
        if record is not None and record.bar.measured.spread > 0.005:
            spread = reading(record.bar.measured.spread, unit)
            words.append(_("The readings differ by {spread} {unit}. The smallest counts.", spread=spread, unit=unit))
        self.bar_words.setText(" ".join(words))
        self.bar_words.setVisible(bool(words))
        if record is not None:
            self.bar_form.show_values({item.key: getattr(record.bar.measured, item.key) for item in _BAR}, unit, record.id)

    def _show_heat(self, template: Template, unit: Unit) -> None:
        """Show the advice on lost carbon beside the maker's own allowance."""
        rules, loss = self._workspace.model.job.settings, advice_of(self._workspace.model)
        self._heat.setText(
            _(
                "After {minutes:g} min at {celsius:g} °C ({fahrenheit:.0f} °F), bare faces in air have lost a tenth "
                "of their carbon to a depth of {least}–{most} {unit} (Fick's law with two published sets of "
                "constants). You then grind {ground} {unit} off each face. Faces that are coated, in foil or under "
                "plates lose less. Temperature and soak are under Settings.",
                minutes=rules.soak,
                celsius=rules.heat,
                fahrenheit=rules.heat * 1.8 + 32,
                least=reading(loss.least, unit),
                most=reading(loss.most, unit),
                ground=reading(template.grind.face_allowance, unit),
                unit=unit,
            )
        )

    def _record(self) -> BarRecord | None:
        space = self._workspace
        return bar_to_measure(space.session.document, space.model.in_hand(space.chosen))

    def _far_off(self, value: float) -> str:
        record = self._record()
        fine = record is None or value == 0 or may_be_read(value, record.bar.thickness)
        return "" if fine else NOT_OF_THIS_BAR

    def _bar_read(self, key: str, value: float | None) -> None:
        record = self._record()
        if record is not None:
            measured = replace(record.bar.measured, **{key: value})
            bar = replace(record.bar, measured=measured)
            edit = rack.change_bar(self._workspace.session.document, record.id, bar, self._workspace.stamp())
            self._workspace.merge_edit(f"{record.id} {key}", edit)

    def _open_grind(self) -> None:
        """Build the rows of the grind when they are first opened."""
        space = self._workspace
        template = space.chosen_template
        if self._parameters or not isinstance(template, Template):
            return
        for parameter in of_group("grind"):
            parameter_row = ParameterRow(space.look, parameter, Grind, space.unit)
            parameter_row.edited.connect(space.edit)
            parameter_row.held.connect(space.hold)
            parameter_row.given_up.connect(space.give_up)
            parameter_row.trouble.connect(self._troubles.of(parameter.path, self.trouble.emit))
            self.groups["grind"].rows.addWidget(parameter_row)
            self._parameters.append(parameter_row)
            parameter_row.show_template(template, space.unit, space.session.document.settings.steps.of(space.unit))

    def go_to(self, path: str) -> None:
        """Open the grind and give the field of one of its parameters the keyboard."""
        self.groups["grind"].head.set_open(True)
        reveal(next(each.field for each in self._parameters if each.parameter.path == path))

    def _weigh_changes(self) -> None:
        """Show what each hole, taper or thinner scale would change, if the group is open."""
        space = self._workspace
        if not self.groups["changes"].head.open or not self.isVisible():
            return
        rows = [("", _("mass"), _("balance"))]
        for change in changes_of(space.model, space.chosen, space.model.in_hand(space.chosen)):
            sign = "+" if change.balance >= 0 else "-"
            moved = f"{sign}{built(show(abs(change.balance), space.unit, fine=True))} {space.unit}"
            rows.append((change.what, change_words(change.mass, space.unit), moved))
        self.changes.say(rows)

    def _suggest(self) -> None:
        """Search for lightening holes, one try per turn of the event loop, so that the window stays responsive; or stop."""
        space = self._workspace
        if self._search is not None:
            self._stop_search()
            return
        hand = space.model.in_hand(space.chosen)
        self._search, self._found = lightenings_of(space.model, space.chosen, hand, self._wanted.value), None
        self.suggest.setText(_("Stop"))
        self._turn.start(0)

    def _search_on(self) -> None:
        assert self._search is not None
        try:
            self._found = next(self._search)
        except StopIteration:
            self._stop_search()
            self._tell_found()

    def _stop_search(self) -> None:
        self._turn.stop()
        self._search = None
        self.suggest.setText(_("Find lightening holes"))
        self._suggested.setText("")

    def _tell_found(self) -> None:
        space, result = self._workspace, self._found
        if result is None:
            self._suggested.setText(_("No lightening hole that fits brings the balance nearer."))
            return
        if space.reshape(result.template, Action("holes.balanced", {"count": result.holes, "size": result.size})):
            space.said.emit(_lightened(result, self._wanted.value, space.unit))


def _lightened(result: Lightened, wanted: float, unit: Unit) -> str:
    """What lightening holes were made, where the balance is now, and how far that is from the one wanted."""

    def length(mm: float) -> str:
        return f"{show(abs(mm), unit)} {unit}"

    size = f"{show(result.size, unit)} {unit}"
    holes = ngettext(
        "{count} lightening hole of {size} added, {mass}.", "{count} lightening holes of {size} added, {mass}.",
        result.holes, size=size, mass=mass_words(result.mass, unit),
    )  # fmt: skip
    if result.balance >= 0:
        balance = _("Balance {length} ahead of the front.", length=length(result.balance))
    else:
        balance = _("Balance {length} behind the front.", length=length(result.balance))
    deviation = result.balance - wanted
    short = _("That is {length} from your target. More does not fit.", length=length(deviation))
    undo = _("Undo removes them.")
    return " ".join((holes, balance, *((short,) if abs(deviation) > _NEAR else ()), undo))
