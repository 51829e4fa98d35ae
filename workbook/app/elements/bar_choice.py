"""The choice of the bar that the chosen template's blades are made of: suitable bars, the likeliest first."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from PySide6.QtCore import QSignalBlocker
from PySide6.QtWidgets import QComboBox, QWidget

from workbook.app.elements.basics import Lettered, row
from workbook.app.elements.choice import ChoiceField
from workbook.app.elements.look_up_button import look_up_button
from workbook.app.plain import plain
from workbook.app.workspace import Workspace
from workbook.document.actions.templates import choose_bar
from workbook.later import modules
from workbook.shop.in_hand import InHand, Source, likeliest
from workbook.shop.job import NOMINAL, Choice
from workbook.texts import _
from workbook.units import Unit, reading

if TYPE_CHECKING:
    from workbook.app import named_things
else:
    (named_things,) = modules("app.named_things")

_WHERE = {Source.RACK: _("on the rack"), Source.SALE: _("to buy"), Source.NOMINAL: _("no bar selected")}
_SHOWN = 10  # characters wide; the list shows names in full
_MOST = 100  # bars in the list, besides the chosen one


class BarChoice(QWidget):
    """A box with the likeliest bar and the other suitable ones; choosing one is an edit like any other."""

    def __init__(self, workspace: Workspace) -> None:
        super().__init__()
        self._workspace = workspace
        look = workspace.look
        self.box = ChoiceField(look)
        self.box.setObjectName("bar-in-hand")
        self.box.setAccessibleName(_("Bar"))
        self.box.setFont(look.font("small"))
        self.box.setSizeAdjustPolicy(QComboBox.SizeAdjustPolicy.AdjustToMinimumContentsLengthWithIcon)
        self.box.setMinimumContentsLength(_SHOWN)
        self._choices: list[Choice | None] = []
        name = Lettered(look, _("Bar"), 9.75)
        name.setFixedWidth(look.px(40))
        look_up = look_up_button(look, lambda: named_things.of_knife(workspace), workspace.look_up_wanted.emit)
        line = row(name, self.box, look_up, margins=(12, 2, 10, 2))
        line.setStretchFactor(self.box, 1)
        self.setLayout(line)
        self.box.activated.connect(self._chosen)

    def refresh(self) -> None:
        """Update the list of bars and select the chosen one."""
        space = self._workspace
        job, bars = space.model.job, space.model.bars_for(space.chosen)
        chosen, best = dict(job.chosen).get(space.chosen), likeliest(job, space.chosen, bars)
        bars = (
            bars if len(bars) <= _MOST else (*(bar for bar in bars[:_MOST] if bar.choice != chosen), *_of(bars, chosen), bars[-1])
        )
        self._choices = [None, *(bar.choice for bar in bars)]
        words = [
            _("Most likely: {bar}", bar=bar_named(best, space.unit)),
            *(bar_named(bar, space.unit) for bar in bars),
        ]
        with QSignalBlocker(self.box):
            if words != [self.box.itemText(n) for n in range(self.box.count())]:
                self.box.clear()
                self.box.addItems(words)
            self.box.setCurrentIndex(self._choices.index(chosen) if chosen in self._choices else 0)
        self.box.setToolTip(
            plain(
                _(
                    "{bar}. These blades are made of this bar. Its thickness is used everywhere",
                    bar=self.box.currentText(),
                )
            )
        )

    def _chosen(self, index: int) -> None:
        space = self._workspace
        document = space.session.document
        space.do(choose_bar(document, space.chosen, self._choices[index]))


def _of(bars: Sequence[InHand], choice: Choice | None) -> list[InHand]:
    return [bar for bar in bars[:-1] if bar.choice == choice][:1]


def bar_named(bar: InHand, unit: Unit) -> str:
    """The text of a bar in a list: its thickness, name and location."""
    thick = f"{reading(bar.thickness, unit)} {unit}"
    if bar.read:
        thick = _("{length} measured", length=thick)
    place = _WHERE.get(bar.source) or _("cut: {names}", names=", ".join(bar.serials))
    return f"{thick}, {_('nominal') if bar.bar == NOMINAL else bar.bar}, {place}"
